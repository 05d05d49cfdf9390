//! Declared keys as JSON Schema (draft 2020-12), so that what edits a file knows them while it is typed.
//!
//! A schema never refuses what the reader takes: where JSON Schema cannot say a rule, it says less. Words
//! may be written in any case, so each stands there twice: as it is offered, and as a pattern. Bounds of
//! bare lengths hang on the file's units; they come apart, for the room that knows where units are said.

use super::{Form, Units};
use serde_json::{Map, Value as Json, json};

/// What a type of values is, as a schema says it.
pub(crate) struct Kind {
    /// All of it that holds in any units.
    pub(crate) any: Json,
    /// What more holds of it where bare numbers are mm, and where they are inches.
    pub(crate) bare: Option<[Json; 2]>,
}

/// A key as a schema says it.
pub(crate) struct KeySchema {
    /// After its table.
    pub(crate) path: &'static str,
    /// In any units, with what it is for.
    pub(crate) any: Json,
    /// See [`Kind::bare`].
    pub(crate) bare: Option<[Json; 2]>,
    /// Whether its table lacks something without it.
    pub(crate) required: bool,
}

impl Kind {
    /// The same in any units.
    pub(crate) fn plain(any: Json) -> Self {
        Self { any, bare: None }
    }
}

/// One of some words, in any case and with blanks around it.
pub(crate) fn words<'a>(words: impl Iterator<Item = &'a str> + Clone) -> Json {
    let offered: Vec<&str> = words.clone().collect();
    json!({
        "type": "string",
        "anyOf": [{ "enum": offered }, { "pattern": in_any_case(words) }],
    })
}

/// A pattern for some words in any case and with blanks around them.
pub(crate) fn in_any_case<'a>(words: impl Iterator<Item = &'a str>) -> String {
    let letter = |letter: char| match (letter.to_ascii_lowercase(), letter.to_ascii_uppercase()) {
        (low, high) if low != high => format!("[{low}{high}]"),
        _ if letter.is_ascii_alphanumeric() => letter.to_string(),
        // No letter of our words is special in a class of one but these, and none of them is there.
        _ => format!("[{letter}]"),
    };
    let words: Vec<String> = words
        .map(|word| word.chars().map(letter).collect())
        .collect();
    format!(r"^[\s\u0085]*(?:{})[\s\u0085]*$", words.join("|"))
}

/// A number in bounds.
pub(crate) fn number(least: f64, most: f64) -> Json {
    json!({ "type": "number", "minimum": least, "maximum": most })
}

/// A text with a number in it: a quantity, a thread, a pin.
pub(crate) fn with_digits() -> Json {
    json!({ "type": "string", "pattern": "[0-9]" })
}

/// A schema of one type or another.
pub(crate) fn either(one: Json, other: Json) -> Json {
    json!({ "anyOf": [one, other] })
}

/// The keys of a form as the fields of an object, all that holds in any units: nested tables, and nothing
/// that is not declared.
pub(crate) fn object(form: &Form) -> Map<String, Json> {
    let mut fields = table(form, &form.schemas(), "");
    fields.remove("type");
    fields
}

/// What holds more of a form's bare lengths in some units, as the fields of an object.
pub(crate) fn bounds(form: &Form, units: Units) -> Map<String, Json> {
    let mut all = Map::new();
    for key in form.schemas() {
        let bare = key.bare.map(|[mm, inch]| match units {
            Units::Mm => mm,
            Units::Inch => inch,
        });
        if let Some(bare) = bare {
            put(&mut all, key.path, bare);
        }
    }
    all
}

/// Puts what holds of a key where it stands: `head.bar` into the property `bar` of the property `head`.
pub(crate) fn put(fields: &mut Map<String, Json>, path: &str, holds: Json) {
    let (first, rest) = match path.split_once('.') {
        Some((first, rest)) => (first, Some(rest)),
        None => (path, None),
    };
    let all = match first {
        // Of a table whose keys are names that the file gives.
        "*" => {
            fields.insert("additionalProperties".into(), holds);
            return;
        }
        _ => object_in(fields, "properties"),
    };
    match rest {
        Some(rest) => put(object_in(all, first), rest, holds),
        None => match all.get_mut(first).and_then(Json::as_object_mut) {
            // A key that may be a value or a table has what holds of both.
            Some(known) => known.extend(holds.as_object().cloned().unwrap_or_default()),
            None => {
                all.insert(first.into(), holds);
            }
        },
    }
}

fn object_in<'a>(fields: &'a mut Map<String, Json>, name: &str) -> &'a mut Map<String, Json> {
    let entry = fields.entry(name.to_owned());
    let value = entry.or_insert_with(|| Json::Object(Map::new()));
    if !value.is_object() {
        *value = Json::Object(Map::new());
    }
    match value {
        Json::Object(fields) => fields,
        _ => unreachable!("it was made an object"),
    }
}

/// A table below a prefix.
fn table(form: &Form, keys: &[KeySchema], prefix: &str) -> Map<String, Json> {
    let mut properties = Map::new();
    let mut required: Vec<&str> = Vec::new();
    let mut others = Json::Bool(false);
    for child in form.children(prefix) {
        let path = format!("{prefix}{child}");
        let own = keys.iter().find(|key| key.path == path);
        let below = format!("{path}.");
        let inside = keys.iter().any(|key| key.path.starts_with(&below));
        let inside = inside.then(|| {
            let table = Json::Object(table(form, keys, &below));
            match form.repeated.contains(&path.as_str()) {
                true => json!({ "type": "array", "items": table }),
                false => table,
            }
        });
        let value = match (own.map(|key| key.any.clone()), inside) {
            (Some(own), Some(inside)) => either(own, inside),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => continue,
        };
        if child == "*" {
            others = value;
            continue;
        }
        if let Some(key) = own.filter(|key| key.required) {
            required.push(key.path.rsplit('.').next().unwrap_or(key.path));
        }
        properties.insert(child, value);
    }
    let mut fields = Map::new();
    fields.insert("type".into(), "object".into());
    fields.insert("properties".into(), Json::Object(properties));
    fields.insert("additionalProperties".into(), others);
    if !required.is_empty() {
        fields.insert("required".into(), json!(required));
    }
    fields
}
