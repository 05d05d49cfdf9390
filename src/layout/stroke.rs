//! The stroke in turns, and the drive screw in the frame's tapped wall: what every layout with a
//! screw in its frame derives first. Symbols are those of `docs/sizing.md`.

use super::elements::run_out;
use super::proportions::*;
use crate::assembly::Course;
use crate::kit::{Kit, Said};
use crate::thread::Thread;
use crate::units::Length;

/// A size that the kit sets.
pub(super) fn given(said: &Option<Said<Length>>) -> Option<Length> {
    said.as_ref().map(|said| said.value)
}

/// Le: wanted engagement of full profile at the worst place of the stroke.
pub(super) fn wanted_engagement(thread: &Thread) -> Length {
    (thread.major() * ENGAGED_DIAMETERS).max(thread.pitch() * ENGAGED_PITCHES)
}

/// The stroke in turns of the drive.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stroke {
    /// s, travel of the carriage.
    pub(super) length: Length,
    /// Ln, travel of the carriage in one turn.
    pub(super) net_lead: Length,
    /// N, turns for the stroke.
    pub(super) turns: f64,
    /// J, play of the carriage along the axis when nothing presses it: the sum over its joints.
    pub(super) play: Length,
    /// m, turns past the stroke until all play is used up at the stop.
    pub(super) over_travel: f64,
    /// Na, the whole turn at which the marks line up for assembly.
    pub(super) assembly_turn: f64,
}

impl Stroke {
    pub(super) fn new(kit: &Kit, net_lead: Length, play: Length) -> Self {
        let turns = *kit.stroke / net_lead;
        let over_travel = (OVER_TRAVEL + *kit.layer + play / 2.0) / net_lead;
        let assembly_turn = (turns + over_travel + SPARE_TURNS).ceil();
        Self {
            length: *kit.stroke,
            net_lead,
            turns,
            play,
            over_travel,
            assembly_turn,
        }
    }

    /// The course of the mechanism, its drive screw having this lead.
    pub(super) fn course(&self, drive: &Thread) -> Course {
        Course {
            stroke: self.length,
            turns: self.turns,
            over_travel: self.over_travel,
            assembly_turn: self.assembly_turn,
            drive_travel: drive.lead() * self.turns,
            further: Vec::new(),
        }
    }
}

/// The drive screw's thread in the frame's tapped wall; heights at turn 0 in the assembly.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DriveThread {
    pub(super) thread: Thread,
    /// Le1, wanted engagement in the frame.
    pub(super) engagement: Length,
    /// Lw, tapped wall of the frame.
    pub(super) tapped_wall: Length,
    /// zd, where the thread ends.
    pub(super) end: Length,
    /// Ls1, its length under the head, neck included.
    pub(super) length: Length,
}

impl DriveThread {
    pub(super) fn new(kit: &Kit, thread: &Thread, stroke: &Stroke) -> Self {
        let (layer, chamfer) = (*kit.layer, chamfer_length(thread));
        let engagement = wanted_engagement(thread);
        let tapped_wall = given(&kit.sizes.tapped_wall)
            .unwrap_or_else(|| (engagement + chamfer * 2.0).up_to(layer));
        let end = tapped_wall + thread.lead() * stroke.over_travel + chamfer;
        let run = thread.lead() * (stroke.assembly_turn + HEAD_GAP_LEADS);
        let length = given(&kit.sizes.drive_thread).unwrap_or_else(|| (end + run).up_to(layer));
        Self {
            thread: thread.clone(),
            engagement,
            tapped_wall,
            end,
            length,
        }
    }

    /// Where the face under the head stands.
    pub(super) fn head_face(&self) -> Length {
        self.end - self.length
    }

    /// Gap between the drive head and the frame at turn n.
    pub(super) fn head_gap(&self, n: f64) -> Length {
        self.length - self.end - self.thread.lead() * n
    }

    /// From where to where the screw has its full profile.
    pub(super) fn full_profile(&self) -> [Length; 2] {
        [
            self.head_face() + run_out(&self.thread),
            self.end - chamfer_length(&self.thread),
        ]
    }
}
