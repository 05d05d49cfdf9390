//! The carriage: fills the channel, has a rib in the slot, a bore for each of the screw's threads, and a
//! pocket for a nut that goes in from above, through the rib.
//!
//! Drawn along z from its rear face; printed lying on its floor, so that the pocket is open upwards
//! and its bores are teardrops.

use super::House;
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::prism;
use crate::layout::letters::Panel;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;

/// The bore, and the pocket that meets it from above.
const WAYS_THROUGH: usize = 2;

/// The carriage's shape.
pub(in crate::layout) fn shape(house: &House) -> Shape {
    let length = house.carriage.length;
    let lying = lying(house);
    let section = &house.section;
    let body = Solid::Prism(vec![
        (Length::ZERO, section.carriage(BED_EDGE)),
        (BED_EDGE, section.carriage(Length::ZERO)),
        (length - BED_EDGE, section.carriage(Length::ZERO)),
        (length, section.carriage(BED_EDGE)),
    ]);
    let [rear, through] = house.bores;
    let bore = prism(-OVERCUT, length + OVERCUT, lying_bore(through));
    let mut cut = vec![bore, pocket(house)];
    if house.carriage.rear_bore > Length::ZERO {
        cut.push(prism(-OVERCUT, house.carriage.rear_bore, lying_bore(rear)));
    }
    let placed = |solid| Placed { pose: lying, solid };
    let laid = |placed: Placed| Placed {
        pose: placed.pose.then(&lying),
        solid: placed.solid,
    };
    let (joined, through, ways) = house.end.of_carriage(house);
    let cut = cut.into_iter().map(placed);
    Shape {
        base: placed(body),
        within: Vec::new(),
        joined: joined.into_iter().map(laid).collect(),
        cut: cut.chain(through.into_iter().map(laid)).collect(),
        genus: WAYS_THROUGH + ways,
    }
}

/// What shapes it.
pub(in crate::layout) fn recipe(house: &House) -> Recipe {
    let section = &house.section;
    let [rear, through] = house.bores;
    let mut recipe = vec![
        ("width", section.width),
        ("length", house.carriage.length),
        ("floor", section.floor),
        ("roof", section.roof),
        // The frame's face follows from it, and the rib stands out of that.
        ("slide gap", section.slide),
        ("rear bore", rear),
        ("depth of the rear bore", house.carriage.rear_bore),
        ("bore", through),
        ("across the nut's flats", house.nut.across_flats),
        ("height of the nut", house.nut.height),
        ("nut's place", house.nut.face - house.rear_face),
        ("nut's gap", house.gaps.pocket.drawn()),
        ("nut's axial gap", house.gaps.seat.drawn()),
    ];
    recipe.extend(house.end.carriage_recipe());
    recipe
}

/// Its floor, on which it is printed.
pub(in crate::layout) fn panel(house: &House) -> Panel {
    let (section, length) = (&house.section, house.carriage.length);
    let place = [Length::ZERO, section.floor, length / 2.0];
    let size = [length, section.width].map(|whole| whole - BED_EDGE * 4.0);
    Panel::flat([0.0, -1.0, 0.0], [0.0, 0.0, 1.0], place, size).then(&lying(house))
}

/// From the print frame to the assembly at turn 0: the print frame's y along -z.
pub(in crate::layout) fn pose(house: &House) -> Pose {
    Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]).shifted(
        Length::ZERO,
        house.section.floor,
        house.rear_face + house.carriage.length / 2.0,
    )
}

/// From where it is drawn along z to its floor on the bed, its length along y.
fn lying(house: &House) -> Pose {
    Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
        Length::ZERO,
        house.carriage.length / 2.0,
        -house.section.floor,
    )
}

/// The nut's pocket: sides upright, a V under the nut, open at the top.
fn pocket(house: &House) -> Solid {
    let half = house.nut.across_flats / 2.0 + house.gaps.pocket.drawn();
    let play = house.gaps.seat.drawn();
    let from = house.nut.face - play - house.rear_face;
    let top = house.section.rib_top() + OVERCUT;
    // Corners of a hexagon with two flats square to x.
    let [side, bottom] = [half / 3f64.sqrt(), half * (2.0 / 3f64.sqrt())];
    let corners = vec![
        [Length::ZERO, -bottom],
        [half, -side],
        [half, top],
        [-half, top],
        [-half, -side],
    ];
    prism(
        from,
        from + house.nut.height + play * 2.0,
        Outline::Polygon(corners),
    )
}

/// A bore that is printed lying down: a teardrop with a short ceiling.
fn lying_bore(diameter: Length) -> Outline {
    Outline::Teardrop {
        diameter,
        ceiling: (diameter * (TEARDROP_CEILING / 2.0)).min(LONGEST_CEILING),
    }
}
