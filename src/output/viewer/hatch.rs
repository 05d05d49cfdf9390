//! Which hatching each part has in a cut: parts that touch are told apart by angle and distance.
//!
//! Hatching lies at 45 degrees, and that of parts that meet differs in direction or in distance
//! (ISO 128-3, Technical product documentation, General principles of representation, Part 3: Views,
//! sections and cuts; from memory). Parts are taken in their order, and each gets the first hatching
//! that none of those it meets has.

use crate::assembly::Assembly;
use serde::Serialize;

/// Lines of a cut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub(super) struct Hatch {
    /// From the mechanism's axis, in degrees, counter-clockwise.
    angle: f64,
    /// From line to line, on the screen, in points (a 96th of an inch). Guess: dense enough to fill a
    /// wall, wide enough to count.
    step: f64,
}

/// The first are those that a drawing has; the rest are for parts that meet many others.
const HATCHES: [Hatch; 8] = [
    hatch(45.0, 7.0),
    hatch(135.0, 7.0),
    hatch(45.0, 4.5),
    hatch(135.0, 4.5),
    hatch(30.0, 7.0),
    hatch(120.0, 7.0),
    hatch(60.0, 4.5),
    hatch(150.0, 4.5),
];

const fn hatch(angle: f64, step: f64) -> Hatch {
    Hatch { angle, step }
}

/// The hatching of every part, in their order.
pub(super) fn hatches(assembly: &Assembly) -> Vec<Hatch> {
    let chosen = assembly.told_apart(HATCHES.len());
    chosen.into_iter().map(|hatch| HATCHES[hatch]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;

    #[test]
    fn parts_that_meet_are_hatched_differently() {
        let assembly = fixture::nested().design.assembly;
        let hatches = hatches(&assembly);
        for joint in &assembly.joints {
            let [a, b] = joint.between.map(|piece| assembly.instance(piece).part.0);
            assert_ne!(hatches[a], hatches[b], "{}", joint.name);
        }
        assert_eq!(hatches[0], HATCHES[0]);
    }
}
