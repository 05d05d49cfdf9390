//! What the page's program is told of the way apart: what leaves, in words, and which step undoes it.

use crate::assembly::{Motion, MotionKind, Step};
use crate::output::apart::{Leaving, Parting};
use crate::output::kit::Product;
use crate::sequence::{Order, Removed, Speaker};
use crate::solid::Mesh;
use crate::units_told::turn;
use serde::Serialize;

/// Something that leaves, or the mechanism turned on the way.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Told {
    /// What it is called: `keeper pin 1 comes out`.
    words: String,
    #[serde(flatten)]
    leaving: Leaving,
}

/// All that leaves, in the order of taking apart; nothing where no order was found.
pub(super) fn told(product: &Product, meshes: &[Mesh]) -> Vec<Told> {
    let Some(order) = &product.order else {
        return Vec::new();
    };
    let assembly = &product.design.assembly;
    let parting = Parting::of(assembly, |piece| product.rate(piece), Some(order), meshes);
    let all = parting.leavings.into_iter().zip(order.removals());
    all.map(|(leaving, removed)| Told {
        words: words(product, removed),
        leaving,
    })
    .collect()
}

fn words(product: &Product, removed: &Removed) -> String {
    let speaker = Speaker {
        assembly: &product.design.assembly,
        told: product.kit.told(),
    };
    let names = speaker.names(&removed.pieces);
    let several = removed.pieces.len() > 1;
    match (removed.motion.kind, several) {
        (MotionKind::Driven, _) => {
            format!("the drive is turned to {}", turn(removed.turn_after, 1))
        }
        (MotionKind::Helical, true) => format!("{names} are screwed out together"),
        (MotionKind::Helical, false) => format!("{names} is screwed out"),
        (MotionKind::Straight, true) => format!("{names} come out together"),
        (MotionKind::Straight, false) => format!("{names} comes out"),
    }
}

/// For each step, how many leavings are undone before it and after it, all having left at the start;
/// where it moves nothing both are the same.
///
/// A step of the design carries the first of its motions; it covers the motions up to the first of the
/// next step.
pub fn step_ranges(order: &Order, steps: &[Step]) -> Vec<[usize; 2]> {
    let found = order.insertions();
    let motions: Vec<Motion> = found.iter().map(|removed| removed.way_in()).collect();
    let mut ranges = Vec::with_capacity(steps.len());
    let mut done = 0;
    for (index, step) in steps.iter().enumerate() {
        if step.motion.is_none() || done == motions.len() {
            ranges.push([done, done]);
            continue;
        }
        let next = steps[index + 1..]
            .iter()
            .find_map(|step| step.motion.map(|motion| (step, motion)));
        let begins = |at: &usize| match next {
            Some((step, motion)) => {
                motions[*at] == motion
                    && found[*at]
                        .pieces
                        .iter()
                        .any(|piece| step.pieces.contains(piece))
            }
            None => false,
        };
        let end = (done + 1..motions.len())
            .find(begins)
            .unwrap_or(motions.len());
        ranges.push([done, end]);
        done = end;
    }
    ranges
}
