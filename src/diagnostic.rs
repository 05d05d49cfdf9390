//! What is wrong, where, and what to type instead.
//!
//! Turns [`Diagnostic`]s, which hold bytes of a file, into sentences for people:
//!
//! ```text
//! Stop at stage.toml, line 4, column 17 (wrong here):
//!       inner    = "M12x>>1.7<<"
//!   `inner`: pitch 1.7 mm is not standard for M12.
//!   To mend it: write `M12x1.75`.
//! ```
//!
//! How bad and where, in words; the line itself with the words in question between `>>` and `<<`;
//! what is wrong with them; what to type instead. The marks stand in the line, so that it reads the
//! same aloud, in a wide or narrow type, and without colour. It knows nothing of kits.

use anstyle::{AnsiColor, Style as Ansi};
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

impl Severity {
    /// The word by which it is told.
    pub fn word(self) -> &'static str {
        match self {
            Self::Note => "Note",
            Self::Warning => "Warning",
            Self::Error => "Stop",
        }
    }

    /// Its plate. Colours as on signs that forbid, warn and instruct (ISO 3864-1, from memory).
    fn plate(self) -> Ansi {
        let on = |back: AnsiColor, front: AnsiColor| {
            let plate = Ansi::new().bold().bg_color(Some(back.into()));
            plate.fg_color(Some(front.into()))
        };
        match self {
            Self::Note => on(AnsiColor::Blue, AnsiColor::BrightWhite),
            Self::Warning => on(AnsiColor::Yellow, AnsiColor::Black),
            Self::Error => on(AnsiColor::Red, AnsiColor::BrightWhite),
        }
    }
}

/// One problem of one file.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// How bad.
    pub severity: Severity,
    /// What is wrong, with the value and the limit; a sentence without its full stop.
    pub message: String,
    /// Bytes of the file that are to blame.
    pub at: Option<Range<usize>>,
    /// Short words about what is marked, told behind its place.
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

    /// With these words about what is marked.
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

/// What a text is to the one who wrote it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source<'a> {
    /// A file, by its path.
    File(&'a str),
    /// What was typed behind a command, by a name for it.
    Typed(&'a str),
    /// An argument that may be typed several times, each a line of the text.
    Repeated(&'a str),
}

impl<'a> From<&'a str> for Source<'a> {
    fn from(path: &'a str) -> Self {
        Self::File(path)
    }
}

impl<'a> From<&'a String> for Source<'a> {
    fn from(path: &'a String) -> Self {
        Self::File(path)
    }
}

impl Source<'_> {
    /// Its name for people.
    fn name(self) -> String {
        let (Self::File(name) | Self::Typed(name) | Self::Repeated(name)) = self;
        printable(name)
    }

    /// A place in it for people.
    fn place(self, place: &Place) -> String {
        let Place { line, column, .. } = place;
        let name = self.name();
        match self {
            Self::File(_) => format!("{name}, line {line}, column {column}"),
            Self::Typed(_) => format!("{name}, column {column}"),
            Self::Repeated(_) => format!("{name} number {line}, column {column}"),
        }
    }
}

/// How [`render`] writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Columns to keep a quoted line within; longer lines are cut around the words in question.
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
/// What cannot be seen, in `source` or in the text, is written out. Spans that do not lie in
/// `text` are moved to the nearest character that does.
pub fn render<'a>(
    source: impl Into<Source<'a>>,
    text: &str,
    diagnostics: &[Diagnostic],
    style: Style,
) -> String {
    let source = source.into();
    let mut sorted: Vec<&Diagnostic> = diagnostics.iter().collect();
    sorted.sort_by_key(|diagnostic| file_order(diagnostic));
    let blocks: Vec<String> = sorted
        .iter()
        .map(|diagnostic| block(source, text, diagnostic, style))
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

/// What has no place in a file, in the form of [`render`]: what is wrong, and what to do.
pub fn remark(severity: Severity, message: &str, mend: Option<&str>) -> String {
    let mut told = folded("", INDENT, &format!("{}: {message}", severity.word()));
    if let Some(mend) = mend {
        told += &folded(&format!("{INDENT}{MEND}"), INDENT, mend);
    }
    told
}

/// The first message of what [`render`] wrote, on one line and without its full stop.
pub fn first_message(rendered: &str) -> String {
    let bare = anstream::adapter::strip_str(rendered).to_string();
    let lines = bare
        .lines()
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.strip_prefix(INDENT))
        .filter(|line| !line.starts_with(' '))
        .take_while(|line| !line.starts_with(MEND));
    let message = lines.collect::<Vec<_>>().join(" ");
    message.strip_suffix('.').unwrap_or(&message).to_owned()
}

/// In front of all that is told of a place.
const INDENT: &str = "  ";
/// In front of a quoted line, which thus stands apart from what is told of it.
const QUOTE: &str = "      ";
/// In front of what to do.
const MEND: &str = "To mend it: ";

/// One problem: how bad and where, the line, what is wrong, what to type instead.
fn block(source: Source, text: &str, diagnostic: &Diagnostic, style: Style) -> String {
    let Diagnostic {
        severity,
        message,
        at,
        label,
        mend,
    } = diagnostic;
    let place = at.as_ref().map(|at| Place::of(text, at.clone()));
    let mut head = match &place {
        Some(place) => source.place(place),
        None => source.name(),
    };
    if !label.is_empty() {
        head = format!("{head} ({label})");
    }
    let word = severity.word();
    let head = folded("", "", &format!("{word} at {head}:"));
    let mut told = match head.strip_prefix(word) {
        Some(rest) if style.colour => {
            let plate = severity.plate();
            format!("{plate}{word}{plate:#}{rest}")
        }
        _ => head,
    };
    if let Some(place) = place {
        let marked = place.quote.marked(style.width.saturating_sub(QUOTE.len()));
        told.push_str(&marked.line(style.colour));
    }
    told += &folded(INDENT, INDENT, message);
    if let Some(mend) = mend {
        told += &folded(&format!("{INDENT}{MEND}"), INDENT, mend);
    }
    told
}

/// Columns of a message (common practice for text in a terminal).
const COLUMNS: usize = 80;

/// Sentences in lines that fit the page, each with a line end.
fn folded(first: &str, rest: &str, text: &str) -> String {
    let options = textwrap::Options::new(COLUMNS)
        .initial_indent(first)
        .subsequent_indent(rest)
        // Neither a designation nor what is to be typed is torn.
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .break_words(false);
    let mut lines = textwrap::wrap(&glued(&stopped(&printable(text))), options).join("\n");
    lines.push('\n');
    lines.replace(GLUE, " ")
}

/// Stands for a blank at which no line is broken; no printable text has it.
const GLUE: char = '\u{1}';
/// Longest quotation that is kept on one line. Guess, so that lines do not end all too early.
const LONGEST_GLUED: usize = 48;

/// Text whose short quotations, which are to be typed, stay on one line.
fn glued(text: &str) -> String {
    let parts = text.split('`').enumerate();
    let parts =
        parts.map(
            |(index, part)| match index % 2 == 1 && part.chars().count() <= LONGEST_GLUED {
                true => part.replace(' ', &GLUE.to_string()),
                false => part.to_owned(),
            },
        );
    parts.collect::<Vec<_>>().join("`")
}

/// A sentence with its full stop. One that ends in a path has none: it would be copied with it.
fn stopped(text: &str) -> String {
    let text = text.trim_end();
    let last = text.rsplit(' ').next().unwrap_or_default();
    let is_bare = !last.ends_with('`');
    let is_path = is_bare
        && (last.contains('/')
            || last
                .rsplit_once('.')
                .is_some_and(|(_, end)| end.starts_with(char::is_alphabetic)));
    match text.ends_with(['.', '?', '!', ':']) || is_path || text.is_empty() {
        true => text.to_owned(),
        false => format!("{text}."),
    }
}

/// Where a span stands for a reader: its line, and the part of it on its first line.
struct Place {
    line: usize,
    column: usize,
    quote: Quote,
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
        // A carriage return belongs to the line end, wherever the marks stand.
        let quoted = text[from..to].trim_end_matches('\r');
        let inside = |byte: usize| byte.clamp(from, from + quoted.len()) - from;
        let (start_mark, end_mark) = (inside(start), inside(end));
        Self {
            line: text[..start].matches('\n').count() + 1,
            column: text[line_start..start].chars().count() + 1,
            quote: Quote {
                before: cells(&quoted[..start_mark]),
                words: cells(&quoted[start_mark..end_mark]),
                after: cells(&quoted[end_mark..]),
                cut: [from > line_start, to < line_end],
            },
        }
    }
}

/// A line around the words in question. Each letter is as it is shown, so that none that is written
/// out is torn.
struct Quote {
    before: Vec<String>,
    words: Vec<String>,
    after: Vec<String>,
    /// Whether the line goes on before and behind.
    cut: [bool; 2],
}

/// A line as it is shown, in three parts, without marks.
struct Marked {
    before: String,
    words: String,
    after: String,
}

/// Blanks that stand for a tab, which would reach as far as the terminal likes.
const TAB: &str = "    ";
/// What stands where a line was cut.
const CUT: &str = "...";
/// Least columns of a quoted line: enough for a word and what is around it. Guess.
const LEAST_QUOTED: usize = 24;
/// Fewest letters of a mark; a single `<` is part of many a text.
const LEAST_MARK: usize = 2;

fn cells(text: &str) -> Vec<String> {
    let shown = |letter: char| match letter {
        '\t' => TAB.to_owned(),
        letter => printable(letter.encode_utf8(&mut [0; 4])),
    };
    text.chars().map(shown).collect()
}

fn columns(cells: &[String]) -> usize {
    cells.iter().map(|cell| cell.chars().count()).sum()
}

/// The first letters that have room, and whether that is all.
fn fitting<'c>(cells: impl Iterator<Item = &'c String>, room: usize) -> (Vec<&'c str>, bool) {
    let mut left = room;
    let mut taken = Vec::new();
    for cell in cells {
        match left.checked_sub(cell.chars().count()) {
            Some(rest) => left = rest,
            None => return (taken, false),
        }
        taken.push(cell.as_str());
    }
    (taken, true)
}

impl Quote {
    /// The line within so many columns, cut around the words in question where it is longer.
    fn marked(&self, width: usize) -> Marked {
        let [before, words, after] = [&self.before, &self.words, &self.after].map(|c| columns(c));
        let room = width.saturating_sub(2 * LEAST_MARK).max(LEAST_QUOTED);
        let (width, words_most) = match before + words + after <= room {
            true => (room, words),
            false => {
                let width = room.saturating_sub(2 * CUT.len());
                (width, words.min(width / 2))
            }
        };
        let around = width - words_most;
        // What one side leaves is the other's.
        let before_most = around - after.min(around / 2);
        let after_most = around - before.min(before_most);
        let (mut left, whole_left) = fitting(self.before.iter().rev(), before_most);
        left.reverse();
        let (right, whole_right) = fitting(self.after.iter(), after_most);
        let dots = |cut: bool| if cut { CUT } else { "" };
        let shown = match words <= words_most {
            true => self.words.concat(),
            false => {
                let half = words_most.saturating_sub(CUT.len()) / 2;
                let (first, _) = fitting(self.words.iter(), half);
                let (mut last, _) = fitting(self.words.iter().rev(), half);
                last.reverse();
                format!("{}{CUT}{}", first.concat(), last.concat())
            }
        };
        Marked {
            before: format!("{}{}", dots(self.cut[0] || !whole_left), left.concat()),
            words: shown,
            after: format!("{}{}", right.concat(), dots(self.cut[1] || !whole_right)),
        }
    }
}

impl Marked {
    /// The line with its marks and its end. They are longer than any of their kind in it, and a blank
    /// keeps them from such.
    fn line(&self, colour: bool) -> String {
        let Self {
            before,
            words,
            after,
        } = self;
        let is_mark = |letter: char| letter == '<' || letter == '>';
        let runs = [before, words, after].map(|part| {
            let runs = part.split(|letter| !is_mark(letter)).map(str::len);
            runs.max().unwrap_or_default()
        });
        let longest = runs.into_iter().max().unwrap_or_default();
        let length = LEAST_MARK.max(longest + 1);
        let [open, close] = [">", "<"].map(|mark| mark.repeat(length));
        let apart = |touching: bool| if touching { " " } else { "" };
        let mark = match colour {
            true => Ansi::new().bold(),
            false => Ansi::new(),
        };
        let mut line = format!("{QUOTE}{before}{}", apart(before.ends_with(is_mark)));
        let inner = [
            apart(words.starts_with(is_mark)),
            apart(words.ends_with(is_mark)),
        ];
        line += &format!("{mark}{open}{}{words}{}{close}{mark:#}", inner[0], inner[1]);
        line += apart(after.starts_with(is_mark));
        line += after;
        line.truncate(line.trim_end().len());
        line.push('\n');
        line
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
    fn a_problem_shows_place_marked_line_label_message_and_mend() {
        assert_eq!(
            shown("name = 1\npitch = 0.3\n", 17..20),
            "Stop at kit.toml, line 2, column 9 (at least 1 mm):\n\
             \x20     pitch = >>0.3<<\n\
             \x20 pitch is too fine.\n\
             \x20 To mend it: write `pitch = 1`.\n"
        );
    }

    #[test]
    fn how_bad_it_is_stands_first_and_in_words() {
        for (severity, word) in [
            (Severity::Error, "Stop at "),
            (Severity::Warning, "Warning at "),
            (Severity::Note, "Note at "),
        ] {
            for at in [None, Some(0..1)] {
                let problem = Diagnostic {
                    severity,
                    at,
                    ..Diagnostic::error("odd", 0..1)
                };
                for colour in [false, true] {
                    let style = Style {
                        colour,
                        ..Style::default()
                    };
                    let shown = render("kit.toml", "x = 1", std::slice::from_ref(&problem), style);
                    let bare = anstream::adapter::strip_str(&shown).to_string();
                    assert!(bare.starts_with(word), "{shown}");
                    assert_eq!(shown != bare, colour);
                }
            }
        }
    }

    #[test]
    fn what_is_no_file_has_no_lines() {
        let problem = Diagnostic::error("no thread", 4..6);
        let place = |source: Source<'_>, text: &str| {
            let shown = render(
                source,
                text,
                std::slice::from_ref(&problem),
                Style::default(),
            );
            shown.lines().next().unwrap().to_owned()
        };
        let typed = place(Source::Typed("the designation"), "M12xyz");
        assert_eq!(typed, "Stop at the designation, column 5:");
        let row = place(Source::Repeated("--row"), "0 1\nx 2\n");
        assert_eq!(row, "Stop at --row number 2, column 1:");
    }

    #[test]
    fn a_sentence_ends_in_a_full_stop_and_a_path_does_not() {
        for (text, told) in [
            ("write `pitch = 1`", "write `pitch = 1`."),
            ("at least 0.35", "at least 0.35."),
            ("is it here?", "is it here?"),
            ("then name focus.toml", "then name focus.toml"),
            ("see out/focus", "see out/focus"),
            (
                "write `netlead check focus.toml`",
                "write `netlead check focus.toml`.",
            ),
        ] {
            assert_eq!(stopped(text), told);
        }
    }

    #[test]
    fn what_is_to_be_typed_stands_on_one_line() {
        let words = "word ".repeat(13);
        let told = folded(
            "",
            "  ",
            &format!("{words}write `netlead start desk-stage` now"),
        );
        assert!(
            told.lines()
                .any(|line| line == "  `netlead start desk-stage` now."),
            "{told}"
        );
    }

    /// The quoted line of a text of one line.
    fn quoted(text: &str, at: Range<usize>) -> String {
        let shown = shown(text, at);
        let line = shown.lines().nth(1).unwrap();
        line.strip_prefix(QUOTE).unwrap().to_owned()
    }

    #[test]
    fn marks_are_told_from_what_looks_like_them() {
        assert_eq!(quoted("a = b", 4..5), "a = >>b<<");
        assert_eq!(quoted("a = <b>", 5..6), "a = < >>b<< >");
        assert_eq!(quoted("a = >>b<<", 4..9), "a = >>> >>b<< <<<");
        assert_eq!(quoted("a = >>b<<", 6..7), "a = >> >>>b<<< <<");
        // Where something is missing nothing stands between them.
        assert_eq!(quoted("a = ", 4..4), "a = >><<");
    }

    #[test]
    fn the_first_message_is_found_in_what_was_written() {
        let long = "pitch is too fine for what this printer lays down, by far, and then some more";
        let first = Diagnostic::error(long, 0..1).label("a").mend("write `b`");
        let second = Diagnostic::error("second", 2..3);
        for colour in [false, true] {
            let style = Style {
                colour,
                ..Style::default()
            };
            let shown = render(
                "a file.toml",
                "abc",
                &[first.clone(), second.clone()],
                style,
            );
            assert_eq!(first_message(&shown), long);
        }
    }

    #[test]
    fn carriage_returns_tabs_and_a_byte_order_mark_do_not_move_the_position() {
        let place = |line: usize, column: usize| format!("kit.toml, line {line}, column {column} ");
        assert!(shown("\u{feff}pitch = 0.3\r\n", 11..14).contains(&place(1, 9)));
        let tabbed = shown("a = 1\r\n\tpitch = 0.3\r\nb = 2\r\n", 16..19);
        assert!(tabbed.contains(&place(2, 10)), "{tabbed}");
        assert!(!tabbed.contains(['\r', '\t']), "{tabbed}");
    }

    #[test]
    fn a_very_long_line_is_cut_around_the_words_in_question() {
        let text = format!("{} = 0.3 # {}", "x".repeat(50_000), "y".repeat(50_000));
        let shown = shown(&text, 50_003..50_006);
        assert!(shown.contains("kit.toml, line 1, column 50004 "), "{shown}");
        assert!(shown.contains("x = >>0.3<< # y"), "{shown}");
        let cut = |line: &str| line.starts_with("      ...x") && line.ends_with("y...");
        assert!(shown.lines().any(cut), "{shown}");
        let width = Style::default().width;
        assert!(shown.lines().all(|line| line.len() <= width), "{shown}");
    }

    #[test]
    fn words_longer_than_a_line_are_cut_in_their_middle() {
        let text = format!("name = \"{}\" # end", "x".repeat(500));
        let quoted = quoted(&text, 7..509);
        assert!(quoted.starts_with("name = >>\"xxx"), "{quoted}");
        assert!(quoted.ends_with("xxx\"<< # end"), "{quoted}");
        assert!(quoted.contains("xx...xx") && quoted.len() < 110, "{quoted}");
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
        // The marks stand around the value as it is shown, and the column is the file's.
        let written_out = visible_but(hidden, |_| false);
        assert!(
            shown.contains(&format!("x = >>\"{written_out}\"<<\n")),
            "{shown}"
        );
        assert!(shown.contains("column 5 ("), "{shown}");
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
            let bare = anstream::adapter::strip_str(&shown).to_string();
            prop_assert!(bare.starts_with("Stop at "));
            if !colour {
                prop_assert!(!shown.contains(|c| c != '\n' && is_hidden(c)), "{shown:?}");
            }
        }

        #[test]
        fn prop_marks_can_be_told_and_what_is_between_them_is_what_was_meant(
            text in "[<> a-c]{0,24}", start in 0usize..24, length in 0usize..8,
        ) {
            let at = start.min(text.len())..(start + length).min(text.len());
            let line = quoted(&text, at.clone());
            // The longest run is the first of the line, and the only one of its length.
            let longest = |mark: char| {
                let mut runs = line.split(|letter| letter != mark).map(str::len).collect::<Vec<_>>();
                runs.sort_unstable();
                let twice = runs.len() > 1 && runs[runs.len() - 2] == runs[runs.len() - 1];
                (runs[runs.len() - 1], twice)
            };
            let ((open, two_open), (close, two_close)) = (longest('>'), longest('<'));
            prop_assert!(open == close && !two_open && !two_close, "{line}");
            let from = line.find(&">".repeat(open)).unwrap() + open;
            let to = line.find(&"<".repeat(close)).unwrap();
            prop_assert!(from <= to, "{line}");
            let meant = text[at].trim();
            prop_assert_eq!(line[from..to].trim(), meant, "{}", line);
        }
    }
}
