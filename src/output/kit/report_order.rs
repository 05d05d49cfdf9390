//! The order in `report.json` and in what `take-apart` prints as data: motions, and what each
//! removal had to wait for.

use super::product::Product;
use super::report_numbers::{mm, rounded};
use crate::assembly::{Axis, InstanceId, Motion, MotionKind};
use crate::sequence::{Order, Removed};
use serde::Serialize;

/// A motion of a step or a removal.
#[derive(Clone, Debug, Serialize)]
pub(super) struct StepMotionEntry {
    kind: &'static str,
    axis: &'static str,
    distance_mm: Option<f64>,
    turns: Option<f64>,
}

/// Something that is taken away, in the order of taking apart.
#[derive(Clone, Debug, Serialize)]
pub(in crate::output) struct RemovalEntry {
    number: usize,
    /// Number of the removal whose group it is taken from, on the bench.
    group: Option<usize>,
    /// Names of the pieces that move; of a driven motion all that are there.
    pieces: Vec<String>,
    /// What it is taken off.
    rest: Vec<String>,
    motion: StepMotionEntry,
    /// Clockwise, seen from the drive head; null where it does not turn.
    clockwise: Option<bool>,
    /// Turns n of the mechanism before and after.
    turn: Option<f64>,
    turn_after: Option<f64>,
    /// How much further in it could go, and what it would touch then.
    touch: Option<TouchEntry>,
    waits_for: Vec<WaitEntry>,
}

#[derive(Clone, Debug, Serialize)]
struct TouchEntry {
    piece: String,
    other: String,
    travel_mm: Option<f64>,
    point_mm: [Option<f64>; 3],
}

/// An earlier removal that cleared the way.
#[derive(Clone, Debug, Serialize)]
struct WaitEntry {
    number: usize,
    piece: String,
    blocked: String,
}

/// Everything that is taken away, if the kit comes apart.
pub(in crate::output) fn removals(product: &Product) -> Option<Vec<RemovalEntry>> {
    let Some(Order::Apart { removals, .. }) = &product.order else {
        return None;
    };
    let entry = |(index, removed): (usize, &Removed)| removal(product, index, removed);
    Some(removals.iter().enumerate().map(entry).collect())
}

fn removal(product: &Product, index: usize, removed: &Removed) -> RemovalEntry {
    let name = |piece: InstanceId| product.design.assembly.instance(piece).name.clone();
    let names = |pieces: &[InstanceId]| pieces.iter().map(|piece| name(*piece)).collect();
    RemovalEntry {
        number: index + 1,
        group: removed.group.map(|group| group + 1),
        pieces: names(&removed.pieces),
        rest: names(&removed.rest),
        motion: step_motion(removed.motion),
        clockwise: (removed.motion.turns != 0.0).then_some(removed.motion.turns > 0.0),
        turn: rounded(removed.turn),
        turn_after: rounded(removed.turn_after),
        touch: removed.touch.map(|touch| TouchEntry {
            piece: name(touch.piece),
            other: name(touch.other),
            travel_mm: mm(touch.travel),
            point_mm: touch.point.map(rounded),
        }),
        waits_for: removed
            .waits
            .iter()
            .map(|wait| WaitEntry {
                number: wait.removal + 1,
                piece: name(wait.blocker),
                blocked: name(wait.blocked),
            })
            .collect(),
    }
}

/// A motion as data.
pub(super) fn step_motion(motion: Motion) -> StepMotionEntry {
    StepMotionEntry {
        kind: match motion.kind {
            MotionKind::Straight => "straight",
            MotionKind::Helical => "helical",
            MotionKind::Driven => "driven",
        },
        axis: match motion.axis {
            Axis::X => "x",
            Axis::Y => "y",
            Axis::Z => "z",
        },
        distance_mm: mm(motion.distance),
        turns: rounded(motion.turns),
    }
}
