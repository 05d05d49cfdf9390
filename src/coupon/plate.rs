//! The caliper plate: sizes spread so far that every term of a profile shows by itself.
//!
//! Two combs, along x and along y, give outer sizes of 5, 16, 34 and 62 mm and slots of 6, 12
//! and 24; three rings and a post give round outsides, holes and heights; strips hold all of it
//! together. The comb along x carries one V, the one along y two. Frame: x and y as on the
//! bed, z up. That the sizes tell all terms apart is proved in the tests.

use super::{Piece, Row};
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{Line, groove, prism};
use crate::layout::proportions::OVERCUT;
use crate::tuning::{CaliperSize, SizeKind};
use crate::units::{Angle, Length};

/// Width of a comb and of a strip, in mm: wide enough for a caliper's jaws.
const COMB_WIDTH: f64 = 6.0;
/// A comb's walls, from which to which along it, in mm.
const WALLS: [[f64; 2]; 4] = [[0.0, 5.0], [11.0, 16.0], [28.0, 33.0], [57.0, 62.0]];
/// Length of a comb, in mm.
const COMB: f64 = 62.0;
/// The comb along y starts this far from the outer face of the other, in mm.
const COMB_Y_STARTS: f64 = 15.0;
/// Thickness of strips, in mm: thinner than a comb's floor, so that no two tops are flush.
const STRIP: f64 = 1.6;
/// Heights before they are put on whole layers, in mm: a comb's floor, its walls, a ring,
/// the post.
const HEIGHTS: [f64; 4] = [2.0, 5.0, 10.0, 16.0];
/// Outer sizes of a comb, in mm.
const OUTERS: [f64; 4] = [5.0, 16.0, 34.0, 62.0];
/// Slots of a comb, in mm.
const SLOTS: [f64; 3] = [6.0, 12.0, 24.0];
/// Round things: outside, hole (zero for none), which height, and where, in mm.
const ROUNDS: [(f64, f64, usize, [f64; 2]); 4] = [
    (32.0, 24.0, 1, [45.0, 33.0]),
    (22.0, 14.0, 1, [24.0, 66.0]),
    (14.0, 6.0, 2, [52.0, 66.0]),
    (8.0, 0.0, 3, [18.0, 30.0]),
];
/// Strips, from which to which x and y, in mm; each ends at least 1 mm inside what it joins.
const STRIPS: [[[f64; 2]; 2]; 5] = [
    [[4.0, 15.5], [63.0, 69.0]],
    [[33.0, 47.0], [63.0, 69.0]],
    [[49.0, 55.0], [46.5, 61.0]],
    [[42.0, 48.0], [4.0, 19.0]],
    [[4.0, 17.0], [27.0, 33.0]],
];
/// Ways through: the holes of three rings. Strips and rings make a chain, not a loop.
const WAYS_THROUGH: usize = 3;
/// The two Vs of the comb along y stand this far apart, in mm.
const TWO_VS: f64 = 2.4;

/// A height on whole layers.
fn on_layers(height: f64, layer: Length) -> Length {
    let layers = (height / layer.as_mm()).round().max(1.0);
    layer * layers
}

/// What is measured on the plate.
pub(crate) fn rows(layer: Length) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut add = |kind: SizeKind, size: f64, drawn: Length, place: String| {
        rows.push(Row {
            name: format!("{}-{size}", kind.word()),
            feature: CaliperSize { kind, drawn },
            place,
        });
    };
    let combs = [
        (SizeKind::OuterX, SizeKind::SlotX, "comb with one V"),
        (SizeKind::OuterY, SizeKind::SlotY, "comb with two Vs"),
    ];
    for (outer, slot, comb) in combs {
        let places = [
            "over the end wall without a V",
            "over the first two walls from the end without a V",
            "over the last two walls, the one with the V included",
            "over the whole comb, outside to outside",
        ];
        for (size, place) in OUTERS.into_iter().zip(places) {
            add(outer, size, Length::mm(size), format!("{comb}: {place}"));
        }
        for (size, place) in SLOTS.into_iter().zip(["narrowest", "middle", "widest"]) {
            let place = format!("{comb}: inside jaws in the {place} slot");
            add(slot, size, Length::mm(size), place);
        }
    }
    for (outer, hole, _, _) in ROUNDS.into_iter().rev() {
        let place = if hole > 0.0 {
            "the ring's outside, mean of two readings a quarter turn apart"
        } else {
            "the post's outside, half-way up"
        };
        add(SizeKind::Boss, outer, Length::mm(outer), place.into());
    }
    for (_, hole, _, _) in ROUNDS.into_iter().rev().filter(|round| round.1 > 0.0) {
        let place = "inside jaws in the ring's hole, mean of two readings a quarter turn apart";
        add(SizeKind::Hole, hole, Length::mm(hole), place.into());
    }
    let places = [
        "floor of a comb, in its widest slot, from below to above",
        "the widest ring, from below to above",
        "the narrowest ring, from below to above",
        "the post, from below to its top",
    ];
    for (height, place) in HEIGHTS.into_iter().zip(places) {
        let drawn = on_layers(height, layer);
        add(SizeKind::Height, height, drawn, place.into());
    }
    rows
}

/// A box from corner to corner, in mm.
fn block(x: [f64; 2], y: [f64; 2], z: [Length; 2]) -> Placed {
    let outline = Outline::Rectangle {
        x: Length::mm(x[1] - x[0]),
        y: Length::mm(y[1] - y[0]),
    };
    Placed {
        pose: Pose::shift(
            Length::mm((x[0] + x[1]) / 2.0),
            Length::mm((y[0] + y[1]) / 2.0),
            Length::ZERO,
        ),
        solid: prism(z[0], z[1], outline),
    }
}

/// The plate.
///
/// Everything is drawn from below the bed, each solid from another depth, and cut off at the
/// bed in one go: no two faces that the kernel joins are flush.
pub(crate) fn piece(layer: Length) -> Piece {
    let heights = HEIGHTS.map(|height| on_layers(height, layer));
    let below = |depth: usize| -OVERCUT * (1.0 + depth as f64 / 4.0);
    let y_comb = [COMB_Y_STARTS, COMB_Y_STARTS + COMB];
    let mut joined = vec![block([0.0, COMB_WIDTH], y_comb, [below(1), heights[1]])];
    let mut cut = Vec::new();
    for (index, (outer, hole, height, at)) in ROUNDS.into_iter().enumerate() {
        let (top, [x, y]) = (heights[height], at.map(Length::mm));
        let upright = |solid: Solid| Placed {
            pose: Pose::shift(x, y, Length::ZERO),
            solid,
        };
        let radius = Length::mm(outer / 2.0);
        let body = Line::from(below(index + 2), radius).to(top, radius);
        joined.push(upright(body.turned()));
        if hole > 0.0 {
            let radius = Length::mm(hole / 2.0);
            let tool = Line::from(-OVERCUT * 4.0, radius).to(top + OVERCUT, radius);
            cut.push(upright(tool.turned()));
        }
    }
    for (index, [x, y]) in STRIPS.into_iter().enumerate() {
        joined.push(block(x, y, [below(index + 6), Length::mm(STRIP)]));
    }
    let (floor, over) = (heights[0], heights[1] + OVERCUT);
    let beyond = [-1.0, COMB_WIDTH + 1.0];
    for pair in WALLS.windows(2) {
        let slot = [pair[0][1], pair[1][0]];
        cut.push(block(slot, beyond, [floor, over]));
        cut.push(block(
            beyond,
            slot.map(|at| at + COMB_Y_STARTS),
            [floor, over],
        ));
    }
    cut.extend(marks(heights[1]));
    cut.push(block(
        [-5.0, COMB + 5.0],
        [-5.0, COMB + COMB_Y_STARTS + 5.0],
        [-OVERCUT * 6.0, Length::ZERO],
    ));
    Piece {
        ladder: None,
        name: "plate".into(),
        shape: Shape {
            base: block([0.0, COMB], [0.0, COMB_WIDTH], [below(0), heights[1]]),
            within: Vec::new(),
            joined,
            cut,
            genus: WAYS_THROUGH,
        },
        note: "as it lies, with your usual walls; no brim, no scaling".into(),
        mark: "the comb with one V lies along x, the one with two along y".into(),
    }
}

/// Grooves across the last wall of each comb: one along x, two along y.
fn marks(top: Length) -> Vec<Placed> {
    let [from, to] = WALLS[3];
    let middle = (from + to) / 2.0;
    let reach = Length::mm(COMB_WIDTH / 2.0) + OVERCUT;
    let solid = prism(-reach, reach, groove(1.0));
    // Local y, into which the groove opens, points up; local z runs across the comb.
    let across_x = Pose::axes([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]);
    let across_y = across_x.screwed(Angle::degrees(90.0), Length::ZERO);
    let half = Length::mm(COMB_WIDTH / 2.0);
    let at = |along: f64| Length::mm(middle + COMB_Y_STARTS + along);
    let mut marks = vec![Placed {
        pose: across_x.shifted(Length::mm(middle), half, top),
        solid: solid.clone(),
    }];
    marks.extend([-TWO_VS / 2.0, TWO_VS / 2.0].map(|along| Placed {
        pose: across_y.shifted(half, at(along), top),
        solid: solid.clone(),
    }));
    marks
}
