//! What `check --all` says would be quicker to print: whoever types it saves what was told, and nothing
//! comes out worse.

use crate::support::shell::{data, done, preset, room, unfolded};
use netlead::kit::edit::with_value;
use serde_json::Value;
use std::fs;

const TITLE: &str = "Quicker to print";

/// Key and value of every line that is told to be typed in the section.
fn typed(page: &str) -> Vec<(String, String)> {
    let section = unfolded(page);
    let (_, section) = section.split_once(TITLE).expect("the section");
    let mut parts = section.split('`');
    let mut found = Vec::new();
    // What stands between the first and the second quote, then what follows it.
    parts.next();
    while let (Some(line), Some(after)) = (parts.next(), parts.next()) {
        let (leaf, value) = line.split_once(" = ").expect("a line of TOML");
        match after.strip_prefix(" in ") {
            Some(_) => {
                let table = parts.next().expect("a table");
                parts.next();
                found.push((format!("{table}.{leaf}"), value.to_owned()));
            }
            None => found.push((leaf.to_owned(), value.to_owned())),
        }
    }
    found
}

fn minutes(report: &Value) -> f64 {
    report["print"]["time_min"]["nominal"].as_f64().unwrap()
}

/// Checks that are not passed, by how they came out.
fn open(report: &Value) -> Vec<String> {
    let checks = report["checks"].as_array().unwrap().iter();
    let open = checks.filter(|check| check["outcome"] != "pass");
    open.map(|check| format!("{} {} {}", check["id"], check["subject"], check["outcome"]))
        .collect()
}

#[test]
fn what_is_told_to_be_quicker_is_and_brings_no_new_note() {
    let room = room();
    let mut told = 0;
    for name in ["desk-stage", "board-stop", "fine-stop"] {
        let text = preset(name);
        fs::write(room.path().join("kit.toml"), &text).unwrap();
        let page = done(room.path(), &["check", "kit.toml", "--all"]);
        let before = data(room.path(), &["check", "kit.toml", "--json"]);
        for (key, value) in typed(&page) {
            let edited = with_value(&text, &key, &value).unwrap();
            fs::write(room.path().join("other.toml"), edited).unwrap();
            let after = data(room.path(), &["check", "other.toml", "--json"]);
            assert!(
                minutes(&after) < minutes(&before) - 9.0,
                "{name}: {key} = {value}"
            );
            let known = open(&before);
            let new: Vec<String> = open(&after)
                .into_iter()
                .filter(|o| !known.contains(o))
                .collect();
            assert_eq!(new, Vec::<String>::new(), "{name}: {key} = {value}");
            told += 1;
        }
    }
    assert!(told > 0, "nothing was told of any preset");
}
