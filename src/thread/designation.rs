//! Turns the text of a designation into a [`Thread`], and a thread back into text.
//!
//! | form | example | source |
//! |---|---|---|
//! | metric | `M20`, `M20x1.5` | ISO 965-1; without a pitch it is the coarse one |
//! | several starts | `M20xPh5P2.5` | ISO 965-1, from memory: lead, then pitch |
//! | the same | `M24x6(P3)` | common practice, as ISO 2901 writes trapezoidal threads |
//! | Unified | `3/4-10 UNC`, `3/4-10`, `#10-24` | ASME B1.1 |
//! | several starts | `1-.125P-.25L (2 STARTS) UNS` | ASME B1.1, from memory: pitch, then lead |
//! | the same | `1-8 UNC 2-start` | common practice |
//! | free | `24x2.4`, `24xPh4.8P2.4` | our own: major diameter and pitch in mm |
//! | left hand | `M20x2.5-LH`, `3/4-10 UNC-LH` | ISO 965-1, ASME B1.1 |
//!
//! Letters may be small, spaces are free, `×` stands for `x` and a decimal comma for a point.

mod metric;
mod scan;
mod starts;
mod unified;

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use super::{Hand, Origin, Thread, series};
use scan::Scanner;

/// Why a text is no thread, where, and what to type instead.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct ThreadError {
    /// What is wrong, with the value and the limit; lower case, no full stop.
    pub message: String,
    /// Bytes of the designation that are to blame; they lie on character borders.
    pub at: Range<usize>,
    /// What to type instead.
    pub mend: Option<String>,
}

impl ThreadError {
    fn new(message: impl Into<String>, at: Range<usize>) -> Self {
        Self {
            message: message.into(),
            at,
            mend: None,
        }
    }

    fn with_mend(self, mend: impl Into<String>) -> Self {
        Self {
            mend: Some(mend.into()),
            ..self
        }
    }
}

/// What a maker may copy when a text is like no designation at all.
const EXAMPLES: &str = "write a designation such as `M20x2.5`, `3/4-10 UNC` or `24x2.4`";
/// Longest piece of a maker's text that a message repeats, in characters. Guess.
const LONGEST_QUOTE: usize = 32;
/// Fewest single-character changes at which another designation is no longer meant. Guess.
const NO_LONGER_MEANT: usize = 3;

/// Steps to which a written lead is rounded, in one mm; far finer than the slack in which a
/// lead counts as a whole number of pitches. Guess.
const LEAD_STEPS_PER_MM: f64 = 1e9;

impl FromStr for Thread {
    type Err = ThreadError;

    /// Reads a designation; `designation.rs` has the forms.
    ///
    /// # Errors
    ///
    /// A [`ThreadError`] if the text is no designation, names a size or a pitch its standard
    /// does not list, or asks for a free size outside the limits of free sizes.
    fn from_str(text: &str) -> Result<Self, ThreadError> {
        let mut scanner = Scanner::new(text);
        let thread = if scanner.eat_letter('M') {
            metric::read_iso(&mut scanner)?
        } else if metric::looks_free(&scanner) {
            metric::read_free(&mut scanner)?
        } else if scanner.at_number() || unified::at_screw_number(&scanner) {
            unified::read(&mut scanner)?
        } else {
            return Err(unlike_any(&scanner));
        };
        let hand = read_hand(&mut scanner, &thread)?;
        Ok(thread.with_hand(hand))
    }
}

/// Reads what may follow a thread, up to the end of the text: nothing, or a hand.
fn read_hand(scanner: &mut Scanner<'_>, thread: &Thread) -> Result<Hand, ThreadError> {
    scanner.skip_spaces();
    let rest_at = scanner.position();
    scanner.skip_separators();
    if scanner.at_end() {
        if rest_at == scanner.position() {
            return Ok(Hand::Right);
        }
        return Err(ThreadError::new(
            "a hyphen with nothing after it",
            rest_at..scanner.position(),
        )
        .with_mend(format!("write `{thread}` or `{thread}-LH`")));
    }
    let (rest, at) = scanner.rest();
    let capitals = rest.to_ascii_uppercase();
    match capitals.as_str() {
        "LH" => return Ok(Hand::Left),
        "RH" => return Ok(Hand::Right),
        _ => {}
    }
    let mut words = capitals.split(|sign: char| !sign.is_ascii_alphanumeric() && sign != '/');
    if words.clone().any(is_tolerance_class) {
        let hand = if words.any(|word| word == "LH") {
            "-LH"
        } else {
            ""
        };
        let message = format!(
            "tolerance class in `{}`: printed gaps come from the fit, so a thread has no class",
            quoted(rest)
        );
        return Err(ThreadError::new(message, at).with_mend(format!("write `{thread}{hand}`")));
    }
    if starts::are_meant(&capitals) {
        return Err(starts::not_here(thread, rest, at));
    }
    Err(ThreadError::new(
        format!("`{}` after `{thread}` is not understood", quoted(rest)),
        at,
    )
    .with_mend(format!(
        "write `{thread}`, or `{thread}-LH` for a left hand"
    )))
}

/// `6g`, `6H`, `5g6g`, `6H/6g`, `2A`, `2B`: grades with positions (ISO 965-1), or a Unified
/// class (ASME B1.1). `word` is in capitals.
fn is_tolerance_class(word: &str) -> bool {
    let mut letters = word.chars().filter(|letter| *letter != '/');
    let mut pairs = 0;
    while let Some(grade) = letters.next() {
        let position = letters.next().unwrap_or(' ');
        if !grade.is_ascii_digit() || !"ABEFGH".contains(position) {
            return false;
        }
        pairs += 1;
    }
    pairs > 0
}

/// Refuses the whole text, with the designation that is nearest to it.
fn unlike_any(scanner: &Scanner<'_>) -> ThreadError {
    let text = scanner.text();
    let end = text.trim_end().len();
    let start = text.len() - text.trim_start().len();
    if start >= end {
        return ThreadError::new("the thread designation is empty", 0..text.len())
            .with_mend(EXAMPLES);
    }
    let given = &text[start..end];
    let error = ThreadError::new(
        format!("`{}` is not a thread designation", quoted(given)),
        start..end,
    );
    match nearest_designation(given) {
        Some(name) => error.with_mend(format!("write `{name}`, if that is meant")),
        None => error.with_mend(EXAMPLES),
    }
}

fn nearest_designation(given: &str) -> Option<String> {
    if given.chars().count() > LONGEST_QUOTE {
        return None;
    }
    let given = given.to_uppercase();
    series::all()
        .map(|thread| thread.designation())
        .map(|name| (strsim::osa_distance(&given, &name.to_uppercase()), name))
        .min_by_key(|(distance, _)| *distance)
        .filter(|(distance, _)| *distance < NO_LONGER_MEANT)
        .map(|(_, name)| name)
}

/// A piece of a maker's text, short and without control characters.
fn quoted(text: &str) -> String {
    let mut quote: String = text
        .chars()
        .take(LONGEST_QUOTE)
        .flat_map(char::escape_debug)
        .collect();
    if text.chars().nth(LONGEST_QUOTE).is_some() {
        quote.push_str("...");
    }
    quote
}

/// "a", "a and b", "a, b and c".
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

impl Thread {
    /// The designation, written the one way this project writes it; it reads back as the same
    /// thread. Metric threads always name their pitch: `M20x2.5`.
    pub fn designation(&self) -> String {
        let hand = match self.hand {
            Hand::Right => "",
            Hand::Left => "-LH",
        };
        let (major, pitch) = (self.major.as_mm(), self.pitch.as_mm());
        let letter = match self.origin {
            Origin::Unified(row) => {
                let (size, per_inch) = (row.size(), row.threads_per_inch());
                let starts = match self.starts {
                    1 => String::new(),
                    several => format!(" {several}-start"),
                };
                return format!("{size}-{per_inch} {}{starts}{hand}", row.standard().name());
            }
            Origin::Metric(_) => "M",
            Origin::Free(_) => "",
        };
        if self.starts == 1 {
            return format!("{letter}{major}x{pitch}{hand}");
        }
        // 3 x 2.4 is 7.199 999... in binary; what is printed is what the maker wrote.
        let lead = (self.lead().as_mm() * LEAD_STEPS_PER_MM).round() / LEAD_STEPS_PER_MM;
        format!("{letter}{major}xPh{lead}P{pitch}{hand}")
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.designation())
    }
}

#[cfg(test)]
mod tests;
