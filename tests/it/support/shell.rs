//! The built program, run as a shell runs it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

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
    std::fs::read_to_string(project(&format!("presets/{name}.toml"))).unwrap()
}

/// Words without the line ends and indents that fit them on a page.
pub(crate) fn unfolded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
