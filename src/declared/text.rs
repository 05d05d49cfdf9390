//! What free text must be like, and what to write when it is not.

use super::quantity::Fault;
use super::schema::in_any_case;
use serde_json::{Value as Json, json};

/// A rule for text.
#[derive(Clone, Copy)]
pub(crate) struct TextRule {
    /// The rule in words.
    pub(crate) range: &'static str,
    /// A text that passes, as it may stand behind `=`.
    pub(crate) example: &'static str,
    /// Whether a text passes; the first is the key as it is typed, for the mend.
    pub(crate) check: fn(&str, &str) -> Result<(), Fault>,
    /// What JSON Schema can say of it, beside that it is text; it refuses nothing that passes.
    pub(crate) schema: fn() -> Json,
}

/// Names a thing and its file or folder on any common file system.
pub(crate) const FOLDER_NAME: TextRule = TextRule {
    range: "1 to 60 letters, digits, spaces, - _ and .",
    example: "\"focus stage\"",
    check: folder_name,
    schema: folder_name_schema,
};

/// Any words on one line, also none.
pub(crate) const REMARK: TextRule = TextRule {
    range: "at most 200 characters on one line",
    example: "\"grey, dried\"",
    check: remark,
    schema: remark_schema,
};

/// Longest remark, in characters. Guess.
const LONGEST_REMARK: usize = 200;
/// Longest name, in characters. At four bytes each and with a suffix it stays within the 255
/// bytes that common file systems allow a name (common practice).
const LONGEST_NAME: usize = 60;
/// Names of devices that one common system does not let a folder have, in any case and with
/// any ending (common practice).
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8",
    "com9", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

pub(crate) fn folder_name(key: &str, text: &str) -> Result<(), Fault> {
    let (message, at) = if let Some((at, odd)) = text.char_indices().find(|(_, c)| !is_plain(*c)) {
        let message = format!("has {}, which does not fit a folder's name", shown(odd));
        (message, at..at + odd.len_utf8())
    } else if text.trim().is_empty() {
        ("is empty".to_owned(), 0..text.len())
    } else if text.chars().count() > LONGEST_NAME {
        let long = text.chars().count();
        (
            format!("has {long} characters, the most is {LONGEST_NAME}"),
            0..text.len(),
        )
    } else if text.starts_with(['.', ' ']) {
        ("starts with a full stop or a space".to_owned(), 0..1)
    } else if text.ends_with(['.', ' ']) {
        let end = text.len();
        ("ends with a full stop or a space".to_owned(), end - 1..end)
    } else if is_device(text) {
        (format!("is `{text}`, the name of a device"), 0..text.len())
    } else {
        return Ok(());
    };
    let mend = format!("write `{key} = \"{}\"`", cleaned(text));
    Err(Fault { message, at, mend })
}

/// Letters and digits of all scripts cannot be named in every dialect of patterns, so what is no letter
/// in ASCII is refused.
fn folder_name_schema() -> Json {
    const ODD: &str = r"\u0000-\u001f!-,/:-@\[-^`{-\u007f";
    let devices = in_any_case(DEVICES.into_iter());
    let device = devices.replace(")[", r")(?:[ ]*\..*)?[");
    json!({
        "maxLength": LONGEST_NAME,
        "pattern": format!("^[^. {ODD}]([^{ODD}]*[^. {ODD}])?$"),
        "not": { "pattern": device },
    })
}

fn remark_schema() -> Json {
    json!({ "maxLength": LONGEST_REMARK, "pattern": r"^[^\u0000-\u001f\u007f]*$" })
}

fn is_plain(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.')
}

fn is_device(text: &str) -> bool {
    let stem = text.split('.').next().unwrap_or_default().trim();
    DEVICES
        .iter()
        .any(|device| device.eq_ignore_ascii_case(stem))
}

fn shown(c: char) -> String {
    match c.is_control() {
        true => format!("the control character U+{:04X}", u32::from(c)),
        false => format!("`{c}`"),
    }
}

/// The nearest name that passes.
fn cleaned(text: &str) -> String {
    let plain: String = text
        .chars()
        .map(|c| if is_plain(c) { c } else { '-' })
        .collect();
    let short: String = plain
        .trim_matches(['.', ' ', '-'])
        .chars()
        .take(LONGEST_NAME)
        .collect();
    match short.trim_end_matches(['.', ' ']) {
        name if name.is_empty() || is_device(name) => "my kit".to_owned(),
        name => name.to_owned(),
    }
}

fn remark(_: &str, text: &str) -> Result<(), Fault> {
    let (message, at) = if let Some((at, odd)) = text.char_indices().find(|(_, c)| c.is_control()) {
        (format!("has {}", shown(odd)), at..at + odd.len_utf8())
    } else if text.chars().count() > LONGEST_REMARK {
        let long = text.chars().count();
        let message = format!("has {long} characters, the most is {LONGEST_REMARK}");
        (message, 0..text.len())
    } else {
        return Ok(());
    };
    let mend = format!("write at most {LONGEST_REMARK} characters on one line");
    Err(Fault { message, at, mend })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_the_name_offered_passes_the_rule(text in any::<String>()) {
            prop_assert!(folder_name("name", &cleaned(&text)).is_ok(), "{:?}", cleaned(&text));
        }
    }
}
