//! The keeper: a flange with a plug that closes the frame and stops the carriage.
//!
//! Print frame: the flange's outer face lies on the bed. In the assembly it is turned over
//! about x, so that the V on its -y side here stands on the +y side there.

use super::frame::square_body;
use super::rules::*;
use super::sizes::Sizes;
use super::tool::{Along, Bore, Line, LyingHole, here, v_marks};
use crate::assembly::{Outline, Pose, Shape, Solid};
use crate::thread::Hand;
use crate::units::Length;

/// The hole through its middle, and two for its pins.
const WAYS_THROUGH: usize = 3;

/// The keeper's shape.
pub(super) fn shape(sizes: &Sizes, layer: Length) -> Shape {
    let end = KEEPER_FLANGE + sizes.keeper_plug;
    let rod = sizes.keeper_bore / 2.0;
    let hole = Line::from(-OVERCUT, rod + BED_EDGE + OVERCUT)
        .to(BED_EDGE, rod)
        .to(end - BED_EDGE, rod)
        .to(end + OVERCUT, rod + BED_EDGE + OVERCUT);
    let mut cut = vec![here(hole.turned())];
    let bore = Bore::around(sizes.pin_diameter, &sizes.gaps.locate_pin);
    for side in [-1.0, 1.0] {
        let pin = LyingHole {
            along: Along::Y,
            beside: sizes.keeper_pin_offset * side,
            height: pin_height(sizes, layer),
            reach: sizes.guide() / 2.0,
            sides: [bore, bore],
            mouth: Length::ZERO,
        };
        cut.extend(pin.tools());
    }
    cut.extend(v_marks(
        Hand::Right,
        sizes.frame_side / -2.0,
        Length::ZERO,
        KEEPER_FLANGE,
    ));
    Shape {
        base: here(square_body(sizes.frame_side, KEEPER_FLANGE)),
        within: Vec::new(),
        joined: vec![here(plug(sizes, end))],
        cut,
        genus: WAYS_THROUGH,
    }
}

/// Height of the pins' axes above the bed.
fn pin_height(sizes: &Sizes, layer: Length) -> Length {
    KEEPER_FLANGE + sizes.frame_length - sizes.keeper_pin_height(layer)
}

/// From the print frame to the assembly.
pub(super) fn pose(sizes: &Sizes) -> Pose {
    Pose::turned_over().shifted(
        Length::ZERO,
        Length::ZERO,
        sizes.frame_length + KEEPER_FLANGE,
    )
}

/// The plug fills guide and slots, and breaks its edges where it goes in.
fn plug(sizes: &Sizes, end: Length) -> Solid {
    let gap = sizes.gaps.locate.drawn * 2.0;
    let outline = |set_in: Length| Outline::Keyed {
        diameter: sizes.guide() - gap - set_in * 2.0,
        width: sizes.slot_width() - gap - set_in * 2.0,
        span: sizes.frame_side - (BELOW_FACE + set_in) * 2.0,
    };
    // It is embedded in the flange by half of it.
    Solid::Prism(vec![
        (KEEPER_FLANGE / 2.0, outline(Length::ZERO)),
        (end - EDGE, outline(Length::ZERO)),
        (end, outline(EDGE)),
    ])
}

/// Poses of the two pins that hold it; flats sideways.
pub(super) fn pin_poses(sizes: &Sizes, layer: Length) -> [Pose; 2] {
    [-1.0, 1.0].map(|side| {
        let flat = super::pin::flat_height(sizes.pin_diameter);
        // The print frame's x along y, its z along x.
        Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]).shifted(
            sizes.keeper_pin_offset * side - flat,
            Length::ZERO,
            sizes.keeper_pin_height(layer),
        )
    })
}
