//! Words for turning the drive screw of any layout: what turn 0 is, and the way to it.

use super::feature::Head;
use super::stroke::{DriveThread, Stroke};
use super::words::{FINE, inwards, outwards, whole_turns};
use crate::assembly::{Axis, Eye, Going, InstanceId, MotionKind, State, Step, Wording};
use crate::kit::Kit;
use crate::thread::Hand;
use crate::units_told::number;

/// A drive screw at the bench.
pub(super) struct Turning<'a> {
    pub(super) kit: &'a Kit,
    pub(super) drive: &'a DriveThread,
    pub(super) stroke: &'a Stroke,
    pub(super) head: &'a dyn Head,
    /// The drive screw.
    pub(super) piece: InstanceId,
}

impl Turning<'_> {
    /// Hand of the drive screw.
    pub(super) fn hand(&self) -> Hand {
        self.drive.thread.hand()
    }

    /// What the head stands off, once it is where it belongs.
    pub(super) fn head_state(&self) -> State {
        State {
            what: self.head.words().underside,
            from: "the frame",
        }
    }

    /// What turn 0 is.
    pub(super) fn turn_zero(&self) -> String {
        format!(
            "This is turn 0, the start of the stroke: from here, {} turns {} carry out the \
             stroke of {}.",
            number(self.stroke.turns, 2),
            inwards(self.hand()),
            self.kit.told().length(self.stroke.length, FINE)
        )
    }

    /// From another whole turn to turn 0; what the carriage does on the way, and why.
    pub(super) fn to_zero(&self, way: &Way) -> Wording {
        let forwards = self.stroke.assembly_turn < 0.0;
        let turning = match forwards {
            true => inwards(self.hand()),
            false => outwards(self.hand()),
        };
        let step = Step {
            action: "go to turn 0".into(),
            pieces: vec![self.piece],
            motion: None,
            eye: Some(Eye::DriveHead),
            shows: None,
            text: format!(
                "Turn the drive screw {turning} by {turns}, counted by the Vs of {head} and frame, \
                 which stand in line again at the end: {carriage}. {zero}{more}",
                turns = whole_turns(self.stroke.assembly_turn.abs()),
                head = self.head.words().name,
                carriage = way.carriage,
                zero = self.turn_zero(),
                more = way.more,
            ),
            reason: way.reason.clone(),
        };
        Wording {
            covers: vec![Going {
                pieces: Vec::new(),
                kind: MotionKind::Driven,
                axis: Axis::Z,
                positive: None,
                turn: 0.0,
            }],
            step,
            state: Some(self.head_state()),
        }
    }
}

/// What a layout says of the way to turn 0.
pub(super) struct Way {
    /// What the carriage does: `the carriage draws back`.
    pub(super) carriage: String,
    /// What follows on what turn 0 is; empty, or begun with a blank.
    pub(super) more: String,
    /// Why it is gone.
    pub(super) reason: String,
}
