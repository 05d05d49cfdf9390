//! What is judged before plastic is spent: one rule a file, each reads and never changes.

use std::ops::Range;

/// How a check came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Within its limit.
    Pass,
    /// Worth knowing.
    Note,
    /// May go wrong.
    Warn,
    /// Will go wrong: nothing is written.
    Fail,
    /// Would fail or warn, but the kit waives it with a reason.
    Waived,
}

/// What a rule has to say about one subject.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Name of the rule: `drive-wall`.
    pub id: &'static str,
    /// How it came out.
    pub outcome: Outcome,
    /// Of what: `drive`, `drive/frame`.
    pub subject: String,
    /// The value judged, in `unit`.
    pub value: Option<f64>,
    /// The limit it is held against, in `unit`.
    pub limit: Option<f64>,
    /// `mm`, `MPa`, `N`, `1` for a ratio or count.
    pub unit: &'static str,
    /// One sentence with value and limit; lower case, no full stop.
    pub message: String,
    /// What to type in the kit, or to do, when it does not pass.
    pub mend: Option<String>,
    /// Where the limit comes from.
    pub source: &'static str,
    /// Bytes of the kit file that caused it, if one key did.
    pub at: Option<Range<usize>>,
}
