//! What of a nested mechanism cannot be drawn.

use super::Nested;
use crate::diagnostic::Diagnostic;
use crate::kit::key;
use crate::layout::limits::{Bound, LEAST_TURN_BACK, broken, least_thread};
use crate::layout::proportions::*;
use crate::units::Length;

/// The collar reaches this far over the mouth of the drive screw's bore, to touch it. Guess.
const COLLAR_CONTACT: Length = Length::mm(0.2);

/// The collar passes the frame's tapped hole with this much room on a side. Guess.
const GAP_AROUND_COLLAR: Length = Length::mm(0.2);

impl Nested<'_> {
    /// Why its sizes leave no part to draw; empty if they do.
    pub(super) fn cannot_be_drawn(&self) -> Vec<Diagnostic> {
        let sizes = &self.sizes;
        let head = self.head.as_ref();
        let mut bounds = sizes.house.bounds(&sizes.drive, &sizes.stroke, head);
        bounds.extend([self.of_thread(), self.of_bore(), self.of_collar()]);
        let blamed = [key::INNER.name(), key::DRIVE.name()];
        broken(self.kit, &bounds, &blamed)
    }

    fn of_thread(&self) -> Bound {
        let inner = &self.sizes.inner;
        Bound::least(
            "inner screw's thread",
            key::INNER_THREAD.name(),
            inner.thread_length,
            least_thread(&inner.thread),
            "neck, run-out, a turn and a chamfer",
        )
    }

    fn of_bore(&self) -> Bound {
        let sizes = &self.sizes;
        let inner = &sizes.inner;
        Bound {
            name: "depth of the drive screw's bore",
            key: Some(key::BORE.name()),
            value: sizes.bore.depth,
            least: Some(
                (chamfer_length(&inner.thread) * 2.0 + inner.thread.pitch())
                    .max(inner.thread_length + LEAST_TURN_BACK),
            ),
            most: Some(sizes.drive.length + self.head.height() - FLOOR_UNDER_BORE),
            reason: "it must take the inner screw's thread until the collar touches, and end \
                     before the head does",
            no_room: "shorten `stroke`, or take threads with a larger net lead",
        }
    }

    fn of_collar(&self) -> Bound {
        let sizes = &self.sizes;
        let (house, inner) = (&sizes.house, &sizes.inner);
        let frame_gap = house.gaps.thread.drawn();
        let passage =
            sizes.drive.thread.minor_internal() + frame_gap * 2.0 - GAP_AROUND_COLLAR * 2.0;
        let seat = inner.thread.major()
            + (sizes.bore.gap.drawn() + CHAMFER_BEYOND_THREAD + COLLAR_CONTACT) * 2.0;
        let pin_hole = inner.pin + inner.through.drawn() * 2.0;
        Bound {
            name: "inner screw's collar",
            key: Some(key::COLLAR.name()),
            value: inner.collar,
            least: Some(seat.max(pin_hole + EDGE * 4.0)),
            most: Some(passage),
            reason: "it must touch the drive screw's end, hold the cross pin, and pass the \
                     frame's tapped hole",
            no_room: "take a thicker `drive`, a thinner `inner`, or thinner pins (`pins.diameter`)",
        }
    }
}
