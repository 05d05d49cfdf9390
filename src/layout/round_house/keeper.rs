//! The keeper: a flange with a plug that closes the frame and stops the carriage.
//!
//! Print frame: the flange's outer face lies on the bed. In the assembly it is turned over
//! about x, so that the V on its -y side here stands on the +y side there.

use super::House;
use super::frame::{PIN_SIDES, square_body_from};
use crate::assembly::{Outline, Pose, Shape, Solid};
use crate::layout::elements::{Along, Bore, Line, LyingHole, here, v_marks};
use crate::layout::letters::Panel;
use crate::layout::pin;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::spring::Pocket;
use crate::thread::Hand;
use crate::units::Length;

/// The hole through its middle, and two for its pins.
const WAYS_THROUGH: usize = 3;

/// The keeper's shape.
pub(super) fn shape(house: &House) -> Shape {
    let flange = house.flange();
    let end = flange + house.keeper_plug;
    let added = house.end.of_keeper(house.frame_side);
    let mut cut = vec![here(hole(house, end).turned())];
    for (side, [_, through]) in PIN_SIDES.into_iter().zip(&house.gaps.keeper_pins) {
        let bore = Bore::around(house.pin, &through.gap);
        let hole = LyingHole {
            along: Along::Y,
            beside: house.keeper_pin_offset * side,
            // As its recipe has it, to the last bit.
            height: flange + house.pins_from_end(),
            reach: house.guide() / 2.0,
            sides: [bore, bore],
            mouth: Length::ZERO,
        };
        cut.extend(hole.tools());
    }
    cut.extend(v_marks(
        Hand::Right,
        house.frame_side / -2.0,
        -added.below,
        flange,
    ));
    cut.extend(added.cut);
    Shape {
        base: here(square_body_from(-added.below, house.frame_side, flange)),
        within: Vec::new(),
        joined: std::iter::once(here(plug(house, end)))
            .chain(added.joined)
            .collect(),
        cut,
        genus: WAYS_THROUGH + added.genus,
    }
}

/// The flange's outer face, above and below the hole.
pub(super) fn panels(house: &House) -> Vec<Panel> {
    let from = house.keeper_bore / 2.0 + BED_EDGE;
    let to = house.frame_side / 2.0 - V_DEPTH - BED_EDGE;
    let size = [house.frame_side - UPRIGHT_EDGE * 2.0, to - from];
    let at = |side: f64| {
        let place = [Length::ZERO, (from + to) / 2.0 * side, Length::ZERO];
        Panel::flat([0.0, 0.0, -1.0], [1.0, 0.0, 0.0], place, size)
    };
    vec![at(-1.0), at(1.0)]
}

/// The hole through its middle, which opens into the pocket of a spring where it has one.
fn hole(house: &House, end: Length) -> Line {
    let rod = house.keeper_bore / 2.0;
    let hole = Line::from(-OVERCUT, rod + BED_EDGE + OVERCUT).to(BED_EDGE, rod);
    match &house.pocket {
        Some(pocket) => pocket.open(hole, rod, end),
        None => hole
            .to(end - BED_EDGE, rod)
            .to(end + OVERCUT, rod + BED_EDGE + OVERCUT),
    }
}

/// What shapes it.
pub(super) fn recipe(house: &House) -> Recipe {
    let [[_, through], [_, other]] = &house.gaps.keeper_pins;
    let mut recipe = vec![
        ("side of the frame", house.frame_side),
        ("plug", house.keeper_plug),
        ("locating gap", house.gaps.keeper.drawn()),
        ("slide gap", house.gaps.slide.drawn()),
        ("carriage's diameter", house.carriage_diameter),
        ("ear width", house.ear_width),
        ("hole", house.keeper_bore),
        ("pin diameter", house.pin),
        ("pin offset", house.keeper_pin_offset),
        ("pins from the frame's end", house.pins_from_end()),
        ("pin's locating gap", through.drawn()),
    ];
    if other.gap != through.gap {
        recipe.push(("locating gap of the second pin", other.drawn()));
    }
    recipe.extend(house.end.keeper_recipe());
    recipe.extend(house.pocket.iter().flat_map(Pocket::recipe));
    recipe
}

/// From the print frame to the assembly.
pub(super) fn pose(house: &House) -> Pose {
    Pose::turned_over().shifted(
        Length::ZERO,
        Length::ZERO,
        house.frame_length + house.flange(),
    )
}

/// The plug fills guide and slots, and breaks its edges where it goes in.
fn plug(house: &House, end: Length) -> Solid {
    let gap = house.gaps.keeper.drawn() * 2.0;
    let outline = |set_in: Length| Outline::Keyed {
        diameter: house.guide() - gap - set_in * 2.0,
        width: house.slot_width() - gap - set_in * 2.0,
        span: house.frame_side - (BELOW_FACE + set_in) * 2.0,
    };
    // It is embedded in the flange by half of it.
    Solid::Prism(vec![
        (house.flange() / 2.0, outline(Length::ZERO)),
        (end - EDGE, outline(Length::ZERO)),
        (end, outline(EDGE)),
    ])
}

/// Poses of the two pins that hold it; flats sideways.
pub(super) fn pin_poses(house: &House) -> [Pose; 2] {
    PIN_SIDES.map(|side| {
        let flat = pin::flat_height(house.pin);
        // The print frame's x along y, its z along x.
        Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]).shifted(
            house.keeper_pin_offset * side - flat,
            Length::ZERO,
            house.keeper_pin_height,
        )
    })
}
