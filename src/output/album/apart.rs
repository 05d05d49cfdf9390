//! The mechanism drawn apart along the order in which it goes together, each part with its number.

use super::stage::{Extent, Stage, towards};
use super::whole::{ACROSS, UP};
use crate::assembly::{Axis, Fit, InstanceId, Motion, MotionKind};
use crate::picture::{BALLOON, Canvas, Item, Overlay, Picture, Reach, Sheet, View};
use crate::sequence::{Order, Removed};
use crate::units::Length;
use std::io;

/// What lies between pieces drawn apart, in mm.
const BETWEEN: f64 = 7.0;
/// An eye as that of the whole, more from the side, so that what is drawn apart lies clear.
const EYE: [f64; 3] = [-0.80, 0.52, -0.24];
/// Distance of balloons from each other and from the drawing, in mm of paper.
const APART: f64 = 2.0 * BALLOON + 1.2;

/// Drawn apart; pieces that no order takes away stay where they are.
pub(super) fn apart(stage: &Stage<'_>, order: &Order, name: &str) -> io::Result<Picture> {
    let shifts = shifts(stage, order);
    let items: Vec<(InstanceId, Item<'_>)> = stage
        .pieces()
        .filter_map(|piece| {
            let [x, y, z] = shifts[piece.0].map(Length::mm);
            let pose = stage.pose(piece, 0.0).shifted(x, y, z);
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

/// Where every piece is moved to, in mm, in the order of the pieces.
pub(super) fn shifts(stage: &Stage<'_>, order: &Order) -> Vec<[f64; 3]> {
    let mut shifts = vec![[0.0; 3]; stage.assembly.instances.len()];
    let removals: &[Removed] = match order {
        Order::Apart { removals, .. } => removals,
        Order::Stuck(_) | Order::Overlapping(_) | Order::TooMany(_) => &[],
    };
    spread(stage, removals, None, &mut shifts);
    shifts
}

/// Moves what one level of the order takes away: what is put in first stays nearest.
fn spread(stage: &Stage<'_>, removals: &[Removed], group: Option<usize>, shifts: &mut [[f64; 3]]) {
    let mut placed: Vec<InstanceId> = Vec::new();
    let level = removals.iter().enumerate().rev();
    for (index, removed) in level.filter(|(_, removed)| removed.group == group) {
        let straight = match removed.motion.kind {
            MotionKind::Driven => continue,
            MotionKind::Straight | MotionKind::Helical => removed.motion,
        };
        // What goes in as a group is spread by itself first.
        spread(stage, removals, Some(index), shifts);
        if placed.is_empty() {
            placed.extend(&removed.rest);
        }
        let host = host(stage, removed, &placed).map_or([0.0; 3], |host| shifts[host.0]);
        let by = clear(stage, removed, straight, &placed, (host, shifts));
        for piece in &removed.pieces {
            for axis in 0..3 {
                shifts[piece.0][axis] += by[axis];
            }
        }
        placed.extend(&removed.pieces);
    }
}

/// What a piece that goes in across the axis belongs to: that which holds it, else what it meets.
fn host(stage: &Stage<'_>, removed: &Removed, placed: &[InstanceId]) -> Option<InstanceId> {
    if removed.motion.axis == Axis::Z {
        return None;
    }
    let joints = stage.assembly.joints.iter();
    let mates = joints.filter_map(|joint| {
        let [a, b] = joint.between;
        let other = match (removed.pieces.contains(&a), removed.pieces.contains(&b)) {
            (true, false) => b,
            (false, true) => a,
            (true, true) | (false, false) => return None,
        };
        placed.contains(&other).then_some((joint.fit, other))
    });
    let rank = |fit: Fit| match fit {
        Fit::Press => 0,
        Fit::Locate => 1,
        Fit::Seat => 2,
        Fit::Slide => 3,
        Fit::Swivel => 4,
        Fit::Thread => 5,
        Fit::Stop => 6,
    };
    mates
        .min_by_key(|(fit, _)| rank(*fit))
        .map(|(_, piece)| piece)
}

/// How far pieces are moved so that they stand clear of all that is placed, seen along their motion.
fn clear(
    stage: &Stage<'_>,
    removed: &Removed,
    motion: Motion,
    placed: &[InstanceId],
    (host, shifts): ([f64; 3], &[[f64; 3]]),
) -> [f64; 3] {
    let axis = motion.axis.index();
    let step = towards(motion);
    let at = |piece: &InstanceId| {
        let extent = stage.extent(*piece, &stage.pose(*piece, 0.0));
        extent.shifted(shifts[piece.0])
    };
    let own = removed
        .pieces
        .iter()
        .map(at)
        .fold(Extent::NONE, Extent::and);
    let own = own.shifted(host);
    let across: Vec<usize> = (0..3).filter(|other| *other != axis).collect();
    let meets = |other: &Extent| {
        across
            .iter()
            .all(|axis| own.low[*axis] < other.high[*axis] && other.low[*axis] < own.high[*axis])
    };
    let others = placed.iter().map(at).filter(meets);
    let far = others.fold(0.0_f64, |far, other| {
        let needed = match step[axis] > 0.0 {
            true => other.high[axis] - own.low[axis],
            false => own.high[axis] - other.low[axis],
        };
        far.max(needed + BETWEEN)
    });
    [0, 1, 2].map(|axis| host[axis] + step[axis] * far)
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
