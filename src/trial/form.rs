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
use super::number::{LENGTH_EXAMPLES, TURNS_EXAMPLES, length, number};
use crate::diagnostic::{Diagnostic, Severity, file_order};
use crate::units::Length;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

type Value<'a> = Spanned<DeValue<'a>>;

/// The keys of a form.
const KEYS: [&str; 6] = [
    "reading",
    "resolution",
    "repeatability",
    "unit",
    "rows",
    "note",
];
/// Most rows: no maker writes more by hand, and the fit tries every count. Guess.
pub const MOST_ROWS: usize = 500;
/// Coarsest instrument: a rule of whole centimetres. Guess.
const COARSEST: Length = Length::mm(10.0);
/// Finest: a tenth of a micrometre. Guess.
const FINEST: Length = Length::mm(1e-4);
/// Longest form in bytes: [`MOST_ROWS`] rows with long comments. Guess.
const LONGEST_FORM: usize = 256 << 10;

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
    if text.len() > LONGEST_FORM {
        let message = format!(
            "the form has {} bytes, {LONGEST_FORM} are the most",
            text.len()
        );
        return Err(vec![
            Diagnostic::error(message, 0..0).mend("name the file with the measured rows"),
        ]);
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut reader = Reader {
        text,
        unit: Unit::Mm,
        problems: errors.iter().map(|error| syntax(text, error)).collect(),
    };
    let measured = reader.form(table.get_ref());
    reader.finish(measured)
}

/// Reads rows of arguments, `TURNS READING [forward|back]` each. Their text for messages is
/// one row on a line, as [`arguments_text`] gives it.
///
/// # Errors
/// Every problem, with its place in that text.
pub fn read_arguments(rows: &[String], settings: Settings) -> Result<Measured, Vec<Diagnostic>> {
    let text = arguments_text(rows);
    let mut reader = Reader {
        text: &text,
        unit: settings.unit,
        problems: Vec::new(),
    };
    reader.sound_instrument(&settings.instrument, 0..0);
    let mut start = 0;
    let mut read = Vec::new();
    for line in text.lines() {
        let at = start..start + line.len();
        start += line.len() + 1;
        read.push(reader.argument(line, at));
    }
    let rows = reader.rows(read, 0..0);
    let measured = rows.map(|rows| Measured {
        reading: settings.reading,
        reading_at: 0..0,
        unit: settings.unit,
        instrument: settings.instrument,
        rows,
    });
    reader.finish(measured)
}

/// Rows of arguments as one text.
pub fn arguments_text(rows: &[String]) -> String {
    let line = |row: &String| row.replace(['\n', '\r'], " ");
    rows.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn syntax(text: &str, error: &toml::de::Error) -> Diagnostic {
    let at = error.span().unwrap_or(0..0);
    let problem = Diagnostic::error(error.message(), at.clone());
    let line = text
        .get(..at.start)
        .map_or(0, |before| before.matches('\n').count());
    let words = text.lines().nth(line).unwrap_or_default();
    if words.trim_start().starts_with('[') || words.contains(',') {
        problem.mend("write a row as `[2, 39.7],` and text in quotes: `[\"1/4\", \"41 mm\"],`")
    } else {
        problem.mend("write a key as `resolution = 0.05` and text in quotes")
    }
}

/// A row before it is known whether it has a direction of its own.
struct Loose {
    turns: f64,
    reading: Length,
    direction: Option<Direction>,
    at: Range<usize>,
}

struct Reader<'a> {
    text: &'a str,
    unit: Unit,
    problems: Vec<Diagnostic>,
}

impl Reader<'_> {
    fn finish(mut self, measured: Option<Measured>) -> Result<Measured, Vec<Diagnostic>> {
        self.problems.sort_by_key(file_order);
        let rejected = self.problems.iter().any(|p| p.severity == Severity::Error);
        match measured {
            Some(measured) if !rejected => Ok(measured),
            _ => Err(self.problems),
        }
    }

    fn form(&mut self, table: &DeTable<'_>) -> Option<Measured> {
        for (key, _) in table.iter() {
            if !KEYS.contains(&key.get_ref().as_ref()) {
                let message = format!("unknown key `{}`", key.get_ref());
                self.problems.push(
                    Diagnostic::error(message, key.span())
                        .label("not a key")
                        .mend(format!("the keys are {}", KEYS.join(", "))),
                );
            }
        }
        self.unit = self.unit(table);
        let reading = self.reading(table);
        let resolution = self.size(table, "resolution", true);
        let repeatability = self.size(table, "repeatability", false);
        let rows = self.listed(table);
        let (reading, reading_at) = reading?;
        let instrument = Instrument {
            resolution: resolution?,
            repeatability: repeatability.unwrap_or(Length::ZERO),
        };
        let at = table.get("resolution").map_or(0..0, Spanned::span);
        self.sound_instrument(&instrument, at);
        Some(Measured {
            reading,
            reading_at,
            unit: self.unit,
            instrument,
            rows: rows?,
        })
    }

    fn missing(&mut self, key: &str, meaning: &str, line: &str) {
        let end = self.text.trim_end().len();
        self.problems.push(
            Diagnostic::error(format!("`{key}` is missing: {meaning}"), end..end)
                .mend(format!("add a line such as `{line}`")),
        );
    }

    fn unit(&mut self, table: &DeTable<'_>) -> Unit {
        let Some(value) = table.get("unit") else {
            return Unit::Mm;
        };
        match value.get_ref().as_str() {
            Some("mm") => Unit::Mm,
            Some("in" | "inch") => Unit::Inch,
            _ => {
                self.problems.push(
                    Diagnostic::error("`unit` is mm or in", value.span())
                        .mend("write `unit = \"mm\"` or `unit = \"in\"`"),
                );
                Unit::Mm
            }
        }
    }

    fn reading(&mut self, table: &DeTable<'_>) -> Option<(Reading, Range<usize>)> {
        let meaning = "what the instrument reads, travel of the carriage or a depth from the \
                       keeper";
        let Some(value) = table.get("reading") else {
            self.missing("reading", meaning, "reading = \"depth\"");
            return None;
        };
        match value.get_ref().as_str() {
            Some("travel") => Some((Reading::Travel, value.span())),
            Some("depth") => Some((Reading::Depth, value.span())),
            _ => {
                self.problems.push(
                    Diagnostic::error(format!("`reading` says {meaning}"), value.span()).mend(
                        "write `reading = \"travel\"` if it rises as the carriage advances, \
                         `reading = \"depth\"` if it falls",
                    ),
                );
                None
            }
        }
    }

    /// The length of a key.
    fn size(&mut self, table: &DeTable<'_>, key: &str, needed: bool) -> Option<Length> {
        match table.get(key) {
            Some(value) => self.length(value, &format!("`{key}`")),
            None => {
                if needed {
                    let meaning = "the smallest step that the instrument shows";
                    self.missing(key, meaning, &format!("{key} = 0.05"));
                }
                None
            }
        }
    }

    fn sound_instrument(&mut self, instrument: &Instrument, at: Range<usize>) {
        let sizes = [
            ("resolution", instrument.resolution, FINEST),
            ("repeatability", instrument.repeatability, Length::ZERO),
        ];
        for (name, size, least) in sizes {
            if size < least || size > COARSEST {
                let message = format!(
                    "{name} of {} mm is beyond belief; {} to {} mm are not",
                    size.as_mm(),
                    least.as_mm(),
                    COARSEST.as_mm()
                );
                self.problems.push(
                    Diagnostic::error(message, at.clone()).mend(
                        "a caliper shows 0.01, 0.02 or 0.05 mm, a rule 0.5 or 1 mm: give that",
                    ),
                );
            }
        }
    }

    fn listed(&mut self, table: &DeTable<'_>) -> Option<Vec<Row>> {
        let Some(list) = table.get("rows") else {
            if self.problems.iter().all(|p| p.severity != Severity::Error)
                || !self.text.contains("rows")
            {
                self.missing(
                    "rows",
                    "turns and reading of each row",
                    "rows = [[0, 41.2], [10, 33.7]]",
                );
            }
            return None;
        };
        let DeValue::Array(items) = list.get_ref() else {
            self.problems.push(
                Diagnostic::error("`rows` is a list of rows", list.span())
                    .mend("write `rows = [[0, 41.2], [10, 33.7]]`"),
            );
            return None;
        };
        let read = items.iter().map(|item| self.row(item)).collect();
        self.rows(read, list.span())
    }

    fn row(&mut self, item: &Value<'_>) -> Option<Loose> {
        let mend = "write `[TURNS, READING]` or `[TURNS, READING, \"back\"]`";
        let fields = match item.get_ref() {
            DeValue::Array(fields) if (2..=3).contains(&fields.len()) => fields,
            DeValue::Array(fields) => {
                let message = format!(
                    "a row has turns and a reading, this one has {} fields",
                    fields.len()
                );
                self.problems
                    .push(Diagnostic::error(message, item.span()).mend(mend));
                return None;
            }
            _ => {
                let problem = Diagnostic::error("this is not a row", item.span()).mend(mend);
                self.problems.push(problem);
                return None;
            }
        };
        let fields: Vec<&Value<'_>> = fields.iter().collect();
        let (turns, reading) = (self.turns(fields[0]), self.length(fields[1], "the reading"));
        let direction = match fields.get(2) {
            None => None,
            Some(value) => match value.get_ref().as_str().and_then(direction) {
                Some(direction) => Some(direction),
                None => {
                    self.problems.push(bad_direction(value.span()));
                    return None;
                }
            },
        };
        Some(Loose {
            turns: turns?,
            reading: reading?,
            direction,
            at: item.span(),
        })
    }

    fn turns(&mut self, value: &Value<'_>) -> Option<f64> {
        let read = match value.get_ref() {
            DeValue::String(text) => number(text),
            other => plain(other),
        };
        if read.is_none() {
            self.problems.push(
                Diagnostic::error("turns are a number", value.span())
                    .label("not a number of turns")
                    .mend(format!("write turns such as {TURNS_EXAMPLES}")),
            );
        }
        read
    }

    fn length(&mut self, value: &Value<'_>, what: &str) -> Option<Length> {
        let read = match value.get_ref() {
            DeValue::String(text) => length(text, self.unit),
            other => plain(other).map(|value| self.unit.of(value)),
        };
        if read.is_none() {
            self.problems.push(
                Diagnostic::error(format!("{what} is a length"), value.span())
                    .label("not a length")
                    .mend(format!("write a length such as {LENGTH_EXAMPLES}")),
            );
        }
        read
    }

    fn argument(&mut self, line: &str, at: Range<usize>) -> Option<Loose> {
        let mut words: Vec<&str> = line.split_whitespace().collect();
        let last = words.last().copied().unwrap_or_default();
        let way = direction(last);
        if way.is_some() {
            words.pop();
        }
        let mend = "write `--row \"TURNS READING\"` or `--row \"TURNS READING back\"`";
        if words.len() < 2 {
            let message = "a row has turns and a reading";
            self.problems
                .push(Diagnostic::error(message, at).mend(mend));
            return None;
        }
        let turns = number(words[0]);
        let reading = length(&words[1..].join(" "), self.unit);
        if turns.is_none() {
            let message = format!("`{}` is not a number of turns", words[0]);
            let problem = Diagnostic::error(message, at.clone());
            self.problems
                .push(problem.mend("write turns such as `3`, `0.25` or `9/4`"));
        }
        if reading.is_none() {
            let message = format!("`{}` is not a length", words[1..].join(" "));
            let problem = Diagnostic::error(message, at.clone());
            self.problems.push(
                problem
                    .mend("write a reading such as `41.2` or `1.622in`, then `forward` or `back`"),
            );
        }
        Some(Loose {
            turns: turns?,
            reading: reading?,
            direction: way,
            at,
        })
    }

    /// Rows with their directions; where a row says none, the way from the row before.
    fn rows(&mut self, read: Vec<Option<Loose>>, at: Range<usize>) -> Option<Vec<Row>> {
        let count = read.len();
        if !(2..=MOST_ROWS).contains(&count) {
            let message = format!("{count} rows; a trial has 2 to {MOST_ROWS}");
            self.problems.push(Diagnostic::error(message, at).mend(
                "measure at turn 0 and at the far end at least; five rows or more say how sure \
                 it is",
            ));
            return None;
        }
        let mut rows: Vec<Row> = Vec::new();
        for loose in read {
            let loose = loose?;
            let before = rows.last();
            let direction = loose.direction.unwrap_or(match before {
                Some(row) if loose.turns < row.turns => Direction::Back,
                Some(row) if loose.turns > row.turns => Direction::Forward,
                Some(row) => row.direction,
                None => Direction::Forward,
            });
            rows.push(Row {
                turns: loose.turns,
                reading: loose.reading,
                direction,
                at: loose.at,
            });
        }
        Some(rows)
    }
}

fn direction(word: &str) -> Option<Direction> {
    [Direction::Forward, Direction::Back]
        .into_iter()
        .find(|direction| direction.word() == word)
}

fn bad_direction(at: Range<usize>) -> Diagnostic {
    Diagnostic::error("a row was reached forward or back", at).mend(
        "write `\"forward\"` if the last turn was the way that carries out the stroke, else \
         `\"back\"`",
    )
}

/// A number of TOML that is finite.
fn plain(value: &DeValue<'_>) -> Option<f64> {
    let text = match value {
        DeValue::Integer(number) => number.as_str(),
        DeValue::Float(number) => number.as_str(),
        _ => return None,
    };
    text.replace('_', "")
        .parse()
        .ok()
        .filter(|value: &f64| value.is_finite())
}
