//! Takes values from a parsed file by their declared keys, and gathers what is wrong.

use super::key::{Absent, Key, KeyPath};
use super::path::leaf;
use super::toml_tree::{Fields, Row, Tree};
use super::value::{Context, Raw, Value};
use super::{Said, Units};
use crate::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use std::ops::Range;

/// A file that is being read.
pub(crate) struct Reader<'a> {
    /// What the file says.
    pub(crate) tree: &'a Tree<'a>,
    /// How bare numbers are read.
    pub(crate) context: Context,
    /// Where the file says each key that it says, outside of tables that may come several times.
    pub(crate) said: BTreeMap<KeyPath, Range<usize>>,
    /// What is wrong so far, beside what is wrong with syntax and keys.
    pub(crate) problems: Vec<Diagnostic>,
}

impl<'a> Reader<'a> {
    /// A reader that takes bare numbers as mm.
    pub(crate) fn new(tree: &'a Tree<'a>) -> Self {
        Self {
            tree,
            context: Context {
                units: Units::Mm,
                units_known: true,
                inches_likely: false,
            },
            said: BTreeMap::new(),
            problems: Vec::new(),
        }
    }

    /// The value of a key of the file, or its default; `None` where it is not there or wrong.
    pub(crate) fn take<T: Value>(&mut self, key: &Key<T>) -> Option<Said<T>> {
        let tree = self.tree;
        let table = key.path.rsplit_once('.').map(|(table, _)| table);
        let end = tree.end_of_root()..tree.end_of_root();
        let place = table.and_then(|table| tree.table(table)).unwrap_or(end);
        if let Some(value) = tree.fields.get(key.path) {
            self.said.insert(key.name(), value.span());
        }
        self.take_from(&tree.fields, key, key.path, place)
    }

    /// The value of a key of one of several tables, or its default.
    pub(crate) fn take_in<T: Value>(&mut self, row: &Row<'a>, key: &Key<T>) -> Option<Said<T>> {
        let shown = match &row.name {
            Some(name) => match key.path.rsplit_once('.') {
                Some((table, "*")) => format!("{table}.{}", as_key(&name.value)),
                Some((table, leaf)) => format!("{table}.{}.{leaf}", as_key(&name.value)),
                None => key.path.to_owned(),
            },
            None => key.path.to_owned(),
        };
        self.take_from(&row.fields, key, &shown, row.at.clone())
    }

    /// The value of a key in `fields`, or its default; a missing one is blamed on `place`.
    fn take_from<T: Value>(
        &mut self,
        fields: &Fields<'a>,
        key: &Key<T>,
        shown: &str,
        place: Range<usize>,
    ) -> Option<Said<T>> {
        if let Some(value) = fields.get(key.path) {
            let raw = Raw {
                path: shown,
                value,
                text: self.tree.text,
            };
            return match T::read(raw, &key.limits, self.context) {
                Ok(read) => Some(Said::at(read, raw.at())),
                Err(problem) => {
                    self.problems.push(problem);
                    None
                }
            };
        }
        if let Absent::Missing(example) = key.absent
            && self.tree.is_absent(key.path)
        {
            // A key of a table that is not there is best written with its table.
            let name = match place.is_empty() {
                true => shown,
                false => leaf(shown),
            };
            self.problems.push(
                Diagnostic::error(format!("`{name}` is missing: {}", key.meaning), place)
                    .label(format!("`{name}` belongs here"))
                    .mend(format!("add a line such as `{name} = {example}`")),
            );
        }
        let default = key.default_value()?;
        // A test reads every default, so this is a slip in the table of keys.
        Some(Said::default_value(
            default.expect("a declared default is valid; please report this"),
        ))
    }
}

/// A name as TOML takes it for a key: in quotes, unless all of it may stand bare (TOML 1.0, keys).
fn as_key(name: &str) -> String {
    let bare = |letter: char| letter.is_ascii_alphanumeric() || letter == '_' || letter == '-';
    match !name.is_empty() && name.chars().all(bare) {
        true => name.to_owned(),
        false => format!("{name:?}"),
    }
}
