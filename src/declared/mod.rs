//! TOML files by declared keys: from text to typed values with their places, or to every problem.
//!
//! A file is a [`Form`]: a table of keys (`keys!`), each with its name, meaning, type, limits
//! and what its absence means, and the names of the tables of which there may be several.
//! `syntax.rs` sorts what the TOML parser complains of, `toml_tree.rs` finds the declared keys in
//! the text, `value.rs` reads each, and a [`Reader`] hands them to the room whose file it is.
//! Nothing here knows what the keys are for.
//!
//! - `[[row]]`: its path in `repeated`, its keys as `row.key`; [`Reader::take_in`] each of
//!   `reader.tree.rows("row")`.
//! - `[size.NAME]` with names that the file gives: `size` in `named`; the keys of each as
//!   `size.key`, or `size.*` for a table of `NAME = value`. [`toml_tree::Row::name`] has the name.
//! - A key that is a value or a table: declare both `key` and `key.part`; the file gives one.
//! - A value that may be left open, `""` or not there: type `Option<T>`, `Open`.

mod key;
mod path;
mod quantity;
mod reader;
pub(crate) mod schema;
mod syntax;
mod text;
mod toml_tree;
mod value;
mod words;

pub(crate) use key::{Absent, Declared, Key, from_to, keys, mm};
pub use key::{KeyHelp, KeyPath};
pub(crate) use quantity::{Fault, Quantity, Written, parse, plain};
pub(crate) use reader::Reader;
pub(crate) use syntax::{faults, readable};
pub(crate) use text::{FOLDER_NAME, REMARK, TextRule};
pub(crate) use toml_tree::{Row, Tree};
pub(crate) use value::{Between, Context, Raw, Value};
pub(crate) use words::{Words, closest};

use crate::diagnostic::{Diagnostic, Severity, file_order, position};
use std::ops::{Deref, Range};
use toml::de::DeTable;

/// A kind of file: what its keys are, and which of its tables may stand several times.
pub(crate) struct Form {
    /// What people call it: `kit file`.
    pub(crate) what: &'static str,
    /// What it describes: `the kit`.
    pub(crate) holds: &'static str,
    /// Longest text, in bytes: far above a common one, and short enough that the problems of
    /// the worst one are found in a moment.
    pub(crate) longest: usize,
    /// Every key.
    pub(crate) keys: &'static [&'static dyn Declared],
    /// Paths of tables that are written `[[path]]`.
    pub(crate) repeated: &'static [&'static str],
    /// Paths of tables whose keys are names that the file gives.
    pub(crate) named: &'static [&'static str],
    /// Words that people write for keys.
    pub(crate) likely: &'static [Likely],
}

/// A word that people write for a key of the file itself.
pub(crate) struct Likely {
    /// The word.
    pub(crate) word: &'static str,
    /// The key that is meant.
    pub(crate) key: &'static str,
    /// What to do instead.
    pub(crate) instead: Instead,
}

/// What to do instead of writing a word that is no key.
pub(crate) enum Instead {
    /// To write the key in its place.
    Key,
    /// Something else, in words.
    Words(&'static str),
    /// What is reckoned from the value, as it is written, where bare numbers are in these units;
    /// nothing where that makes no sense. Then the words hold.
    Reckoned(fn(&str, Units) -> Option<String>, &'static str),
}

/// What bare numbers in a file are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Units {
    /// Millimetres.
    Mm,
    /// Inches.
    Inch,
}

/// A value and where in its file it was said; `at` is `None` for a default.
#[derive(Clone, Debug, PartialEq)]
pub struct Said<T> {
    /// The value.
    pub value: T,
    /// Bytes of the file from which it came.
    pub at: Option<Range<usize>>,
}

impl<T> Deref for Said<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T> Said<T> {
    /// A value that stands at these bytes of the file.
    pub const fn at(value: T, at: Range<usize>) -> Self {
        Self {
            value,
            at: Some(at),
        }
    }

    /// A value that the file does not say.
    pub const fn default_value(value: T) -> Self {
        Self { value, at: None }
    }

    /// The bytes to blame; the first of the file for what it does not say.
    pub(crate) fn place(&self) -> Range<usize> {
        self.at.clone().unwrap_or(0..0)
    }

    /// Another value, said at the same place.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Said<U> {
        Said {
            value: change(self.value),
            at: self.at,
        }
    }

    /// The value by reference, said at the same place.
    pub fn as_ref(&self) -> Said<&T> {
        Said {
            value: &self.value,
            at: self.at.clone(),
        }
    }
}

/// Reads a file: `take` builds a value from its keys, or leaves `None` where it cannot.
///
/// # Errors
/// Every error and warning in file order, at least one of them an error, each with its place
/// in `text`.
pub(crate) fn read<T>(
    form: &Form,
    text: &str,
    take: impl for<'a> FnOnce(&mut Reader<'a>) -> Option<T>,
) -> Result<(T, Vec<Diagnostic>), Vec<Diagnostic>> {
    if text.len() > form.longest {
        let Form {
            what,
            holds,
            longest,
            ..
        } = form;
        let message = format!(
            "the file has {} bytes, a {what} has {longest} at most",
            text.len()
        );
        return Err(vec![
            Diagnostic::error(message, 0..0).mend(format!("name the file that describes {holds}")),
        ]);
    }
    let (readable, errors) = syntax::readable(text);
    let (table, _) = DeTable::parse_recoverable(&readable);
    let tree = Tree::new(form, text, table.get_ref(), syntax::faults(text, &errors));
    let mut reader = Reader::new(&tree);
    let made = take(&mut reader);
    let mut problems = reader.problems;
    problems.splice(0..0, tree.problems.iter().cloned());
    problems.sort_by_key(file_order);
    let rejected = problems
        .iter()
        .any(|problem| problem.severity == Severity::Error);
    match made {
        Some(made) if !rejected => Ok((made, problems)),
        _ => Err(problems),
    }
}

/// Bytes that are no text.
#[derive(Clone, Debug, PartialEq)]
pub struct NotText {
    /// The bytes as text, each bad one replaced.
    pub text: String,
    /// Where in that text the first bad byte stands.
    pub problem: Diagnostic,
}

/// The text of a file's bytes.
///
/// # Errors
/// Where the bytes are not UTF-8.
pub fn decode(bytes: &[u8]) -> Result<&str, Box<NotText>> {
    std::str::from_utf8(bytes).map_err(|error| {
        let text = String::from_utf8_lossy(bytes).into_owned();
        let start = error.valid_up_to();
        let end = start + char::REPLACEMENT_CHARACTER.len_utf8();
        let bad = bytes.get(start).copied().unwrap_or_default();
        let (line, column) = position(&text, start);
        let message = format!(
            "the file is not UTF-8 text: byte {} (line {line}, column {column}) is 0x{bad:02x}",
            start + 1
        );
        let problem = Diagnostic::error(message, start..end)
            .label("first bad byte")
            .mend("save the file as UTF-8, or type this character anew");
        Box::new(NotText { text, problem })
    })
}

#[cfg(test)]
mod tests;
