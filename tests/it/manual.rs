//! What the documents say of the program is what the program does.
#[path = "../../examples/kit_file_manual.rs"]
#[expect(dead_code, reason = "the example's own `main`")]
mod kit_file_manual;

use crate::support::shell::{done, project, room};
use netlead::kit;
use std::collections::BTreeSet;
use std::fs;

/// A document of the project.
fn document(path: &str) -> String {
    fs::read_to_string(project(path)).unwrap()
}

#[test]
fn the_manual_of_the_kit_file_is_what_the_code_declares() {
    assert_eq!(
        document("docs/kit-file.md"),
        kit_file_manual::manual(),
        "run: cargo run --example kit_file_manual > docs/kit-file.md"
    );
}

/// The kits that the manual shows whole.
fn kits_shown() -> Vec<String> {
    let manual = document("docs/kit-file.md");
    let blocks = manual.split("```toml\n").skip(1);
    let blocks = blocks.map(|block| block.split("```").next().unwrap().to_owned());
    blocks.filter(|block| block.starts_with("name ")).collect()
}

#[test]
fn every_kit_that_the_manual_shows_passes_and_there_is_one_of_each_layout() {
    let room = room();
    let kits = kits_shown();
    for layout in ["single", "nested", "tandem", "opposed"] {
        let asks = format!("layout   = \"{layout}\"\n");
        assert!(kits.iter().any(|kit| kit.contains(&asks)), "{layout}");
    }
    let file = room.path().join("kit.toml");
    for kit in kits {
        fs::write(&file, &kit).unwrap();
        done(room.path(), &["check", "kit.toml"]);
    }
}

#[test]
fn five_lines_make_a_kit() {
    let first = kits_shown().remove(0);
    assert_eq!(first.lines().count(), 5);
}

#[test]
fn the_manual_of_the_rules_is_what_the_code_declares() {
    assert_eq!(
        document("docs/rules.md"),
        netlead::output::page::rules_page::document(),
        "run: cargo run --example rules_manual > docs/rules.md"
    );
}

/// First cells of the rows of the table below a heading of the map, each split at its commas.
fn first_cells(heading: &str) -> BTreeSet<String> {
    let map = document("DEVELOPERS.md");
    let section = map.split(&format!("\n## {heading}\n")).nth(1);
    let section = section.unwrap().split("\n## ").next().unwrap();
    let rows = section.lines().filter(|line| line.starts_with("| "));
    // The first row is the table's head.
    let cells = rows.skip(1).map(|row| row.split('|').nth(1).unwrap());
    let names = cells.flat_map(|cell| cell.split(','));
    names.map(|name| name.trim().replace('`', "")).collect()
}

/// Names of what lies in a folder of the project, but for those given.
fn names_in(folder: &str, but: &[&str]) -> BTreeSet<String> {
    let entries = fs::read_dir(project(folder)).unwrap();
    let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.filter(|name| !but.contains(&name.as_str())).collect()
}

#[test]
fn the_map_tables_the_rooms_that_there_are() {
    let names = names_in("src", &[]);
    let rooms: BTreeSet<_> = names
        .iter()
        .map(|name| name.trim_end_matches(".rs").to_owned())
        .collect();
    assert_eq!(first_cells("Rooms"), rooms);
}

#[test]
fn the_map_tables_the_tests_that_there_are() {
    // Seeds of properties that failed are no tests.
    let folders = names_in("tests", &["it", "proptest-regressions"]);
    let modules = names_in("tests/it", &["main.rs"]);
    let folders = folders.iter().map(|name| format!("tests/{name}"));
    let modules = modules.iter().map(|name| format!("tests/it/{name}"));
    let tests: BTreeSet<_> = folders.chain(modules).collect();
    assert_eq!(first_cells("What each test proves"), tests);
}

#[test]
fn the_map_names_every_dependency() {
    let (map, manifest) = (document("DEVELOPERS.md"), document("Cargo.toml"));
    let sections = manifest.split("\n[").filter(|section| {
        section.starts_with("dependencies]") || section.starts_with("dev-dependencies]")
    });
    for line in sections
        .flat_map(str::lines)
        .filter(|line| line.contains(" = "))
    {
        let name = line.split(" = ").next().unwrap();
        assert!(map.contains(&format!("| {name} |")), "dependency {name}");
    }
}

/// Every text file with this ending in a folder of the project and below it.
fn texts(folder: &str, ending: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(project(folder)).unwrap() {
        let entry = entry.unwrap();
        let path = format!("{folder}/{}", entry.file_name().into_string().unwrap());
        if entry.file_type().unwrap().is_dir() {
            found.extend(texts(&path, ending));
        } else if path.ends_with(ending) {
            found.push((document(&path), path));
        }
    }
    found
}

/// What stands behind backquotes in a line and looks like a key in a table of these.
fn keys_named<'a>(line: &'a str, tables: &BTreeSet<&str>) -> Vec<&'a str> {
    let is_key = |letter: char| letter.is_ascii_lowercase() || matches!(letter, '_' | '.');
    let behind = line.split('`').skip(1);
    let names = behind.map(|text| text.split(|letter| !is_key(letter)).next().unwrap());
    let in_a_table = |name: &&str| {
        let table = name
            .split_once('.')
            .map(|(table, key)| (table, key.is_empty()));
        table.is_some_and(|(table, open)| tables.contains(table) && !open)
    };
    names.filter(in_a_table).collect()
}

#[test]
fn every_key_that_a_text_names_can_be_set_in_a_kit() {
    let keys = kit::keys();
    let keys: BTreeSet<&str> = keys.iter().map(|key| key.path).collect();
    let tables: BTreeSet<&str> = keys
        .iter()
        .filter_map(|path| Some(path.split_once('.')?.0))
        .collect();
    // Tables whose keys the maker names.
    let open: Vec<&str> = keys
        .iter()
        .filter_map(|path| path.strip_suffix(".*"))
        .collect();
    let mut all = texts("docs", ".md");
    all.push((document("README.md"), "README.md".into()));
    all.extend(texts("src", ".rs"));
    let mut named = 0;
    for (text, path) in &all {
        // Comments name fields of types in the same way; messages are no comments.
        let said = |line: &&str| !line.trim_start().starts_with("//");
        for line in text.lines().filter(said) {
            for key in keys_named(line, &tables) {
                named += 1;
                let open = open.iter().any(|table| key.starts_with(table));
                assert!(
                    keys.contains(key) || open,
                    "{path}: there is no key `{key}`: {line}"
                );
            }
        }
    }
    // The manual of kit files alone names more.
    assert!(named > keys.len(), "{named}");
}
