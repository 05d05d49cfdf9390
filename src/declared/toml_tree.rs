//! From TOML text to the values of declared keys, and every problem of syntax and of keys.
//!
//! What stands on a line with a syntax error is left out: what the parser makes of such a
//! line need not be what its writer meant.

use super::path::leaf;
use super::schema::KeySchema;
use super::value::type_name;
use super::words::closest;
use super::{Form, Instead, Likely, Said, Units, syntax};
use crate::diagnostic::Diagnostic;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// Values by the path of their key.
pub(crate) type Fields<'a> = BTreeMap<String, Written<'a>>;

/// One of several tables of one kind.
pub(crate) struct Row<'a> {
    /// What the file calls it; `None` for a `[[table]]`, which has no name of its own.
    pub(crate) name: Option<Said<String>>,
    /// Where it stands.
    pub(crate) at: Range<usize>,
    /// Its values.
    pub(crate) fields: Fields<'a>,
}

/// A parsed file.
pub(crate) struct Tree<'a> {
    /// The text that was parsed.
    pub(crate) text: &'a str,
    /// Every value outside the tables of which there may be several.
    pub(crate) fields: Fields<'a>,
    form: &'a Form,
    /// By the path of their table, in file order.
    rows: BTreeMap<String, Vec<Row<'a>>>,
    /// Where each table stands that is there once.
    tables: BTreeMap<String, Range<usize>>,
    /// What is wrong with syntax and keys.
    pub(crate) problems: Vec<Diagnostic>,
    /// Keys that a misspelt or misplaced key probably meant.
    meant: BTreeSet<String>,
    faults: syntax::Faults,
}

type Name<'a> = &'a Spanned<DeString<'a>>;
type Written<'a> = &'a Spanned<DeValue<'a>>;

impl<'a> Tree<'a> {
    /// Sorts what the TOML parser found in `text` into values; `faults` are those of syntax.
    pub(crate) fn new(
        form: &'a Form,
        text: &'a str,
        table: &'a DeTable<'a>,
        faults: syntax::Faults,
    ) -> Self {
        let mut tree = Self {
            text,
            fields: Fields::new(),
            form,
            rows: BTreeMap::new(),
            tables: BTreeMap::new(),
            problems: Vec::new(),
            meant: BTreeSet::new(),
            faults,
        };
        tree.fields = tree.walk(table, "");
        tree.problems.append(&mut tree.faults.problems);
        for rows in tree.rows.values_mut() {
            rows.sort_by_key(|row| row.at.start);
        }
        tree
    }

    /// The tables of one kind, in file order.
    pub(crate) fn rows(&self, path: &str) -> &[Row<'a>] {
        self.rows.get(path).map_or(&[], Vec::as_slice)
    }

    /// Where a table stands that the file may have once; `None` where it has none.
    pub(crate) fn table(&self, path: &str) -> Option<Range<usize>> {
        self.tables.get(path).cloned()
    }

    /// Whether the absence of a key is known: nothing in the file may have meant it.
    pub(crate) fn is_absent(&self, path: &str) -> bool {
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
    pub(crate) fn end_of_root(&self) -> usize {
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
            let repeated = self.form.repeated.contains(&path.as_str());
            // A list that lacks its bracket takes in the lines below it.
            let is_list = matches!(value.get_ref(), DeValue::Array(_)) && !repeated;
            if self.faults.meet(&key.span()) || is_list && self.faults.meet(&value.span()) {
                self.meant.insert(path);
            } else if repeated {
                self.walk_repeated(&path, key, value);
            } else if self.form.declares(&path) && !self.is_a_table_too(&path, value) {
                fields.insert(path, value);
            } else if self.form.tables().any(|table| table == path) {
                match value.get_ref() {
                    DeValue::Table(table) if self.form.named.contains(&path.as_str()) => {
                        self.walk_named(&path, table);
                    }
                    DeValue::Table(table) => {
                        self.tables.insert(path.clone(), value.span());
                        fields.extend(self.walk(table, &format!("{path}.")));
                    }
                    other => {
                        let problem = not_a_table(self.form, &path, other, value.span());
                        self.problems.push(problem);
                    }
                }
            } else {
                self.unknown_key(table, key, value, prefix);
            }
        }
        fields
    }

    /// Whether a key that may be a value or a table (`load = "20 N"`, `load = { force = ... }`)
    /// is a table here.
    fn is_a_table_too(&self, path: &str, value: Written<'a>) -> bool {
        matches!(value.get_ref(), DeValue::Table(_))
            && self.form.tables().any(|table| table == path)
    }

    fn walk_repeated(&mut self, path: &str, key: Name<'a>, value: Written<'a>) {
        let DeValue::Array(items) = value.get_ref() else {
            let found = type_name(value.get_ref());
            let message = format!("`{path}` wants a list of tables, not {found}");
            self.problems.push(
                Diagnostic::error(message, key.span())
                    .label("double brackets make a list of tables")
                    .mend(format!(
                        "write `[[{path}]]` on a line of its own, its keys below"
                    )),
            );
            return;
        };
        for item in items.iter() {
            self.row(path, None, item);
        }
    }

    /// The tables in a table whose keys are names that the file gives.
    fn walk_named(&mut self, path: &str, table: &'a DeTable<'a>) {
        for (key, value) in table.iter() {
            if self.faults.meet(&key.span()) {
                continue;
            }
            let name = Said::at(key.get_ref().to_string(), key.span());
            let lone = format!("{path}.*");
            if self.form.declares(&lone) && !matches!(value.get_ref(), DeValue::Table(_)) {
                let row = Row {
                    name: Some(name),
                    at: key.span(),
                    fields: Fields::from([(lone, value)]),
                };
                self.rows.entry(path.to_owned()).or_default().push(row);
            } else {
                self.row(path, Some(name), value);
            }
        }
    }

    fn row(&mut self, path: &str, name: Option<Said<String>>, item: Written<'a>) {
        match item.get_ref() {
            DeValue::Table(table) => {
                let fields = self.walk(table, &format!("{path}."));
                let row = Row {
                    name,
                    at: item.span(),
                    fields,
                };
                self.rows.entry(path.to_owned()).or_default().push(row);
            }
            other => {
                let shown = match &name {
                    Some(name) => format!("{path}.{}", name.value),
                    None => path.to_owned(),
                };
                let keys = self.form.children(&format!("{path}."));
                let problem = wants_a_table(&shown, &keys, other, item.span());
                self.problems.push(problem);
            }
        }
    }

    fn unknown_key(
        &mut self,
        table: &'a DeTable<'a>,
        key: Name<'a>,
        value: Written<'a>,
        prefix: &str,
    ) {
        let name = key.get_ref().as_ref();
        let siblings = self.form.children(prefix);
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
        let mut elsewhere = self.form.paths().filter(|path| leaf(path) == name);
        // A name that several tables have says nothing of where it belongs.
        let problem = if let (Some(path), None) = (elsewhere.next(), elsewhere.next()) {
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
        } else if let Some(likely) = self.form.likely.iter().find(|likely| likely.word == name) {
            problem.label("not a key").mend(likely.mend(table, written))
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

impl Likely {
    /// What to do instead of the word in this table, with this value behind it.
    fn mend(&self, table: &DeTable<'_>, written: &str) -> String {
        let Self { word, key, instead } = self;
        if table.iter().any(|(other, _)| other.get_ref() == key) {
            return format!("remove it: `{key}` is there already");
        }
        let inches = |(name, value): (&Spanned<DeString<'_>>, &Spanned<DeValue<'_>>)| {
            name.get_ref() == "units" && value.get_ref().as_str() == Some("inch")
        };
        let units = match table.iter().any(inches) {
            true => Units::Inch,
            false => Units::Mm,
        };
        match instead {
            Instead::Key => format!("write `{key}` instead of `{word}`"),
            Instead::Words(words) => (*words).to_owned(),
            Instead::Reckoned(reckon, words) => {
                reckon(written, units).unwrap_or_else(|| (*words).to_owned())
            }
        }
    }
}

impl Form {
    fn paths(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().map(|key| key.path())
    }

    /// Every key, as a schema says it.
    pub(crate) fn schemas(&self) -> Vec<KeySchema> {
        self.keys.iter().map(|key| key.schema()).collect()
    }

    fn declares(&self, path: &str) -> bool {
        self.paths().any(|declared| declared == path)
    }

    /// Every table that holds a key, and every table that holds such a table.
    fn tables(&self) -> impl Iterator<Item = &'static str> {
        self.paths()
            .flat_map(|path| path.match_indices('.').map(|(dot, _)| &path[..dot]))
    }

    /// The keys and tables directly below a prefix, in the order of declaration.
    pub(crate) fn children(&self, prefix: &str) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for path in self.paths() {
            if let Some(rest) = path.strip_prefix(prefix) {
                let name = rest.split('.').next().unwrap_or(rest);
                if !names.iter().any(|known| known == name) {
                    names.push(name.to_owned());
                }
            }
        }
        names
    }
}

fn not_a_table(form: &Form, path: &str, found: &DeValue<'_>, at: Range<usize>) -> Diagnostic {
    wants_a_table(path, &form.children(&format!("{path}.")), found, at)
}

fn wants_a_table(path: &str, keys: &[String], found: &DeValue<'_>, at: Range<usize>) -> Diagnostic {
    let found = type_name(found);
    let first = keys.first().map_or("key", String::as_str);
    Diagnostic::error(format!("`{path}` wants a table, not {found}"), at)
        .label(format!("this is {found}"))
        .mend(format!(
            "write `{} = {{ {first} = ... }}`; its keys are {}",
            leaf(path),
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
