//! A filled form: from its TOML text to readings and findings, or to every problem in it.
//!
//! ```toml
//! form    = "netlead-form/1"
//! printer = "garage printer"      # name of the profile
//! date    = "2026-11-20"          # of the first print
//! units   = "mm"                  # of `measured`; "inch" for an inch caliper
//! made    = { layer = 0.14, line = 0.45, walls = 4, bed = [220, 220, 250], material = "PLA" }
//!
//! [[row]]
//! name     = "outer-x-62"
//! drawn    = 62
//! measured = [62.07, 62.03]       # one for each print; "" where a print has none
//!
//! [[ladder]]
//! name   = "drive/frame"
//! kind   = "thread"
//! wanted = 0.04                   # radial or a side
//! gaps   = [0.15, 0.20, 0.25]     # of one groove, of two, of three
//! radius = 10
//! best   = [2]                    # grooves of the step that fits best, one for each print
//! ```

use super::clue::{BestStep, CaliperSize, End, LadderKind, SizeKind};
use super::toml_values::{Field, Reader};
use crate::declared::{FOLDER_NAME, REMARK, TextRule};
use crate::diagnostic::{Diagnostic, Severity, file_order};
use crate::strength::Material;
use crate::units::{Length, MM_PER_INCH};
use std::ops::Range;

/// The word by which a form is known, and the version that this program writes.
pub const FORM: &str = "netlead-form/1";

/// A valid form.
#[derive(Clone, Debug, PartialEq)]
pub struct FilledForm {
    /// Name of the profile.
    pub printer: String,
    /// Date in ISO 8601, or empty.
    pub date: String,
    /// Which spool, in the maker's words.
    pub spool: String,
    /// With what the pieces were printed.
    pub made: MadeWith,
    /// Sizes, in file order.
    pub rows: Vec<MeasuredRow>,
    /// Ladders, in file order.
    pub ladders: Vec<TriedLadder>,
}

/// With what the pieces were printed.
#[derive(Clone, Debug, PartialEq)]
pub struct MadeWith {
    /// Layer height.
    pub layer: Length,
    /// Width of a printed line.
    pub line: Length,
    /// Number of perimeters.
    pub walls: u32,
    /// Room: x, y, z.
    pub bed: [Length; 3],
    /// Filament.
    pub material: Material,
}

/// A row with its readings.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredRow {
    /// Its name.
    pub name: String,
    /// What was measured.
    pub feature: CaliperSize,
    /// A reading for each print; `None` where there is none.
    pub measured: Vec<Option<Length>>,
    /// Where the row stands in the form.
    pub at: Range<usize>,
}

/// A ladder with its findings.
#[derive(Clone, Debug, PartialEq)]
pub struct TriedLadder {
    /// Its name.
    pub name: String,
    /// A finding for each print; `None` where there is none.
    pub best: Vec<Option<BestStep>>,
    /// Grooves of the last step, by which a finding is told that lies at an end.
    pub steps: usize,
    /// Grooves of each finding.
    pub grooves: Vec<Option<usize>>,
    /// Where the ladder stands in the form.
    pub at: Range<usize>,
}

/// Most that a reading may be off, in mm and as a share of the size: guess, three times the
/// largest errors that guides tell of (0.5 mm on holes), and more than any plastic shrinks.
const BELIEF: (f64, f64) = (1.5, 0.03);
/// A reading so near, as a share, to the size in another unit is taken for one in that unit.
const SAME_SIZE: f64 = 0.1;
/// Most prints in one form. Guess, far above the 25 of formal practice.
const MOST_PRINTS: usize = 50;
/// Longest form in bytes. Guess.
pub const LONGEST: usize = 64 << 10;
/// Most rows and ladders together. Guess, some five times a full form's.
const MOST_ROWS: usize = 200;
/// Most readings and findings together. Guess, twice 25 prints of the plate.
const MOST_READINGS: usize = 1500;
/// Problems that are told at the most; nobody mends more in one go. Guess.
const MOST_TOLD: usize = 60;
/// Sizes that can be drawn, in mm.
const SIZES: [f64; 2] = [0.2, 1000.0];

/// Reads a form. A valid one comes with its notes.
///
/// # Errors
/// Every problem, at least one of them an error, in file order.
pub fn read(text: &str) -> Result<(FilledForm, Vec<Diagnostic>), Vec<Diagnostic>> {
    if text.len() > LONGEST {
        return Err(vec![
            Diagnostic::error("the file is too long for a form", 0..0)
                .mend("name the form.toml that `netlead coupon` wrote"),
        ]);
    }
    let mut reader = Reader::new(text);
    let form = form(&mut reader);
    let mut problems = reader.problems;
    problems.sort_by_key(file_order);
    // Errors first, where not all can be told.
    if problems.len() > MOST_TOLD {
        problems.sort_by_key(|problem| problem.severity != Severity::Error);
        problems.truncate(MOST_TOLD);
        problems.sort_by_key(file_order);
    }
    if problems
        .iter()
        .any(|problem| problem.severity == Severity::Error)
    {
        return Err(problems);
    }
    Ok((form, problems))
}

fn form(reader: &mut Reader) -> FilledForm {
    let root = reader.root(&[
        "form", "kit", "printer", "date", "spool", "units", "made", "row", "ladder",
    ]);
    version(reader, &root);
    let inches = in_inches(reader, &root);
    let printer = named(reader, &root, "printer", &FOLDER_NAME);
    let spool = named(reader, &root, "spool", &REMARK);
    let date = date(reader, &root);
    let made = made(reader, &root);
    let mut names = Vec::new();
    let mut rows = Vec::new();
    for field in reader.tables(&root, "row", &["name", "drawn", "measured"]) {
        if let Some(row) = row(reader, &field, inches, &mut names) {
            rows.push(row);
        }
    }
    let mut ladders = Vec::new();
    let keys = ["name", "kind", "wanted", "gaps", "radius", "best"];
    for field in reader.tables(&root, "ladder", &keys) {
        if let Some(ladder) = ladder(reader, &field, &mut names) {
            ladders.push(ladder);
        }
    }
    let form = FilledForm {
        printer: printer.unwrap_or_else(|| UNNAMED.into()),
        date,
        spool: spool.unwrap_or_default(),
        made,
        rows,
        ladders,
    };
    refuse_long(reader, &form);
    refuse_empty(reader, &form);
    form
}

/// A form that is longer than anyone measures.
fn refuse_long(reader: &mut Reader, form: &FilledForm) {
    let readings = form
        .rows
        .iter()
        .map(|row| row.measured.len())
        .sum::<usize>()
        + form
            .ladders
            .iter()
            .map(|ladder| ladder.best.len())
            .sum::<usize>();
    let tables = form.rows.len() + form.ladders.len();
    for (what, count, most) in [
        ("rows and ladders", tables, MOST_ROWS),
        ("readings", readings, MOST_READINGS),
    ] {
        if count > most {
            let message = format!("the form has {count} {what}, at most {most}");
            reader
                .problems
                .push(Diagnostic::error(message, 0..0).mend("leave some of it out"));
        }
    }
}

/// A form without a single reading, and notes on rows that have none.
fn refuse_empty(reader: &mut Reader, form: &FilledForm) {
    let measured = |row: &&MeasuredRow| row.measured.iter().any(Option::is_some);
    let tried = |ladder: &&TriedLadder| ladder.best.iter().any(Option::is_some);
    let filled =
        form.rows.iter().filter(measured).count() + form.ladders.iter().filter(tried).count();
    if filled == 0 {
        let places = form.rows.iter().map(|row| &row.at);
        let first = places
            .chain(form.ladders.iter().map(|ladder| &ladder.at))
            .next();
        let first = first.cloned().unwrap_or(0..0);
        if reader.problems.is_empty() {
            reader.problems.push(
                Diagnostic::error(
                    "the form is empty: no row is measured and no ladder tried",
                    first,
                )
                .mend("write readings between the brackets, as in `measured = [62.07]`"),
            );
        }
        return;
    }
    let rejected = |problem: &Diagnostic| problem.severity == Severity::Error;
    if reader.problems.iter().any(rejected) {
        // What is left out is told when the rest is right.
        return;
    }
    let any_row = form.rows.iter().any(|row| measured(&row));
    for row in form.rows.iter().filter(|row| any_row && !measured(row)) {
        reader.problems.push(
            Diagnostic::warning(
                format!("row `{}` is not measured and left out", row.name),
                row.at.clone(),
            )
            .mend("measure it too, as in `measured = [62.07]`"),
        );
    }
    for ladder in form.ladders.iter().filter(|ladder| !tried(ladder)) {
        reader.problems.push(
            Diagnostic::warning(
                format!("ladder `{}` is not tried and left out", ladder.name),
                ladder.at.clone(),
            )
            .mend("try it too, as in `best = [2]`"),
        );
    }
    for ladder in &form.ladders {
        let ends = |grooves: &usize| *grooves == 1 || *grooves == ladder.steps;
        if ladder.grooves.iter().flatten().any(ends) {
            reader.problems.push(
                Diagnostic::warning(
                    format!("the best step of ladder `{}` is at its end", ladder.name),
                    ladder.at.clone(),
                )
                .mend("the right gap may lie beyond: tune with this, then print the ladder again"),
            );
        }
    }
}

/// The version, which must be this one.
fn version(reader: &mut Reader, root: &Field) {
    match reader.text(root, "form") {
        Some((word, _)) if word == FORM => {}
        Some((word, at)) => reader.problems.push(
            Diagnostic::error(format!("`{word}` is not a form this program reads"), at)
                .mend(format!("write `form = \"{FORM}\"`")),
        ),
        None => reader.missing(root, "form", &format!("form = \"{FORM}\"")),
    }
}

/// Whether readings are in inches.
fn in_inches(reader: &mut Reader, root: &Field) -> bool {
    let Some((unit, at)) = reader.text(root, "units") else {
        return false;
    };
    if unit != "mm" && unit != "inch" {
        reader.problems.push(
            Diagnostic::error(format!("`{unit}` is no unit of a caliper here"), at)
                .mend("write `units = \"mm\"` or `units = \"inch\"`"),
        );
    }
    unit == "inch"
}

/// The name of a profile that nobody named.
pub const UNNAMED: &str = "my-printer";

/// Text that goes into the profile and keeps its rule there; `None` where it is left out.
fn named(reader: &mut Reader, root: &Field, key: &str, rule: &TextRule) -> Option<String> {
    let (text, at) = reader
        .text(root, key)
        .filter(|(text, _)| !text.is_empty())?;
    if let Err(fault) = (rule.check)(key, &text) {
        reader
            .problems
            .push(Diagnostic::error(fault.message, at).mend(fault.mend));
    }
    Some(text)
}

/// `2026-11-20`, or empty.
fn date(reader: &mut Reader, root: &Field) -> String {
    let Some((date, at)) = reader.text_or_date(root, "date") else {
        return String::new();
    };
    if !date.is_empty() && !is_date(&date) {
        reader.problems.push(
            Diagnostic::error(format!("`{date}` is not a date"), at)
                .mend("write year, month and day: `date = \"2026-11-20\"`"),
        );
    }
    date
}

/// Whether text is a calendar date in ISO 8601's extended form.
pub fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts[..] else {
        return false;
    };
    let digits = |part: &str, count: usize| {
        part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    let between = |part: &str, most: u32| (1..=most).contains(&part.parse().unwrap_or(0));
    digits(year, 4) && digits(month, 2) && digits(day, 2) && between(month, 12) && between(day, 31)
}

/// Limits of what pieces are printed with: layer and line in mm, walls, bed in mm; those of a
/// profile.
const MADE: [[f64; 2]; 4] = [[0.04, 0.6], [0.1, 2.0], [1.0, 100.0], [50.0, 2000.0]];

fn made(reader: &mut Reader, root: &Field) -> MadeWith {
    let example = "made = { layer = 0.15, line = 0.45, walls = 4, bed = [220, 220, 250], \
                   material = \"PLA\" }";
    let keys = ["layer", "line", "walls", "bed", "material"];
    let Some(made) = reader.table(root, "made", &keys) else {
        reader.missing(root, "made", example);
        return MadeWith {
            layer: Length::mm(0.15),
            line: Length::mm(0.45),
            walls: 4,
            bed: [Length::mm(220.0); 3],
            material: Material::Pla,
        };
    };
    let layer = reader.number_in(&made, "layer", MADE[0]).unwrap_or(0.15);
    let line = reader.number_in(&made, "line", MADE[1]).unwrap_or(0.45);
    let walls = reader.number_in(&made, "walls", MADE[2]).unwrap_or(4.0);
    let told = reader.problems.len();
    let bed = reader.numbers_in(&made, "bed", MADE[3]);
    let told = reader.problems.len() > told;
    let at = made.at.clone();
    let bed: [f64; 3] = bed.try_into().unwrap_or_else(|_| {
        if !told {
            reader.problems.push(
                Diagnostic::error("`bed` needs three sizes", at)
                    .mend("write `bed = [220, 220, 250]`"),
            );
        }
        [220.0; 3]
    });
    let material = match reader.text(&made, "material") {
        None => {
            reader.missing(&made, "material", "material = \"PLA\"");
            Material::Pla
        }
        Some((word, at)) => match word.to_uppercase().as_str() {
            "PLA" => Material::Pla,
            "PETG" => Material::Petg,
            "ABS" => Material::Abs,
            "ASA" => Material::Asa,
            _ => {
                reader.problems.push(
                    Diagnostic::error(format!("`{word}` is not a filament that is known"), at)
                        .mend("write PLA, PETG, ABS or ASA"),
                );
                Material::Pla
            }
        },
    };
    MadeWith {
        layer: Length::mm(layer),
        line: Length::mm(line),
        walls: walls as u32,
        bed: bed.map(Length::mm),
        material,
    }
}

fn row(
    reader: &mut Reader,
    field: &Field,
    inches: bool,
    names: &mut Vec<String>,
) -> Option<MeasuredRow> {
    let (name, at) = name(reader, field, names, "name = \"outer-x-62\"")?;
    let Some(kind) = SizeKind::of_name(&name) else {
        reader.problems.push(
            Diagnostic::error(format!("`{name}` is not a row that can be measured"), at).mend(
                "rows are called outer-x-, outer-y-, slot-x-, slot-y-, boss-, hole- or height- \
                 and a size, as in `outer-x-62`",
            ),
        );
        return None;
    };
    let drawn = reader.number_in(field, "drawn", SIZES)?;
    let feature = CaliperSize {
        kind,
        drawn: Length::mm(drawn),
    };
    let mut measured = Vec::new();
    for value in reader.readings(field, "measured") {
        measured.push(value.map(|(value, at)| {
            let (read, unit) = (value, if inches { MM_PER_INCH } else { 1.0 });
            let value = read * unit;
            if let Some(problem) = disbelief(&name, drawn, (read, value), inches, at) {
                reader.problems.push(problem);
            }
            Length::mm(value)
        }));
    }
    too_many(reader, measured.len(), field);
    Some(MeasuredRow {
        name,
        feature,
        measured,
        at: field.at.clone(),
    })
}

fn too_many(reader: &mut Reader, prints: usize, field: &Field) {
    if prints > MOST_PRINTS {
        let message = format!("{prints} prints in one row, at most {MOST_PRINTS}");
        reader
            .problems
            .push(Diagnostic::error(message, field.at.clone()).mend("leave some prints out"));
    }
}

/// Why a reading, as it was read and in mm, cannot be one of a size.
fn disbelief(
    name: &str,
    drawn: f64,
    (read, value): (f64, f64),
    inches: bool,
    at: Range<usize>,
) -> Option<Diagnostic> {
    if (value - drawn).abs() <= BELIEF.0 + BELIEF.1 * drawn {
        return None;
    }
    let near = |size: f64| (value - size).abs() <= SAME_SIZE * size;
    let unit = if near(drawn / MM_PER_INCH) {
        Some(("inches, and the form says millimetres", "inch"))
    } else if inches && near(drawn * MM_PER_INCH) {
        Some(("millimetres, and the form says inches", "mm"))
    } else {
        None
    };
    let problem = match unit {
        Some((words, unit)) => Diagnostic::error(
            format!("{read} for `{name}`, drawn {drawn} mm, looks like a reading in {words}"),
            at,
        )
        .mend(format!(
            "set the caliper to the other unit, or write `units = \"{unit}\"` for all rows"
        )),
        None => Diagnostic::error(
            format!("{read} for `{name}`, drawn {drawn} mm, is beyond belief"),
            at,
        )
        .label(format!(
            "within {:.2} mm of the drawn size",
            BELIEF.0 + BELIEF.1 * drawn
        ))
        .mend("measure again; check the row's name, and that the print was not scaled"),
    };
    Some(problem)
}

/// The name of a row or ladder, which no other may have.
fn name(
    reader: &mut Reader,
    field: &Field,
    names: &mut Vec<String>,
    example: &str,
) -> Option<(String, Range<usize>)> {
    let Some((name, at)) = reader.text(field, "name") else {
        reader.missing(field, "name", example);
        return None;
    };
    if names.contains(&name) {
        reader.problems.push(
            Diagnostic::error(format!("`{name}` is there twice"), at.clone())
                .mend("write several prints into one row: `measured = [62.07, 62.03]`"),
        );
    }
    names.push(name.clone());
    Some((name, at))
}

/// Gaps that are drawn, in mm.
const GAPS: [f64; 2] = [-1.0, 3.0];

fn ladder(reader: &mut Reader, field: &Field, names: &mut Vec<String>) -> Option<TriedLadder> {
    let (name, _) = name(reader, field, names, "name = \"drive/frame\"")?;
    let kind = match reader.text(field, "kind") {
        None => {
            reader.missing(field, "kind", "kind = \"thread\"");
            None
        }
        Some((word, at)) => LadderKind::of_word(&word).or_else(|| {
            let message = format!("`{word}` is not a kind of ladder");
            let kinds = LadderKind::words().join(", ");
            reader
                .problems
                .push(Diagnostic::error(message, at).mend(format!("write one of {kinds}")));
            None
        }),
    };
    let wanted = reader.number_in(field, "wanted", GAPS)?;
    let radius = reader.number_in(field, "radius", [0.0, SIZES[1]])?;
    let gaps = reader.numbers_in(field, "gaps", GAPS);
    let climbs = gaps.windows(2).all(|pair| pair[1] > pair[0]);
    if gaps.len() < 2 || !climbs {
        reader.problems.push(
            Diagnostic::error(
                format!("the gaps of `{name}` are not two or more, rising"),
                field.at.clone(),
            )
            .mend("copy them from the form that `netlead coupon` wrote"),
        );
        return None;
    }
    let step = (gaps[gaps.len() - 1] - gaps[0]) / (gaps.len() - 1) as f64;
    let mut grooves = Vec::new();
    for value in reader.readings(field, "best") {
        grooves.push(value.and_then(|(value, at)| {
            let fits = value.fract() == 0.0 && value >= 1.0 && value <= gaps.len() as f64;
            if !fits {
                let message = format!("ladder `{name}` has no step of {value} grooves");
                reader.problems.push(
                    Diagnostic::error(message, at).mend(format!("write 1 to {}", gaps.len())),
                );
            }
            fits.then_some(value as usize)
        }));
    }
    too_many(reader, grooves.len(), field);
    let kind = kind?;
    let trial = |count: usize| BestStep {
        kind,
        wanted: Length::mm(wanted),
        drawn: Length::mm(gaps[count - 1]),
        step: Length::mm(step),
        radius: Length::mm(radius),
        end: End::of(count, gaps.len()),
    };
    Some(TriedLadder {
        name,
        best: grooves.iter().map(|count| count.map(trial)).collect(),
        steps: gaps.len(),
        grooves,
        at: field.at.clone(),
    })
}
