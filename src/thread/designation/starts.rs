//! How many starts a designation says in words: `2-start`, `(2 STARTS)`, `two starts`.

use super::scan::Scanner;
use super::{ThreadError, quoted};
use crate::thread::{MAX_STARTS, Thread};
use crate::units::Length;
use std::ops::Range;

/// Numbers that are written out (ASME B1.1 does so, from memory), from one on.
const WRITTEN_OUT: [&str; 8] = [
    "ONE", "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT",
];

/// A number of starts as it was said; too many of them are refused by whoever asked.
pub(super) struct Said {
    /// How many.
    pub(super) count: f64,
    /// Its bytes, words and parentheses included.
    pub(super) at: Range<usize>,
}

/// Takes the number of starts that stands here, with the separators before it, or nothing.
pub(super) fn read(scanner: &mut Scanner<'_>) -> Option<Said> {
    let mut ahead = scanner.clone();
    ahead.skip_separators();
    let from = ahead.position();
    let opened = ahead.eat(&['(']);
    let written_out = || (1u8..).zip(WRITTEN_OUT);
    let count = match ahead.number() {
        Some(number) => number.value,
        None => {
            let (count, _) = written_out().find(|(_, word)| ahead.eat_word(word))?;
            f64::from(count)
        }
    };
    ahead.skip_separators();
    if !(ahead.eat_word("STARTS") || ahead.eat_word("START")) {
        return None;
    }
    if opened {
        ahead.eat(&[')']);
    }
    let at = from..ahead.position();
    *scanner = ahead;
    Some(Said { count, at })
}

impl Said {
    /// The thread with so many starts.
    ///
    /// # Errors
    ///
    /// A [`ThreadError`] where that is no whole number, or more than may be.
    pub(super) fn of(&self, thread: Thread) -> Result<Thread, ThreadError> {
        match (1..=MAX_STARTS).find(|starts| f64::from(*starts) == self.count) {
            Some(starts) => Ok(thread.with_starts(starts)),
            None => Err(ThreadError::new(
                format!(
                    "`{thread}` with {} starts: 1 to {MAX_STARTS}",
                    quoted(&self.count.to_string())
                ),
                self.at.clone(),
            )
            .with_mend(format!(
                "write `{}`",
                match self.count < 1.0 {
                    true => thread,
                    false => thread.with_starts(MAX_STARTS.min(self.count as u8)),
                }
            ))),
        }
    }
}

/// Whether what stands behind a thread, in capitals, means a number of starts: `2START`, or a pitch
/// behind the lead as in `20x5 P`.
pub(super) fn are_meant(rest: &str) -> bool {
    let pitch = rest.trim_start_matches(['(', ' ', '-']).strip_prefix('P');
    rest.contains("START")
        || pitch.is_some_and(|pitch| pitch.starts_with(|sign: char| sign.is_ascii_digit()))
}

/// Refuses starts that stand in words behind a thread in millimetres: whether the number before them
/// was meant as pitch or as lead, nobody can tell.
pub(super) fn not_here(thread: &Thread, rest: &str, at: Range<usize>) -> ThreadError {
    let message = format!(
        "`{}` after `{thread}`: several starts are written with lead and pitch",
        quoted(rest)
    );
    let error = ThreadError::new(message, at);
    let said = read(&mut Scanner::new(rest)).map(|said| said.count);
    let count = (2..=MAX_STARTS).find(|starts| said == Some(f64::from(*starts)));
    let Some(count) = count.filter(|_| thread.threads_per_inch().is_none()) else {
        return error.with_mend(
            "write lead and pitch as in `M24xPh6P3` or `24xPh6P3`, or an inch \
             thread as in `1-8 UNC 2-start`",
        );
    };
    let pitch = thread.pitch().as_mm();
    let as_pitch = thread.clone().with_starts(count);
    let as_lead = Thread::free(
        thread.major(),
        Length::mm(pitch / f64::from(count)),
        thread.hand(),
    );
    let as_lead = as_lead.with_starts(count).designation();
    let metric = format!("M{as_lead}");
    let as_lead = [metric, as_lead]
        .into_iter()
        .find(|text| text.parse::<Thread>().is_ok())
        .map_or(String::new(), |text| {
            format!(", or `{text}` if it is the lead")
        });
    error.with_mend(format!(
        "write `{as_pitch}` if {pitch} mm is the pitch{as_lead}"
    ))
}
