//! Pins, all of one pattern, printed lying on one flat; grades of them have notches.
//!
//! Print frame: the pin lies along x on its flat. The flat is 0.707 diameters wide, so that
//! its edges leave the bed at 45 degrees and no face leans further. Notches are cut across its
//! back, opposite to the flat, near the end at +x: they open upwards, so that nothing hangs.

use super::elements::{Line, here, prism, v_across};
use super::proportions::*;
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::units::Length;

/// Height of a lying pin's axis above its flat.
pub(crate) fn flat_height(diameter: Length) -> Length {
    let half = diameter.as_mm() / 2.0;
    let flat = diameter.as_mm() * PIN_FLAT / 2.0;
    Length::mm((half * half - flat * flat).sqrt())
}

/// What tells a grade of pins from the others: 90 degree notches across the back.
pub(crate) struct Notches {
    /// How many.
    pub(crate) count: usize,
    /// Below the back.
    pub(crate) depth: Length,
    /// What stands before, between and behind them at the least.
    pub(crate) land: Length,
}

impl Notches {
    /// From the pin's end to the middle of each.
    pub(crate) fn places_from_end(&self, diameter: Length) -> impl Iterator<Item = Length> {
        let first = lead_in(diameter) + self.land + self.depth;
        let step = self.depth * 2.0 + self.land;
        let mut next = first;
        std::iter::repeat_with(move || {
            let place = next;
            next += step;
            place
        })
        .take(self.count)
    }
}

/// Length of the slope at either end.
pub(crate) fn lead_in(diameter: Length) -> Length {
    (diameter * PIN_LEAD_IN).min(LONGEST_LEAD_IN)
}

/// A pin of a grade.
pub(crate) fn notched(diameter: Length, length: Length, notches: &Notches) -> Shape {
    let mut shape = shape(diameter, length);
    let back = flat_height(diameter) + diameter / 2.0;
    let half = diameter / 2.0 + OVERCUT;
    let places = notches.places_from_end(diameter);
    shape
        .cut
        .extend(places.map(|place| v_across(notches.depth, [length / 2.0 - place, back], half)));
    shape
}

/// A pin with a head at +x, whose length is that of its shank: one that goes into a blind hole, and is
/// drawn out by its head.
pub(crate) fn headed(diameter: Length, length: Length, head: [Length; 2]) -> Shape {
    let [across, height] = head;
    let (radius, wide, half) = (diameter / 2.0, across / 2.0, length / 2.0);
    let lead_in = lead_in(diameter);
    let rod = Line::from(-half, radius - lead_in)
        .to(-half + lead_in, radius)
        .to(half, radius)
        .to(half, wide)
        .to(half + height - BED_EDGE, wide)
        .to(half + height, wide - BED_EDGE);
    on_its_flat(rod.turned(), diameter, [length + height * 2.0, across])
}

/// A pin with a lead-in at both ends.
pub(crate) fn shape(diameter: Length, length: Length) -> Shape {
    on_its_flat(rod(diameter, length), diameter, [length, diameter])
}

/// A bought dowel: round all about, its axis where that of a printed pin is.
pub(crate) fn round(diameter: Length, length: Length) -> Shape {
    Shape {
        base: Placed {
            pose: lying(diameter),
            solid: rod(diameter, length),
        },
        within: Vec::new(),
        joined: Vec::new(),
        cut: Vec::new(),
        genus: 0,
    }
}

/// A rod along z with a lead-in at both ends.
fn rod(diameter: Length, length: Length) -> Solid {
    let (radius, half) = (diameter / 2.0, length / 2.0);
    let lead_in = lead_in(diameter);
    Line::from(-half, radius - lead_in)
        .to(-half + lead_in, radius)
        .to(half - lead_in, radius)
        .to(half, radius - lead_in)
        .turned()
}

/// From along z to along x, lifted so that a printed pin's flat lies on the bed.
fn lying(diameter: Length) -> Pose {
    let along_x = Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]);
    along_x.shifted(Length::ZERO, Length::ZERO, flat_height(diameter))
}

/// A rod along z, laid along x on a flat that is cut from it; no longer and no wider than a box.
fn on_its_flat(rod: Solid, diameter: Length, [length, across]: [Length; 2]) -> Shape {
    let (x, y) = (length + OVERCUT * 2.0, across + OVERCUT * 2.0);
    let deep = across / 2.0 + OVERCUT;
    let below = prism(-deep, Length::ZERO, Outline::Rectangle { x, y });
    Shape {
        base: Placed {
            pose: lying(diameter),
            solid: rod,
        },
        within: Vec::new(),
        joined: Vec::new(),
        cut: vec![here(below)],
        genus: 0,
    }
}
