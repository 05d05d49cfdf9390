//! The frame: a square prism with a tapped end wall, a guide for the carriage, two slots for
//! its ears, and holes for the keeper's pins.
//!
//! Print frame: the outer end face of the tapped wall lies on the bed; it is the assembly's
//! frame. Every bore widens upwards and the slots open at the top, so nothing needs support.

use super::House;
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{Along, Bore, Line, LyingHole, here, prism, under_bed, v_marks};
use crate::layout::index::IndexBar;
use crate::layout::letters::Panel;
use crate::layout::proportions::*;
use crate::layout::recipe::{self, Recipe};
use crate::layout::stroke::DriveThread;
use crate::units::Length;

/// The frame's bore makes one way through it, and each keeper pin two through its rails.
const WAYS_THROUGH: usize = 5;

/// The sides of the axis on which the keeper's pins stand.
pub(super) const PIN_SIDES: [f64; 2] = [-1.0, 1.0];

/// The frame's shape; keeper pins go in at the +y side, which carries the V.
pub(super) fn shape(house: &House, drive: &DriveThread) -> Shape {
    let mounted = house.mount.of_frame(house);
    let mut cut = vec![here(bore(house, drive))];
    cut.extend(slots(house));
    for (side, [press, _]) in PIN_SIDES.into_iter().zip(&house.gaps.keeper_pins) {
        let hole = LyingHole {
            along: Along::Y,
            beside: house.keeper_pin_offset * side,
            height: house.keeper_pin_height,
            reach: house.frame_side / 2.0,
            // Pressed on the side where y is negative, opposite to the V.
            sides: [press, &house.gaps.way_in].map(|gap| Bore::around(house.pin, &gap.gap)),
            mouth: EDGE,
        };
        cut.extend(hole.tools());
    }
    cut.extend(house.index.iter().flat_map(IndexBar::holes));
    let top = house.frame_length;
    cut.extend(v_marks(
        drive.thread.hand(),
        house.frame_side / 2.0,
        -mounted.below,
        top,
    ));
    cut.extend(mounted.cut);
    if mounted.below > Length::ZERO {
        cut.push(under_bed(mounted.reach));
    }
    Shape {
        base: here(square_body_from(-mounted.below, house.frame_side, top)),
        within: Vec::new(),
        joined: mounted.joined,
        cut,
        genus: WAYS_THROUGH + mounted.genus,
    }
}

/// The side that carries the V, between it and the edge, up to the keeper's pins.
pub(super) fn panel(house: &House) -> Panel {
    let half = house.frame_side / 2.0;
    let [from, to] = [BESIDE_MARKS, half - UPRIGHT_EDGE];
    let [_, mouth] = house.pin_hole();
    let top = house.keeper_pin_height - mouth / 2.0;
    let place = [(from + to) / 2.0, half, (BED_EDGE + top) / 2.0];
    let size = [top - BED_EDGE, to - from];
    Panel::flat([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], place, size)
}

/// What shapes it.
pub(super) fn recipe(house: &House, drive: &DriveThread) -> Recipe {
    let mut recipe = recipe::drive_thread(&drive.thread);
    let [[press, _], [other, _]] = &house.gaps.keeper_pins;
    recipe.extend([
        ("thread gap", house.gaps.thread.drawn()),
        ("slide gap", house.gaps.slide.drawn()),
    ]);
    recipe.extend(recipe::press(&press.gap));
    if other.gap != press.gap {
        recipe.push(("press gap of the second pin", other.drawn()));
        recipe.push(("crush ribs of the second pin", other.ribs()));
    }
    recipe.extend([
        ("pin's locating gap", house.gaps.way_in.drawn()),
        ("tapped wall", drive.tapped_wall),
        ("side", house.frame_side),
        ("length", house.frame_length),
        ("shoulder", house.shoulder),
        ("carriage's diameter", house.carriage_diameter),
        ("ear width", house.ear_width),
        ("pin diameter", house.pin),
        ("pin offset", house.keeper_pin_offset),
        ("pins from the end", house.pins_from_end()),
    ]);
    recipe.extend(house.mount.recipe());
    recipe.extend(house.index.iter().flat_map(IndexBar::frame_recipe));
    recipe
}

/// Tapped hole, clear bore and guide in one.
fn bore(house: &House, drive: &DriveThread) -> Solid {
    let tapped = house.tapped(drive);
    let (mouth, behind, wall) = (tapped.mouth(), tapped.behind(), drive.tapped_wall);
    let clear = house.clear_bore(drive);
    let (guide, top) = (house.guide() / 2.0, house.frame_length);
    Line::from(-OVERCUT, mouth + OVERCUT)
        .to(mouth - behind, behind)
        .to(wall - (mouth - behind), behind)
        .to(wall, mouth)
        .to(wall, clear)
        .to(house.shoulder, clear)
        .to(house.shoulder, guide)
        .to(top - EDGE, guide)
        .to(top + OVERCUT, guide + EDGE + OVERCUT)
        .thread([-OVERCUT, wall], tapped.form())
        .turned()
}

/// A square prism that stands on a broken edge, drawn on below the bed where it is cut off there.
pub(super) fn square_body_from(below: Length, side: Length, height: Length) -> Solid {
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
    let under = (below < Length::ZERO).then(|| (below, foot.clone()));
    let levels = vec![
        (Length::ZERO, foot),
        (BED_EDGE, full.clone()),
        (height, full),
    ];
    Solid::Prism(under.into_iter().chain(levels).collect())
}

/// Slots for the ears through both x sides, open at the top.
fn slots(house: &House) -> Vec<Placed> {
    let (guide, half) = (house.guide() / 2.0, house.slot_width() / 2.0);
    let chord = Length::mm(
        (guide.as_mm() * guide.as_mm() - half.as_mm() * half.as_mm())
            .max(0.0)
            .sqrt(),
    );
    let (start, out) = (chord - OVERCUT, house.frame_side / 2.0 + OVERCUT);
    let (floor, top) = (house.shoulder, house.frame_length + OVERCUT);
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
