//! The carriage: a round body that slides in the guide, with two ears in the slots.
//!
//! Print frame: its far face lies on the bed and the socket opens upwards. In the assembly it
//! is turned over about x.

use super::House;
use super::end::End;
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{Along, Bore, Line, LyingHole, here, v_across};
use crate::layout::gaps::JointGapDrawn;
use crate::layout::letters::{self, Panel};
use crate::layout::proportions::*;
use crate::layout::recipe::{self, Recipe};
use crate::units::Length;

/// Around the middle of the closed face nothing is sunk: there a caliper stands, and what is pushed.
const PUSHED_AT: Length = Length::mm(3.5);
/// Height of a panel as a share of what is left of a round face beside its middle: the higher it is,
/// the narrower. Guess.
const TALL: f64 = 0.72;

/// The holes for the pins that a layout drives through the carriage.
pub(in crate::layout) struct PinHoles<'a> {
    /// Of each: beside the axis, in y, and the gap where it is pressed.
    pub(in crate::layout) holes: Vec<(Length, &'a JointGapDrawn)>,
    /// From the near face.
    pub(in crate::layout) depth: Length,
    /// Ways through the part that they make with the socket.
    pub(in crate::layout) genus: usize,
    /// What of their place shapes the part, by name.
    pub(in crate::layout) recipe: Recipe,
}

/// The carriage's shape; pins go in at the +x ear, which carries the V.
pub(super) fn shape(house: &House, pins: &PinHoles<'_>) -> Shape {
    let (height, end) = (house.carriage_length, house.reach());
    let added = house.end.of_carriage(height, [house.ear_width, end]);
    let mut cut = vec![here(socket(house)), v_mark(house, end, height)];
    for (beside, press) in &pins.holes {
        let hole = LyingHole {
            along: Along::X,
            beside: *beside,
            height: height - pins.depth,
            reach: end,
            // Pressed in the ear where x is negative, opposite to the V.
            sides: [press, &house.gaps.way_in].map(|gap| Bore::around(house.pin, &gap.gap)),
            mouth: EDGE,
        };
        cut.extend(hole.tools());
    }
    cut.extend(added.cut);
    let reach = added.reach.unwrap_or(end);
    Shape {
        base: here(body(house, reach, height, added.below)),
        within: Vec::new(),
        joined: added.joined,
        cut,
        genus: pins.genus + added.genus,
    }
}

/// What shapes it.
pub(super) fn recipe(house: &House, pins: &PinHoles<'_>) -> Recipe {
    let mut recipe = vec![
        ("diameter", house.carriage_diameter),
        ("length", house.carriage_length),
        ("ear width", house.ear_width),
        ("side of the frame", house.frame_side),
        ("socket diameter", house.socket_diameter),
        ("socket depth", house.socket_depth),
        ("pin diameter", house.pin),
    ];
    let mut known: Option<&JointGapDrawn> = None;
    for (_, press) in &pins.holes {
        match known {
            Some(known) if known.gap == press.gap => {}
            Some(_) => recipe.push(("press gap of the second pin", press.drawn())),
            None => recipe.extend(recipe::press(&press.gap)),
        }
        known.get_or_insert(press);
    }
    recipe.push(("pin's locating gap", house.gaps.way_in.drawn()));
    recipe.extend(pins.recipe.iter().copied());
    recipe.extend(house.end.carriage_recipe());
    recipe
}

/// The closed face, above and below its middle, where the carriage is pushed at; of a slender one the
/// middle too.
pub(super) fn panels(house: &House) -> Vec<Panel> {
    let radius = house.carriage_diameter / 2.0 - BED_EDGE;
    let bare = || {
        let mut panels = disc(radius, PUSHED_AT);
        panels.push(letters::on_end(radius * 2.0));
        panels
    };
    match &house.end {
        End::Flush | End::Ears(_) | End::Jaw(_) => bare(),
        End::Rod(rod) => disc(radius, rod.mouth()),
        End::Press(press) => disc(radius, press.rod.mouth()),
    }
}

/// The two panels of a round face on the bed, above and below what stands in its middle: each as high
/// as a letter is, and as wide as the face is beside it.
pub(in crate::layout) fn disc(radius: Length, middle: Length) -> Vec<Panel> {
    // The largest that a panel may be: two thirds of what is left, where it is still wide.
    let height = (radius - middle) * TALL;
    let corner = middle + height;
    let half = (radius.as_mm() * radius.as_mm() - corner.as_mm() * corner.as_mm())
        .max(0.0)
        .sqrt();
    let size = [Length::mm(half * 2.0), height];
    let at = |side: f64| {
        let place = [Length::ZERO, (middle + height / 2.0) * side, Length::ZERO];
        Panel::flat([0.0, 0.0, -1.0], [1.0, 0.0, 0.0], place, size)
    };
    // Read from below, +y is down.
    vec![at(-1.0), at(1.0)]
}

/// From the print frame to the assembly at turn 0.
pub(super) fn pose(house: &House) -> Pose {
    Pose::turned_over().shifted(Length::ZERO, Length::ZERO, house.far_face())
}

/// Body and ears in one outline, edges broken at both ends; drawn on `below` the bed where it is cut
/// off there.
fn body(house: &House, end: Length, height: Length, below: Length) -> Solid {
    let outline = |set_in: Length| Outline::Keyed {
        diameter: house.carriage_diameter - set_in * 2.0,
        width: house.ear_width - set_in * 2.0,
        span: (end - set_in) * 2.0,
    };
    let under = (below > Length::ZERO).then(|| (-below, outline(BED_EDGE)));
    let levels = vec![
        (Length::ZERO, outline(BED_EDGE)),
        (BED_EDGE, outline(Length::ZERO)),
        (height - EDGE, outline(Length::ZERO)),
        (height, outline(EDGE)),
    ];
    Solid::Prism(under.into_iter().chain(levels).collect())
}

/// The socket, open at the top, its mouth broken.
fn socket(house: &House) -> Solid {
    let (radius, top) = (house.socket_diameter / 2.0, house.carriage_length);
    Line::from(top - house.socket_depth, radius)
        .to(top - EDGE, radius)
        .to(top + OVERCUT, radius + EDGE + OVERCUT)
        .turned()
}

/// A V across the near face of the +x ear.
fn v_mark(house: &House, end: Length, height: Length) -> Placed {
    let middle = (house.carriage_diameter / 2.0 + end - EDGE) / 2.0;
    let half = house.ear_width / 2.0 + OVERCUT;
    v_across(V_DEPTH, [middle, height], half)
}
