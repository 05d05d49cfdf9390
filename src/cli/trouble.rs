//! How a command ends: done, rejected, or in trouble that has nothing to do with the kit.

use crate::diagnostic::{Severity, remark};
use crate::output::words::plain;
use std::fmt;
use std::io;
use std::path::Path;
use std::process::ExitCode;

/// Exit code of a rejected kit or a failed check.
const REJECTED: u8 = 1;
/// Exit code of wrong usage and file trouble.
pub(super) const TROUBLE: u8 = 2;

/// An end without trouble.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    /// What was asked for is done.
    Done,
    /// The kit is rejected, or a check fails.
    Rejected,
    /// The arguments could not be understood, and that has been told.
    Misused,
}

impl From<Ending> for ExitCode {
    fn from(ending: Ending) -> Self {
        match ending {
            Ending::Done => Self::SUCCESS,
            Ending::Rejected => Self::from(REJECTED),
            Ending::Misused => Self::from(TROUBLE),
        }
    }
}

/// What went wrong with a file, a stream or the use of the program, and what to do about it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Trouble {
    message: String,
    mend: Option<String>,
}

impl Trouble {
    /// A trouble without a remedy that we know of.
    pub(super) fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            mend: None,
        }
    }

    /// The operating system refuses to do something with a path: `cannot read x: reason`.
    pub(super) fn io(verb: &str, path: &Path, error: &io::Error) -> Self {
        Self::new(format!("cannot {verb} {}: {}", shown(path), why(error)))
    }

    /// With what to do about it.
    pub(super) fn mend(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mend = self.mend.as_deref();
        f.write_str(&remark(Severity::Error, &self.message, mend))
    }
}

/// What the operating system says, without its number.
pub(super) fn why(error: &io::Error) -> String {
    let said = error.to_string();
    let bare = said.split(" (os error ").next().unwrap_or(&said);
    bare.to_owned()
}

/// A path for people: nothing in it can drive a terminal.
pub(super) fn shown(path: &Path) -> String {
    let text = plain(&path.to_string_lossy());
    if text.is_empty() { "\"\"".into() } else { text }
}
