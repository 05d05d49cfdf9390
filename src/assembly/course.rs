//! How a mechanism carries out its stroke, in turns of the drive.

use super::JointId;
use crate::units::Length;

/// The stroke, in turns n of the drive in the direction that carries it out.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Travel of the carriage.
    pub stroke: Length,
    /// N, turns for the stroke.
    pub turns: f64,
    /// m, turns that the drive can make past either end until all play is used up at the stop.
    pub over_travel: f64,
    /// Na, the whole number of turns at which the marks line up for assembly.
    pub assembly_turn: f64,
    /// Travel of the drive screw over the stroke, without sign.
    pub drive_travel: Length,
    /// Travel over the stroke of every further screw in what it runs in.
    pub further: Vec<ScrewTravel>,
}

/// How far a screw goes in what it runs in.
#[derive(Clone, Debug, PartialEq)]
pub struct ScrewTravel {
    /// What a table calls it: `inner travel`.
    pub title: &'static str,
    /// The joint.
    pub joint: JointId,
    /// Over the stroke, without sign.
    pub length: Length,
}

/// A way to turn, seen from the drive head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turning {
    /// As a clock's hands.
    Clockwise,
    /// Against them.
    CounterClockwise,
}
