//! What comes of a rule: how it came out, of what, and what to do about it.

use crate::assembly::{Fit, InstanceId, JointId, PartId};
use crate::load::Bearer;
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

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// A part, whichever of its pieces.
    Part(PartId),
    /// A piece.
    Piece(InstanceId),
    /// Two pieces by the joint that holds them.
    Joint(JointId),
    /// Two pieces, whether or not a joint holds them.
    Pair([InstanceId; 2]),
    /// All joints of one kind of fit.
    Fit(Fit),
    /// Several kinds of fit together.
    Fits,
    /// The layers of the print.
    Layer,
    /// The load that the kit gives.
    Load,
    /// The hand that turns.
    Hand,
    /// The kit as a whole.
    Kit,
}

impl From<Bearer> for Subject {
    fn from(bearer: Bearer) -> Self {
        match bearer {
            Bearer::Part(part) => Self::Part(part),
            Bearer::Joint(joint) => Self::Joint(joint),
        }
    }
}

/// What a rule has to say about one subject.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Name of the rule: `drive-wall`.
    pub id: &'static str,
    /// How it came out.
    pub outcome: Outcome,
    /// Of what.
    pub subject: Subject,
    /// The value judged, in `unit`.
    pub value: Option<f64>,
    /// The limit it is held against, in `unit`.
    pub limit: Option<f64>,
    /// `mm`, `MPa`, `N`, `N m`, `C` for degrees Celsius, `1` for a ratio or count.
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
