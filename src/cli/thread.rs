//! `thread DESIGNATION`: sizes and limits of a thread.

use super::check::refused;
use super::pipeline;
use super::streams;
use super::trouble::{Ending, Trouble};

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
    match pipeline::thread_sheet(&raw.designation, json) {
        Ok(sheet) if json => streams::json(&sheet).map(|()| Ending::Done),
        Ok(sheet) => streams::page(&sheet).map(|()| Ending::Done),
        Err(refusal) => refused(&refusal),
    }
}
