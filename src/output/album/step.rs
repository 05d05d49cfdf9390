//! Pictures of steps: what is there is pale, what goes in stands out, and an arrow shows its motion.
//!
//! All of it is read from the motions that were found, so that the arrow turns the way the piece does.

use super::gesture::{Gesture, Side, eye_of};
use super::inset::{INSET, inset};
use super::stage::{Extent, Stage, carried, towards};
use super::whole::{HEAD_SIDE, UP};
use crate::assembly::{InstanceId, MotionKind, Pose};
use crate::picture::{Canvas, Item, Overlay, Picture, Reach, Sheet, Surface, Tint, Turn, View};
use crate::sequence::Removed;
use crate::units_told::turn;
use nalgebra::Point3;
use std::io;

/// Decimals of a turn.
const TURN: usize = 2;
/// How far beyond what frees it a piece is drawn, in mm.
const FURTHER: f64 = 5.0;
/// How far an arrow around a piece stands off it, in mm.
const OFF: f64 = 5.0;
/// Length of a straight arrow, and its distance from what it moves, in mm of paper.
const ARROW: f64 = 15.0;
const BESIDE: f64 = 3.4;
/// How far behind a piece the eye stands that tells clockwise, in mm of paper.
const EYE: f64 = 7.0;
/// Where the arrow around a piece stands, from the end that the hand holds, as a share of its length.
const HELD: f64 = 0.12;
/// Room for the words below the inset, in mm of paper.
const LINES: f64 = 11.5;
/// Size of the pictures on paper, in mm.
const SHEET: Sheet = Sheet {
    width: 104.0,
    height: 60.0,
    margin: 9.0,
};

/// A step that puts pieces in, or turns the mechanism. `put_in` are its motions in their
/// order, `gestures` what a hand does in each.
pub(super) fn moving(
    stage: &Stage<'_>,
    (put_in, gestures): (&[&Removed], &[Gesture]),
    (name, shows): (&str, &str),
) -> io::Result<Option<Picture>> {
    let (Some(first), Some(last)) = (put_in.first(), put_in.last()) else {
        return Ok(None);
    };
    let shown: Vec<InstanceId> = last.pieces.iter().chain(&last.rest).copied().collect();
    let turn = first.turn;
    let placed: Vec<(InstanceId, Pose, Tint)> = shown
        .iter()
        .map(|piece| {
            let pose = stage.pose(*piece, turn);
            let mine = put_in.iter().find(|removed| removed.pieces.contains(piece));
            match mine {
                Some(removed) if !removed.is_driven() => {
                    (*piece, carried(pose, removed.motion, FURTHER), Tint::Spot)
                }
                Some(_) if *piece == stage.assembly.drive => (*piece, pose, Tint::Spot),
                Some(_) | None => (*piece, pose, Tint::Pale),
            }
        })
        .collect();
    let items: Vec<Item<'_>> = placed
        .iter()
        .filter_map(|(piece, pose, tint)| stage.item(*piece, *pose, *tint))
        .collect();
    let view = View::from(eye_of(gestures), UP);
    let canvas = Canvas::draw(view, &items, None, SHEET, Reach::All(&[]));
    let mut overlay = Overlay::default();
    for (number, together) in same_way(put_in).iter().enumerate() {
        // The second arrow keeps to the other side, so that the two do not cross.
        let below = number % 2 == 1;
        show_motion(stage, (together, below), &placed, &canvas, &mut overlay);
    }
    let [wide, high] = canvas.paper();
    if let Some(words) = stands(stage, first, &shown) {
        overlay.words([1.5, high - 1.5], &words);
    }
    let Some((inset, words)) = inset(stage, put_in, &shown) else {
        return overlay.picture(&canvas, name, shows).map(Some);
    };
    let [inset_wide, inset_high] = inset.paper();
    let whole = [wide + INSET, high.max(inset_high + LINES)];
    let left = wide + (INSET - inset_wide) / 2.0;
    for (line, words) in words.iter().enumerate() {
        let below = inset_high + (line as f64 + 1.0) * LINES / 2.0;
        overlay.words_amid([wide + INSET / 2.0, below], words);
    }
    overlay.frame([left, 0.0], inset.paper());
    let inside = canvas.image([0.0, 0.0])? + &inset.image([left, 0.0])? + overlay.svg();
    Ok(Some(Picture::of(name, shows, whole, &inside)))
}

/// At which turn the mechanism stands, or that it lies on the bench; nothing while the drive is not in.
fn stands(stage: &Stage<'_>, removed: &Removed, shown: &[InstanceId]) -> Option<String> {
    if removed.group.is_some() {
        return Some("on the bench".into());
    }
    if !shown.contains(&stage.assembly.drive) {
        return None;
    }
    Some(match removed.turn < 0.0 {
        true => turn(removed.turn, TURN),
        false => format!("at {}", turn(removed.turn, TURN)),
    })
}

/// A step at the mechanism put together: what is handled stands out.
pub(super) fn handling(
    stage: &Stage<'_>,
    pieces: &[InstanceId],
    (name, shows): (&str, &str),
) -> io::Result<Picture> {
    let items: Vec<Item<'_>> = stage
        .pieces()
        .filter_map(|piece| {
            let tint = match pieces.contains(&piece) && piece != stage.assembly.frame {
                true => Tint::Spot,
                false => Tint::Pale,
            };
            stage.item(piece, stage.pose(piece, 0.0), tint)
        })
        .collect();
    let canvas = Canvas::draw(
        View::from(HEAD_SIDE, UP),
        &items,
        None,
        SHEET,
        Reach::All(&[]),
    );
    let mut overlay = Overlay::default();
    let [_, high] = canvas.paper();
    overlay.words([1.5, high - 1.5], "at turn 0");
    overlay.picture(&canvas, name, shows)
}

/// Motions that one arrow shows: straight ones along one way.
fn same_way<'a>(put_in: &[&'a Removed]) -> Vec<Vec<&'a Removed>> {
    let mut all: Vec<Vec<&Removed>> = Vec::new();
    for removed in put_in {
        let straight = |other: &Removed| other.motion.kind == MotionKind::Straight;
        let same = |group: &&mut Vec<&Removed>| {
            let mut known = group.iter();
            straight(removed)
                && known.all(|k| straight(k) && towards(k.motion) == towards(removed.motion))
        };
        match all.iter_mut().find(same) {
            Some(group) => group.push(removed),
            None => all.push(vec![removed]),
        }
    }
    all
}

/// The arrow of motions along one way, and the eye that tells its clockwise.
fn show_motion(
    stage: &Stage<'_>,
    (together, below): (&[&Removed], bool),
    placed: &[(InstanceId, Pose, Tint)],
    canvas: &Canvas,
    overlay: &mut Overlay,
) {
    let Some(removed) = together.first() else {
        return;
    };
    let moved = |piece: InstanceId| match removed.is_driven() {
        true => piece == stage.assembly.drive,
        false => together
            .iter()
            .any(|removed| removed.pieces.contains(&piece)),
    };
    let points = |(piece, pose, _): &(InstanceId, Pose, Tint)| {
        let surface = stage.surface(stage.assembly.instance(*piece).part.0);
        let points = surface.map_or(&[][..], Surface::points);
        let pose = *pose;
        points.iter().map(move |point| pose.apply(*point))
    };
    let extent = Extent::of(
        placed
            .iter()
            .filter(|(piece, ..)| moved(*piece))
            .flat_map(points),
    );
    let (clockwise, side) = match Gesture::of(removed) {
        Gesture::Turn {
            clockwise,
            seen_from,
        } => (clockwise, seen_from),
        Gesture::Push { .. } => {
            let way = towards(removed.way_in());
            straight_arrow(canvas, &extent, (way, below), overlay);
            return;
        }
    };
    let (low, high) = (extent.low[2], extent.high[2]);
    let (held, behind) = match side {
        Side::Head => (low + (high - low) * HELD, low),
        Side::Far => (high - (high - low) * HELD, high),
    };
    let radius = [0, 1]
        .iter()
        .map(|axis| extent.high[*axis].max(-extent.low[*axis]))
        .fold(0.0, f64::max);
    overlay.turn(
        canvas,
        Turn {
            z: held,
            radius: radius + OFF / canvas.scale(),
            // Clockwise from the far end is the other way from the head.
            clockwise: clockwise == (side == Side::Head),
        },
    );
    let [end, further] = [0.0, 1.0].map(|more| {
        let out = match side {
            Side::Head => -more,
            Side::Far => more,
        };
        canvas.at(Point3::new(0.0, 0.0, behind + out))
    });
    let along = [end[0] - further[0], end[1] - further[1]];
    let long = (along[0] * along[0] + along[1] * along[1]).sqrt();
    if long > 0.0 {
        let at = [0, 1].map(|axis| end[axis] - along[axis] / long * EYE);
        overlay.eye(at, along);
    }
}

/// An arrow beside what moves, along its motion.
fn straight_arrow(
    canvas: &Canvas,
    extent: &Extent,
    (step, below): ([f64; 3], bool),
    overlay: &mut Overlay,
) {
    let corners = extent.corners().map(|corner| canvas.at(corner));
    let middle = extent.middle();
    let centre = canvas.at(Point3::from(middle));
    let ahead = canvas.at(Point3::from(
        [0, 1, 2].map(|axis| middle[axis] + step[axis]),
    ));
    let along = [ahead[0] - centre[0], ahead[1] - centre[1]];
    let long = (along[0] * along[0] + along[1] * along[1]).sqrt();
    if long <= 0.0 {
        return;
    }
    let along = along.map(|part| part / long);
    // Above what moves level, to the right of what moves up or down.
    let mut side = [along[1], -along[0]];
    let wrong = side[1] > 0.0 || side[1].abs() < 0.2 && side[0] < 0.0;
    if wrong != below {
        side = side.map(|part| -part);
    }
    let over = |way: [f64; 2]| {
        let far = corners.map(|at| (at[0] - centre[0]) * way[0] + (at[1] - centre[1]) * way[1]);
        far.into_iter().fold(0.0, f64::max)
    };
    let beside = over(side) + BESIDE;
    let from = [0, 1].map(|axis| centre[axis] + side[axis] * beside - along[axis] * ARROW / 2.0);
    let to = [0, 1].map(|axis| from[axis] + along[axis] * ARROW);
    overlay.straight(from, to);
}
