//! What the documents say of the program is what the program does.
#[path = "../../examples/kit_file_manual.rs"]
#[expect(dead_code, reason = "the example's own `main`")]
mod kit_file_manual;

use crate::support::shell::{done, project};
use std::collections::BTreeSet;

const README: &str = include_str!("../../README.md");
const DEVELOPERS: &str = include_str!("../../DEVELOPERS.md");
const RULES: &str = include_str!("../../docs/rules.md");
const MANUAL: &str = include_str!("../../docs/kit-file.md");

#[test]
fn the_manual_of_the_kit_file_is_what_the_code_declares() {
    assert_eq!(
        MANUAL,
        kit_file_manual::manual(),
        "run: cargo run --example kit_file_manual > docs/kit-file.md"
    );
}

#[test]
fn the_manual_of_the_rules_is_what_the_code_declares() {
    assert_eq!(
        RULES,
        netlead::output::rules_page::document(),
        "run: cargo run --example rules_manual > docs/rules.md"
    );
}

#[test]
fn the_readme_quotes_a_rule_as_it_is_printed() {
    let page = done(&project(""), &["rules", "drive-wall"]);
    assert!(README.contains(&page), "README does not quote:\n{page}");
}

#[test]
fn the_readme_quotes_the_preset_and_its_figures_as_they_are() {
    let preset = std::fs::read_to_string(project("presets/desk-stage.toml")).unwrap();
    assert!(README.contains(preset.trim()), "the kit file in the README");
    let page = done(&project(""), &["check", "presets/desk-stage.toml"]);
    let quoted = README.split("```text\n").nth(1).unwrap();
    let quoted = quoted.split("```").next().unwrap();
    for line in quoted.lines().filter(|line| !line.trim().is_empty()) {
        assert!(page.contains(line), "the README quotes: {line}");
    }
}

#[test]
fn the_readme_names_every_preset_and_command() {
    let presets = std::fs::read_dir(project("presets")).unwrap();
    for preset in presets {
        let name = preset.unwrap().file_name().into_string().unwrap();
        let name = format!("`{}`", name.trim_end_matches(".toml"));
        assert!(README.contains(&name), "preset {name}");
    }
    let help = done(&project(""), &["--help"]);
    let commands = help.split("Commands:\n").nth(1).unwrap();
    let rows = commands.lines().take_while(|line| !line.is_empty());
    // A long description goes on in a second line, further in.
    for line in rows.filter(|line| !line.starts_with("   ")) {
        let command = line.split_whitespace().next().unwrap();
        let named = README.contains(&format!("`netlead {command}")) || command == "help";
        assert!(named, "command {command}");
    }
}

/// First cells of the rows of the table below a heading of the map, each split at its commas.
fn first_cells(heading: &str) -> BTreeSet<String> {
    let section = DEVELOPERS.split(&format!("\n## {heading}\n")).nth(1);
    let section = section.unwrap().split("\n## ").next().unwrap();
    let rows = section.lines().filter(|line| line.starts_with("| "));
    // The first row is the table's head.
    let cells = rows.skip(1).map(|row| row.split('|').nth(1).unwrap());
    let names = cells.flat_map(|cell| cell.split(','));
    names.map(|name| name.trim().replace('`', "")).collect()
}

/// Names of what lies in a folder of the project, but for those given.
fn names_in(folder: &str, but: &[&str]) -> BTreeSet<String> {
    let entries = std::fs::read_dir(project(folder)).unwrap();
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
    let manifest = std::fs::read_to_string(project("Cargo.toml")).unwrap();
    let sections = manifest.split("\n[").filter(|section| {
        section.starts_with("dependencies]") || section.starts_with("dev-dependencies]")
    });
    for line in sections
        .flat_map(str::lines)
        .filter(|line| line.contains(" = "))
    {
        let name = line.split(" = ").next().unwrap();
        assert!(
            DEVELOPERS.contains(&format!("| {name} |")),
            "dependency {name}"
        );
    }
}

#[test]
fn the_readme_quotes_a_table_of_a_varied_kit_as_it_is_printed() {
    let table = done(
        &project(""),
        &["vary", "presets/desk-stage.toml", "layer=0.1..0.25:0.05"],
    );
    assert!(README.contains(&table), "README does not quote:\n{table}");
}
