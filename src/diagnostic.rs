//! What is wrong, where, and what to type instead.

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
