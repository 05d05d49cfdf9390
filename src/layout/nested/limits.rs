//! What of a nested mechanism cannot be drawn.

use super::Nested;
use super::sizes::{GAP_AROUND_COLLAR, collar_seat};
use crate::diagnostic::Diagnostic;
use crate::kit::key;
use crate::layout::limits::{Bound, LEAST_TURN_BACK, broken, least_thread, typed_step};
use crate::layout::proportions::*;
use crate::units::Length;

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
        let least = (chamfer_length(&inner.thread) * 2.0 + inner.thread.pitch())
            .max(inner.thread_length + LEAST_TURN_BACK);
        let into_head = least.max(sizes.bore.depth) - sizes.drive.length;
        Bound {
            name: "depth of the drive screw's bore",
            key: Some(key::BORE.name()),
            value: sizes.bore.depth,
            least: Some(least),
            most: Some(sizes.drive.length + self.head.bore_room()),
            reason: "it must take the inner screw's thread until the collar touches, and end \
                     before the head does",
            no_room: self.head.deeper(self.kit, into_head),
        }
    }

    /// What helps where no collar passes the hole in the frame: of the thread that it stands on, of
    /// its pin, or of both the one that is in the way.
    fn no_room_for_collar(&self, passage: Length, seat: Length, pin: Length) -> String {
        let thinner = || {
            let told = self.kit.told();
            let pin = told.length(pin.down_to(typed_step(self.kit)), 2);
            match self.kit.pins.buy {
                Some(_) => format!("write {} of a dowel of at most {pin}", key::PINS_BUY.name()),
                None => format!("write {} of at most {pin}", key::PINS_DIAMETER.name()),
            }
        };
        let pin_helps = pin >= key::PINS_DIAMETER.limits.least;
        let thread = format!(
            "take a thicker {}, or a thinner {}",
            key::DRIVE.name(),
            key::INNER.name()
        );
        let thread_helps = seat > passage;
        let step = typed_step(self.kit);
        let pin_is_in_the_way = self.sizes.inner.pin > pin + step / 2.0;
        match (thread_helps, pin_is_in_the_way && pin_helps) {
            (false, true) => thinner(),
            (true, true) => format!("{thread}; then {}", thinner()),
            (_, false) => thread,
        }
    }

    fn of_collar(&self) -> Bound {
        let sizes = &self.sizes;
        let (house, inner) = (&sizes.house, &sizes.inner);
        let frame_gap = house.gaps.thread.drawn();
        let passage =
            sizes.drive.thread.minor_internal() + frame_gap * 2.0 - GAP_AROUND_COLLAR * 2.0;
        let seat = collar_seat(&inner.thread, sizes.bore.gap.drawn());
        let around_pin = (inner.through.drawn() + EDGE * 2.0) * 2.0;
        Bound {
            name: "inner screw's collar",
            key: Some(key::COLLAR.name()),
            value: inner.collar,
            least: Some(seat.max(inner.pin + around_pin)),
            most: Some(passage),
            reason: "it must touch the drive screw's end, hold the cross pin, and pass the \
                     frame's tapped hole",
            // A collar that can be typed passes then, with a step to spare.
            no_room: self.no_room_for_collar(
                passage,
                seat,
                passage.down_to(typed_step(self.kit)) - typed_step(self.kit) - around_pin,
            ),
        }
    }
}
