//! Syntax errors of the TOML parser, with what to type instead.

use crate::diagnostic::{Diagnostic, position};
use std::ops::Range;

/// Each error of the parser as a problem; the first one only where several blame a line, since
/// the later ones follow from it.
pub(super) fn problems(text: &str, errors: &[toml::de::Error]) -> Vec<Diagnostic> {
    let mut problems: Vec<Diagnostic> = Vec::new();
    let mut blamed: Vec<Range<usize>> = Vec::new();
    for error in errors {
        let at = on_characters(text, error.span().unwrap_or(0..0));
        let line = lines(text, at.clone());
        if !blamed.contains(&line) {
            blamed.push(line);
            problems.push(problem(text, error.message(), at));
        }
    }
    problems
}

/// The bytes of the lines on which `at` lies, with their line ends.
pub(super) fn lines(text: &str, at: Range<usize>) -> Range<usize> {
    let start = text[..at.start].rfind('\n').map_or(0, |feed| feed + 1);
    let end = text[at.end..]
        .find('\n')
        .map_or(text.len(), |feed| at.end + feed + 1);
    start..end
}

fn on_characters(text: &str, at: Range<usize>) -> Range<usize> {
    let start = text.floor_char_boundary(at.start.min(text.len()));
    let end = text.ceil_char_boundary(at.end.min(text.len())).max(start);
    start..end
}

/// The part of a parser's message that says what it found wrong.
fn problem(text: &str, message: &str, at: Range<usize>) -> Diagnostic {
    let found = &text[at.clone()];
    let line = text[lines(text, at.clone())].trim();
    let (said, expected) = message.split_once(", expected ").unwrap_or((message, ""));
    let label = match expected {
        "" => String::new(),
        expected => format!("expected {expected}"),
    };
    let (message, mend) = if said == "duplicate key" {
        let message = format!("the key `{}` stands here a second time", found.trim());
        (message, duplicate(text, found, at.start))
    } else {
        let mend = straight_quotes(line)
            .or_else(|| decimal_point(line, found))
            .unwrap_or_else(|| mend(said, found, line));
        (format!("this is not TOML: {said}"), mend)
    };
    Diagnostic::error(message, at).label(label).mend(mend)
}

/// Names the line that has the key already.
fn duplicate(text: &str, key: &str, at: usize) -> String {
    let start = lines(text, at..at).start;
    let earlier = text[..start].lines().position(|line| {
        let line = line.trim_start_matches(['[', ' ', '\t', '\u{feff}']);
        line.strip_prefix(key.trim())
            .is_some_and(|rest| rest.trim_start().starts_with(['=', ']', '.']))
    });
    match earlier {
        Some(earlier) => format!("keep this line or line {}, not both", earlier + 1),
        None => format!(
            "keep one of the two; this one is in line {}",
            position(text, at).0
        ),
    }
}

fn straight_quotes(line: &str) -> Option<String> {
    let curly = |c| {
        matches!(
            c,
            '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{2018}' | '\u{2019}'
        )
    };
    let value = line.split_once('=')?.1.trim();
    let straight = value.trim_matches(curly);
    let curly = value.starts_with(curly) && !straight.contains('"');
    curly.then(|| format!("write straight quotes: `\"{straight}\"`"))
}

fn decimal_point(line: &str, found: &str) -> Option<String> {
    let value = line.split_once('=')?.1.split('#').next()?.trim();
    let (whole, decimals) = value.split_once(',')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    (digits(whole.trim_start_matches('-')) && digits(decimals) && !found.contains('\n'))
        .then(|| format!("write a decimal point: `{whole}.{decimals}`"))
}

/// What to type for each complaint of the parser (crate `toml_parser`); the last line of the
/// list holds for those that are too rare for a mend of their own.
fn mend(said: &str, found: &str, line: &str) -> String {
    // A longer piece of text is not worth repeating.
    const QUOTED: usize = 40;
    let key = line.split('=').next().unwrap_or_default().trim();
    match said {
        "string values must be quoted" | "invalid value" | "unexpected key or value"
            if line.contains('=') && found.len() <= QUOTED =>
        {
            let value = line.split_once('=').map_or("", |(_, value)| value);
            let value = value.split('#').next().unwrap_or_default().trim();
            let value = value.trim_matches(['"', '\'']);
            format!("write text in quotes: `{key} = \"{value}\"`")
        }
        "missing value for key" | "missing value" | "key with no value" => {
            format!("write a value behind `{key} =`, or remove the line")
        }
        "extra `=`" => "write one `=` only".to_owned(),
        "unclosed table" => "close the table's name with `]`".to_owned(),
        "unclosed array table" => "close the table's name with `]]`".to_owned(),
        "unclosed array" => "close the list with `]`".to_owned(),
        "unclosed inline table" => "close the table with `}`".to_owned(),
        _ if said.contains("missing comma") => "put a comma between the values".to_owned(),
        _ if said.contains("extra comma") => "remove the extra comma".to_owned(),
        _ if said.contains("basic string") || said.contains("literal string") => {
            "close the text with the quote that opens it; write `\\\\` for a backslash".to_owned()
        }
        _ if said.contains("leading zero") => "write the number without its first zero".to_owned(),
        _ => "a line is `key = value` with text in double quotes, or a table's name in brackets"
            .to_owned(),
    }
}
