//! The mechanism drawn apart along the order in which it goes together, each part with its number.

use super::stage::{Stage, towards};
use super::whole::{ACROSS, UP};
use crate::assembly::{Axis, InstanceId};
use crate::output::apart::Parting;
use crate::picture::{BALLOON, Canvas, Item, Overlay, Picture, Reach, Sheet, View};
use crate::sequence::Order;
use crate::solid::Mesh;
use std::io;

/// An eye as that of the whole, more from the side, so that what is drawn apart lies clear.
const EYE: [f64; 3] = [-0.80, 0.52, -0.24];
/// Distance of balloons from each other and from the drawing, in mm of paper.
const APART: f64 = 2.0 * BALLOON + 1.2;

/// Drawn apart; pieces that no order takes away stay where they are.
pub(super) fn apart(
    stage: &Stage<'_>,
    meshes: &[Mesh],
    order: &Order,
    name: &str,
) -> io::Result<Picture> {
    let parting = Parting::of(
        stage.assembly,
        |piece| stage.rate(piece),
        Some(order),
        meshes,
    );
    let apart = parting.apart();
    let items: Vec<(InstanceId, Item<'_>)> = stage
        .pieces()
        .filter_map(|piece| {
            let moved = parting.moved(piece, apart);
            let pose = moved.of(stage.assembly.instance(piece).pose);
            Some((piece, stage.item(piece, pose, stage.tint(piece))?))
        })
        .collect();
    let sheet = Sheet {
        width: ACROSS,
        height: 110.0,
        margin: 2.0 * BALLOON + 6.0,
    };
    let drawn: Vec<Item<'_>> = items.iter().map(|(_, item)| *item).collect();
    let (eye, head) = seen_from(order);
    let canvas = Canvas::draw(View::from(eye, UP), &drawn, None, sheet, Reach::All(&[]));
    let mut overlay = Overlay::default();
    balloons(stage, &items, &canvas, &mut overlay);
    let shows = format!(
        "{name} drawn apart along the way it goes together, the drive head on the {head}; each number is \
         that of the part in the parts list"
    );
    overlay.picture(&canvas, "exploded", &shows)
}

/// From where it is seen, and where the drive head then lies: from the side to which more pieces go.
fn seen_from(order: &Order) -> ([f64; 3], &'static str) {
    let Order::Apart { removals, .. } = order else {
        return (EYE, "left");
    };
    let sideways = removals.iter().map(|removed| removed.motion);
    let sideways = sideways.filter(|motion| motion.axis == Axis::X);
    let away: f64 = sideways.map(|motion| towards(motion)[0]).sum();
    match away > 0.0 {
        true => ([-EYE[0], EYE[1], EYE[2]], "right"),
        false => (EYE, "left"),
    }
}

/// A balloon for every part, at one of its pieces, in rows above and below.
fn balloons(
    stage: &Stage<'_>,
    items: &[(InstanceId, Item<'_>)],
    canvas: &Canvas,
    overlay: &mut Overlay,
) {
    let numbers = stage.assembly.item_numbers();
    let mut anchors: Vec<(usize, [f64; 2])> = Vec::new();
    for (index, (piece, _)) in items.iter().enumerate() {
        let number = numbers[stage.assembly.instance(*piece).part.0];
        let known = anchors.iter().any(|(known, _)| *known == number);
        if let Some(anchor) = canvas.anchor(index).filter(|_| !known) {
            anchors.push((number, anchor));
        }
    }
    let [wide, high] = canvas.paper();
    anchors.sort_by(|a, b| a.1[0].total_cmp(&b.1[0]));
    let (above, below): (Vec<_>, Vec<_>) = anchors
        .into_iter()
        .partition(|(_, anchor)| anchor[1] < high / 2.0);
    for (row, y) in [(above, BALLOON + 0.5), (below, high - BALLOON - 0.5)] {
        let places = in_a_row(row.iter().map(|(_, anchor)| anchor[0]), wide);
        for ((number, anchor), x) in row.iter().zip(places) {
            overlay.balloon([x, y], *anchor, *number);
        }
    }
}

/// Places near the wanted ones, ascending, that keep their distance and stay on the paper.
fn in_a_row(wanted: impl Iterator<Item = f64>, wide: f64) -> Vec<f64> {
    let mut places: Vec<f64> = Vec::new();
    for x in wanted {
        let least = places.last().map_or(BALLOON + 0.5, |last| last + APART);
        places.push(x.max(least));
    }
    let mut most = wide - BALLOON - 0.5;
    for place in places.iter_mut().rev() {
        *place = place.min(most);
        most = *place - APART;
    }
    places
}
