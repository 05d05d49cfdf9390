//! Pins, all of one pattern, printed lying on one flat.
//!
//! Print frame: the pin lies along x on its flat. The flat is 0.707 diameters wide, so that
//! its edges leave the bed at 45 degrees and no face leans further.

use super::elements::{Line, here, prism};
use super::proportions::*;
use crate::assembly::{Outline, Placed, Pose, Shape};
use crate::units::Length;

/// Height of a lying pin's axis above its flat.
pub(crate) fn flat_height(diameter: Length) -> Length {
    let half = diameter.as_mm() / 2.0;
    let flat = diameter.as_mm() * PIN_FLAT / 2.0;
    Length::mm((half * half - flat * flat).sqrt())
}

/// A pin with a lead-in at both ends.
pub(crate) fn shape(diameter: Length, length: Length) -> Shape {
    let (radius, half) = (diameter / 2.0, length / 2.0);
    let lead_in = (diameter * PIN_LEAD_IN).min(LONGEST_LEAD_IN);
    let rod = Line::from(-half, radius - lead_in)
        .to(-half + lead_in, radius)
        .to(half - lead_in, radius)
        .to(half, radius - lead_in);
    // Its own z along x, lifted so that the flat lies on the bed.
    let lying = Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]).shifted(
        Length::ZERO,
        Length::ZERO,
        flat_height(diameter),
    );
    let (x, y) = (length + OVERCUT * 2.0, diameter + OVERCUT * 2.0);
    let below = prism(-radius - OVERCUT, Length::ZERO, Outline::Rectangle { x, y });
    Shape {
        base: Placed {
            pose: lying,
            solid: rod.turned(),
        },
        within: Vec::new(),
        joined: Vec::new(),
        cut: vec![here(below)],
        genus: 0,
    }
}
