//! `vary KIT KEY=VALUES`: what comes of a kit when one or two of its values change.

mod rows;

use super::printer_file::Shelf;
use super::trouble::{Ending, Trouble, shown};
use super::{check, input, presets, signals, streams};
use crate::check::Mends;
use crate::kit::edit;
use crate::making::{self, Wanted};
use crate::output::page::vary_table::{self, NAMES, Row, SHOWN, Table};
use crate::output::words::plain;
use crate::units_told::number;
use rows::Drawings;
use std::path::PathBuf;
use std::sync::atomic::Ordering;

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
VALUES are a list, M10,M12x1.75, or a range of bare numbers, 5..20:2.5, from 5 to 20 in steps \
of 2.5. Of two keys every pair of values is worked out. --tell takes short names (net-lead, \
turns, lost-motion, torque, efficiency, safe-load, least-gap, mass, time) and any place in \
report.json, such as \
parts.frame.volume_mm3 or checks.drive-wall.value; of a rule with several places, the one \
that comes out worst. A row of which only that is told which hangs on sizes and motion, such as net-lead, \
turns, torque and safe-load, is worked out without drawing it, and so is one that fails by them: its \
verdict says so. A kit that asserts its net_lead fails with other threads. Ctrl-C ends it with the rows so far.

Example:
  netlead vary desk-stage.toml stroke=5..20:5 layer=0.1,0.15 --tell turns,checks.stops.value")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
    /// One or two keys with their values: stroke=5..20:5, inner=M10,M12
    #[arg(required = true, num_args = 1..=2, value_name = "KEY=VALUES")]
    settings: Vec<String>,
    /// What to tell, by name or place in report.json
    #[arg(long, value_delimiter = ',', value_name = "NAMES")]
    tell: Vec<String>,
    /// Print CSV
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

/// Most rows of a table: an hour or so of work. Guess.
const MOST_ROWS: usize = 5000;
/// Decimals that a step of a range may have.
const STEP_DECIMALS: usize = 6;
/// A range ends on its last value when it misses it by no more than this share of a step.
const STEP_SLACK: f64 = 1e-6;

/// One key and the values that it takes.
#[derive(Debug)]
struct Setting {
    key: String,
    values: Vec<String>,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    kit: PathBuf,
    settings: Vec<Setting>,
    tell: Vec<String>,
    csv: bool,
    /// Whether anything is told that hangs on meshes.
    drawn: bool,
    /// What else is told that takes long.
    wanted: Wanted,
}

impl Request {
    /// Arguments whose keys and values have a meaning.
    pub(super) fn resolve(raw: Raw) -> Result<Self, Trouble> {
        let settings: Vec<Setting> = raw
            .settings
            .iter()
            .map(|text| setting(text))
            .collect::<Result<_, _>>()?;
        if let [a, b] = settings.as_slice()
            && a.key == b.key
        {
            return Err(Trouble::new(format!("`{}` is varied twice", a.key))
                .mend("list all its values in one argument"));
        }
        let rows: usize = settings
            .iter()
            .map(|setting| setting.values.len())
            .product();
        if rows > MOST_ROWS {
            return Err(Trouble::new(format!("{rows} rows, at most {MOST_ROWS}"))
                .mend("take fewer values or larger steps"));
        }
        let tell = match raw.tell.is_empty() {
            true => SHOWN.iter().map(|name| (*name).to_owned()).collect(),
            false => raw.tell,
        };
        Ok(Self {
            kit: raw.kit,
            settings,
            drawn: tell.iter().any(|name| vary_table::needs_meshes(name)),
            wanted: Wanted {
                mends: match tell.iter().any(|name| vary_table::may_be_a_mend(name)) {
                    true => Mends::Sought,
                    false => Mends::LeftOut,
                },
                odds: tell.iter().any(|name| vary_table::is_of_odds(name)),
            },
            tell,
            csv: raw.csv,
        })
    }

    /// Every pair of values, the last key's changing fastest.
    fn choices(&self) -> Vec<Vec<String>> {
        let mut choices = vec![Vec::new()];
        for setting in &self.settings {
            choices = choices
                .into_iter()
                .flat_map(|choice: Vec<String>| {
                    let with = |value: &String| {
                        let mut choice = choice.clone();
                        choice.push(value.clone());
                        choice
                    };
                    setting.values.iter().map(with).collect::<Vec<_>>()
                })
                .collect();
        }
        choices
    }

    fn table(&self) -> Table {
        let widest = |setting: &Setting| {
            let widths = setting.values.iter().map(|value| value.chars().count());
            (setting.key.clone(), widths.max().unwrap_or_default())
        };
        let keys: Vec<_> = self.settings.iter().map(widest).collect();
        Table::new(&keys, &self.tell)
    }
}

/// `key=values`, the values a list or a range.
fn setting(text: &str) -> Result<Setting, Trouble> {
    let example = "write a key and its values: stroke=5..20:5, or inner=M10,M12";
    let Some((key, values)) = text.split_once('=') else {
        return Err(Trouble::new(format!("`{}` is no key with values", plain(text))).mend(example));
    };
    let key = key.trim();
    if !edit::settable().contains(&key) {
        let trouble = Trouble::new(format!("no key is called `{}`", plain(key)));
        let mend = match presets::nearest(key, edit::settable()) {
            Some(near) => {
                format!("write `{near}` if that is meant; docs/kit-file.md lists all keys")
            }
            None => "docs/kit-file.md lists all".into(),
        };
        return Err(trouble.mend(mend));
    }
    let values = match range(values) {
        Some(range) => range.map_err(|reason| {
            Trouble::new(format!("`{}`: {reason}", plain(values))).mend("write from..to:step")
        })?,
        None => values
            .split(',')
            .map(|value| value.trim().to_owned())
            .collect(),
    };
    if values.iter().any(String::is_empty) {
        let trouble = Trouble::new(format!("`{}` has an empty value", plain(text)));
        return Err(trouble.mend(example));
    }
    Ok(Setting {
        key: key.into(),
        values,
    })
}

/// The values of `from..to:step`; `None` for what is no range.
fn range(text: &str) -> Option<Result<Vec<String>, String>> {
    let (from, rest) = text.split_once("..")?;
    Some(steps(from, rest))
}

fn steps(from: &str, rest: &str) -> Result<Vec<String>, String> {
    let (to, step) = rest.split_once(':').ok_or("the range has no step")?;
    let value = |text: &str| {
        let value = text.trim().parse::<f64>().ok();
        let value = value.filter(|value| value.is_finite());
        value.ok_or_else(|| format!("`{}` is no number", plain(text)))
    };
    let (from, to, step) = (value(from)?, value(to)?, value(step)?);
    if step <= 0.0 || to < from {
        return Err("it must rise, by a step above zero".into());
    }
    let count = (to - from) / step + STEP_SLACK;
    if count >= MOST_ROWS as f64 {
        return Err(format!("it has more than {MOST_ROWS} values"));
    }
    let each = (0..=count as usize).map(|at| number(from + step * at as f64, STEP_DECIMALS));
    Ok(each.collect())
}

/// Works out and prints every row.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let text = input::read(&request.kit, &input::KIT)?;
    let path = shown(&request.kit);
    let shelf = Shelf::of(&request.kit);
    // What is wrong with the kit itself is told once, with its place.
    match making::read(&path, &text, &shelf) {
        Ok(read) => streams::tell(&read.remarks),
        Err(refusal) => return check::refused(&refusal),
    }
    let stop = signals::stopper()?;
    let table = request.table();
    let choices = request.choices();
    streams::tell(&announced(request, &text, &shelf, &choices));
    if request.csv {
        streams::data(&csv(table.csv_titles())?)?;
    } else if !json {
        streams::page(&table.titles())?;
    }
    let mut rows: Vec<Row> = Vec::new();
    let mut drawings = Drawings::default();
    // A few at a time, so that a stop loses little and both cores stay busy.
    for some in choices.chunks(rayon::current_num_threads().max(1)) {
        if stop.load(Ordering::SeqCst) {
            break;
        }
        let more = rows::worked(request, &text, &shelf, some, &mut drawings)?;
        for row in &more {
            let read_on = match (request.csv, json) {
                (true, _) => streams::line(&csv(table.csv_row(row))?, false)?,
                (false, true) => true,
                (false, false) => streams::line(&table.row(row), true)?,
            };
            // Whoever closed the pipe has read enough: no more rows are worked out.
            if !read_on {
                return Ok(Ending::Done);
            }
        }
        rows.extend(more);
    }
    if json {
        streams::json(&data(&table, &rows)?)?;
    }
    if rows.len() < choices.len() {
        let (done, all) = (rows.len(), choices.len());
        return Err(Trouble::new(format!("stopped after {done} of {all} rows")));
    }
    known(&table, &rows)
}

/// Rows whose work is looked at before any is worked out.
const SAMPLED: usize = 8;
/// Seconds from which work is announced.
const WORTH_A_WORD: f64 = 60.0;

/// How long it will take, if that is more than about a minute; else nothing.
fn announced(request: &Request, text: &str, shelf: &Shelf, choices: &[Vec<String>]) -> String {
    if !request.drawn {
        return String::new();
    }
    let path = shown(&request.kit);
    let seconds = |choice: &Vec<String>| {
        let edited = rows::edited(request, text, choice).ok()?;
        making::read(&path, &edited, shelf).ok()?.core_seconds()
    };
    let every = choices.len().div_ceil(SAMPLED).max(1);
    let sampled: Vec<f64> = choices
        .iter()
        .step_by(every)
        .map(|choice| seconds(choice).unwrap_or(0.0))
        .collect();
    let rows = choices.len();
    let all = sampled.iter().sum::<f64>() / sampled.len().max(1) as f64 * rows as f64
        / rayon::current_num_threads().max(1) as f64;
    if all < WORTH_A_WORD {
        return String::new();
    }
    let minutes = (all / 60.0).ceil();
    let some = if minutes > 1.0 { "minutes" } else { "minute" };
    format!("{rows} rows, about {minutes} {some} of work; Ctrl-C ends it with the rows so far\n")
}

fn csv(line: csv::Result<String>) -> Result<String, Trouble> {
    line.map_err(|error| Trouble::new(error.to_string()))
}

fn data(table: &Table, rows: &[Row]) -> Result<String, Trouble> {
    let entries: Vec<_> = rows.iter().map(|row| table.data(row)).collect();
    serde_json::to_string_pretty(&entries)
        .map(|list| format!("{list}\n"))
        .map_err(|error| Trouble::new(error.to_string()))
}

/// Done, unless something was asked for that no report has.
fn known(table: &Table, rows: &[Row]) -> Result<Ending, Trouble> {
    let Some(name) = table.never_found(rows) else {
        return Ok(Ending::Done);
    };
    let names: Vec<&str> = NAMES.iter().map(|(name, _)| *name).collect();
    let trouble = Trouble::new(format!("no report has `{}`", plain(name)));
    Err(trouble.mend(format!(
        "name one of {}, or a place in report.json such as parts.frame.volume_mm3",
        names.join(", ")
    )))
}
