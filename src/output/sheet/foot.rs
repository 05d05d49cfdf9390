//! What is written at the foot of a sheet: notes, and the strip that says what it is.

use super::paper::{Anchor, LETTER, Line, Paper, TITLE};
use crate::output::words::capital;
use textwrap::{Options, WordSplitter};

/// Margin to the left and right, on paper.
const MARGIN: f64 = 4.0;
/// From line to line of notes.
const LINE_PITCH: f64 = 5.0;
/// Letters in a line of notes: what fits 180 mm with letters of usual faces. Guess.
const COLUMNS: usize = 92;
/// Height of the strip.
pub(super) const STRIP: f64 = 11.0;

/// How much of the paper's height notes take.
pub(super) fn height(notes: &[String]) -> f64 {
    LINE_PITCH * notes.iter().map(|note| lines(note).len()).sum::<usize>() as f64
}

/// Writes notes below each other, the first on a base line.
pub(super) fn write(paper: &mut Paper, from: f64, notes: &[String]) {
    let lines = notes.iter().flat_map(|note| lines(note));
    for (index, line) in lines.enumerate() {
        let at = [MARGIN, from + LINE_PITCH * index as f64];
        paper.text(at, Anchor::Start, LETTER, &line);
    }
}

fn lines(note: &str) -> Vec<String> {
    // A designation or a compound word is not torn at its hyphen.
    let options = Options::new(COLUMNS).word_splitter(WordSplitter::NoHyphenation);
    let lines = textwrap::wrap(note, options);
    lines.into_iter().map(|line| line.into_owned()).collect()
}

/// Lines of a list whose items are not torn.
pub(super) fn listed(items: &[String]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for item in items {
        match lines.last_mut() {
            Some(line) if line.chars().count() + item.chars().count() + 3 <= COLUMNS => {
                line.push_str(&format!(", {item}"));
            }
            Some(line) => {
                line.push(',');
                lines.push(item.clone());
            }
            None => lines.push(item.clone()),
        }
    }
    lines
}

/// The strip at the foot of a sheet: what it is, and how it is drawn.
pub(super) fn title(paper: &mut Paper, what: &str, how: &str) {
    let [width, height] = paper.size();
    let rule = height - STRIP;
    paper.line(Line::Outline, [MARGIN, rule], [width - MARGIN, rule]);
    let baseline = height - STRIP / 2.0 + TITLE / 2.0;
    paper.text([MARGIN, baseline], Anchor::Start, TITLE, &capital(what));
    paper.text([width - MARGIN, baseline], Anchor::End, LETTER, how);
}
