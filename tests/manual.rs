//! What the documents say of the program is what the program does.
#![expect(
    clippy::unwrap_used,
    reason = "a document or a program that is not there fails the test"
)]

#[path = "../examples/kit_file_manual.rs"]
#[expect(dead_code, reason = "the example's own `main`")]
mod kit_file_manual;

use std::path::Path;
use std::process::Command;

const README: &str = include_str!("../README.md");
const DEVELOPERS: &str = include_str!("../DEVELOPERS.md");
const RULES: &str = include_str!("../docs/rules.md");
const MANUAL: &str = include_str!("../docs/kit-file.md");

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn netlead(arguments: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_netlead"));
    let output = command
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap();
    assert!(output.status.success(), "netlead {arguments:?}");
    String::from_utf8(output.stdout).unwrap()
}

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
        netlead::output::page::rules_page::document(),
        "run: cargo run --example rules_manual > docs/rules.md"
    );
}

#[test]
fn the_readme_quotes_a_rule_as_it_is_printed() {
    let page = netlead(&["rules", "drive-wall"]);
    assert!(README.contains(&page), "README does not quote:\n{page}");
}

#[test]
fn the_readme_quotes_the_preset_and_its_figures_as_they_are() {
    let preset = std::fs::read_to_string(root().join("presets/desk-stage.toml")).unwrap();
    assert!(README.contains(preset.trim()), "the kit file in the README");
    let page = netlead(&["check", "presets/desk-stage.toml"]);
    let quoted = README.split("```text\n").nth(1).unwrap();
    let quoted = quoted.split("```").next().unwrap();
    for line in quoted.lines().filter(|line| !line.trim().is_empty()) {
        assert!(page.contains(line), "the README quotes: {line}");
    }
}

#[test]
fn the_readme_names_every_preset_and_command() {
    let presets = std::fs::read_dir(root().join("presets")).unwrap();
    for preset in presets {
        let name = preset.unwrap().file_name().into_string().unwrap();
        let name = format!("`{}`", name.trim_end_matches(".toml"));
        assert!(README.contains(&name), "preset {name}");
    }
    let help = netlead(&["--help"]);
    let commands = help.split("Commands:\n").nth(1).unwrap();
    let rows = commands.lines().take_while(|line| !line.is_empty());
    // A long description goes on in a second line, further in.
    for line in rows.filter(|line| !line.starts_with("   ")) {
        let command = line.split_whitespace().next().unwrap();
        let named = README.contains(&format!("`netlead {command}")) || command == "help";
        assert!(named, "command {command}");
    }
}

#[test]
fn the_map_names_every_room_every_test_and_every_dependency() {
    for entry in std::fs::read_dir(root().join("src")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let room = name.trim_end_matches(".rs");
        assert!(DEVELOPERS.contains(&format!("`{room}`")), "room {room}");
    }
    for entry in std::fs::read_dir(root().join("tests")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(DEVELOPERS.contains(&name), "tests/{name}");
    }
    let manifest = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
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
    let table = netlead(&["vary", "presets/desk-stage.toml", "layer=0.1..0.25:0.05"]);
    assert!(README.contains(&table), "README does not quote:\n{table}");
}
