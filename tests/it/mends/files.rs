//! Case files of kits: a line that a message tells to write is written, and the message is gone.

use crate::support::shell::project;
use netlead::diagnostic::Diagnostic;
use netlead::kit;

/// Ids of checks that the case files may waive.
const CHECKS: &[&str] = &["drive-wall", "engagement"];

fn problems(text: &str) -> Vec<Diagnostic> {
    kit::read(text, CHECKS).map_or_else(|problems| problems, |(_, warnings)| warnings)
}

/// The line that a mend tells to write: key and value. Of two, the first; one that is offered
/// as an example counts, for whoever copies it.
fn line(mend: &str) -> Option<(&str, &str)> {
    let (_, rest) = mend.split_once('`')?;
    let (line, _) = rest.split_once('`')?;
    line.split_once(" = ")
}

/// The text with that line, in place of what is blamed or where a line is missing. Nothing where
/// the mend names no line.
fn written(text: &str, problem: &Diagnostic) -> Option<String> {
    let (key, value) = line(problem.mend.as_deref()?)?;
    let at = problem.at.clone()?;
    let start = text[..at.start].rfind('\n').map_or(0, |end| end + 1);
    let end = text[at.end..]
        .find('\n')
        .map_or(text.len(), |end| at.end + end);
    let (old, _) = text[start..end].split_once('=').unwrap_or_default();
    let leaf = |key: &str| {
        key.trim()
            .rsplit('.')
            .next()
            .unwrap_or_default()
            .trim_matches('"')
            .to_owned()
    };
    let told = problem.mend.as_deref()?;
    if told.starts_with("add a line") {
        return Some(format!("{key} = {value}\n{text}"));
    }
    let same = leaf(old) == leaf(key) && told.starts_with("write ");
    same.then(|| format!("{}{old}= {value}{}", &text[..start], &text[end..]))
}

#[test]
fn a_line_that_a_message_tells_to_write_is_what_it_wants() {
    let mut followed = 0;
    for file in std::fs::read_dir(project("tests").join("kits")).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        for problem in problems(&text) {
            let Some(mended) = written(&text, &problem) else {
                continue;
            };
            let left = problems(&mended);
            let same = left.iter().filter(|other| other.message == problem.message);
            let before = problems(&text);
            let before = before
                .iter()
                .filter(|other| other.message == problem.message);
            assert!(
                same.count() < before.count(),
                "{}\n{:?}\n{mended}",
                problem.message,
                problem.mend
            );
            followed += 1;
        }
    }
    assert!(followed > 30, "{followed}");
}
