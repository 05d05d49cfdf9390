//! The built program, run as a shell runs it.

use super::kept::Kept;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::Arc;

/// The program with these arguments in a folder, not yet started. The profiles of whoever runs
/// the tests are out of its sight.
pub(crate) fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_netlead"));
    command
        .args(arguments)
        .current_dir(folder)
        .env_remove("NETLEAD_PRINTERS")
        .env_remove("XDG_CONFIG_HOME")
        .env("HOME", folder);
    command
}

/// What a run to its end gives.
pub(crate) fn netlead(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments).output().unwrap()
}

/// Exit code of a run that no signal ended.
pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

/// What went to standard output.
pub(crate) fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// What went to standard error.
pub(crate) fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Standard output of a run that must succeed.
pub(crate) fn done(folder: &Path, arguments: &[&str]) -> String {
    let output = netlead(folder, arguments);
    assert_eq!(code(&output), 0, "{arguments:?}: {}", stderr(&output));
    stdout(&output)
}

/// Standard output of a run that must succeed, as data.
pub(crate) fn data(folder: &Path, arguments: &[&str]) -> serde_json::Value {
    serde_json::from_str(&done(folder, arguments)).unwrap()
}

/// Standard error of a run that must end with this code.
pub(crate) fn refused(folder: &Path, with: i32, arguments: &[&str]) -> String {
    let output = netlead(folder, arguments);
    assert_eq!(code(&output), with, "{arguments:?}: {}", stderr(&output));
    stderr(&output)
}

/// An empty folder that goes when it is dropped.
pub(crate) fn room() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// A file or folder of the project.
pub(crate) fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The text of a preset.
pub(crate) fn preset(name: &str) -> String {
    fs::read_to_string(project(&format!("presets/{name}.toml"))).unwrap()
}

/// What commands that only read say of presets.
static TOLD: Kept<Output> = Kept::new();

/// What a command that writes nothing says in the folder of the presets, run once for all tests.
pub(crate) fn of_presets(arguments: &[&str]) -> Arc<Output> {
    TOLD.get(format!("{arguments:?}"), || {
        let output = netlead(&project("presets"), arguments);
        assert_eq!(code(&output), 0, "{arguments:?}: {}", stderr(&output));
        output
    })
}

/// The report of a preset, as `check` gives it.
pub(crate) fn report(preset: &str) -> serde_json::Value {
    let output = of_presets(&["check", &format!("{preset}.toml"), "--json"]);
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A preset that was made into `out` in a folder of its own.
pub(crate) struct Made {
    /// What was said, all of it.
    pub(crate) output: Output,
    /// Every file in the folder, the kit's too, by its path from there.
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

/// What making presets gave.
static MADE: Kept<Made> = Kept::new();

/// What making a preset gives, done once for all tests that only look at it.
pub(crate) fn made(preset: &str) -> Arc<Made> {
    MADE.get(preset.to_owned(), || {
        let room = room();
        done(room.path(), &["start", preset, "kit.toml"]);
        let output = netlead(room.path(), &["make", "kit.toml", "--all"]);
        assert_eq!(code(&output), 0, "{preset}: {}", stderr(&output));
        let files = files(room.path());
        Made { output, files }
    })
}

/// Every file below a folder with its bytes, by its path from there.
pub(crate) fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        if entry.file_type().unwrap().is_dir() {
            let below = files(&entry.path());
            if below.is_empty() {
                // So that an empty folder is seen, too.
                found.insert(format!("{name}/"), Vec::new());
            }
            for (path, bytes) in below {
                found.insert(format!("{name}/{path}"), bytes);
            }
        } else {
            found.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    found
}

/// Words without the line ends and indents that fit them on a page.
pub(crate) fn unfolded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The names of all presets.
pub(crate) fn presets() -> Vec<String> {
    let entries = fs::read_dir(project("presets")).unwrap();
    let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names
        .map(|name| name.trim_end_matches(".toml").to_owned())
        .collect();
    names.sort();
    names
}
