//! Values of a TOML text by key, with their places, and what is wrong with them.
//!
//! The one place of this room that touches the TOML parser.

use crate::declared::{faults, readable};
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What people call a number.
const NUMBER: &str = "a number";

/// A value that owns what it holds.
#[derive(Clone, Debug)]
enum Value {
    Text(String),
    Date(String),
    Number(f64),
    List(Vec<(Value, Range<usize>)>),
    Table(Vec<(String, Range<usize>, Value, Range<usize>)>),
    Other(&'static str),
}

/// A table and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Field {
    /// Bytes to blame for what is missing in it.
    pub(super) at: Range<usize>,
    entries: Vec<(String, Range<usize>, Value, Range<usize>)>,
}

/// Reads keys and collects problems.
pub(super) struct Reader {
    pub(super) problems: Vec<Diagnostic>,
    /// Whether some lines were not understood: what they said is then missing everywhere.
    broken: bool,
    root: Field,
}

impl Value {
    fn of(value: &DeValue<'_>) -> Self {
        match value {
            DeValue::String(text) => Self::Text(text.to_string()),
            DeValue::Integer(integer) => {
                let number = i64::from_str_radix(integer.as_str(), integer.radix());
                number.map_or(Self::Other("too large a number"), |n| {
                    Self::Number(n as f64)
                })
            }
            DeValue::Float(float) => float
                .as_str()
                .parse()
                .ok()
                .filter(|number: &f64| number.is_finite())
                .map_or(Self::Other("no finite number"), Self::Number),
            DeValue::Datetime(date) => Self::Date(date.to_string()),
            DeValue::Boolean(_) => Self::Other("true or false"),
            DeValue::Array(items) => Self::List(items.iter().map(spanned).collect()),
            DeValue::Table(table) => Self::Table(entries(table)),
        }
    }

    fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) => "text",
            Self::Date(_) => "a date",
            Self::Number(_) => "a number",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
            Self::Other(what) => what,
        }
    }
}

fn spanned(value: &Spanned<DeValue<'_>>) -> (Value, Range<usize>) {
    (Value::of(value.get_ref()), value.span())
}

fn entries(table: &DeTable<'_>) -> Vec<(String, Range<usize>, Value, Range<usize>)> {
    let entry = |(key, value): (&Spanned<toml::de::DeString<'_>>, &Spanned<DeValue<'_>>)| {
        let (inside, at) = spanned(value);
        (key.get_ref().to_string(), key.span(), inside, at)
    };
    let mut entries: Vec<_> = table.iter().map(entry).collect();
    entries.sort_by_key(|(_, at, _, _)| at.start);
    entries
}

impl Reader {
    /// Parses a text; what is wrong with its syntax is among the problems.
    pub(super) fn new(text: &str) -> Self {
        let (readable, errors) = readable(text);
        let (table, _) = DeTable::parse_recoverable(&readable);
        let problems = faults(text, &errors).problems;
        let broken = !problems.is_empty();
        Self {
            problems,
            broken,
            root: Field {
                at: 0..0,
                entries: entries(table.get_ref()),
            },
        }
    }

    /// The whole file; keys that are not `known` are problems.
    pub(super) fn root(&mut self, known: &[&str]) -> Field {
        let root = self.root.clone();
        self.unknown(&root, known);
        root
    }

    fn unknown(&mut self, field: &Field, known: &[&str]) {
        for (key, at, _, _) in &field.entries {
            if !known.contains(&key.as_str()) {
                let message = format!("`{key}` is not a key here");
                let mend = format!("keys are {}", known.join(", "));
                self.problems
                    .push(Diagnostic::error(message, at.clone()).mend(mend));
            }
        }
    }

    /// Says that a key is missing, unless a problem of syntax may have hidden it.
    pub(super) fn missing(&mut self, field: &Field, key: &str, example: &str) {
        if self.broken {
            return;
        }
        self.problems.push(
            Diagnostic::error(format!("`{key}` is missing"), field.at.clone())
                .mend(format!("write `{example}`")),
        );
    }

    fn wrong(&mut self, key: &str, wanted: &str, found: &Value, at: &Range<usize>) {
        let message = format!("`{key}` needs {wanted}, and this is {}", found.kind());
        let mend = if wanted == NUMBER {
            "write digits and a decimal point, without quotes or unit".into()
        } else {
            format!("write {wanted}")
        };
        self.problems.push(
            Diagnostic::error(message, at.clone())
                .label(format!("{wanted} here"))
                .mend(mend),
        );
    }

    /// Text.
    pub(super) fn text(&mut self, field: &Field, key: &str) -> Option<(String, Range<usize>)> {
        match field.get(key)? {
            (Value::Text(text), at) => Some((text.clone(), at.clone())),
            (other, at) => {
                self.wrong(key, "text in quotes", other, at);
                None
            }
        }
    }

    /// Text, or a date without quotes.
    pub(super) fn text_or_date(
        &mut self,
        field: &Field,
        key: &str,
    ) -> Option<(String, Range<usize>)> {
        match field.get(key)? {
            (Value::Date(date), at) => Some((date.clone(), at.clone())),
            _ => self.text(field, key),
        }
    }

    /// A number between two limits; a problem if there is none.
    pub(super) fn number_in(&mut self, field: &Field, key: &str, limits: [f64; 2]) -> Option<f64> {
        match field.get(key) {
            None => {
                self.missing(field, key, &format!("{key} = {}", limits[1].min(1.0)));
                None
            }
            Some((Value::Number(number), at)) => self.inside(key, *number, limits, at),
            Some((other, at)) => {
                self.wrong(key, NUMBER, other, at);
                None
            }
        }
    }

    fn inside(
        &mut self,
        key: &str,
        number: f64,
        [least, most]: [f64; 2],
        at: &Range<usize>,
    ) -> Option<f64> {
        if (least..=most).contains(&number) {
            return Some(number);
        }
        let message = format!("`{key}` is {number}, it may be {least} to {most}");
        let mend = format!("write {least} to {most}");
        self.problems
            .push(Diagnostic::error(message, at.clone()).mend(mend));
        None
    }

    /// A list of numbers; what is not between the limits is a problem and left out.
    pub(super) fn numbers_in(&mut self, field: &Field, key: &str, limits: [f64; 2]) -> Vec<f64> {
        match field.get(key) {
            None => {
                self.missing(field, key, &format!("{key} = [...]"));
                Vec::new()
            }
            Some((Value::List(items), _)) => {
                let mut numbers = Vec::new();
                for (item, at) in items {
                    match item {
                        Value::Number(number) => {
                            numbers.extend(self.inside(key, *number, limits, at))
                        }
                        other => self.wrong(key, NUMBER, other, at),
                    }
                }
                numbers
            }
            Some((other, at)) => {
                self.wrong(key, "a list of numbers", other, at);
                Vec::new()
            }
        }
    }

    /// A number for each print, `None` where empty text stands; one number alone is a list.
    pub(super) fn readings(
        &mut self,
        field: &Field,
        key: &str,
    ) -> Vec<Option<(f64, Range<usize>)>> {
        let items = match field.get(key) {
            None => {
                self.missing(field, key, &format!("{key} = []"));
                return Vec::new();
            }
            Some((Value::List(items), _)) => items.clone(),
            Some((Value::Text(text), _)) if text.trim().is_empty() => Vec::new(),
            Some((value, at)) => vec![(value.clone(), at.clone())],
        };
        items
            .into_iter()
            .map(|(item, at)| match item {
                Value::Number(number) => Some((number, at)),
                Value::Text(text) if text.trim().is_empty() => None,
                other => {
                    self.wrong(key, NUMBER, &other, &at);
                    None
                }
            })
            .collect()
    }

    /// A table.
    pub(super) fn table(&mut self, field: &Field, key: &str, known: &[&str]) -> Option<Field> {
        let (value, at) = field.get(key)?;
        let Value::Table(entries) = value else {
            self.wrong(key, "a table in braces", value, at);
            return None;
        };
        let table = Field {
            at: at.clone(),
            entries: entries.clone(),
        };
        self.unknown(&table, known);
        Some(table)
    }

    /// Every table of a repeated key.
    pub(super) fn tables(&mut self, field: &Field, key: &str, known: &[&str]) -> Vec<Field> {
        let Some((value, at)) = field.get(key) else {
            return Vec::new();
        };
        let Value::List(items) = value else {
            self.wrong(key, &format!("double brackets, `[[{key}]]`"), value, at);
            return Vec::new();
        };
        let mut tables = Vec::new();
        for (item, at) in items {
            let Value::Table(entries) = item else {
                self.wrong(key, &format!("double brackets, `[[{key}]]`"), item, at);
                continue;
            };
            // The name is the better place to point at than the brackets.
            let name = entries.iter().find(|(key, _, _, _)| key == "name");
            let table = Field {
                at: name.map_or_else(|| at.clone(), |(_, _, _, at)| at.clone()),
                entries: entries.clone(),
            };
            self.unknown(&table, known);
            tables.push(table);
        }
        tables
    }
}

impl Field {
    /// Where the value of a key stands; none where there is none.
    pub(super) fn place(&self, key: &str) -> Option<Range<usize>> {
        self.get(key).map(|(_, at)| at.clone())
    }

    fn get(&self, key: &str) -> Option<(&Value, &Range<usize>)> {
        let found = self.entries.iter().find(|(name, _, _, _)| name == key);
        found.map(|(_, _, value, at)| (value, at))
    }
}
