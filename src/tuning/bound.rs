//! What a bound says: the best step at the end of a ladder, beyond which none was tried.
//!
//! That the last step is best says that what was taken from the gap, s = w t, lies above an
//! edge: its likelihood is Phi((s - edge) / sqrt(variance)), or the same mirrored for the first
//! step. A Gaussian belief with such factors is no Gaussian; its mean and covariance are found
//! by expectation propagation (Minka 2001; for this factor Rasmussen and Williams, Gaussian
//! Processes for Machine Learning, 2006, section 3.6; both from memory).

use crate::units::real;
use nalgebra::{DMatrix, DVector};

/// A weighted sum of unknowns lies beyond an edge.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bound {
    /// A weight for each unknown.
    pub weights: Vec<f64>,
    /// The edge.
    pub edge: f64,
    /// Whether the sum lies above it, else below.
    pub above: bool,
    /// Variance of what was tried about the sum; above zero.
    pub variance: f64,
}

/// Rounds over all bounds: each halves what is left, and a micrometre is plenty. Guess.
const ROUNDS: usize = 30;
/// Below this the ratio of density and share is taken from its series: the share itself would
/// lose its digits.
const FAR: f64 = -6.0;

/// phi(z) / Phi(z). Far below zero -z - 1/z + 2/z^3 (the asymptotic series of Mills' ratio, from
/// memory), right to 4e-4 at -6.
fn hazard(z: f64) -> f64 {
    if z < FAR {
        return -z - 1.0 / z + 2.0 / (z * z * z);
    }
    let density = real::exp(-z * z / 2.0) / (2.0 * std::f64::consts::PI).sqrt();
    density / (real::erfc(-z / std::f64::consts::SQRT_2) / 2.0)
}

/// Mean and covariance of a Gaussian belief once bounds are taken in.
pub(super) fn bounded(
    mut mean: DVector<f64>,
    mut covariance: DMatrix<f64>,
    bounds: &[Bound],
) -> (DVector<f64>, DMatrix<f64>) {
    // What each bound says of its sum, as a Gaussian: one over its variance, and mean over it.
    let mut said = vec![(0.0, 0.0); bounds.len()];
    for _ in 0..ROUNDS {
        for (bound, said) in bounds.iter().zip(&mut said) {
            let weights = DVector::from_column_slice(&bound.weights);
            let towards = &covariance * &weights;
            let (variance, middle) = (weights.dot(&towards), weights.dot(&mean));
            if variance <= 0.0 {
                continue;
            }
            // The belief without this bound.
            let precision = 1.0 / variance - said.0;
            if precision <= 0.0 {
                continue;
            }
            let without = (middle / variance - said.1) / precision;
            let (mean_now, variance_now) = cut(without, 1.0 / precision, bound);
            let next = (
                (1.0 / variance_now - precision).max(0.0),
                mean_now / variance_now - without * precision,
            );
            let change = (next.0 - said.0, next.1 - said.1);
            let share = 1.0 + change.0 * variance;
            mean += &towards * ((change.1 - change.0 * middle) / share);
            covariance -= &towards * towards.transpose() * (change.0 / share);
            *said = next;
        }
    }
    (mean, covariance)
}

/// Mean and variance of a Gaussian times the likelihood of a bound.
fn cut(mean: f64, variance: f64, bound: &Bound) -> (f64, f64) {
    let sign = if bound.above { 1.0 } else { -1.0 };
    let whole = variance + bound.variance;
    let z = sign * (mean - bound.edge) / whole.sqrt();
    let hazard = hazard(z);
    (
        mean + sign * variance * hazard / whole.sqrt(),
        variance - variance * variance * hazard * (z + hazard) / whole,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(mean: f64, bound: &Bound) -> (f64, f64) {
        let (mean, covariance) = bounded(
            DVector::from_element(1, mean),
            DMatrix::from_element(1, 1, 1.0),
            std::slice::from_ref(bound),
        );
        (mean[0], covariance[(0, 0)])
    }

    #[test]
    fn half_a_normal_has_its_published_mean_and_variance() {
        // Above zero: sqrt(2 / pi) and 1 - 2 / pi.
        for above in [true, false] {
            let bound = Bound {
                weights: vec![1.0],
                edge: 0.0,
                above,
                variance: 1e-12,
            };
            let (mean, variance) = one(0.0, &bound);
            approx::assert_abs_diff_eq!(mean.abs(), 0.797_885, epsilon = 1e-5);
            approx::assert_abs_diff_eq!(variance, 0.363_380, epsilon = 1e-5);
            assert_eq!(mean > 0.0, above);
        }
    }

    #[test]
    fn a_bound_that_is_far_off_says_nothing_and_one_far_beyond_leaves_its_edge() {
        let bound = |edge| Bound {
            weights: vec![1.0],
            edge,
            above: true,
            variance: 1e-12,
        };
        let (mean, variance) = one(0.0, &bound(-8.0));
        approx::assert_abs_diff_eq!(mean, 0.0, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(variance, 1.0, epsilon = 1e-9);
        let (mean, _) = one(0.0, &bound(8.0));
        // 8 + 1/8 - 2/512.
        approx::assert_abs_diff_eq!(mean, 8.121, epsilon = 1e-3);
    }
}
