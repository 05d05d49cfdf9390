//! The inner screw: a round head with a cross hole and a slot, a collar face, and a thread.
//!
//! Print frame: the head's end lies on the bed. In the assembly it is turned over about x.

use super::rules::*;
use super::sizes::{Nested, Sizes};
use super::tool::{Along, Bore, Line, LyingHole, ScrewThread, free_tip, here, prism, v_marks};
use crate::assembly::{Outline, Pose, Shape};
use crate::units::Length;

/// The cross hole.
const WAYS_THROUGH: usize = 1;

/// The inner screw's shape.
pub(super) fn shape(sizes: &Sizes, nested: &Nested) -> Shape {
    let (radius, head) = (nested.collar / 2.0, nested.head_height);
    let thread = ScrewThread {
        thread: &nested.thread,
        face: head,
        end: head + nested.thread_length,
        // In the assembly a crest centre stands at z = 0 at angle 0: here, turned over, at the
        // height of the head's end there.
        crest: nested.collar_face + head,
        tip: free_tip(&nested.thread),
    };
    let line = Line::from(Length::ZERO, radius - EDGE)
        .to(EDGE, radius)
        .to(head, radius);
    let bore = Bore::around(sizes.pin_diameter, &sizes.gaps.locate_pin);
    let hole = LyingHole {
        along: Along::X,
        beside: Length::ZERO,
        height: nested.cross_hole,
        reach: radius,
        sides: [bore, bore],
        mouth: EDGE,
    };
    let [width, depth] = SLOT;
    let across = Outline::Rectangle {
        x: width,
        y: nested.collar + OVERCUT * 2.0,
    };
    let mut cut = hole.tools();
    cut.push(here(prism(-OVERCUT, depth, across)));
    // The V stands on the collar's side, at -y here and at +y in the assembly.
    cut.extend(v_marks(nested.thread.hand(), -radius, Length::ZERO, head));
    Shape {
        base: here(thread.stand_on(line).turned()),
        within: Vec::new(),
        joined: Vec::new(),
        cut,
        genus: WAYS_THROUGH,
    }
}

/// From the print frame to the assembly at turn 0.
pub(super) fn pose(nested: &Nested) -> Pose {
    let head_end = nested.collar_face + nested.head_height;
    Pose::turned_over().shifted(Length::ZERO, Length::ZERO, head_end)
}
