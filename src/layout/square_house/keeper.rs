//! The keeper: a flange with a plug that closes the channel and stops the carriage, and a bore that
//! lets the screw out.
//!
//! Print frame: the flange's outer face lies on the bed. In the assembly it is turned over about x,
//! so its outlines are drawn upside down.

use super::House;
use super::frame::{PIN_SIDES, side_mark};
use super::section::turned_over;
use crate::assembly::{Pose, Shape, Solid};
use crate::layout::elements::{Along, Bore, Line, LyingHole, here};
use crate::layout::letters::Panel;
use crate::layout::pin;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::spring::Pocket;
use crate::units::Length;

/// The bore, and two for its pins.
const WAYS_THROUGH: usize = 3;

/// The keeper's shape.
pub(super) fn shape(house: &House) -> Shape {
    let flange = house.flange();
    let end = flange + house.keeper_plug;
    let mut cut = vec![here(hole(house, end).turned())];
    for (side, [_, through]) in PIN_SIDES.into_iter().zip(&house.gaps.keeper_pins) {
        let bore = Bore::around(house.pin, &through.gap);
        let hole = LyingHole {
            along: Along::X,
            // Turned over.
            beside: house.keeper_pins * -side,
            height: flange + house.plug_behind_spring() / 2.0,
            reach: house.section.channel_side(),
            sides: [bore, bore],
            mouth: Length::ZERO,
        };
        cut.extend(hole.tools());
    }
    cut.push(side_mark(house.section.outside_width() / 2.0, flange));
    let (joined, off, below) = house.end.of_keeper(house);
    cut.extend(off);
    let section = &house.section;
    let outline = |set_in: Length| turned_over(section.outside(set_in));
    let under = (below > Length::ZERO).then(|| (-below, outline(BED_EDGE)));
    let levels = [
        (Length::ZERO, outline(BED_EDGE)),
        (BED_EDGE, outline(Length::ZERO)),
        (flange, outline(Length::ZERO)),
    ];
    Shape {
        base: here(Solid::Prism(under.into_iter().chain(levels).collect())),
        within: Vec::new(),
        joined: std::iter::once(here(plug(house, end)))
            .chain(joined)
            .collect(),
        cut,
        genus: WAYS_THROUGH,
    }
}

/// The flange's outer face between the bore and the underside.
pub(super) fn panel(house: &House) -> Panel {
    let section = &house.section;
    let from = house.keeper_bore / 2.0 + BED_EDGE;
    let to = section.below - BED_EDGE;
    let width = section.outside_width() - UPRIGHT_EDGE * 2.0;
    // Turned over: what is below in the assembly has y > 0 here.
    let place = [Length::ZERO, (from + to) / 2.0, Length::ZERO];
    Panel::flat([0.0, 0.0, -1.0], [1.0, 0.0, 0.0], place, [width, to - from])
}

/// The bore through it, which opens into the pocket of a spring where it has one.
fn hole(house: &House, end: Length) -> Line {
    let radius = house.keeper_bore / 2.0;
    let bore = Line::from(-OVERCUT, radius + BED_EDGE + OVERCUT).to(BED_EDGE, radius);
    match &house.spring {
        Some(pocket) => pocket.open(bore, radius, end),
        None => bore
            .to(end - BED_EDGE, radius)
            .to(end + OVERCUT, radius + BED_EDGE + OVERCUT),
    }
}

/// What shapes it.
pub(super) fn recipe(house: &House) -> Recipe {
    let [[_, through], [_, other]] = &house.gaps.keeper_pins;
    let section = &house.section;
    let mut recipe = vec![
        ("plug", house.keeper_plug),
        ("locating gap", house.gaps.keeper.drawn()),
        ("slide gap", section.slide),
        ("carriage's width", section.width),
        ("channel's floor", section.floor),
        ("channel's roof", section.roof),
        ("frame's underside", section.below),
        ("hole", house.keeper_bore),
        ("pin diameter", house.pin),
        ("pin offset", house.keeper_pins),
        ("pin's locating gap", through.drawn()),
    ];
    if other.gap != through.gap {
        recipe.push(("locating gap of the second pin", other.drawn()));
    }
    recipe.extend(house.end.keeper_recipe(section));
    recipe.extend(house.spring.iter().flat_map(Pocket::recipe));
    recipe
}

/// From the print frame to the assembly.
pub(super) fn pose(house: &House) -> Pose {
    Pose::turned_over().shifted(
        Length::ZERO,
        Length::ZERO,
        house.frame_length() + house.flange(),
    )
}

/// The plug fills channel and slot, and breaks its edges where it goes in.
fn plug(house: &House, end: Length) -> Solid {
    let section = &house.section;
    let fills = section.slide - house.gaps.keeper.drawn();
    let outline = |set_in: Length| {
        let tongue = section.top() - BELOW_FACE - set_in;
        turned_over(section.filled(fills - set_in, tongue))
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
        // The print frame's x along x, its z along y: the load goes along z.
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]).shifted(
            Length::ZERO,
            house.keeper_pins * side - flat,
            house.keeper_pin_height(),
        )
    })
}
