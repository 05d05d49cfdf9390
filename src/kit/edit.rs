//! One key of a kit's text set to another value, everything else left as it was written.

use super::key;
use toml_edit::{DocumentMut, Item, Table, Value};

/// Why a key cannot be set.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CannotSet {
    /// There is no such key, or it stands in a table of which a kit may have several.
    #[error("no key that can be varied is called `{0}`")]
    UnknownKey(String),
    /// The text is no TOML, or something that is no table stands where the key's table should.
    #[error("the kit's text has no place for `{0}`")]
    NoPlace(String),
}

/// The keys that can be set: all but those of repeated tables.
pub fn settable() -> Vec<&'static str> {
    let repeated = format!("{}.", key::REPEATED);
    let keys = super::keys().into_iter().map(|key| key.path);
    keys.filter(|path| !path.starts_with(&repeated)).collect()
}

/// A value as TOML has it: as it is where it is TOML, else as text.
pub fn literal(value: &str) -> String {
    let value: Value = value.parse().unwrap_or_else(|_| Value::from(value));
    value.to_string().trim().to_owned()
}

/// The text with the key of a dotted path set. `value` is TOML (`0.2`, `[220, 220, 250]`,
/// `"9.5 mm"`) or, where it is none, text without its quotes (`M12x1.75`).
///
/// # Errors
///
/// If the key is unknown or has no place in the text.
pub fn with_value(text: &str, path: &str, value: &str) -> Result<String, CannotSet> {
    let no_place = || CannotSet::NoPlace(path.into());
    let mut document: DocumentMut = text.parse().map_err(|_| no_place())?;
    let value = value.parse().unwrap_or_else(|_| Value::from(value));
    set(&mut document, path, value)?;
    Ok(document.to_string())
}

/// Sets the key of a dotted path.
pub(super) fn set(document: &mut DocumentMut, path: &str, value: Value) -> Result<(), CannotSet> {
    if !settable().contains(&path) {
        return Err(CannotSet::UnknownKey(path.into()));
    }
    let (tables, leaf) = path.rsplit_once('.').unwrap_or(("", path));
    insert(document, tables, leaf, value)
}

/// Sets a key of the table of a dotted path; that of an empty one is the document itself.
pub(super) fn insert(
    document: &mut DocumentMut,
    tables: &str,
    leaf: &str,
    mut value: Value,
) -> Result<(), CannotSet> {
    let no_place = || CannotSet::NoPlace(format!("{tables}.{leaf}"));
    let mut table: &mut dyn toml_edit::TableLike = document.as_table_mut();
    for segment in tables.split('.').filter(|segment| !segment.is_empty()) {
        let next = table
            .entry(segment)
            .or_insert_with(|| Item::Table(Table::new()));
        table = next.as_table_like_mut().ok_or_else(no_place)?;
    }
    // A comment behind the old value stays behind the new one.
    if let Some(old) = table.get(leaf).and_then(Item::as_value) {
        *value.decor_mut() = old.decor().clone();
    }
    table.insert(leaf, Item::Value(value));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit::{Kit, Mechanism};

    const KIT: &str = "# a comment\nname = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\n\
                       inner = \"M12x1.75\"\nstroke = 10 # kept\ngaps = { slide = 0.2 }\n\n\
                       [sizes]\nbore = 50\n";

    fn set(path: &str, value: &str) -> Kit {
        let text = with_value(KIT, path, value).expect("a known key");
        assert!(text.starts_with("# a comment\nname = \"t\"") && text.contains("# kept"));
        text.parse().unwrap_or_else(|_| panic!("{text}"))
    }

    #[test]
    fn a_key_is_set_wherever_it_stands() {
        assert_eq!(set("stroke", "12.5").stroke.as_mm(), 12.5);
        assert_eq!(set("stroke", "1/2 in").stroke.as_mm(), 12.7);
        let gaps = set("gaps.slide", "0.3").gaps;
        assert_eq!(gaps.slide.expect("a gap").as_mm(), 0.3);
        let gaps = set("gaps.thread", "0.1").gaps;
        assert_eq!(gaps.thread.expect("a gap").as_mm(), 0.1);
        assert_eq!(set("layer", "0.2").layer.as_mm(), 0.2);
        let bore = set("sizes.bore", "52").sizes.bore.expect("a bore");
        assert_eq!(bore.as_mm(), 52.0);
        let Mechanism::Nested(threads) = set("inner", "M10").mechanism else {
            panic!("a nested layout stays one");
        };
        assert_eq!(threads.inner.designation(), "M10x1.5");
        assert_eq!(set("bed", "[200, 210, 220]").bed[1].as_mm(), 210.0);
        assert_eq!(
            set("pins.diameter", "4")
                .pins
                .diameter
                .expect("one")
                .as_mm(),
            4.0
        );
    }

    #[test]
    fn what_is_no_key_or_no_single_one_is_refused() {
        for path in ["strok", "waive.check", "gaps", "", "stroke.more"] {
            let refused = CannotSet::UnknownKey(path.into());
            assert_eq!(with_value(KIT, path, "1"), Err(refused));
        }
        let odd = "gaps = 3\n";
        let refused = CannotSet::NoPlace("gaps.slide".into());
        assert_eq!(with_value(odd, "gaps.slide", "1"), Err(refused));
    }
}
