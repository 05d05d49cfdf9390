//! The distance that the last step measures, as a gauge for it has to know it.

use crate::assembly::InstanceId;
use crate::units::Length;

/// Two faces square to the axis, and how far apart they may stand when the mechanism is drawn back to
/// its stop.
#[derive(Clone, Debug, PartialEq)]
pub struct LastCheck {
    /// The pieces, the one nearer to the drive head first.
    pub pieces: [InstanceId; 2],
    /// z of their faces at turn 0, in the assembly.
    pub faces: [Length; 2],
    /// The least and the most that is right.
    pub window: [Length; 2],
    /// By how much it differs, at the least, where a screw was started wrong; `None` where the distance
    /// does not tell that.
    pub wrong: Option<Length>,
    /// Between what, and how a gauge comes there.
    pub between: Between,
}

/// Between which faces it is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Between {
    /// The frame and the face under the head, in words: `the underside of the knob`.
    FrameAnd(&'static str),
    /// The two carriages.
    Carriages,
}
