//! From TOML text to the values of declared keys, and every problem of syntax and of keys.
//!
//! What stands on a line with a syntax error is left out: what the parser makes of such a
//! line need not be what its writer meant.

use super::key::{ALL, REPEATED, leaf};
use super::syntax;
use super::value::type_name;
use super::words::closest;
use crate::diagnostic::Diagnostic;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// Values by the path of their key.
pub(super) type Fields<'a> = BTreeMap<String, Written<'a>>;

/// A parsed kit file.
pub(super) struct Tree<'a> {
    /// The text that was parsed.
    pub(super) text: &'a str,
    /// Every value outside `[[waive]]`.
    pub(super) fields: Fields<'a>,
    /// The values of each `[[waive]]`, and where it stands.
    pub(super) waivers: Vec<(Range<usize>, Fields<'a>)>,
    /// What is wrong with syntax and keys.
    pub(super) problems: Vec<Diagnostic>,
    /// Keys that a misspelt or misplaced key probably meant.
    meant: BTreeSet<String>,
    faults: syntax::Faults,
}

type Name<'a> = &'a Spanned<DeString<'a>>;
type Written<'a> = &'a Spanned<DeValue<'a>>;

impl<'a> Tree<'a> {
    /// Sorts what the TOML parser found in `text` into values; `faults` are those of syntax.
    pub(super) fn new(text: &'a str, table: &'a DeTable<'a>, faults: syntax::Faults) -> Self {
        let mut tree = Self {
            text,
            fields: Fields::new(),
            waivers: Vec::new(),
            problems: Vec::new(),
            meant: BTreeSet::new(),
            faults,
        };
        tree.fields = tree.walk(table, "");
        tree.problems.append(&mut tree.faults.problems);
        tree
    }

    /// Whether the absence of a key is known: nothing in the file may have meant it.
    pub(super) fn is_absent(&self, path: &str) -> bool {
        let name = leaf(path);
        let broken = &self.faults.broken;
        // A syntax error can swallow the lines around it, and a key on a broken line is there
        // for its writer, if misspelt.
        let mentioned = || {
            let mut words = self.text.lines().map(first_word);
            let mut on_broken = broken.iter().map(|at| first_word(&self.text[at.clone()]));
            words.any(|word| word == name) || on_broken.any(|word| closest(word, [name]).is_some())
        };
        !self.meant.contains(path) && (broken.is_empty() || !mentioned())
    }

    /// Where a missing key of the file itself belongs: behind the last one that is there.
    pub(super) fn end_of_root(&self) -> usize {
        let own = self.fields.iter().filter(|(path, _)| !path.contains('.'));
        let last = own.map(|(_, value)| value.span().end).max();
        // The mark of a byte order is no place to write behind.
        let start = self.text.len() - self.text.trim_start_matches('\u{feff}').len();
        last.unwrap_or(start)
    }

    fn walk(&mut self, table: &'a DeTable<'a>, prefix: &str) -> Fields<'a> {
        let mut fields = Fields::new();
        for (key, value) in table.iter() {
            let path = format!("{prefix}{}", key.get_ref());
            // A list that lacks its bracket takes in the lines below it.
            let is_list = matches!(value.get_ref(), DeValue::Array(_)) && path != REPEATED;
            if self.faults.meet(&key.span()) || is_list && self.faults.meet(&value.span()) {
                self.meant.insert(path);
            } else if path == REPEATED {
                self.walk_repeated(key, value);
            } else if ALL.iter().any(|declared| declared.path() == path) {
                fields.insert(path, value);
            } else if tables().any(|table| table == path) {
                match value.get_ref() {
                    DeValue::Table(table) => {
                        fields.extend(self.walk(table, &format!("{path}.")));
                    }
                    other => {
                        let problem = not_a_table(&path, other, value.span());
                        self.problems.push(problem);
                    }
                }
            } else {
                self.unknown_key(key, value, prefix);
            }
        }
        fields
    }

    fn walk_repeated(&mut self, key: Name<'a>, value: Written<'a>) {
        let prefix = format!("{REPEATED}.");
        let DeValue::Array(items) = value.get_ref() else {
            let found = type_name(value.get_ref());
            let message = format!("`{REPEATED}` wants a list of tables, not {found}");
            self.problems.push(
                Diagnostic::error(message, key.span())
                    .label("double brackets make a list of tables")
                    .mend(format!(
                        "write `[[{REPEATED}]]` on a line of its own, its keys below"
                    )),
            );
            return;
        };
        for item in items.iter() {
            match item.get_ref() {
                DeValue::Table(table) => {
                    let fields = self.walk(table, &prefix);
                    self.waivers.push((item.span(), fields));
                }
                other => {
                    let problem = not_a_table(REPEATED, other, item.span());
                    self.problems.push(problem);
                }
            }
        }
    }

    fn unknown_key(&mut self, key: Name<'a>, value: Written<'a>, prefix: &str) {
        let name = key.get_ref().as_ref();
        let siblings = children(prefix);
        let place = match prefix.trim_end_matches('.') {
            "" => String::new(),
            table => format!(" in `{table}`"),
        };
        let problem = Diagnostic::error(format!("unknown key `{name}`{place}"), key.span());
        let written = self.text.get(value.span()).unwrap_or("...");
        // The mend quotes short values only.
        const QUOTED: usize = 30;
        let written = match written.len() <= QUOTED && !written.contains('\n') {
            true => written,
            false => "...",
        };
        let elsewhere = ALL
            .iter()
            .map(|key| key.path())
            .find(|path| leaf(path) == name);
        let problem = if let Some(path) = elsewhere {
            self.meant.insert(path.to_owned());
            match path.rsplit_once('.') {
                Some((table, _)) => problem
                    .label(format!("belongs in `{table}`"))
                    .mend(format!("write `{table} = {{ {name} = {written} }}`")),
                None => problem.label("belongs to the file itself").mend(format!(
                    "move `{name}` out of `{}`, above the first line in brackets",
                    prefix.trim_end_matches('.')
                )),
            }
        } else if let Some(near) = closest(name, siblings.iter().map(String::as_str)) {
            self.meant.insert(format!("{prefix}{near}"));
            problem
                .label("not a key")
                .mend(format!("write `{near}` instead of `{name}`"))
        } else {
            problem.label("not a key").mend(format!(
                "remove it; the keys{place} are {}",
                siblings.join(", ")
            ))
        };
        self.problems.push(problem);
    }
}

/// The tables of the kit file.
fn tables() -> impl Iterator<Item = &'static str> {
    ALL.iter()
        .filter_map(|key| key.path().rsplit_once('.'))
        .map(|(table, _)| table)
}

/// The keys and tables directly below a prefix, in the order of declaration.
fn children(prefix: &str) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for key in ALL {
        if let Some(rest) = key.path().strip_prefix(prefix) {
            let name = rest.split('.').next().unwrap_or(rest);
            if !names.iter().any(|known| known == name) {
                names.push(name.to_owned());
            }
        }
    }
    names
}

fn not_a_table(path: &str, found: &DeValue<'_>, at: Range<usize>) -> Diagnostic {
    let found = type_name(found);
    let keys = children(&format!("{path}."));
    let first = keys.first().map_or("key", String::as_str);
    Diagnostic::error(format!("`{path}` wants a table, not {found}"), at)
        .label(format!("this is {found}"))
        .mend(format!(
            "write `{path} = {{ {first} = ... }}`; its keys are {}",
            keys.join(", ")
        ))
}

/// What may be a key at the start of a line; nothing for a comment.
fn first_word(line: &str) -> &str {
    if line.trim_start().starts_with('#') {
        return "";
    }
    let line = line.trim_start_matches(|c: char| !(c.is_alphanumeric() || c == '_'));
    let end = line
        .find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '-'))
        .unwrap_or(line.len());
    &line[..end]
}
