//! Case files: input with the problems that are expected of it as comments.
//!
//! Above the line to blame stand `#~ error:` or `#~ warning:` with the whole message, `#~ at:`
//! with the text that is marked, and `#~ help:` with the mend. A file without such
//! comments is valid.

use super::shell::project;
use netlead::diagnostic::{Diagnostic, Severity, position};

/// Fails unless every file in `tests/FOLDER` has the problems it names and no others.
pub(crate) fn assert_cases(folder: &str, problems: impl Fn(&str) -> Vec<Diagnostic>) {
    let mut files: Vec<_> = std::fs::read_dir(project("tests").join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty());
    let mut wrong = String::new();
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let (expected, mut found) = (expected(&text), found(&text, problems(&text)));
        for line in expected {
            match found.iter().position(|other| *other == line) {
                Some(index) => drop(found.remove(index)),
                None => wrong += &format!("{}: not found: {line}\n", file.display()),
            }
        }
        for line in found {
            wrong += &format!("{}: not expected: {line}\n", file.display());
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// The expectations of a case file, in the form of [`found`].
fn expected(text: &str) -> Vec<String> {
    let mut waiting: Vec<&str> = Vec::new();
    let mut expected = Vec::new();
    for (index, line) in text.lines().enumerate() {
        if let Some(expectation) = line.strip_prefix("#~ ") {
            waiting.push(expectation);
            continue;
        }
        for expectation in waiting.drain(..) {
            expected.push(format!("{}: {expectation}", index + 1));
        }
    }
    assert!(waiting.is_empty(), "expectations below the last line");
    expected
}

/// What is said of each problem, each with the number of the line to blame.
fn found(text: &str, problems: Vec<Diagnostic>) -> Vec<String> {
    let mut found = Vec::new();
    for problem in problems {
        let at = problem.at.clone().expect("a problem of a file has a place");
        let line = position(text, at.start).0;
        let severity = match problem.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        };
        found.push(format!("{line}: {severity}: {}", problem.message));
        // Where something is missing the marks stand between two characters.
        let marked = text[at].trim();
        if !marked.is_empty() {
            found.push(format!("{line}: at: {marked}"));
        }
        let mend = problem.mend.expect("every problem has a mend");
        found.push(format!("{line}: help: {mend}"));
    }
    found
}
