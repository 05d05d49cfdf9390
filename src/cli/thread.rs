//! `thread DESIGNATION`: sizes and limits of a thread.

use super::check::refused;
use super::streams;
use super::trouble::{Ending, Trouble};
use crate::diagnostic::{Diagnostic, Severity, Source};
use crate::making::{self, Refusal};
use crate::output::page::thread_sheet;
use crate::thread::{Thread, ThreadError};

/// Arguments as they were typed; they need no resolving.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Lengths are in mm; of a thread in inches, inches stand beside them.

Example:
  netlead thread M20x2.5
  netlead thread \"7/8-9 UNC\" --json")]
pub(super) struct Raw {
    /// As a drawing has it: M20, M20x1.5-LH, "7/8-9 UNC"
    designation: String,
}

/// Prints the sheet.
pub(super) fn run(raw: &Raw, json: bool) -> Result<Ending, Trouble> {
    match sheet(&raw.designation, json) {
        Ok(sheet) if json => streams::json(&sheet).map(|()| Ending::Done),
        Ok(sheet) => streams::page(&sheet).map(|()| Ending::Done),
        Err(refusal) => refused(&refusal),
    }
}

/// The sheet of a thread, as text or as JSON, with a line end after the last line.
fn sheet(designation: &str, json: bool) -> Result<String, Refusal> {
    let thread: Thread = designation.parse().map_err(|error: ThreadError| {
        let problem = Diagnostic {
            severity: Severity::Error,
            message: error.message,
            at: Some(error.at),
            label: String::new(),
            mend: error.mend,
        };
        let source = Source::Typed("the designation");
        Refusal::Rejected(making::rendered(source, designation, &[problem]))
    })?;
    let sheet = if json {
        thread_sheet::json(&thread)
    } else {
        thread_sheet::text(&thread)
    };
    String::from_utf8(sheet).map_err(|error| Refusal::Broken(error.to_string()))
}
