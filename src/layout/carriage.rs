//! The carriage: a round body that slides in the guide, with two ears in the slots.
//!
//! Print frame: its far face lies on the bed and the socket opens upwards. In the assembly it
//! is turned over about x.

use super::rules::*;
use super::sizes::Sizes;
use super::tool::{Along, Bore, Line, LyingHole, here, prism};
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::units::Length;

/// What differs between the layouts: where its pins go.
pub(super) struct PinHoles {
    /// Beside the axis, in y.
    pub(super) beside: Vec<Length>,
    /// From the near face.
    pub(super) depth: Length,
    /// Ways through the part that the holes make.
    pub(super) genus: usize,
}

/// The carriage's shape; pins go in at the +x ear, which carries the V.
pub(super) fn shape(sizes: &Sizes, pins: &PinHoles) -> Shape {
    let height = sizes.carriage_length;
    let end = sizes.frame_side / 2.0 - BELOW_FACE;
    let mut cut = vec![here(socket(sizes)), v_mark(sizes, end, height)];
    for beside in &pins.beside {
        let hole = LyingHole {
            along: Along::X,
            beside: *beside,
            height: height - pins.depth,
            reach: end,
            sides: [&sizes.gaps.press, &sizes.gaps.locate_pin]
                .map(|gap| Bore::around(sizes.pin_diameter, gap)),
            mouth: EDGE,
        };
        cut.extend(hole.tools());
    }
    Shape {
        base: here(body(sizes, end, height)),
        within: Vec::new(),
        joined: Vec::new(),
        cut,
        genus: pins.genus,
    }
}

/// From the print frame to the assembly at turn 0.
pub(super) fn pose(sizes: &Sizes) -> Pose {
    let far_face = sizes.near_face + sizes.carriage_length;
    Pose::turned_over().shifted(Length::ZERO, Length::ZERO, far_face)
}

/// Body and ears in one outline, edges broken at both ends.
fn body(sizes: &Sizes, end: Length, height: Length) -> Solid {
    let outline = |set_in: Length| Outline::Keyed {
        diameter: sizes.carriage_diameter - set_in * 2.0,
        width: sizes.ear_width - set_in * 2.0,
        span: (end - set_in) * 2.0,
    };
    Solid::Prism(vec![
        (Length::ZERO, outline(BED_EDGE)),
        (BED_EDGE, outline(Length::ZERO)),
        (height - EDGE, outline(Length::ZERO)),
        (height, outline(EDGE)),
    ])
}

/// The socket, open at the top, its mouth broken.
fn socket(sizes: &Sizes) -> Solid {
    let (radius, top) = (sizes.socket_diameter / 2.0, sizes.carriage_length);
    Line::from(top - sizes.socket_depth, radius)
        .to(top - EDGE, radius)
        .to(top + OVERCUT, radius + EDGE + OVERCUT)
        .turned()
}

/// A V across the near face of the +x ear.
fn v_mark(sizes: &Sizes, end: Length, height: Length) -> Placed {
    let middle = (sizes.carriage_diameter / 2.0 + end - EDGE) / 2.0;
    let (deep, wide) = (V_DEPTH, V_DEPTH + OVERCUT);
    let corners = vec![[Length::ZERO, -deep], [wide, OVERCUT], [-wide, OVERCUT]];
    let half = sizes.ear_width / 2.0 + OVERCUT;
    // Local x, y, z to x, z, -y.
    let pose = Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
        middle,
        Length::ZERO,
        height,
    );
    Placed {
        pose,
        solid: prism(-half, half, Outline::Polygon(corners)),
    }
}
