//! The drive screw: a head, and a shaft with a thread that stands on it.
//!
//! Print frame: the head's end face lies on the bed. In the assembly it is only shifted.

use super::elements::{Line, ScrewThread, here};
use super::feature::{Head, Solids};
use super::proportions::EDGE;
use super::recipe::{self, Recipe};
use super::stroke::DriveThread;
use crate::assembly::{Placed, Pose, Shape, Solid};
use crate::units::Length;

/// How deep the shaft's foot stands in the head.
const EMBEDDED: Length = Length::mm(2.0);

/// A drive screw without what its layout puts at its end.
pub(super) struct DriveScrew<'a> {
    pub(super) head: &'a dyn Head,
    pub(super) thread: &'a DriveThread,
    /// Radial gap that is drawn on the screw itself.
    pub(super) gap: Length,
}

impl DriveScrew<'_> {
    /// From the print frame to the assembly at turn 0.
    pub(super) fn pose(&self) -> Pose {
        Pose::shift(Length::ZERO, Length::ZERO, -self.lift())
    }

    /// Height in the print frame of the assembly's z = 0.
    pub(super) fn lift(&self) -> Length {
        self.head.height() + self.thread.length - self.thread.end
    }

    /// The face that the shaft stands on, in the print frame.
    pub(super) fn face(&self) -> Length {
        self.head.height()
    }

    /// The thread, which ends in a radius.
    pub(super) fn screw(&self, tip: Length) -> ScrewThread<'_> {
        ScrewThread {
            thread: &self.thread.thread,
            gap: self.gap,
            face: self.face(),
            end: self.thread.end + self.lift(),
            crest: self.lift(),
            tip,
        }
    }

    /// The shaft's contour from its foot in the head to the thread's end.
    pub(super) fn shaft(&self, screw: &ScrewThread<'_>) -> Line {
        let foot = Line::from(screw.face - EMBEDDED, screw.neck() + EDGE);
        screw.stand_on(foot)
    }

    /// The whole, with its shaft and what is cut out of both.
    pub(super) fn shape(&self, shaft: Solid, cut: Option<Placed>) -> Shape {
        let Solids {
            base,
            within,
            joined,
            cut: cut_of_head,
            ways,
        } = self.head.solids();
        let marks = self.head.marks(self.thread.thread.hand());
        Shape {
            base: here(base),
            within: within.into_iter().map(here).collect(),
            joined: joined.into_iter().chain([shaft]).map(here).collect(),
            cut: cut_of_head.into_iter().chain(marks).chain(cut).collect(),
            genus: ways,
        }
    }

    /// What shapes it, but for what its layout puts at its end.
    pub(super) fn recipe(&self) -> Recipe {
        let Self { head, thread, gap } = self;
        let mut recipe = recipe::drive_thread(&thread.thread);
        recipe.extend([("thread length", thread.length), ("thread end", thread.end)]);
        recipe.extend(head.recipe());
        if *gap != Length::ZERO {
            recipe.push(("thread gap on the screw", *gap));
        }
        recipe
    }
}
