//! What a mend tells to type, read off its words and typed into a kit as a maker would.

use toml_edit::{DocumentMut, Item, Table, TableLike, Value};

/// What is typed or taken out.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Edit {
    /// A key, part by part, and its value as TOML.
    Set(Vec<String>, String),
    /// A key that is taken out if it is there.
    Remove(Vec<String>),
    /// A load, wherever the kit writes it, as TOML.
    Load(String),
    /// Test pieces, printed and read.
    Tune,
}

/// One way that a mend offers: all of it is done at once.
pub(super) type Way = Vec<Edit>;

/// The ways of a mend that name something to type; what a hand has to do is none.
pub(super) fn ways(mend: &str) -> Vec<Way> {
    // What comes of it is told behind.
    let mend = mend.split(": then ").next().unwrap_or(mend);
    let ways = mend.split(", or ").map(way);
    ways.filter(|way| !way.is_empty()).collect()
}

fn way(words: &str) -> Way {
    let mut way = Way::new();
    let mut parts = words.split('`').peekable();
    while let (Some(said), Some(quoted)) = (parts.next(), parts.next()) {
        if said.contains("write a load of ") {
            way.push(load(said));
        }
        let in_table = parts.peek().is_some_and(|next| *next == " in ");
        let table = in_table.then(|| {
            parts.next();
            parts.next().unwrap_or_default()
        });
        way.extend(edit(said, quoted, table));
    }
    if let Some(last) = words.rsplit('`').next()
        && last.contains("write a load of ")
    {
        way.push(load(last));
    }
    way.sort_by_key(|edit| matches!(edit, Edit::Remove(_)));
    way
}

fn edit(said: &str, quoted: &str, table: Option<&str>) -> Option<Edit> {
    if quoted.starts_with("netlead ") {
        return quoted.contains("tune").then_some(Edit::Tune);
    }
    let path = |key: &str| -> Vec<String> {
        let within = table.map(str::to_owned).into_iter();
        within.chain(key.split('.').map(str::to_owned)).collect()
    };
    match quoted.split_once(" = ") {
        Some((key, value)) => Some(set(path(key), value)),
        // `leave out `a` and `b``, `no `press` in `gaps``.
        None if said.ends_with("leave out ") || said == " and " || said.ends_with("no ") => {
            Some(Edit::Remove(path(quoted)))
        }
        None => None,
    }
}

/// `gaps = { thread = "0.1 mm" }` is the key in its table: what else stands there is kept.
fn set(mut path: Vec<String>, value: &str) -> Edit {
    let mut value: Value = value.parse().unwrap();
    while let Some((key, within)) = only(&value) {
        path.push(key);
        value = within;
    }
    Edit::Set(path, value.to_string().trim().to_owned())
}

fn only(value: &Value) -> Option<(String, Value)> {
    let table = value.as_inline_table()?;
    let (key, value) = table.iter().next()?;
    assert_eq!(table.len(), 1, "{value}");
    Some((key.to_owned(), value.clone()))
}

fn load(words: &str) -> Edit {
    let (_, words) = words.rsplit_once("write a load of ").unwrap();
    let (most, _) = words.split_once(" or less").unwrap();
    Edit::Load(format!("\"{most}\""))
}

/// The text of a kit with all that a way tells.
pub(super) fn followed(text: &str, way: &Way) -> String {
    let mut kit: DocumentMut = text.parse().unwrap();
    for edit in way {
        match edit {
            Edit::Set(path, value) => put(&mut kit, path, value),
            Edit::Load(value) => {
                let is_table = kit.get("load").is_some_and(Item::is_table_like);
                let path = if is_table {
                    &["load", "force"][..]
                } else {
                    &["load"]
                };
                let path: Vec<String> = path.iter().map(|part| (*part).to_owned()).collect();
                put(&mut kit, &path, value);
            }
            Edit::Remove(path) => {
                let (leaf, tables) = path.split_last().unwrap();
                if let Some(table) = tables_at(&mut kit, tables) {
                    table.remove(leaf);
                }
            }
            Edit::Tune => {}
        }
    }
    kit.to_string()
}

fn put(kit: &mut DocumentMut, path: &[String], value: &str) {
    let (leaf, tables) = path.split_last().unwrap();
    let table = tables_at(kit, tables).unwrap();
    table.insert(leaf, Item::Value(value.parse().unwrap()));
}

fn tables_at<'a>(kit: &'a mut DocumentMut, path: &[String]) -> Option<&'a mut dyn TableLike> {
    let mut table: &mut dyn TableLike = kit.as_table_mut();
    for name in path {
        let next = table.entry(name);
        let next = next.or_insert_with(|| Item::Table(Table::new()));
        table = next.as_table_like_mut()?;
    }
    Some(table)
}

#[test]
fn what_is_typed_is_read_off_the_words() {
    let set = |path: &[&str], value: &str| {
        Edit::Set(
            path.iter().map(|part| (*part).to_owned()).collect(),
            value.into(),
        )
    };
    for (mend, expected) in [
        (
            "take thicker pins (`diameter = \"4 mm\"` in `pins`), or write a load of 38 N or less",
            vec![
                vec![set(&["pins", "diameter"], "\"4 mm\"")],
                vec![Edit::Load("\"38 N\"".into())],
            ],
        ),
        (
            "write a load of 3 N or less and `torque = \"2 N m\"` in `load` and `hand_torque = \"1 N m\"`",
            vec![vec![
                Edit::Load("\"3 N\"".into()),
                set(&["load", "torque"], "\"2 N m\""),
                set(&["hand_torque"], "\"1 N m\""),
            ]],
        ),
        (
            "write `gaps = { joint = { \"drive/frame\" = \"0.1 mm\" } }`: then about 5 of 100 go",
            vec![vec![set(&["gaps", "joint", "drive/frame"], "\"0.1 mm\"")]],
        ),
        (
            "leave out `friction` and `grease`, or take threads with a smaller lead",
            vec![vec![
                Edit::Remove(vec!["friction".into()]),
                Edit::Remove(vec!["grease".into()]),
            ]],
        ),
        (
            "let ribs hold the pins: `pins = { held_by = \"ribs\" }`, and no `press` in `gaps`, and \
             print and read test pieces (`netlead coupon KIT.toml`, then `netlead tune`)",
            vec![vec![
                set(&["pins", "held_by"], "\"ribs\""),
                Edit::Tune,
                Edit::Remove(vec!["gaps".into(), "press".into()]),
            ]],
        ),
        (
            "take a coarser thread, or say a larger printer in `bed`",
            vec![],
        ),
    ] {
        let found = ways(mend);
        assert_eq!(found, expected, "{mend}");
    }
}
