//! From the text of a form, or from arguments, to [`Measured`] rows, or to every problem.
//!
//! ```toml
//! reading    = "depth"      # or "travel"
//! resolution = 0.05
//! unit       = "mm"         # of bare numbers; or "in"
//! repeatability = 0.02      # optional
//! rows = [
//!     [0, 41.20],           # turns, reading, and if need be "forward" or "back"
//!     ["1/4", "41.0 mm", "back"],
//! ]
//! ```

use super::measured::{Direction, Instrument, Measured, Reading, Row, Unit};
use super::number::{TURNS_EXAMPLES, number};
use crate::declared::Absent::{Default, Missing};
use crate::declared::schema::Kind;
use crate::declared::{
    self, Between, Context, Form, Quantity, REMARK, Raw, Reader, Units, Value, Words, keys, mm,
    parse,
};
use crate::diagnostic::{Diagnostic, file_order};
use crate::units::Length;
use serde_json::json;
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// Most rows: no maker writes more by hand, and the fit tries every count. Guess.
pub const MOST_ROWS: usize = 500;
/// From a tenth of a micrometre to a rule of whole centimetres. Guess.
const STEPS: Between<Length> = mm(1e-4, 10.0);
/// From nothing to the same. Guess.
const REPEATS: Between<Length> = mm(0.0, 10.0);
/// Far beyond any bench; what is beyond belief is told with the other rows in view. Guess.
const READINGS: Between<Length> = mm(-1e9, 1e9);

/// Bytes of a file of measured rows at the most. [`MOST_ROWS`] rows with long comments stay well below it.
pub const LONGEST: usize = 256 << 10;

/// The file of measured rows.
const FORM: Form = Form {
    likely: &[],
    what: "file of measured rows",
    holds: "the measured rows",
    longest: LONGEST,
    keys: ALL,
    repeated: &[],
    named: &[],
};

keys! {
    READING: Reading = "reading", "what the instrument reads, travel of the carriage, or the \
        depth from the keeper to it, which falls", (), Missing("\"depth\"");
    RESOLUTION: Length = "resolution", "smallest step that the instrument shows", STEPS,
        Missing("0.05");
    REPEATABILITY: Length = "repeatability",
        "standard deviation of readings of one and the same thing", REPEATS, Default("0");
    UNIT: Unit = "unit", "unit of bare numbers", (), Default("\"mm\"");
    NOTE: String = "note", "what was measured, in your words", REMARK, Default("\"\"");
    ROWS: RowList = "rows", "turns and reading of each row, in the order in which they were read",
        (), Missing("[[0, 41.2], [10, 33.7]]");
}

impl Words for Reading {
    const NOUN: &'static str = "reading";
    const KNOWN: &'static [(&'static str, Self)] =
        &[("travel", Self::Travel), ("depth", Self::Depth)];
}

impl Words for Unit {
    const NOUN: &'static str = "unit of bare numbers";
    const KNOWN: &'static [(&'static str, Self)] =
        &[("mm", Self::Mm), ("in", Self::Inch), ("inch", Self::Inch)];
}

impl From<Unit> for Units {
    fn from(unit: Unit) -> Self {
        match unit {
            Unit::Mm => Self::Mm,
            Unit::Inch => Self::Inch,
        }
    }
}

/// What the arguments say beside their rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// What the instrument reads.
    pub reading: Reading,
    /// How well.
    pub instrument: Instrument,
    /// Unit of bare numbers.
    pub unit: Unit,
}

/// Reads a form.
///
/// # Errors
/// Every problem, with its place in `text`.
pub fn read(text: &str) -> Result<Measured, Vec<Diagnostic>> {
    declared::read(&FORM, text, form).map(|(measured, _)| measured)
}

fn form(reader: &mut Reader<'_>) -> Option<Measured> {
    let unit = reader.take(&UNIT);
    if let Some(unit) = &unit {
        reader.context.units = unit.value.into();
    }
    let reading = reader.take(&READING);
    let resolution = reader.take(&RESOLUTION);
    let repeatability = reader.take(&REPEATABILITY);
    reader.take(&NOTE);
    let list = reader.take(&ROWS)?;
    let rows = gathered(list.value.0, list.at.unwrap_or(0..0), &mut reader.problems);
    let reading = reading?;
    Some(Measured {
        reading: reading.value,
        reading_at: reading.at.unwrap_or(0..0),
        unit: unit?.value,
        instrument: Instrument {
            resolution: resolution?.value,
            repeatability: repeatability?.value,
        },
        rows: rows?,
    })
}

/// Reads rows of arguments, `TURNS READING [forward|back]` each. Their text for messages is
/// one row on a line, as [`arguments_text`] gives it.
///
/// # Errors
/// Every problem, with its place in that text.
pub fn read_arguments(rows: &[String], settings: Settings) -> Result<Measured, Vec<Diagnostic>> {
    let text = arguments_text(rows);
    let mut problems = Vec::new();
    let step = settings.instrument.resolution;
    if !(step >= STEPS.least && step <= STEPS.most) {
        let message = format!("a resolution of {} mm is beyond belief", step.as_mm());
        problems.push(Diagnostic::error(message, 0..0).mend(format!(
            "give the smallest step that the instrument shows, {} to {} mm: `--resolution 0.05`",
            STEPS.least.as_mm(),
            STEPS.most.as_mm()
        )));
    }
    let repeat = settings.instrument.repeatability;
    if !(repeat >= REPEATS.least && repeat <= REPEATS.most) {
        let message = format!("a repeatability of {} mm is beyond belief", repeat.as_mm());
        problems.push(Diagnostic::error(message, 0..0).mend(format!(
            "give how much readings of one place differ, {} to {} mm: `--repeatability 0.02`",
            REPEATS.least.as_mm(),
            REPEATS.most.as_mm()
        )));
    }
    let mut start = 0;
    let mut read = Vec::new();
    for line in text.split('\n') {
        let at = start..start + line.len();
        start += line.len() + 1;
        read.push(argument(line, at, settings.unit.into()));
    }
    let rows = gathered(read, 0..0, &mut problems);
    problems.sort_by_key(file_order);
    match rows {
        Some(rows) if problems.is_empty() => Ok(Measured {
            reading: settings.reading,
            reading_at: 0..0,
            unit: settings.unit,
            instrument: settings.instrument,
            rows,
        }),
        _ => Err(problems),
    }
}

/// Rows of arguments as one text.
pub fn arguments_text(rows: &[String]) -> String {
    let line = |row: &String| row.replace(['\n', '\r'], " ");
    rows.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// A row before it is known whether it has a direction of its own.
pub(super) struct Loose {
    turns: f64,
    reading: Length,
    direction: Option<Direction>,
    at: Range<usize>,
}

/// A row, or all that is wrong with it.
pub(super) type Read = Result<Loose, Vec<Diagnostic>>;

/// The value of `rows`; a bad row does not hide the others.
pub(super) struct RowList(Vec<Read>);

/// How a row is written.
const ROW_MEND: &str = "write `[TURNS, READING]` or `[TURNS, READING, \"back\"]`";

impl Value for RowList {
    type Limits = ();

    fn read(raw: Raw<'_>, (): &(), context: Context) -> Result<Self, Diagnostic> {
        let DeValue::Array(items) = raw.value.get_ref() else {
            return Err(raw.wrong_type("list of rows", "write `rows = [[0, 41.2], [10, 33.7]]`"));
        };
        let row = |item| row(item, raw.text, context);
        Ok(Self(items.iter().map(row).collect()))
    }
    fn kind((): &()) -> String {
        "list of rows".into()
    }
    fn range((): &()) -> Option<String> {
        Some(format!("2 to {MOST_ROWS} rows"))
    }
    fn schema((): &()) -> Kind {
        let row = json!({ "type": "array", "minItems": 2, "maxItems": 3 });
        Kind::plain(json!({ "type": "array", "items": row }))
    }
}

fn row(item: &Spanned<DeValue<'_>>, text: &str, context: Context) -> Read {
    let fields: Vec<&Spanned<DeValue<'_>>> = match item.get_ref() {
        DeValue::Array(fields) => fields.iter().collect(),
        _ => Vec::new(),
    };
    let (turns, reading, way) = match fields[..] {
        [turns, reading] => (turns, reading, None),
        [turns, reading, way] => (turns, reading, Some(way)),
        _ => {
            let message = "a row has turns and a reading, and a way if need be";
            return Err(vec![Diagnostic::error(message, item.span()).mend(ROW_MEND)]);
        }
    };
    let raw = |path, value| Raw { path, value, text };
    let turns = turns_of(&raw("row.turns", turns));
    let reading = Length::read(raw("row.reading", reading), &READINGS, context);
    let way = way.map(|way| Direction::read(raw("row.way", way), &(), context));
    match (turns, reading, way.transpose()) {
        (Ok(turns), Ok(reading), Ok(direction)) => Ok(Loose {
            turns,
            reading,
            direction,
            at: item.span(),
        }),
        (turns, reading, way) => {
            let all = [turns.err(), reading.err(), way.err()];
            Err(all.into_iter().flatten().collect())
        }
    }
}

impl Words for Direction {
    const NOUN: &'static str = "way of the last turn";
    const KNOWN: &'static [(&'static str, Self)] =
        &[("forward", Self::Forward), ("back", Self::Back)];
}

fn turns_of(raw: &Raw<'_>) -> Result<f64, Diagnostic> {
    let written = match raw.value.get_ref() {
        DeValue::Integer(number) => number.as_str().parse().ok(),
        DeValue::Float(number) => number.as_str().parse().ok(),
        DeValue::String(text) => number(text),
        _ => None,
    };
    written
        .filter(|turns: &f64| turns.is_finite())
        .ok_or_else(|| {
            Diagnostic::error("turns are a number", raw.at())
                .label("not a number of turns")
                .mend(format!("write turns such as {TURNS_EXAMPLES}"))
        })
}

fn argument(line: &str, at: Range<usize>, units: Units) -> Read {
    let mut words: Vec<&str> = line.split_whitespace().collect();
    let known = words.last().and_then(|last| {
        let mut known = Direction::KNOWN.iter();
        known.find(|(word, _)| word == last)
    });
    if known.is_some() {
        words.pop();
    }
    let [turns, reading @ ..] = &words[..] else {
        return Err(vec![bare_row(at)]);
    };
    if reading.is_empty() {
        return Err(vec![bare_row(at)]);
    }
    let written = reading.join(" ");
    let turned = number(turns).ok_or_else(|| {
        let message = format!("`{turns}` is no number of turns");
        Diagnostic::error(message, at.clone())
            .mend("write turns such as `3`, `0.25`, `1/4` or `9/4` first: `--row \"9/4 38.2\"`")
    });
    let read = parse::<Length>(&written, units).map_err(|fault| {
        let message = format!("the reading `{written}`: {}", fault.message);
        Diagnostic::error(message, at.clone()).mend(
            "write turns, reading and, if need be, the way: `--row \"4 38.2\"`, \
             `--row \"4 38.2mm back\"` or `--row \"4 1 5/16 in\"`",
        )
    });
    match (turned, read) {
        (Ok(turns), Ok(reading)) if reading.value.value().is_finite() => Ok(Loose {
            turns,
            reading: reading.value,
            direction: known.map(|(_, direction)| *direction),
            at,
        }),
        (Ok(_), Ok(_)) => Err(vec![bare_row(at)]),
        (turned, read) => Err([turned.err(), read.err()].into_iter().flatten().collect()),
    }
}

fn bare_row(at: Range<usize>) -> Diagnostic {
    Diagnostic::error("a row has turns and a reading", at)
        .mend("write `--row \"TURNS READING\"` or `--row \"TURNS READING back\"`")
}

/// Rows with their directions; where a row says none, the way from the row before.
fn gathered(read: Vec<Read>, at: Range<usize>, problems: &mut Vec<Diagnostic>) -> Option<Vec<Row>> {
    let count = read.len();
    if !(2..=MOST_ROWS).contains(&count) {
        let message = format!("{count} rows; a trial has 2 to {MOST_ROWS}");
        problems.push(Diagnostic::error(message, at).mend(
            "measure at turn 0 and at the far end at least; five rows or more say how sure it is",
        ));
    }
    let mut rows: Vec<Row> = Vec::new();
    let mut whole = (2..=MOST_ROWS).contains(&count);
    for loose in read {
        match loose {
            Ok(loose) => {
                let direction = loose
                    .direction
                    .unwrap_or_else(|| way(rows.last(), loose.turns));
                rows.push(Row {
                    turns: loose.turns,
                    reading: loose.reading,
                    direction,
                    at: loose.at,
                });
            }
            Err(mut wrong) => {
                whole = false;
                problems.append(&mut wrong);
            }
        }
    }
    whole.then_some(rows)
}

/// The way from the row before.
fn way(before: Option<&Row>, turns: f64) -> Direction {
    match before {
        Some(row) if turns < row.turns => Direction::Back,
        Some(row) if turns > row.turns => Direction::Forward,
        Some(row) => row.direction,
        None => Direction::Forward,
    }
}
