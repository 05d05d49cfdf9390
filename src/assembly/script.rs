//! What a layout has to say: words for motions of putting together, and names of places.
//!
//! Which motions are made, and in which order, is found from the meshes. Words attach to a
//! motion that was found and say for which one they were written; they never replace it.

use super::{Axis, InstanceId, MotionKind, Step};
use crate::units::Length;

/// Words for motions that follow each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Wording {
    /// The motions, in their order.
    pub covers: Vec<Going>,
    /// The words. Its motion is replaced by the first one found.
    pub step: Step,
    /// What a rule or a caliper shows then; the distance that is left follows.
    pub state: Option<State>,
}

/// Words for a distance that is left when a screw is where it belongs.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// What stands off: `the underside of the head`.
    pub what: &'static str,
    /// Off what: `the frame`.
    pub from: &'static str,
}

/// A motion that puts pieces in, as far as words depend on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Going {
    /// The pieces that move, ascending.
    pub pieces: Vec<InstanceId>,
    /// How.
    pub kind: MotionKind,
    /// Along which axis.
    pub axis: Axis,
    /// Towards its positive end; `None` where either will do.
    pub positive: Option<bool>,
    /// The mechanism's turn when it has been done, counted in the direction of the stroke.
    pub turn: f64,
}

/// What a layout has to say about putting its pieces together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Script {
    /// Before anything is put together.
    pub before: Vec<Step>,
    /// Words for motions that the order may have.
    pub wordings: Vec<Wording>,
    /// When all is together.
    pub after: Vec<Step>,
    /// How pieces come out that a punch does not simply drive back the way they went in.
    pub apart: Vec<WayOut>,
}

/// Words for a piece whose way out its motion alone does not tell.
#[derive(Clone, Debug, PartialEq)]
pub struct WayOut {
    /// The piece.
    pub piece: InstanceId,
    /// What to do, in whole sentences.
    pub text: String,
}

/// Where the guide tells the way apart: the heading that steps name which ask for it.
pub const TAKING_APART: &str = "Taking it apart";

/// Part of a piece that has a name of its own, for messages about what meets.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedRegion {
    /// The piece.
    pub piece: InstanceId,
    /// From which z to which, in the assembly at turn 0.
    pub z: [Length; 2],
    /// What it is called: `collar`.
    pub name: &'static str,
}

/// How the six directions of the assembly's frame are called: along x, y and z, each towards its
/// negative and its positive end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sides {
    /// How what stays lies when a direction is up: `lying with the V side up`.
    pub up: [[&'static str; 2]; 3],
    /// Where a motion goes: `towards the V side`.
    pub towards: [[&'static str; 2]; 3],
}
