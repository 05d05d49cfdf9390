//! How finely a curve is cut, from the chord tolerance.

use crate::units::{Angle, Length};

/// No curve gets more facets than this, whatever the tolerance. Guess: 0.1 um on a 50 mm
/// radius asks for 1 600.
pub const MOST_FACETS_A_TURN: usize = 4096;

/// No curve gets fewer. Guess: an octagon still passes for a small hole.
const LEAST_FACETS_A_TURN: usize = 8;

/// Facets of a full circle whose chords stay within `tolerance` of it.
///
/// N = pi / acos(1 - t / r), from the sagitta r (1 - cos(pi / N)) of a chord. A circle of
/// 20 mm at 0.01 mm takes 71.
pub fn facets_a_turn(radius: Length, tolerance: Length) -> usize {
    facets_of_step(step_within(radius, tolerance))
}

/// The angle over which a chord stays within `tolerance` of its circle.
pub(super) fn step_within(radius: Length, tolerance: Length) -> Angle {
    let cosine = (1.0 - tolerance / radius).clamp(-1.0, 1.0);
    Angle::from_cos(cosine) * 2.0
}

/// Facets of a full circle of which none takes more than `step`, within the bounds of any curve.
pub(super) fn facets_of_step(step: Angle) -> usize {
    let facets = std::f64::consts::TAU / step.as_radians();
    (facets.ceil() as usize).clamp(LEAST_FACETS_A_TURN, MOST_FACETS_A_TURN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hundredth_of_a_millimetre_takes_as_many_facets_as_the_sagitta_asks() {
        // r (1 - cos(pi / n)) <= t, and one facet fewer would break it.
        for radius in [2.0, 4.0, 10.0, 18.0] {
            let n = facets_a_turn(Length::mm(radius), Length::mm(0.01));
            let sagitta = |n: usize| radius * (1.0 - Angle::turns(0.5 / n as f64).cos());
            assert!(sagitta(n) <= 0.01 && sagitta(n - 1) > 0.01, "{radius}: {n}");
        }
    }
}
