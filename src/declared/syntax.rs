//! Syntax errors of the TOML parser, with what to type instead.

use crate::diagnostic::Diagnostic;
use std::borrow::Cow;
use std::ops::Range;
use toml::de::DeTable;

/// How the parser (crate `toml_parser`) complains of a line that is a key and no more. It reads
/// nothing below such a line.
const BARE_KEY: &str = "key with no value";
/// How the parser complains of bare text, and of no value at all.
const UNQUOTED: &str = "string values must be quoted";
/// How the parser complains of two values in a list.
const NO_COMMA_IN_LIST: &str = "missing comma between array elements";
/// How the parser complains of two keys in a table.
const NO_COMMA_IN_TABLE: &str = "missing comma between key-value pairs";

/// The text as it can be parsed to its end, and every error of the parser.
///
/// Lines that would stop the parser become blanks, so that every byte keeps its place.
pub(crate) fn readable(text: &str) -> (Cow<'_, str>, Vec<toml::de::Error>) {
    let (_, errors) = DeTable::parse_recoverable(text);
    let bare = |error: &toml::de::Error| error.message().starts_with(BARE_KEY);
    let (mut kept, others): (Vec<_>, Vec<_>) = errors.into_iter().partition(bare);
    if kept.is_empty() {
        return (Cow::Borrowed(text), others);
    }
    let mut readable = text.to_owned();
    for error in &kept {
        let line = lines(text, on_characters(text, error.span().unwrap_or(0..0)));
        let blanks: String = text[line.clone()]
            .bytes()
            .map(|byte| match byte {
                b'\r' | b'\n' => char::from(byte),
                _ => ' ',
            })
            .collect();
        readable.replace_range(line, &blanks);
    }
    kept.extend(DeTable::parse_recoverable(&readable).1);
    kept.sort_by_key(|error| error.span().map_or(0, |at| at.start));
    (Cow::Owned(readable), kept)
}

/// What is wrong with the syntax, and the bytes of which nothing more can be said.
#[derive(Default)]
pub(crate) struct Faults {
    /// A problem for each error of the parser, but for those that follow from another.
    pub(crate) problems: Vec<Diagnostic>,
    /// The lines that were not understood, in file order.
    pub(crate) broken: Vec<Range<usize>>,
}

/// Sorts the errors of the parser.
pub(crate) fn faults(text: &str, errors: &[toml::de::Error]) -> Faults {
    let mut faults = Faults::default();
    let mut sorted: Vec<&toml::de::Error> = errors.iter().collect();
    sorted.sort_by_key(|error| error.span().map_or(0, |at| at.start));
    for error in sorted {
        let at = on_characters(text, error.span().unwrap_or(0..0));
        let mut line = lines(text, at.clone());
        // The errors are sorted, so that only the last line can be blamed again.
        if faults
            .broken
            .last()
            .is_some_and(|broken| line.start < broken.end || line == *broken)
        {
            continue;
        }
        let swallowed = is_swallowed(text, error.message(), &at);
        faults.problems.push(match swallowed {
            true => swallowing(at),
            false => problem(text, error.message(), at),
        });
        if swallowed {
            line.end = text.len();
        }
        faults.broken.push(line);
    }
    faults
}

impl Faults {
    /// Whether `at` shares a byte with a line that was not understood; an empty span counts as
    /// the byte at which it stands.
    pub(crate) fn meet(&self, at: &Range<usize>) -> bool {
        let first = self.broken.partition_point(|line| line.end <= at.start);
        let end = at.end.max(at.start + 1);
        self.broken.get(first).is_some_and(|line| line.start < end)
    }
}

/// Whether the error is of a key that stands at the start of its line, but inside a list or
/// table that lacks its bracket. All that the parser finds below follows from that.
fn is_swallowed(text: &str, message: &str, at: &Range<usize>) -> bool {
    let before = &text[lines(text, at.start..at.start).start..at.start];
    let inside = [UNQUOTED, NO_COMMA_IN_TABLE, NO_COMMA_IN_LIST]
        .iter()
        .any(|words| message.starts_with(words));
    let key_ends = text[at.start..].find(|c: char| !(c.is_alphanumeric() || "_-.\"".contains(c)));
    let is_key = key_ends.is_some_and(|end| text[at.start + end..].trim_start().starts_with('='));
    inside && is_key && before.trim().is_empty()
}

fn swallowing(at: Range<usize>) -> Diagnostic {
    Diagnostic::error(
        "this line lies inside a list or table that is not closed",
        at,
    )
    .label("a bracket is missing above")
    .mend("close the list with `]`, or the table with `}`")
}

/// The bytes of the lines on which `at` lies, with their line ends.
pub(crate) fn lines(text: &str, at: Range<usize>) -> Range<usize> {
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

/// One error, in words for a maker.
fn problem(text: &str, message: &str, at: Range<usize>) -> Diagnostic {
    let found = &text[at.clone()];
    let line = text[lines(text, at.clone())].trim();
    let (said, expected) = message.split_once(", expected ").unwrap_or((message, ""));
    if said == "duplicate key" {
        let message = format!("the key `{}` stands here a second time", found.trim());
        let mend = duplicate(text, found, at.start);
        return Diagnostic::error(message, at).label("again").mend(mend);
    }
    let label = match (said, expected) {
        (UNQUOTED, _) if found.is_empty() => "no value".to_owned(),
        (UNQUOTED, _) => "text without quotes".to_owned(),
        (_, "" | "nothing") => "not here".to_owned(),
        (_, expected) => format!("expected {expected}"),
    };
    let mend = straight_quotes(line)
        .or_else(|| decimal_point(line, found))
        .unwrap_or_else(|| mend(said, found, line));
    let message = match (said, found) {
        (UNQUOTED, "") => "there is no value behind `=`",
        (UNQUOTED, _) => "text must stand in quotes",
        _ => said,
    };
    Diagnostic::error(format!("this is not TOML: {message}"), at)
        .label(label)
        .mend(mend)
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
        None => "remove one of the two".to_owned(),
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
        UNQUOTED if !found.is_empty() && line.contains(['[', '{']) => {
            "put text in quotes, and a comma between values".to_owned()
        }
        UNQUOTED | "invalid value" | "unexpected key or value"
            if !found.is_empty() && line.contains('=') && found.len() <= QUOTED =>
        {
            let value = line.split_once('=').map_or("", |(_, value)| value);
            let value = value.split('#').next().unwrap_or_default().trim();
            let value = value.trim_matches(['"', '\'']);
            format!("write text in quotes: `{key} = \"{value}\"`")
        }
        BARE_KEY => "write the key, then `=`, then its value".to_owned(),
        UNQUOTED | "missing value for key" | "missing value" if found.is_empty() => {
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
