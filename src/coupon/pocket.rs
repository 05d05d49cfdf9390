//! The ladder of a captive nut: pockets in steps of gap, and a blank of the nut where that is printed.
//!
//! A pocket is that of a carriage: upright walls beside two flats of the nut, a V under it, open
//! upwards. Frame of each piece: its print frame, standing on z = 0; the nut's axis lies along y.

use super::ladder::{counted, footed, grooves};
use super::{GapLadder, Piece};
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{here, prism};
use crate::layout::proportions::{BED_EDGE, OVERCUT};
use crate::tuning::LadderKind;
use crate::units::Length;

/// Solid below the V, and beside the nut. Guess: stiff enough that a push does not spread it by a
/// hundredth.
const FLOOR: Length = Length::mm(3.0);
const WALL: Length = Length::mm(4.0);
/// How far the walls reach up the flats, and how long they are along the nut's axis. Guess: what a
/// slide's channel has.
const UP_THE_FLATS: Length = Length::mm(8.0);
const DEEP: Length = Length::mm(10.0);
/// Height of the blank as it is printed, along the nut's axis: a little longer than the walls, so that
/// it can be pushed out. Guess.
const BLANK: Length = Length::mm(12.0);

/// The pockets, and the blank that goes into them where the nut is printed.
pub(super) fn pieces(ladder: &GapLadder, flats: Length, layer: Length) -> Vec<Piece> {
    let stem = ladder.stem();
    let mut pieces = Vec::new();
    if ladder.kind == LadderKind::Pocket {
        pieces.push(Piece {
            ladder: None,
            name: format!("{stem}-blank"),
            shape: blank(flats, layer),
            note: "one end on the bed, with the kit's own walls and layers".into(),
            mark: "no groove".into(),
        });
    }
    for (index, gap) in ladder.gaps.iter().enumerate() {
        pieces.push(Piece {
            ladder: None,
            name: format!("{stem}-{}", index + 1),
            shape: pocket(flats / 2.0 + *gap, index + 1, layer),
            note: "as it lies, pocket up, with the kit's own walls and layers".into(),
            mark: format!("{} below the pocket", grooves(index + 1)),
        });
    }
    pieces
}

/// A block with a pocket whose walls stand so far from its middle.
fn pocket(half: Length, count: usize, layer: Length) -> Shape {
    // Corners of a hexagon with two flats square to x, above its lowest one.
    let [side, bottom] = [half / 3f64.sqrt(), half * (2.0 / 3f64.sqrt())];
    let flat = FLOOR + bottom - side;
    let top = (flat + UP_THE_FLATS).up_to(layer);
    let over = top + OVERCUT;
    let corners = vec![
        [Length::ZERO, FLOOR],
        [half, flat],
        [half, over],
        [-half, over],
        [-half, flat],
    ];
    let reach = DEEP / 2.0 + OVERCUT;
    let mut cut = vec![Placed {
        pose: Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]),
        solid: prism(-reach, reach, Outline::Polygon(corners)),
    }];
    cut.extend(counted(count, Length::ZERO, DEEP, top, false));
    Shape {
        base: footed((half + WALL) * 2.0, DEEP, top),
        within: Vec::new(),
        joined: Vec::new(),
        cut,
        genus: 0,
    }
}

/// A nut without its thread, its edges broken as the nut's are.
fn blank(flats: Length, layer: Length) -> Shape {
    let height = BLANK.up_to(layer);
    let hexagon = |set_in: Length| Outline::Hexagon {
        across_flats: flats - set_in * 2.0,
    };
    Shape {
        base: here(Solid::Prism(vec![
            (Length::ZERO, hexagon(BED_EDGE)),
            (BED_EDGE, hexagon(Length::ZERO)),
            (height - BED_EDGE, hexagon(Length::ZERO)),
            (height, hexagon(BED_EDGE)),
        ])),
        within: Vec::new(),
        joined: Vec::new(),
        cut: Vec::new(),
        genus: 0,
    }
}
