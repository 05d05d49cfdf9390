//! What is wrong, where, and what to type instead.
//!
//! Turns [`Diagnostic`]s, which hold bytes of a file, into text for people: the file, line and
//! column, the line itself with a caret and a label under it, and the mend. The text reads
//! the same without colour. It knows nothing of kits.

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::ops::Range;

/// How bad a diagnostic is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// May go wrong.
    Warning,
    /// The kit is rejected.
    Error,
}

/// One problem of one file.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// How bad.
    pub severity: Severity,
    /// What is wrong, with the value and the limit; lower case, no full stop.
    pub message: String,
    /// Bytes of the file that are to blame.
    pub at: Option<Range<usize>>,
    /// Short words under the caret.
    pub label: String,
    /// What to type instead.
    pub mend: Option<String>,
}

impl Diagnostic {
    /// An error that blames the bytes `at`.
    pub fn error(message: impl Into<String>, at: Range<usize>) -> Self {
        Self {
            severity: Severity::Error,
            message: message.into(),
            at: Some(at),
            label: String::new(),
            mend: None,
        }
    }

    /// A warning that blames the bytes `at`.
    pub fn warning(message: impl Into<String>, at: Range<usize>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(message, at)
        }
    }

    /// With these words under the caret.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// With this to type instead.
    #[must_use]
    pub fn mend(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }
}

/// How [`render`] writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Columns to keep a quoted line within; longer lines are cut around the caret.
    pub width: usize,
    /// Whether to colour with ANSI escapes.
    pub colour: bool,
}

impl Default for Style {
    /// No colour, 100 columns (common practice for a terminal that is not asked).
    fn default() -> Self {
        Self {
            width: 100,
            colour: false,
        }
    }
}

/// Bytes before and after the start of the blamed span that a quoted line may have; a file
/// without line ends must not be copied whole for each of its problems. Guess, well above any
/// terminal's width.
const QUOTED_BYTES: usize = 2000;

/// Every problem, in file order, as text that ends in a line feed; empty for no problems.
///
/// What cannot be seen, in `file` or in the text, is written out. Spans that do not lie in
/// `text` are moved to the nearest character that does.
pub fn render(file: &str, text: &str, diagnostics: &[Diagnostic], style: Style) -> String {
    let renderer = if style.colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer.term_width(style.width);
    let file = printable(file);
    let mut sorted: Vec<&Diagnostic> = diagnostics.iter().collect();
    sorted.sort_by_key(|diagnostic| file_order(diagnostic));
    let blocks: Vec<String> = sorted
        .iter()
        .map(|diagnostic| {
            let groups = groups(&file, text, diagnostic);
            if diagnostic.at.is_some() {
                return renderer.render(&groups) + "\n";
            }
            // Where nothing is quoted there is no gutter between the lines either.
            let lines = groups.iter().map(|group| {
                let group = std::slice::from_ref(group);
                renderer.render(group) + "\n"
            });
            lines.collect()
        })
        .collect();
    blocks.join("\n")
}

/// A key that sorts diagnostics by where they are; those of the whole file come last.
pub fn file_order(diagnostic: &Diagnostic) -> (usize, usize) {
    diagnostic
        .at
        .as_ref()
        .map_or((usize::MAX, usize::MAX), |at| (at.start, at.end))
}

/// Line and column of a byte of `text`, both counted from one, the column in characters.
///
/// A byte order mark at the start of the text is not counted.
pub fn position(text: &str, byte: usize) -> (usize, usize) {
    let place = Place::of(text, byte..byte);
    (place.line, place.column)
}

/// One block: what and where, then what to type instead.
fn groups<'a>(file: &'a str, text: &'a str, diagnostic: &'a Diagnostic) -> Vec<Group<'a>> {
    let level = match diagnostic.severity {
        Severity::Note => Level::NOTE,
        Severity::Warning => Level::WARNING,
        Severity::Error => Level::ERROR,
    };
    let word = match diagnostic.severity {
        Severity::Note => "note: ",
        Severity::Warning => "warning: ",
        Severity::Error => "error: ",
    };
    // What no line is to blame for names its file first: there is nothing to quote.
    let message = match &diagnostic.at {
        None => format!("{file}: {}", diagnostic.message),
        Some(_) => diagnostic.message.clone(),
    };
    let title = level.primary_title(folded(word, &message));
    let blamed = match &diagnostic.at {
        None => Group::with_title(title),
        Some(at) => {
            let place = Place::of(text, at.clone());
            let mut mark = AnnotationKind::Primary.span(place.span.clone());
            if !diagnostic.label.is_empty() {
                mark = mark.label(printable(&diagnostic.label));
            }
            let snippet = Snippet::source(place.quoted)
                .line_start(place.line)
                .annotation(mark);
            if place.shifted {
                // The renderer counts columns in what it quotes, here not the line as it is.
                let origin = Origin::path(file)
                    .line(place.line)
                    .char_column(place.column);
                title.element(origin).element(snippet)
            } else {
                title.element(snippet.path(file))
            }
        }
    };
    let mend = diagnostic
        .mend
        .as_ref()
        .map(|mend| Group::with_title(Level::HELP.secondary_title(folded("help: ", mend))));
    std::iter::once(blamed).chain(mend).collect()
}

/// Columns of a message (common practice for text in a terminal).
const COLUMNS: usize = 80;

/// A message in lines that fit the page, behind the word that goes before it.
fn folded(word: &str, message: &str) -> String {
    let options = textwrap::Options::new(COLUMNS - word.len())
        // Neither a designation nor what is to be typed is torn.
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .break_words(false);
    textwrap::wrap(&printable(message), options).join("\n")
}

/// Where a span stands for a reader: its line, and the part of it on its first line.
struct Place {
    line: usize,
    column: usize,
    /// What cannot be seen in it is written out.
    quoted: String,
    /// Whether columns of what is quoted are not those of the line.
    shifted: bool,
    span: Range<usize>,
}

impl Place {
    fn of(text: &str, at: Range<usize>) -> Self {
        let bom = if text.starts_with('\u{feff}') { 3 } else { 0 };
        let start = text.floor_char_boundary(at.start.min(text.len())).max(bom);
        let end = text.floor_char_boundary(at.end.min(text.len())).max(start);
        let line_start = text[..start].rfind('\n').map_or(bom, |feed| feed + 1);
        let line_end = text[start..]
            .find('\n')
            .map_or(text.len(), |feed| start + feed);
        let from = text.ceil_char_boundary(line_start.max(start.saturating_sub(QUOTED_BYTES)));
        let to = text.floor_char_boundary(line_end.min(start + QUOTED_BYTES));
        // A carriage return belongs to the line end, wherever the caret stands.
        let quoted = text[from..to].trim_end_matches('\r');
        let inside = |byte: usize| byte.clamp(from, from + quoted.len()) - from;
        let seen = |part: &str| visible_but(part, |letter| letter == '\t');
        let [from_mark, to_mark] = [start, end].map(|byte| seen(&quoted[..inside(byte)]).len());
        let shown = seen(quoted);
        Self {
            shifted: from > line_start || shown.len() > quoted.len(),
            quoted: shown,
            line: text[..start].matches('\n').count() + 1,
            column: text[line_start..start].chars().count() + 1,
            span: from_mark..to_mark,
        }
    }
}

/// Letters that show nothing of their own but may change how others look: those that no font
/// draws (the property `Default_Ignorable_Code_Point` of the Unicode Character Database, from
/// memory), line and paragraph separators, and the marks between scripts (U+FFF9 to U+FFFB).
const INVISIBLE: [std::ops::RangeInclusive<char>; 17] = [
    '\u{ad}'..='\u{ad}',
    '\u{34f}'..='\u{34f}',
    '\u{61c}'..='\u{61c}',
    '\u{115f}'..='\u{1160}',
    '\u{17b4}'..='\u{17b5}',
    '\u{180b}'..='\u{180f}',
    '\u{200b}'..='\u{200f}',
    '\u{2028}'..='\u{202e}',
    '\u{2060}'..='\u{206f}',
    '\u{3164}'..='\u{3164}',
    '\u{fe00}'..='\u{fe0f}',
    '\u{feff}'..='\u{feff}',
    '\u{ffa0}'..='\u{ffa0}',
    '\u{fff0}'..='\u{fffb}',
    '\u{1bca0}'..='\u{1bca3}',
    '\u{1d173}'..='\u{1d17a}',
    '\u{e0000}'..='\u{e0fff}',
];

/// Whether a letter can drive a terminal (control letters of both kinds, U+0000 to U+001F and
/// U+007F to U+009F), turn the reading direction, or hide.
pub fn is_hidden(letter: char) -> bool {
    letter.is_control() || INVISIBLE.iter().any(|range| range.contains(&letter))
}

/// Text that cannot move a cursor, turn or hide what follows: each letter that could is written
/// as its number, `\u{9b}`, and a line end as `\n`. Letters for which `keep` holds stay.
pub fn visible_but(text: &str, keep: impl Fn(char) -> bool) -> String {
    let mut visible = String::with_capacity(text.len());
    for letter in text.chars() {
        match is_hidden(letter) && !keep(letter) {
            true => visible.extend(letter.escape_default()),
            false => visible.push(letter),
        }
    }
    visible
}

fn printable(text: &str) -> String {
    visible_but(text, |_| false)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shown(text: &str, at: Range<usize>) -> String {
        let problem = Diagnostic::error("pitch is too fine", at)
            .label("at least 1 mm")
            .mend("write `pitch = 1`");
        render("kit.toml", text, &[problem], Style::default())
    }

    #[test]
    fn a_problem_shows_position_line_caret_label_and_mend() {
        assert_eq!(
            shown("name = 1\npitch = 0.3\n", 17..20),
            "error: pitch is too fine\n\
             \x20--> kit.toml:2:9\n\
             \x20 |\n\
             2 | pitch = 0.3\n\
             \x20 |         ^^^ at least 1 mm\n\
             \x20 |\n\
             help: write `pitch = 1`\n"
        );
    }

    #[test]
    fn carriage_returns_tabs_and_a_byte_order_mark_do_not_move_the_position() {
        assert!(shown("\u{feff}pitch = 0.3\r\n", 11..14).contains("kit.toml:1:9\n"));
        let tabbed = shown("a = 1\r\n\tpitch = 0.3\r\nb = 2\r\n", 16..19);
        assert!(tabbed.contains("kit.toml:2:10\n"), "{tabbed}");
        assert!(!tabbed.contains('\r'), "{tabbed}");
    }

    #[test]
    fn a_very_long_line_is_cut_around_the_caret() {
        let text = format!("{} = 0.3 # {}", "x".repeat(50_000), "y".repeat(50_000));
        let shown = shown(&text, 50_003..50_006);
        assert!(shown.contains("kit.toml:1:50004\n"), "{shown}");
        assert!(shown.lines().all(|line| line.len() < 200), "{shown}");
        assert!(shown.contains("0.3"));
    }

    #[test]
    fn a_file_name_cannot_send_escapes_to_the_terminal() {
        let problem = Diagnostic::error("bad \u{1b}[2J", 0..1).label("\u{7}");
        let shown = render(
            "a\u{1b}[31m\nb.toml",
            "x\u{1b}[0m",
            &[problem],
            Style::default(),
        );
        assert!(
            shown.chars().all(|c| c == '\n' || !c.is_control()),
            "{shown:?}"
        );
    }

    #[test]
    fn nothing_hidden_reaches_the_terminal_and_all_of_it_can_be_read() {
        // A control sequence introducer of one byte, a turned direction, a zero-width blank, a tag.
        let hidden = "a\u{9b}31mb\u{202e}c\u{200b}d\u{e0041}e\u{7f}f\u{ad}g\u{85}h";
        let text = format!("x = \"{hidden}\"\n");
        let value = 4..4 + hidden.len() + 2;
        let problem = Diagnostic::error(hidden, value).label(hidden).mend(hidden);
        let shown = render(hidden, &text, &[problem], Style::default());
        let bare = |c: char| c != '\n' && is_hidden(c);
        assert!(!shown.contains(bare), "{shown:?}");
        for escape in [
            "\\u{9b}31m",
            "\\u{202e}",
            "\\u{200b}",
            "\\u{e0041}",
            "\\u{85}",
        ] {
            // File, message, quoted line, label and mend.
            let times = shown.matches(escape).count();
            assert_eq!(times, 5, "{escape} {times} times in {shown}");
        }
        // The carets stand under the value as it is shown, and the column is the file's.
        let lines: Vec<&str> = shown.lines().collect();
        let quoted = lines
            .iter()
            .position(|line| line.starts_with("1 | x = "))
            .unwrap();
        let start = lines[quoted].find('"').unwrap();
        let end = lines[quoted][start + 1..].find('"').unwrap() + start + 2;
        let carets = lines[quoted + 1];
        assert_eq!(carets.find('^'), Some(start), "{shown}");
        assert_eq!(carets.rfind('^'), Some(end - 1), "{shown}");
        assert!(shown.contains(":1:5\n"), "{shown}");
    }

    #[test]
    fn problems_come_in_file_order() {
        let text = "a = 1\nb = 2\n";
        let late = Diagnostic::error("second", 6..7);
        let early = Diagnostic::warning("first", 0..1);
        let shown = render("k", text, &[late, early], Style::default());
        assert!(shown.find("first") < shown.find("second"), "{shown}");
    }

    proptest! {
        #[test]
        fn prop_any_span_of_any_text_renders(text in any::<String>(), start in 0usize..200,
                                             length in 0usize..200, colour in any::<bool>(),
                                             width in 0usize..120) {
            let problem = Diagnostic::error(text.clone(), start..start + length);
            let shown = render(&text, &text, &[problem], Style { width, colour });
            prop_assert!(shown.contains("error"));
            if !colour {
                prop_assert!(!shown.contains(|c| c != '\n' && is_hidden(c)), "{shown:?}");
            }
        }
    }
}
