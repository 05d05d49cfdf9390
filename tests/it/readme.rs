//! The README's commands do what stands there.
//!
//! Its fenced blocks are worked off in their order, in one folder that holds what the README says
//! is there. The first word behind a fence, and what follows it, say what a block is:
//!
//! - `console`: behind `$` a command, below it all that it prints, where a line `...` stands for
//!   one line or more that are left out;
//! - `toml write="FILE"`: the whole of a file; `append="FILE"`: what is added to its end;
//!   `is="FILE"`: the whole of a file of the project;
//! - `rust`: a program, part of the example that stands at the top of the library;
//! - `sh not-run="WHY"`: commands that are not run here, each of which [`NOT_RUN`] names, too.
//!
//! Any other block fails the test, so that none is passed over.

use crate::support::shell::{self, command, done, preset, project};
use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::sync::LazyLock;

static README: LazyLock<String> =
    LazyLock::new(|| fs::read_to_string(project("README.md")).unwrap());

/// Commands that are shown and not run, with the reason that the README gives beside them.
const NOT_RUN: [(&str, &str); 2] = [
    (
        "cargo test --release",
        "this page is proved by a part of it",
    ),
    ("netlead watch desk-stage.toml", "it goes on until Ctrl-C"),
];

/// What stands for lines that are left out.
const LEFT_OUT: &str = "...";

/// Files of the project that lie in the folder, as the README says.
const AT_HAND: [&str; 2] = ["examples/filled-form.toml", "examples/measured.toml"];

/// A fenced block.
struct Block {
    /// Line of the README at which it begins.
    line: usize,
    /// What stands behind its fence.
    kind: &'static str,
    /// Its lines.
    text: Vec<&'static str>,
}

fn blocks() -> Vec<Block> {
    let mut found: Vec<Block> = Vec::new();
    let mut open = false;
    for (index, line) in README.lines().enumerate() {
        match line.strip_prefix("```") {
            Some(_) if open => open = false,
            Some(kind) => {
                open = true;
                found.push(Block {
                    line: index + 1,
                    kind,
                    text: Vec::new(),
                });
            }
            None if open => found.last_mut().unwrap().text.push(line),
            None => {}
        }
    }
    assert!(!open, "the last block has no end");
    found
}

impl Block {
    /// The value of `key="value"` behind the fence.
    fn value(&self, key: &str) -> Option<&'static str> {
        let (_, rest) = self.kind.split_once(&format!(" {key}=\""))?;
        rest.strip_suffix('"')
    }

    /// Its lines as the text of a file.
    fn file(&self) -> String {
        self.text.join("\n") + "\n"
    }

    /// The commands with the lines below each.
    fn runs(&self) -> Vec<(&'static str, Vec<&'static str>)> {
        let mut runs: Vec<(&str, Vec<&str>)> = Vec::new();
        for line in &self.text {
            match line.strip_prefix("$ ") {
                Some(typed) => runs.push((typed, Vec::new())),
                None => {
                    let run = runs.last_mut();
                    let (_, told) =
                        run.unwrap_or_else(|| panic!("README:{}: no command", self.line));
                    told.push(line);
                }
            }
        }
        runs
    }
}

/// Arguments of a command that means the program, by either of the names that the README gives it.
fn arguments(typed: &str) -> Option<Vec<&str>> {
    let rest = typed.strip_prefix("netlead ");
    let rest = rest.or_else(|| typed.strip_prefix("cargo run --release -- "))?;
    Some(rest.split(' ').collect())
}

/// All that a run prints, both streams as a terminal mixes them, and whether it did what it should.
fn told(folder: &Path, arguments: &[&str]) -> (String, bool) {
    let (mut reader, writer) = std::io::pipe().unwrap();
    let mut run = command(folder, arguments);
    run.stdout(writer.try_clone().unwrap()).stderr(writer);
    let mut child = run.spawn().unwrap();
    // The writers' last copies, without which the pipe has an end.
    drop(run);
    let mut told = String::new();
    reader.read_to_string(&mut told).unwrap();
    (told, child.wait().unwrap().success())
}

/// Whether lines are those that were shown, where [`LEFT_OUT`] stands for any, but for none.
fn is_shown(shown: &[&str], lines: &[&str]) -> bool {
    match (shown, lines) {
        ([], []) => true,
        ([LEFT_OUT, later @ ..], [_, rest @ ..]) => is_shown(later, rest) || is_shown(shown, rest),
        ([first, later @ ..], [line, rest @ ..]) => first == line && is_shown(later, rest),
        _ => false,
    }
}

/// Lines without trailing blank ones.
fn trimmed<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut lines: Vec<&str> = lines.collect();
    while lines.last().is_some_and(|line| line.trim().is_empty()) {
        lines.pop();
    }
    lines
}

/// Holds a program's lines against the example of the library's own page, which is compiled and run.
fn is_of_the_library(block: &Block) {
    let page = fs::read_to_string(project("src/lib.rs")).unwrap();
    let example = page.split("```").nth(1).unwrap();
    let mut lines = example
        .lines()
        .map(|line| line.trim_start_matches("//!").trim());
    for shown in &block.text {
        let found = lines.any(|line| line == shown.trim());
        assert!(found, "README:{}: no example has `{shown}`", block.line);
    }
}

/// Runs a block's commands and holds what they print against what is shown.
fn run(block: &Block, folder: &Path) {
    for (typed, shown) in block.runs() {
        let line = block.line;
        let arguments = arguments(typed).unwrap_or_else(|| panic!("README:{line}: {typed}"));
        let (told, succeeded) = told(folder, &arguments);
        let shown = trimmed(shown.into_iter());
        assert!(
            is_shown(&shown, &trimmed(told.lines())),
            "README:{line}: $ {typed}\nshown:\n{}\ntold:\n{told}",
            shown.join("\n")
        );
        let refused = shown.iter().any(|line| line.starts_with("Stop at "));
        assert_eq!(succeeded, !refused, "README:{line}: $ {typed}\n{told}");
    }
}

/// A folder with the presets and what else the README says lies there.
fn folder() -> tempfile::TempDir {
    let room = shell::room();
    fs::create_dir(room.path().join("presets")).unwrap();
    for entry in fs::read_dir(project("presets")).unwrap() {
        let from = entry.unwrap().path();
        let to = room.path().join("presets").join(from.file_name().unwrap());
        fs::copy(from, to).unwrap();
    }
    for file in AT_HAND {
        assert!(README.contains(&format!("`{file}`")), "{file}");
        let name = Path::new(file).file_name().unwrap();
        fs::copy(project(file), room.path().join(name)).unwrap();
    }
    room
}

#[test]
fn every_block_of_the_readme_is_run_in_one_folder_and_says_what_stands_there() {
    let room = folder();
    let mut not_run = Vec::new();
    for block in blocks() {
        let name = block.kind.split(' ').next().unwrap();
        let values = ["write", "append", "is", "not-run"].map(|key| block.value(key));
        match (name, values) {
            ("console", [None, None, None, None]) => run(&block, room.path()),
            ("toml", [Some(file), None, None, None]) => {
                fs::write(room.path().join(file), block.file()).unwrap();
            }
            ("toml", [None, Some(file), None, None]) => {
                let file = fs::File::options()
                    .append(true)
                    .open(room.path().join(file));
                file.unwrap().write_all(block.file().as_bytes()).unwrap();
            }
            ("toml", [None, None, Some(file), None]) => {
                let text = fs::read_to_string(project(file)).unwrap();
                assert_eq!(block.file(), text, "README:{}", block.line);
            }
            ("sh", [None, None, None, Some(why)]) => {
                not_run.extend(block.text.iter().map(|typed| (*typed, why)));
            }
            ("rust", [None, None, None, None]) => is_of_the_library(&block),
            _ => panic!("README:{}: what is `{}`?", block.line, block.kind),
        }
    }
    assert_eq!(not_run, NOT_RUN);
}

#[test]
fn what_is_left_out_is_seen_and_nothing_else_is_passed_over() {
    let lines = ["a", "b", "c", "b", "d"];
    for shown in [
        &["a", "b", "c", "b", "d"][..],
        &["a", LEFT_OUT],
        &[LEFT_OUT, "d"],
        &["a", LEFT_OUT, "b", "d"],
        &[LEFT_OUT, "c", LEFT_OUT],
    ] {
        assert!(is_shown(shown, &lines), "{shown:?}");
    }
    for shown in [
        &["a", "b", "c", "b"][..],
        &["a", "b", "c", "b", "d", LEFT_OUT],
        &["a", "c", LEFT_OUT],
        &["a", LEFT_OUT, "c", "d"],
        &[LEFT_OUT, "d", "b", LEFT_OUT],
        &[LEFT_OUT, "a", LEFT_OUT],
    ] {
        assert!(!is_shown(shown, &lines), "{shown:?}");
    }
}

#[test]
fn a_new_thread_gap_alone_asks_for_new_tapped_parts_alone() {
    let claim = "`gaps.thread = 0.06` in the first kit\nasks for a new frame and drive screw and \
                 keeps all others";
    let said = |text: &str| shell::unfolded(text);
    assert!(said(&README).contains(&said(claim)));
    let room = shell::room();
    let file = room.path().join("kit.toml");
    let kit = preset("desk-stage") + "tolerance = 0.1\n";
    fs::write(&file, &kit).unwrap();
    done(room.path(), &["make", "kit.toml"]);
    fs::write(&file, kit + "gaps.thread = 0.06\n").unwrap();
    let page = done(room.path(), &["make", "kit.toml", "--all"]);
    let changes = page.split("Since the last run\n").nth(1).unwrap();
    let changes: Vec<&str> = changes
        .lines()
        .take_while(|line| !line.is_empty())
        .collect();
    assert!(changes[0].starts_with("  reprint frame: "), "{changes:?}");
    assert!(changes[1].starts_with("  reprint drive: "), "{changes:?}");
    assert_eq!(
        changes[2..],
        ["  keep carriage, pin, pin-thinner, pin-thicker, inner, keeper"]
    );
}

#[test]
fn the_readme_names_every_preset_and_command() {
    let presets = fs::read_dir(project("presets")).unwrap();
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
