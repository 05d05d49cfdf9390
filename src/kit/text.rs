//! What the text of a waiver and the name of a printer must be like.

use crate::declared::{FOLDER_NAME, Fault, REMARK, TextRule};
use serde_json::json;

/// Says why, in enough words to be of use to the next reader.
pub(super) const REASON: TextRule = TextRule {
    range: "10 characters or more",
    example: "\"printed twice, holds\"",
    check: reason,
    schema: || json!({ "minLength": SHORTEST_REASON }),
};

/// Names a check; which ones there are is not for this room to know.
pub(super) const CHECK_ID: TextRule = TextRule {
    range: "the id of a check",
    example: "\"drive-wall\"",
    check: |_, _| Ok(()),
    schema: || json!({}),
};

/// Names a printer profile, or is the path of its file.
pub(super) const PRINTER_RULE: TextRule = TextRule {
    range: "a name, or a path that ends in .toml",
    example: "\"garage\"",
    check: |key, text| match is_path(text) {
        true => (REMARK.check)(key, text),
        false => (FOLDER_NAME.check)(key, text),
    },
    schema: REMARK.schema,
};

/// Shortest reason, in characters: shorter ones say nothing ("ok", "because"). Guess.
const SHORTEST_REASON: usize = 10;

/// Whether the name of a printer is the path of its file.
pub(super) fn is_path(text: &str) -> bool {
    text.ends_with(".toml")
}

fn reason(_: &str, text: &str) -> Result<(), Fault> {
    let long = text.trim().chars().count();
    if long >= SHORTEST_REASON {
        return Ok(());
    }
    Err(Fault {
        message: format!("has {long} characters, too few to say why"),
        at: 0..text.len(),
        mend: format!("say in {SHORTEST_REASON} characters or more why the check may be waived"),
    })
}
