//! `trial KIT MEASURED`: measured turns and travel against what the kit should do.

use super::check::refused;
use super::folder::{self, Folder};
use super::printer_file::Shelf;
use super::trouble::{Ending, Trouble, shown};
use super::{input, make::DEFAULT_PARENT, streams};
use crate::diagnostic::{Diagnostic, Source};
use crate::layout;
use crate::making::{self, Refusal};
use crate::output::bench::trial_page;
use crate::output::formats::TRIAL;
use crate::trial::{self, Instrument, Prediction, Reading, Settings, Trial, Unit};
use clap::ValueEnum;
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Rows are read in the order in which they were taken. Turns are those of the drive, counted \
forward from turn 0: the way that carries out the stroke. `travel` rises as the carriage \
advances, `depth` falls: from the keeper to the carriage, through the keeper's hole, or where a \
screw stands in that, in the slot. The page goes into one folder, whole or not at all.

Example:
  netlead trial desk-stage.toml measured.toml
  netlead trial desk-stage.toml --reading depth --resolution 0.05 \\
      --row \"0 41.2\" --row \"5 37.5\" --row \"10 33.7\" --row \"5 37.2 back\"")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
    /// The TOML file of measured rows, instead of --row
    #[arg(conflicts_with = "rows")]
    measured: Option<PathBuf>,
    /// A row: "TURNS READING", then `forward` or `back` if need be
    #[arg(
        long = "row",
        id = "rows",
        value_name = "ROW",
        allow_hyphen_values = true
    )]
    rows: Vec<String>,
    /// What the rows read: travel or depth
    #[arg(long, value_enum, value_name = "WHAT")]
    reading: Option<ReadingWord>,
    /// Smallest step of the instrument
    #[arg(long, value_name = "STEP", allow_negative_numbers = true)]
    resolution: Option<f64>,
    /// Standard deviation of readings of one place, if it is known
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    repeatability: Option<f64>,
    /// Unit of the rows and of the step: mm, if not said, or in
    #[arg(long, value_enum, value_name = "UNIT")]
    unit: Option<UnitWord>,
    /// Folder to write; if not said out/NAME-trial, after the kit's name
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum ReadingWord {
    Travel,
    Depth,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum UnitWord {
    Mm,
    In,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    kit: PathBuf,
    rows: Rows,
    out: Option<PathBuf>,
}

#[derive(Debug)]
enum Rows {
    File(PathBuf),
    Arguments(Vec<String>, Settings),
}

impl Request {
    /// Puts the rows' arguments together.
    pub(super) fn resolve(raw: Raw) -> Result<Self, Trouble> {
        let of_rows = [
            ("--reading", raw.reading.is_some()),
            ("--resolution", raw.resolution.is_some()),
            ("--repeatability", raw.repeatability.is_some()),
            ("--unit", raw.unit.is_some()),
        ];
        let given = of_rows.iter().find(|(_, given)| *given);
        let rows = match (raw.measured, raw.reading, raw.resolution) {
            (Some(file), ..) => match given {
                Some((flag, _)) => return Err(says_itself(&file, flag)),
                None => Rows::File(file),
            },
            _ if raw.rows.is_empty() => {
                return Err(without("what was measured, a file or rows", &raw.kit));
            }
            (None, None, _) => return Err(without("what the rows read, --reading", &raw.kit)),
            (None, _, None) => {
                return Err(without(
                    "the step of the instrument, --resolution",
                    &raw.kit,
                ));
            }
            (None, Some(reading), Some(resolution)) => {
                let unit = match raw.unit {
                    Some(UnitWord::In) => Unit::Inch,
                    Some(UnitWord::Mm) | None => Unit::Mm,
                };
                let settings = Settings {
                    reading: match reading {
                        ReadingWord::Travel => Reading::Travel,
                        ReadingWord::Depth => Reading::Depth,
                    },
                    instrument: Instrument {
                        resolution: unit.of(resolution),
                        repeatability: unit.of(raw.repeatability.unwrap_or_default()),
                    },
                    unit,
                };
                Rows::Arguments(raw.rows, settings)
            }
        };
        Ok(Self {
            kit: raw.kit,
            rows,
            out: raw.out,
        })
    }
}

/// Rows of which something is missing.
fn without(what: &str, kit: &Path) -> Trouble {
    let kit = shown(kit);
    Trouble::new(format!("nothing says {what}")).mend(format!(
        "measure the travel or the depth at three turns or more, then write a file of them and name \
         it behind the kit, or give each by --row: `netlead trial {kit} --reading depth --resolution \
         0.05 --row \"0 41.2\" --row \"5 37.5\" --row \"10 33.7\"`"
    ))
}

/// An argument about rows beside a file that has it.
fn says_itself(file: &Path, flag: &str) -> Trouble {
    let file = shown(file);
    Trouble::new(format!(
        "`{flag}` is for rows given by --row, and {file} says it itself"
    ))
    .mend(format!(
        "leave `{flag}` out, and change the line `{}` of that file if need be",
        &flag[2..]
    ))
}

/// Judges a trial and writes its page.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let kit_text = input::read(&request.kit, &input::KIT)?;
    let (rows_name, rows_text) = match &request.rows {
        Rows::File(path) => (shown(path), rows_file(path)?),
        Rows::Arguments(rows, _) => ("--row".into(), trial::arguments_text(rows)),
    };
    let shelf = Shelf::of(&request.kit);
    let read = match making::read(&shown(&request.kit), &kit_text, &shelf) {
        Ok(read) => read,
        Err(refusal) => return refused(&refusal),
    };
    streams::tell(&read.remarks);
    let by_name = || {
        Path::new(DEFAULT_PARENT).join(format!("{}-trial", folder::fit_name(&read.kit.name.value)))
    };
    let path = request.out.clone().unwrap_or_else(by_name);
    let target = Folder::at(&path, TRIAL.mark())?;
    let rejected = |problems: &[Diagnostic]| {
        let source = match &request.rows {
            Rows::File(_) => Source::File(&rows_name),
            Rows::Arguments(..) => Source::Repeated(&rows_name),
        };
        refused(&Refusal::Rejected(making::rendered(
            source, &rows_text, problems,
        )))
    };
    let measured = match &request.rows {
        Rows::File(_) => trial::read(&rows_text),
        Rows::Arguments(rows, settings) => trial::read_arguments(rows, *settings),
    };
    let measured = match measured {
        Ok(measured) => measured,
        Err(problems) => return rejected(&problems),
    };
    let worked = match predicted(&read) {
        Ok(prediction) => trial::judge(measured, prediction),
        Err(refusal) => return refused(&refusal),
    };
    match worked {
        Ok(trial) => show(&trial, &path, &target, json),
        Err(problems) => rejected(&problems),
    }
}

/// The text of a file of measured rows.
fn rows_file(path: &Path) -> Result<String, Trouble> {
    input::read(path, &input::ROWS)
}

/// What the kit should do, on the printer that it names.
fn predicted(read: &making::Read) -> Result<Prediction, Refusal> {
    let profile = &read.profile;
    let design = layout::design(&read.kit, profile).map_err(|problems| read.rejected(&problems))?;
    Prediction::new(&read.kit, &design, profile).map_err(|error| read.unmoved(&error))
}

fn show(trial: &Trial, path: &Path, target: &Folder, json: bool) -> Result<Ending, Trouble> {
    let files = TRIAL
        .write(trial)
        .map_err(|error| Trouble::new(error.to_string()))?;
    streams::note(target.replace(&files)?);
    if json {
        streams::json(&String::from_utf8_lossy(TRIAL.listing(&files)))?;
    } else {
        streams::page(&trial_page::terminal(trial, Some(&shown(path))))?;
    }
    Ok(Ending::Done)
}
