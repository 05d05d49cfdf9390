//! A step of putting the mechanism together, and what the bench needs for it.

use super::InstanceId;
use crate::units::Length;

/// One thing to do at the bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// A word or two: `start the inner screw`.
    pub action: String,
    /// The pieces it handles.
    pub pieces: Vec<InstanceId>,
    /// The motion that it makes, if one carries it out.
    pub motion: Option<Motion>,
    /// From where its words tell a way to turn; none where they tell none.
    pub eye: Option<Eye>,
    /// What a rule or a caliper shows once it is done: the last sentence of its words.
    pub shows: Option<String>,
    /// What to do, in whole sentences.
    pub text: String,
    /// Why here and not later, or what goes wrong otherwise.
    pub reason: String,
}

/// The motion of a step, in the assembly frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Straight or turning.
    pub kind: MotionKind,
    /// Along or about which axis.
    pub axis: Axis,
    /// Distance along the axis, signed.
    pub distance: Length,
    /// Turns about the axis: positive is clockwise seen from the drive head.
    pub turns: f64,
}

/// Where the eye is for which a way to turn is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Eye {
    /// In front of the drive head, looking along the screws at the frame.
    DriveHead,
    /// In front of the inner screw's own slotted head, which looks the other way.
    SlottedHead,
    /// In front of the sleeve in which a far shaft ends.
    Sleeve,
}

impl Eye {
    /// What it looks at, as sentences have it: `seen from the drive head`.
    pub fn words(self) -> &'static str {
        match self {
            Self::DriveHead => "the drive head",
            Self::SlottedHead => "its own slotted head",
            Self::Sleeve => "the sleeve",
        }
    }
}

/// Straight or turning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MotionKind {
    /// Along the axis only.
    Straight,
    /// Along and about it, as a thread leads.
    Helical,
    /// The mechanism's own motion, all joints standing.
    Driven,
}

/// An axis of the assembly frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Through the slots.
    X,
    /// Towards the V marks.
    Y,
    /// Along the screws.
    Z,
}

impl Axis {
    /// Its place among x, y and z: 0, 1, 2.
    pub const fn index(self) -> usize {
        match self {
            Self::X => 0,
            Self::Y => 1,
            Self::Z => 2,
        }
    }
}
