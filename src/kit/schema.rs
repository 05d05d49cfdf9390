//! The kit file as JSON Schema (draft 2020-12): its keys, and what hangs on the layout, the head, the end
//! and the units that are said.
//!
//! It refuses no file that [`read`](super::read) takes, and says no more than JSON Schema can: whether a
//! thread is one, or a spring can be wound, is known when the kit is read.

use super::words::{HeadKind, LayoutKind};
use super::{End, Mount, fitted, heads, idle, key, second, spring, word};
use crate::declared::schema::{bounds, in_any_case, object, put, words};
use crate::declared::{Units, Words};
use serde_json::{Map, Value as Json, json};

/// What is refused, whatever it is.
const REFUSED: Json = Json::Bool(false);

/// The schema of a kit file; `checks` are the ids of all checks, of which a waiver names one.
pub fn schema(checks: &[&str]) -> Json {
    let mut all = object(&key::FORM);
    let mut waived = Map::new();
    put(&mut waived, "check", json!({ "enum": checks }));
    let rows = json!({ key::REPEATED: { "items": waived } });
    let mut rules = vec![json!({ "properties": rows })];
    rules.extend(units());
    rules.extend(
        LayoutKind::KNOWN
            .iter()
            .map(|(_, layout)| of_layout(*layout)),
    );
    rules.extend(HeadKind::KNOWN.iter().map(|(_, kind)| of_head(*kind)));
    rules.extend([throat(), nut(), pins(), load(), coil()]);
    all.insert("allOf".into(), rules.into());
    all.insert("type".into(), "object".into());
    all.insert(
        "$schema".into(),
        "https://json-schema.org/draft/2020-12/schema".into(),
    );
    all.insert("title".into(), "netlead kit".into());
    Json::Object(all)
}

/// A file in which a key says one of some words.
fn says(path: &str, said: &[&str]) -> Json {
    let pattern = json!({ "type": "string", "pattern": in_any_case(said.iter().copied()) });
    let mut file = Map::new();
    put(&mut file, path, pattern);
    // The key and its table have to be there.
    match path.split_once('.') {
        None => {
            file.insert("required".into(), json!([path]));
        }
        Some((table, leaf)) => {
            put(&mut file, table, json!({ "required": [leaf] }));
            file.insert("required".into(), json!([table]));
        }
    }
    Json::Object(file)
}

/// A file in which keys are refused.
fn without(paths: impl IntoIterator<Item = &'static str>) -> Map<String, Json> {
    let mut file = Map::new();
    for path in paths {
        put(&mut file, path, REFUSED);
    }
    file
}

/// What bare numbers are bounds of lengths by.
fn units() -> [Json; 1] {
    let inch = says(key::UNITS.path, &[word(Units::Inch)]);
    [json!({
        "if": inch,
        "then": bounds(&key::FORM, Units::Inch),
        "else": bounds(&key::FORM, Units::Mm),
    })]
}

/// What a layout needs and what it has no use for.
fn of_layout(layout: LayoutKind) -> Json {
    let (own, others) = second::keys_of(layout);
    let idle = idle::idle_in(layout).map(|(path, _)| path);
    let mut file = without(others.into_iter().chain(idle));
    file.insert("required".into(), own.into_iter().collect());
    let fits = |end: &End| fitted::no_end(layout, *end).is_none();
    put(&mut file, key::END.path, some(fits));
    let fits = |mount: &Mount| fitted::no_mount(layout, *mount).is_none();
    put(&mut file, key::MOUNT.path, some(fits));
    if spring::no_place(layout).is_some() {
        put(&mut file, "spring", json!({ "maxProperties": 0 }));
    }
    json!({ "if": says(key::LAYOUT.path, &[word(layout)]), "then": file })
}

/// One of the words of a type that fit.
fn some<W: Words>(fits: impl Fn(&W) -> bool) -> Json {
    let fitting = W::KNOWN.iter().filter(|(_, value)| fits(value));
    let fitting: Vec<&str> = fitting.map(|(word, _)| *word).collect();
    words(fitting.iter().copied())
}

/// What a kind of head has no use for; that which stands where none is said holds wherever no other is.
fn of_head(kind: HeadKind) -> Json {
    let others = HeadKind::KNOWN.iter().filter(|(_, other)| *other != kind);
    let others: Vec<&str> = others.map(|(word, _)| *word).collect();
    let default = key::HEAD_KIND.default_value().and_then(Result::ok);
    let said = match default == Some(kind) {
        true => json!({ "not": says(key::HEAD_KIND.path, &others) }),
        false => says(key::HEAD_KIND.path, &[word(kind)]),
    };
    let idle = heads::idle_in(kind).map(|(path, _)| path);
    json!({ "if": said, "then": without(idle) })
}

/// A throat is that of an end with an anvil.
fn throat() -> Json {
    let ends = End::KNOWN
        .iter()
        .filter(|(_, end)| fitted::has_throat(*end));
    let ends: Vec<&str> = ends.map(|(word, _)| *word).collect();
    json!({ "if": says(key::END.path, &ends), "else": without([key::THROAT.path]) })
}

/// Nothing is said of the height and the walls of a nut to buy.
fn nut() -> Json {
    let mut bought = Map::new();
    put(&mut bought, key::NUT.path, json!({ "pattern": "[0-9]" }));
    bought.insert("required".into(), json!([key::NUT.path]));
    let idle = without([key::NUT_HEIGHT.path, key::PERIMETERS_NUT.path]);
    json!({ "if": bought, "then": idle })
}

/// Pins to buy come in no grades.
fn pins() -> Json {
    let mut file = Map::new();
    let bought =
        json!({ key::PINS_BUY.leaf(): { "properties": { key::PINS_GRADES.leaf(): REFUSED } } });
    put(&mut file, "pins", json!({ "dependentSchemas": bought }));
    Json::Object(file)
}

/// A lasting load is a load.
fn load() -> Json {
    let some = [key::LOAD_FORCE.leaf(), key::LOAD_TORQUE.leaf()];
    let some = some.map(|leaf| json!({ "required": [leaf] }));
    let lasting = key::LOAD_LASTING.leaf();
    let rule = json!({
        "if": { "type": "object", "properties": { lasting: { "const": true } }, "required": [lasting] },
        "then": { "anyOf": some },
    });
    json!({ "properties": { key::LOAD.path: rule } })
}

/// A spring is given whole, its stiffness by one of two keys.
fn coil() -> Json {
    let sizes = [
        key::SPRING_WIRE.leaf(),
        key::SPRING_OUTSIDE.leaf(),
        key::SPRING_FREE.leaf(),
    ];
    let stiff = [key::SPRING_COILS.leaf(), key::SPRING_RATE.leaf()];
    let stiff = stiff.map(|leaf| json!({ "required": [leaf] }));
    let rule = json!({
        "if": { "minProperties": 1 },
        "then": { "required": sizes, "oneOf": stiff },
    });
    json!({ "properties": { "spring": rule } })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at<'a>(schema: &'a Json, path: &str) -> &'a Json {
        path.split('.')
            .fold(schema, |value, name| &value["properties"][name])
    }

    #[test]
    fn every_key_stands_in_its_table_with_what_it_is_for() {
        let schema = schema(&["bed"]);
        for key in key::keys() {
            if key.path.contains('*') || key.path.starts_with("waive.") || key.path == "load" {
                continue;
            }
            let mut found = at(&schema, key.path);
            if key.path.starts_with("load.") {
                found = at(&at(&schema, "load")["anyOf"][1], key.path.split_at(5).1);
            }
            let told = found["description"].as_str().unwrap_or_default();
            assert!(told.starts_with(key.meaning), "{}: {found}", key.path);
        }
        let joint = &at(&schema, "gaps.joint")["additionalProperties"];
        assert!(joint["description"].is_string());
        let row = &at(&schema, "waive")["items"];
        assert_eq!(row["required"], json!(["check", "reason"]));
    }

    #[test]
    fn bounds_of_bare_lengths_are_those_of_the_units_and_in_inches_no_narrower() {
        let [mm, inch] =
            [Units::Mm, Units::Inch].map(|units| Json::Object(bounds(&key::FORM, units)));
        assert_eq!(at(&mm, "stroke")["maximum"], json!(1000.0));
        let most = at(&inch, "stroke")["maximum"].as_f64().unwrap_or_default();
        assert!(most * 25.4 >= 1000.0 && most * 25.4 < 1000.001, "{most}");
        let least = at(&inch, "gaps.press")["minimum"]
            .as_f64()
            .unwrap_or_default();
        assert!(least * 25.4 <= -0.3 && least * 25.4 > -0.301, "{least}");
        assert_eq!(at(&mm, "bed")["items"]["minimum"], json!(50.0));
        assert!(at(&mm, "hand_torque").is_null());
    }
}
