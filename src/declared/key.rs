//! A declared key: name, meaning, type, limits and what its absence means.

use super::Units;
use super::path::leaf;
use super::schema::KeySchema;
use super::value::{Between, Context, Raw, Value};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use serde_json::{Value as Json, json};
use toml::de::DeValue;

/// What it means when a key is not there.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Absent {
    /// The kit is incomplete; an example of a value, as TOML.
    Missing(&'static str),
    /// This value holds, as TOML; bare numbers in it are mm.
    Default(&'static str),
    /// Something else decides; in words.
    Open(&'static str),
}

/// A key and the type of its value.
pub(crate) struct Key<T: Value> {
    pub(crate) path: &'static str,
    pub(crate) meaning: &'static str,
    pub(crate) limits: T::Limits,
    pub(crate) absent: Absent,
}

/// The name of a declared key: text that says one cannot name a key that is not there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KeyPath(&'static str);

impl KeyPath {
    /// After its table: `gaps.thread`.
    pub fn as_str(self) -> &'static str {
        self.0
    }

    /// Its table and its last part; none of one that stands in no table.
    pub(crate) fn parted(self) -> Option<(&'static str, &'static str)> {
        self.0.rsplit_once('.')
    }

    /// The line to type for a value: `` `layer = "0.2 mm"` ``, `` `torque = "2 N m"` in `load` ``.
    pub(crate) fn typed(self, value: impl std::fmt::Display) -> String {
        match self.parted() {
            Some((table, leaf)) => format!("`{leaf} = {value}` in `{table}`"),
            None => format!("`{} = {value}`", self.0),
        }
    }
}

impl std::fmt::Display for KeyPath {
    /// As messages quote it: `` `gaps.thread` ``.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "`{}`", self.0)
    }
}

/// A key as a manual shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyHelp {
    /// The key, after its table: `gaps.thread`. Those of `waive` stand in `[[waive]]`.
    pub path: &'static str,
    /// What it sets.
    pub meaning: &'static str,
    /// What its value is: `length`.
    pub kind: String,
    /// The values it may have.
    pub range: Option<String>,
    /// The value that holds when it is not there, as TOML.
    pub default: Option<&'static str>,
    /// What its absence means, in words: `required`, `0.15 mm`, `follows from the threads`.
    pub absent: String,
}

/// What all keys have, whatever their type.
pub(crate) trait Declared {
    fn path(&self) -> &'static str;
    fn help(&self) -> KeyHelp;
    fn schema(&self) -> KeySchema;
}

impl<T: Value> Key<T> {
    /// Its name.
    pub(crate) const fn name(&self) -> KeyPath {
        KeyPath(self.path)
    }

    /// The key without its table.
    pub(crate) fn leaf(&self) -> &'static str {
        leaf(self.path)
    }

    /// The value that holds when the key is not there, read as if it were in the file.
    pub(crate) fn default_value(&self) -> Option<Result<T, Diagnostic>> {
        let Absent::Default(text) = self.absent else {
            return None;
        };
        let context = Context {
            units: Units::Mm,
            units_known: true,
            inches_likely: false,
        };
        let not_toml = |error: toml::de::Error| Diagnostic::error(error.message(), 0..0);
        Some(DeValue::parse(text).map_err(not_toml).and_then(|value| {
            let raw = Raw {
                path: self.path,
                value: &value,
                text,
            };
            T::read(raw, &self.limits, context)
        }))
    }
}

impl<T: Value> Declared for Key<T> {
    fn path(&self) -> &'static str {
        self.path
    }

    fn help(&self) -> KeyHelp {
        let (default, absent) = match self.absent {
            Absent::Missing(_) => (None, "required".to_owned()),
            Absent::Default(value) => (Some(value), value.replace('"', "")),
            Absent::Open(words) => (None, words.to_owned()),
        };
        KeyHelp {
            path: self.path,
            meaning: self.meaning,
            kind: T::kind(&self.limits),
            range: T::range(&self.limits),
            default,
            absent,
        }
    }

    fn schema(&self) -> KeySchema {
        let kind = T::schema(&self.limits);
        let mut any = kind.any;
        let range = T::range(&self.limits);
        told(&mut any, self.meaning, range.as_deref(), self.absent);
        KeySchema {
            path: self.path,
            any,
            bare: kind.bare,
            required: matches!(self.absent, Absent::Missing(_)),
        }
    }
}

/// What a schema says beside a value's type: what it is for, its default, an example.
fn told(any: &mut Json, meaning: &str, range: Option<&str>, absent: Absent) {
    let range = range.map_or_else(String::new, |range| format!(" Values: {range}."));
    let (without, value) = match absent {
        Absent::Missing(example) => (
            "Required.".to_owned(),
            as_json(example).map(|example| ("examples", json!([example]))),
        ),
        Absent::Default(value) => (
            format!("If it is not there: {}.", value.replace('"', "")),
            as_json(value).map(|value| ("default", value)),
        ),
        Absent::Open(words) => (format!("If it is not there: {words}."), None),
    };
    let description = format!("{meaning}.{range} {without}");
    let Json::Object(fields) = any else { return };
    fields.insert("description".into(), description.into());
    fields.extend(value.map(|(name, value)| (name.to_owned(), value)));
}

/// A value written as TOML, as JSON has it; those of our tables are written alike in both.
fn as_json(text: &str) -> Option<Json> {
    serde_json::from_str(text).ok()
}

/// Declares keys, one a row: `NAME: Type = "table.key", "meaning", limits, absence;`. Each
/// becomes a constant of its name, and all of them, in order, the constant `ALL`.
macro_rules! keys {
    ($($name:ident: $kind:ty = $path:literal, $meaning:expr, $limits:expr, $absent:expr;)*) => {
        $(pub(crate) const $name: $crate::declared::Key<$kind> = $crate::declared::Key {
            path: $path,
            meaning: $meaning,
            limits: $limits,
            absent: $absent,
        };)*

        /// Every key.
        pub(super) const ALL: &[&dyn $crate::declared::Declared] = &[$(&$name),*];
    };
}
pub(crate) use keys;

/// Limits in mm.
pub(crate) const fn mm(least: f64, most: f64) -> Between<Length> {
    Between {
        least: Length::mm(least),
        most: Length::mm(most),
    }
}

/// Limits of any other quantity.
pub(crate) const fn from_to<T: Copy>(least: T, most: T) -> Between<T> {
    Between { least, most }
}
