//! The frame: a square prism with a tapped end wall, a guide for the carriage, two slots for
//! its ears, and holes for the keeper's pins.
//!
//! Print frame: the outer end face of the tapped wall lies on the bed; it is the assembly's
//! frame. Every bore widens upwards and the slots open at the top, so nothing needs support.

use super::rules::*;
use super::sizes::Sizes;
use super::tool::{Along, Bore, Line, LyingHole, Tapped, here, prism, v_marks};
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::units::Length;

/// The frame's bore makes one way through it, and each keeper pin two through its rails.
const WAYS_THROUGH: usize = 5;

/// The frame's shape; keeper pins go in at the +y side, which carries the V.
pub(super) fn shape(sizes: &Sizes, layer: Length) -> Shape {
    let mut cut = vec![here(bore(sizes))];
    cut.extend(slots(sizes));
    for side in [-1.0, 1.0] {
        let hole = LyingHole {
            along: Along::Y,
            beside: sizes.keeper_pin_offset * side,
            height: sizes.keeper_pin_height(layer),
            reach: sizes.frame_side / 2.0,
            sides: [&sizes.gaps.press, &sizes.gaps.locate_pin]
                .map(|gap| Bore::around(sizes.pin_diameter, gap)),
            mouth: EDGE,
        };
        cut.extend(hole.tools());
    }
    let top = sizes.frame_length;
    cut.extend(v_marks(
        sizes.drive.hand(),
        sizes.frame_side / 2.0,
        Length::ZERO,
        top,
    ));
    Shape {
        base: here(square_body(sizes.frame_side, top)),
        within: Vec::new(),
        joined: Vec::new(),
        cut,
        genus: WAYS_THROUGH,
    }
}

/// A square prism that stands on a broken edge.
pub(super) fn square_body(side: Length, height: Length) -> Solid {
    let full = Outline::Square {
        side,
        corner: UPRIGHT_EDGE,
    };
    // Set in by e, a 45 degree corner of leg c keeps its distance from its neighbours when its
    // leg becomes c - (2 - sqrt 2) e.
    let corner = UPRIGHT_EDGE - BED_EDGE * (2.0 - 2f64.sqrt());
    let foot = Outline::Square {
        side: side - BED_EDGE * 2.0,
        corner,
    };
    Solid::Prism(vec![
        (Length::ZERO, foot),
        (BED_EDGE, full.clone()),
        (height, full),
    ])
}

/// Tapped hole, clear bore and guide in one.
fn bore(sizes: &Sizes) -> Solid {
    let tapped = Tapped {
        thread: &sizes.drive,
        gap: sizes.gaps.thread.drawn,
        crest: Length::ZERO,
    };
    let (mouth, behind, wall) = (tapped.mouth(), tapped.behind(), sizes.tapped_wall);
    let clear = clear_bore(sizes);
    let (guide, top) = (sizes.guide() / 2.0, sizes.frame_length);
    Line::from(-OVERCUT, mouth + OVERCUT)
        .to(mouth - behind, behind)
        .to(wall - (mouth - behind), behind)
        .to(wall, mouth)
        .to(wall, clear)
        .to(sizes.shoulder, clear)
        .to(sizes.shoulder, guide)
        .to(top - EDGE, guide)
        .to(top + OVERCUT, guide + EDGE + OVERCUT)
        .thread([-OVERCUT, wall], tapped.form())
        .turned()
}

/// Radius of the bore behind the tapped wall, which the drive screw passes freely.
pub(super) fn clear_bore(sizes: &Sizes) -> Length {
    let free = sizes.drive.major() / 2.0 + FREE_PASSAGE;
    let tapped = Tapped {
        thread: &sizes.drive,
        gap: sizes.gaps.thread.drawn,
        crest: Length::ZERO,
    };
    free.max(tapped.mouth())
}

/// Slots for the ears through both x sides, open at the top.
fn slots(sizes: &Sizes) -> Vec<Placed> {
    let (guide, half) = (sizes.guide() / 2.0, sizes.slot_width() / 2.0);
    let chord = Length::mm(
        (guide.as_mm() * guide.as_mm() - half.as_mm() * half.as_mm())
            .max(0.0)
            .sqrt(),
    );
    let (start, out) = (chord - OVERCUT, sizes.frame_side / 2.0 + OVERCUT);
    let (floor, top) = (sizes.shoulder, sizes.frame_length + OVERCUT);
    let deep = floor - SLOT_FLOOR_DROP;
    let corner = SLOT_FLOOR_CORNER;
    // Both are drawn in y and z and stand along x; the deeper part begins beside the guide.
    let slot = vec![[-half, floor], [half, floor], [half, top], [-half, top]];
    let deeper = vec![
        [-half + corner, deep],
        [half - corner, deep],
        [half, deep + corner],
        [half, top],
        [-half, top],
        [-half, deep + corner],
    ];
    let middle = (deep + top) / 2.0;
    let centred = |corners: &[[Length; 2]]| {
        Outline::Polygon(corners.iter().map(|[y, z]| [*y, *z - middle]).collect())
    };
    let mut tools = Vec::new();
    for side in [-1.0, 1.0] {
        // Local x, y, z to y, z, x; on the -x side turned half about z.
        let pose = Pose::axes([0.0, side, 0.0], [0.0, 0.0, 1.0], [side, 0.0, 0.0]).shifted(
            Length::ZERO,
            Length::ZERO,
            middle,
        );
        tools.push(Placed {
            pose,
            solid: prism(start, out, centred(&slot)),
        });
        tools.push(Placed {
            pose,
            solid: prism(guide, out + OVERCUT, centred(&deeper)),
        });
    }
    tools
}
