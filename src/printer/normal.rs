//! The normal distribution.

use crate::units::real;
use std::sync::LazyLock;

/// The chance that a standard normal variable is below `deviations`.
pub(super) fn below(deviations: f64) -> f64 {
    0.5 * real::erfc(-deviations / std::f64::consts::SQRT_2)
}

/// The chance that a normal variable of this mean and variance lies from `least` to `most`; of one
/// that does not vary, whether it does.
pub(super) fn inside([least, most]: [f64; 2], mean: f64, variance: f64) -> f64 {
    let [least, most] = limits([least, most], mean, variance);
    least.to(&most)
}

/// The end of a range of a normal variable.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limit {
    at: f64,
    /// The variable's mean.
    mean: f64,
    /// The chance to be below it; none of a variable that does not vary.
    below: Option<f64>,
}

/// Ends of ranges of a normal variable of this mean and variance: to look one up takes far longer than to
/// ask for a range between two.
pub(super) fn limits<const N: usize>(at: [f64; N], mean: f64, variance: f64) -> [Limit; N] {
    let deviation = variance.sqrt();
    let below = |at: f64| nearly_below((at - mean) / deviation);
    let varies = variance > 0.0;
    at.map(|at| Limit {
        at,
        mean,
        below: varies.then(|| below(at)),
    })
}

impl Limit {
    /// The chance to lie from here to another limit of the same variable; of one that does not vary, whether
    /// it does.
    pub(super) fn to(&self, most: &Self) -> f64 {
        if self.at > most.at {
            return 0.0;
        }
        match (self.below, most.below) {
            (Some(least), Some(most)) => (most - least).max(0.0),
            _ => f64::from(u8::from((self.at..=most.at).contains(&self.mean))),
        }
    }
}

/// From place to place of the table, in standard deviations; as many places a deviation.
const STEP: f64 = 1.0 / PLACES;
const PLACES: f64 = 32.0;
/// The table's last place, either way: beyond it less than a millionth of a millionth of a
/// millionth is left.
const LAST: f64 = 9.0;

/// Chance and its slope by one step, from `-LAST` on.
static TABLE: LazyLock<Vec<[f64; 2]>> = LazyLock::new(|| {
    let density = |at: f64| real::exp(-at * at / 2.0) / std::f64::consts::TAU.sqrt();
    let places = (2.0 * LAST * PLACES) as u32;
    let place = |index: u32| f64::from(index) * STEP - LAST;
    (0..=places)
        .map(place)
        .map(|at| [below(at), density(at) * STEP])
        .collect()
});

/// [`below`] to 1e-8, far faster: cubic between the places of a table.
fn nearly_below(deviations: f64) -> f64 {
    // Of what lies beyond, not the last bit of 1 is left; limits without end lie there too.
    if deviations >= LAST {
        return 1.0;
    }
    if deviations <= -LAST {
        return 0.0;
    }
    let along = (deviations + LAST) * PLACES;
    let index = along as usize;
    let (Some([low, rises]), Some([high, rises_on])) = (TABLE.get(index), TABLE.get(index + 1))
    else {
        return below(deviations);
    };
    let t = along - index as f64;
    let (u, step) = (1.0 - t, high - low);
    low + t * t * (3.0 - 2.0 * t) * step + t * u * (u * rises - t * rises_on)
}

/// Chances nearer to 0 or 1 than this are taken as this: a fifth of a millionth of a millionth of
/// copies is no matter.
const LEAST_CHANCE: f64 = 2e-11;
/// Beyond this distance of a chance from a half, the tail's series holds.
const TAIL: f64 = 0.425;

/// Below how many standard deviations a standard normal variable is with the chance `p`.
///
/// Rational approximations of Wichura, "Algorithm AS 241: The Percentage Points of the Normal
/// Distribution", Applied Statistics 37, 1988 (coefficients from memory, held by a test against the
/// error function to 1e-12).
pub(super) fn quantile(p: f64) -> f64 {
    let p = p.clamp(LEAST_CHANCE, 1.0 - LEAST_CHANCE);
    let q = p - 0.5;
    if q.abs() <= TAIL {
        let r = TAIL * TAIL - q * q;
        return q * horner(r, &CENTRE[0]) / horner(r, &CENTRE[1]);
    }
    let r = (-real::ln(p.min(1.0 - p))).sqrt() - 1.6;
    (horner(r, &SIDE[0]) / horner(r, &SIDE[1])).copysign(q)
}

/// A polynomial, its highest power first.
fn horner(x: f64, coefficients: &[f64; 8]) -> f64 {
    coefficients.iter().fold(0.0, |sum, next| sum * x + next)
}

/// Numerator and denominator near a half.
const CENTRE: [[f64; 8]; 2] = [
    [
        2_509.080_928_730_123,
        33_430.575_583_588_13,
        67_265.770_927_008_7,
        45_921.953_931_549_87,
        13_731.693_765_509_46,
        1_971.590_950_306_551_3,
        133.141_667_891_784_38,
        3.387_132_872_796_366_5,
    ],
    [
        5_226.495_278_852_545,
        28_729.085_735_721_943,
        39_307.895_800_092_71,
        21_213.794_301_586_597,
        5_394.196_021_424_751,
        687.187_007_492_057_9,
        42.313_330_701_600_91,
        1.0,
    ],
];
/// The same in the tails.
const SIDE: [[f64; 8]; 2] = [
    [
        7.745_450_142_783_414e-4,
        0.022_723_844_989_269_184,
        0.241_780_725_177_450_6,
        1.270_458_252_452_368_4,
        3.647_848_324_763_204_5,
        5.769_497_221_460_691,
        4.630_337_846_156_546,
        1.423_437_110_749_683_5,
    ],
    [
        1.050_750_071_644_416_9e-9,
        5.475_938_084_995_345e-4,
        0.015_198_666_563_616_457,
        0.148_103_976_427_480_08,
        0.689_767_334_985_1,
        1.676_384_830_183_803_8,
        2.053_191_626_637_759,
        1.0,
    ],
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_follow_the_normal_table() {
        // Standard normal: 68.27 % within one deviation, 95.00 % within 1.96.
        approx::assert_abs_diff_eq!(inside([-1.0, 1.0], 0.0, 1.0), 0.6827, epsilon = 5e-5);
        approx::assert_abs_diff_eq!(inside([0.002, 0.198], 0.1, 0.0025), 0.95, epsilon = 5e-5);
        assert_eq!(inside([0.0, 0.3], 0.3, 0.0), 1.0);
        assert_eq!(inside([0.0, 0.3], 0.31, 0.0), 0.0);
        assert_eq!(inside([0.3, 0.0], 0.1, 1.0), 0.0);
    }

    #[test]
    fn the_table_is_the_error_function_to_a_hundred_millionth() {
        for step in -10_000..=10_000 {
            let at = f64::from(step) * 1e-3;
            approx::assert_abs_diff_eq!(nearly_below(at), below(at), epsilon = 1e-8);
        }
        assert_eq!(
            [nearly_below(f64::INFINITY), nearly_below(f64::NEG_INFINITY)],
            [1.0, 0.0]
        );
        assert!(below(-LAST) < 1e-18 && below(LAST) == 1.0);
        assert!(nearly_below(f64::NAN).is_nan());
    }

    #[test]
    fn a_quantile_is_where_its_chance_is() {
        for step in 1..2000 {
            let p = f64::from(step) / 2000.0;
            approx::assert_relative_eq!(below(quantile(p)), p, max_relative = 1e-12);
        }
        for p in [1e-10, 1e-8, 1e-6, 1e-4] {
            approx::assert_relative_eq!(below(quantile(p)), p, max_relative = 1e-10);
            assert!(quantile(p) < 0.0 && quantile(1.0 - p) > 0.0);
        }
        // Normal table.
        approx::assert_abs_diff_eq!(quantile(0.975), 1.959_964, epsilon = 1e-6);
        assert_eq!(quantile(0.5), 0.0);
    }
}
