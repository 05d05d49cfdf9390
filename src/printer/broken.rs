//! What a maker's own print bears, as broken pieces tell it, and what rules may count on.
//!
//! A few pieces give a mean and its standard error. Rules go by the bound that the true value
//! is beyond with `CONFIDENCE`: the mean less (of a notch, more) Student's t times the error.

use super::student::two_sided_quantile;

/// A mean of broken pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FromPieces {
    /// The mean: MPa of a strength, a bare number of a notch.
    pub value: f64,
    /// Its standard error, in the same unit.
    pub error: f64,
    /// Pieces behind it, two or more; of a ratio, of the side that has fewer.
    pub pieces: u32,
}

/// What a print bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintStrength {
    /// Tensile strength across the layers, in MPa.
    pub across: FromPieces,
    /// Kf in tension of a thread's root in the first engaged turn; none where no neck was broken.
    pub root: Option<FromPieces>,
}

/// Share of prints whose true value lies beyond the bound that rules take, on the safe side
/// (common practice).
const CONFIDENCE: f64 = 0.95;
/// Least bound that a strength may have, as a share of its mean: below it the pieces say next to
/// nothing. Guess.
const LEAST_BOUND: f64 = 0.25;
impl FromPieces {
    /// The least that the true value is with `CONFIDENCE`. 30 +- 1.5 of three pieces: 30 -
    /// 2.920 x 1.5 = 25.6.
    pub fn least(&self) -> f64 {
        self.value - self.reach()
    }

    /// The most that it is with the same.
    pub fn most(&self) -> f64 {
        self.value + self.reach()
    }

    /// Student's t, one-sided, times the error.
    fn reach(&self) -> f64 {
        let freedom = f64::from(self.pieces.max(2) - 1);
        two_sided_quantile(2.0 * CONFIDENCE - 1.0, freedom) * self.error
    }

    /// Whether pieces agree well enough for a bound to mean something.
    pub fn is_telling(&self) -> bool {
        self.least() >= LEAST_BOUND * self.value
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn bounds_are_students_one_sided_ones() {
        // Table of t at 0.95, one-sided: 6.314, 2.920, 2.132 for 1, 2 and 4 degrees of freedom
        // (NIST/SEMATECH e-Handbook, 1.3.6.7.2, from memory).
        for (pieces, t) in [(2, 6.314), (3, 2.920), (5, 2.132)] {
            let found = FromPieces {
                value: 30.0,
                error: 1.5,
                pieces,
            };
            assert_abs_diff_eq!(found.least(), 30.0 - 1.5 * t, epsilon = 1e-3);
            assert_abs_diff_eq!(found.most(), 30.0 + 1.5 * t, epsilon = 1e-3);
        }
    }
}
