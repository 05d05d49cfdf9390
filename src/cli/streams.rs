//! Writing to stdout and stderr.
//!
//! A reader who closes the pipe has read enough: that is no error. A disk that is full is one.
//! `println!` would panic on the first and `let _ =` would hide the second.

use super::trouble::{Trouble, why};
use crate::diagnostic::{Severity, is_hidden, remark};
use anstream::AutoStream;
use std::fmt::Display;
use std::io::{self, ErrorKind, IsTerminal, Write};

/// Text for people on stdout; styles stay only where they can be shown and are wanted.
pub(super) fn page(text: &str) -> Result<(), Trouble> {
    written(write(AutoStream::auto(io::stdout().lock()), text))
}

/// Data for programs on stdout, byte for byte.
pub(super) fn data(text: &str) -> Result<(), Trouble> {
    written(write(io::stdout().lock(), text))
}

/// JSON on stdout. What would drive a terminal can only stand in its strings, where the number of
/// a letter means the same as the letter (RFC 8259, section 7).
pub(super) fn json(text: &str) -> Result<(), Trouble> {
    let mut bare = String::with_capacity(text.len());
    for letter in text.chars() {
        match is_hidden(letter) && !matches!(letter, '\n' | '\t' | '\r') {
            true => {
                let mut units = [0; 2];
                let units = letter.encode_utf16(&mut units);
                bare.extend(units.iter().map(|unit| format!("\\u{unit:04x}")));
            }
            false => bare.push(letter),
        }
    }
    data(&bare)
}

/// One of many lines on stdout, for people or byte for byte; whether anyone reads on.
pub(super) fn line(text: &str, for_people: bool) -> Result<bool, Trouble> {
    let stdout = io::stdout().lock();
    let result = match for_people {
        true => write(AutoStream::auto(stdout), text),
        false => write(stdout, text),
    };
    let closed = matches!(&result, Err(error) if error.kind() == ErrorKind::BrokenPipe);
    written(result).map(|()| !closed)
}

/// A message on stderr. Nothing can be told of a stderr that fails, so that is let go.
pub(super) fn tell(text: &str) {
    let told = write(AutoStream::auto(io::stderr().lock()), text);
    drop(told);
}

/// A note on stderr, if there is one.
pub(super) fn note(said: Option<impl Display>) {
    if let Some(said) = said {
        tell(&remark(Severity::Note, &said.to_string(), None));
    }
}

fn write(mut stream: impl Write, text: &str) -> io::Result<()> {
    stream.write_all(text.as_bytes())?;
    stream.flush()
}

fn written(result: io::Result<()>) -> Result<(), Trouble> {
    match result {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Trouble::new(format!(
            "cannot write to stdout: {}",
            why(&error)
        ))),
        _ => Ok(()),
    }
}

/// Lines that say what is being worked on; silent unless someone looks on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Progress {
    watched: bool,
}

impl Progress {
    /// On stderr, if that is a terminal.
    pub(super) fn on_stderr() -> Self {
        Self {
            watched: io::stderr().is_terminal(),
        }
    }

    /// One line.
    pub(super) fn say(&self, what: &str) {
        if self.watched {
            tell(&format!("{what} ...\n"));
        }
    }
}
