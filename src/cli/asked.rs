//! Questions at a terminal, each with an answer that holds if nothing is typed.

use super::streams;
use super::trouble::Trouble;
use std::io::{self, BufRead, IsTerminal};

/// A question.
pub(super) struct Question<'a> {
    /// What is asked, in a sentence.
    pub(super) asks: &'a str,
    /// What the answer changes.
    pub(super) changes: &'a str,
    /// The answer that holds if nothing is typed.
    pub(super) default: &'a str,
}

/// Whether there is someone to ask.
pub(super) fn someone_is_there() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// Asks until the answer is understood. `understood` gives the value, or what is wrong with the answer.
pub(super) fn ask<T>(
    question: &Question<'_>,
    understood: impl Fn(&str) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    let Question {
        asks,
        changes,
        default,
    } = question;
    loop {
        streams::tell(&format!("\n{asks}\n  ({changes})\n  [{default}] "));
        let mut answer = String::new();
        let read = io::stdin().lock().read_line(&mut answer);
        if read.map_err(|error| Trouble::new(format!("cannot read the answer: {error}")))? == 0 {
            return Err(Trouble::new(
                "the answers ended before the questions; nothing was written",
            ));
        }
        let answer = match answer.trim() {
            "" => default,
            typed => typed,
        };
        match understood(answer) {
            Ok(value) => return Ok(value),
            Err(trouble) => streams::tell(&trouble.to_string()),
        }
    }
}
