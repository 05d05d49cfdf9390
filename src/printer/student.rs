//! Quantiles and tails of Student's t and of F, for confidence intervals and tests.
//!
//! Both come from the regularised incomplete beta function, here by its continued fraction
//! (Abramowitz & Stegun, Handbook of Mathematical Functions, 26.5.8; from memory), evaluated
//! by Lentz's method. A statistics library would bring some ten further crates for this.

use crate::units::real::{self, exp, ln};

/// Terms of the continued fraction after which it has settled; it needs some tens. Guess.
const MOST_TERMS: usize = 500;
/// Relative change at which the fraction has settled: a few times the rounding of doubles.
const SETTLED: f64 = 1e-15;
/// What stands for a divisor of zero in Lentz's method: far below any term.
const TINY: f64 = 1e-300;
/// Halvings of the interval that holds a quantile: one for each bit of a double.
const HALVINGS: usize = 53;
/// Past the largest quantile asked for: t at 99.99 % with one degree of freedom is 6366.
const LARGEST_T: f64 = 1e9;

/// I_x(a, b), the regularised incomplete beta function, for x in 0 to 1 and a, b above zero.
fn incomplete_beta(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    // The fraction settles fast only below the mean of the distribution.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta(1.0 - x, b, a);
    }
    let scale = real::ln_gamma(a + b) - real::ln_gamma(a) - real::ln_gamma(b);
    let front = exp(scale + a * ln(x) + b * ln(1.0 - x)) / a;
    front * fraction(x, a, b)
}

fn fraction(x: f64, a: f64, b: f64) -> f64 {
    let away = |value: f64| if value.abs() < TINY { TINY } else { value };
    let mut c = 1.0;
    let mut d = 1.0 / away(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for term in 1..MOST_TERMS {
        // A count below 2^53 is exact as a double.
        let m = term as f64;
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        for numerator in [even, odd] {
            d = 1.0 / away(1.0 + numerator * d);
            c = away(1.0 + numerator / c);
            value *= c * d;
        }
        if (c * d - 1.0).abs() < SETTLED {
            break;
        }
    }
    value
}

/// The chance that |t| with `freedom` degrees of freedom exceeds `t`.
pub fn two_sided_tail(t: f64, freedom: f64) -> f64 {
    incomplete_beta(freedom / (freedom + t * t), freedom / 2.0, 0.5)
}

/// The t that |t| stays within with the chance `confidence` (0 to 1, ends excluded), for
/// `freedom` degrees of freedom above zero. `confidence` 0.95 and 10 give 2.228.
pub fn two_sided_quantile(confidence: f64, freedom: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    while high < LARGEST_T && two_sided_tail(high, freedom) > 1.0 - confidence {
        (low, high) = (high, 2.0 * high);
    }
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if two_sided_tail(middle, freedom) > 1.0 - confidence {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}

/// The chance that F with `above` and `below` degrees of freedom exceeds `f`.
pub fn f_tail(f: f64, above: f64, below: f64) -> f64 {
    incomplete_beta(
        below / (below + above * f.max(0.0)),
        below / 2.0,
        above / 2.0,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    #[test]
    fn quantiles_of_t_match_the_published_table() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, critical values of
        // Student's t: columns 0.975 and 0.995 (one-sided), printed to three decimals; from
        // memory.
        for (freedom, at_95, at_99) in [
            (1.0, 12.706, 63.657),
            (2.0, 4.303, 9.925),
            (3.0, 3.182, 5.841),
            (4.0, 2.776, 4.604),
            (5.0, 2.571, 4.032),
            (8.0, 2.306, 3.355),
            (10.0, 2.228, 3.169),
            (20.0, 2.086, 2.845),
            (30.0, 2.042, 2.750),
            (100.0, 1.984, 2.626),
        ] {
            assert_abs_diff_eq!(two_sided_quantile(0.95, freedom), at_95, epsilon = 5.1e-4);
            assert_abs_diff_eq!(two_sided_quantile(0.99, freedom), at_99, epsilon = 5.1e-4);
        }
    }

    #[test]
    fn tails_of_f_match_the_published_table() {
        // The same handbook, 1.3.6.7.3, upper 5 % points of F; from memory.
        for (above, below, f) in [
            (1.0, 1.0, 161.448),
            (1.0, 10.0, 4.965),
            (2.0, 10.0, 4.103),
            (2.0, 20.0, 3.493),
            (5.0, 10.0, 3.326),
        ] {
            assert_abs_diff_eq!(f_tail(f, above, below), 0.05, epsilon = 5e-5);
        }
    }

    proptest! {
        #[test]
        fn prop_tail_of_quantile_is_what_is_left(confidence in 0.5f64..0.999, n in 1u32..60) {
            let t = two_sided_quantile(confidence, f64::from(n));
            prop_assert!((two_sided_tail(t, f64::from(n)) - (1.0 - confidence)).abs() < 1e-9);
        }

        #[test]
        fn prop_f_of_one_is_t_squared(t in 0.01f64..20.0, n in 1u32..60) {
            let n = f64::from(n);
            prop_assert!((f_tail(t * t, 1.0, n) - two_sided_tail(t, n)).abs() < 1e-12);
        }
    }
}
