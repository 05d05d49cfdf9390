//! What of a square house cannot be drawn.

use super::{AROUND_PIN, House};
use crate::kit::key;
use crate::layout::feature::Head;
use crate::layout::limits::{Bound, LEAST_TURN_BACK, least_thread};
use crate::layout::proportions::*;
use crate::layout::spring::Pocket;
use crate::layout::stroke::{DriveThread, Stroke};
use crate::units::Length;

/// Least wall of the carriage beside what stands in it: four printed lines. Guess.
const LEAST_SIDE: Length = Length::mm(2.0);
/// The rib and the roof beside it at the least: the narrowest that still is a body with a rib.
/// Guess.
const BESIDE_RIB: Length = Length::mm(2.0);

impl House {
    /// Bounds of its sizes, and of the drive screw in it.
    pub(in crate::layout) fn bounds(
        &self,
        drive: &DriveThread,
        stroke: &Stroke,
        head: &dyn Head,
    ) -> Vec<Bound> {
        let mut bounds = Vec::from(self.of_drive(drive));
        bounds.extend(self.of_carriage());
        bounds.push(self.of_keeper());
        bounds.extend(self.of_spring());
        bounds.extend(head.bounds(drive.thread.major() + EDGE * 2.0));
        bounds.extend(self.index.iter().flat_map(|index| index.bounds(None)));
        bounds.push(Bound::least(
            "drive screw's thread",
            key::DRIVE_THREAD.name(),
            drive.length,
            drive.length - drive.head_gap(stroke.turns + stroke.over_travel) + LEAST_TURN_BACK,
            "the head would run into the frame before the stroke ends",
        ));
        bounds
    }

    fn of_drive(&self, drive: &DriveThread) -> [Bound; 2] {
        [
            Bound::least(
                "tapped wall",
                key::TAPPED_WALL.name(),
                self.wall,
                chamfer_length(&drive.thread) * 2.0 + drive.thread.pitch(),
                "a turn of thread and two countersinks",
            ),
            Bound::least(
                "drive screw's thread",
                key::DRIVE_THREAD.name(),
                drive.length,
                least_thread(&drive.thread),
                "neck, run-out, a turn and a chamfer",
            ),
        ]
    }

    pub(in crate::layout) fn of_carriage(&self) -> [Bound; 3] {
        let pocket = self.nut.across_flats + self.gaps.pocket.drawn() * 2.0;
        let [rear, _] = self.bores;
        let thread = &self.nut.thread;
        let rib = self.section.rib() + BESIDE_RIB * 2.0;
        [
            Bound::least(
                "carriage's width",
                key::CARRIAGE_WIDTH.name(),
                self.section.width,
                (pocket.max(rear) + LEAST_SIDE * 2.0).max(rib),
                "it must hold its nut and let the drive screw in",
            ),
            Bound::least(
                "carriage's length",
                key::CARRIAGE_LENGTH.name(),
                self.carriage.length,
                self.carriage.rear_bore
                    + self.carriage.end_wall * 2.0
                    + self.pocket_length()
                    + self.carriage.beyond,
                "a wall before and behind the nut, and what its working end stands on",
            ),
            Bound::least(
                "nut's height",
                key::NUT_HEIGHT.name(),
                self.nut.height,
                chamfer_length(thread) * 2.0 + thread.pitch(),
                "a turn of thread and two countersinks",
            ),
        ]
    }

    /// Length of the nut's pocket.
    pub(in crate::layout) fn pocket_length(&self) -> Length {
        self.nut.height + self.gaps.seat.drawn() * 2.0
    }

    pub(in crate::layout) fn of_keeper(&self) -> Bound {
        Bound::least(
            "keeper's plug",
            key::KEEPER_PLUG.name(),
            self.keeper_plug,
            self.gaps.pin_hole(self.pin)
                + AROUND_PIN * 2.0
                + EDGE
                + Pocket::depth_of(self.spring.as_ref()),
            match self.spring {
                None => "it must cover its pins",
                Some(_) => "it must cover its pins and hold the spring's pocket in front of them",
            },
        )
    }
}
