//! How likely rows are under one explanation: a linear model whose unknowns have a guess and a
//! spread before anything is measured.
//!
//! With y = X b + noise, noise normal with standard deviation s, and unknowns b normal with
//! means m and spreads t, the likelihood of the rows, all values of b allowed for, is
//!
//! ```text
//! ln p = -N ln s - |y - X b'|^2 / 2 s^2 - sum ((b' - m) / t)^2 / 2 - ln det A / 2 - sum ln t
//! A = X'X / s^2 + diag(1 / t^2),   b' = A^-1 (X'y / s^2 + m / t^2)
//! ```
//!
//! but for a constant. It needs no further penalty for unknowns: one that may be anything makes
//! each set of rows the less likely (Jaynes, Probability Theory, 2003, chapter 20; MacKay,
//! Information Theory, Inference, and Learning Algorithms, 2003, chapter 28; from memory). One
//! unknown more costs a product of two short vectors, so every row can be tried.

use crate::units::real::ln;
use nalgebra::{DMatrix, DVector};

/// What is held of an unknown before it is measured, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Known {
    pub(super) mean: f64,
    pub(super) spread: f64,
}

impl Known {
    pub(super) const fn new(mean: f64, spread: f64) -> Self {
        Self { mean, spread }
    }
}

/// A model of the rows at one noise.
pub(super) struct Evidence {
    /// ln p, but for a constant that all models of the same rows share.
    pub(super) log: f64,
    inverse: DMatrix<f64>,
    /// Measured less expected of each row.
    off: DVector<f64>,
    noise: f64,
}

/// A further unknown's column, as it meets the others.
pub(super) struct Column {
    /// X'c.
    across: DVector<f64>,
    /// c'c.
    square: f64,
    /// c'(y - X b').
    off: f64,
}

impl Evidence {
    /// `None` where the numbers are no numbers.
    pub(super) fn new(
        design: &DMatrix<f64>,
        travel: &DVector<f64>,
        known: &[Known],
        noise: f64,
    ) -> Option<Self> {
        let weight = 1.0 / (noise * noise);
        let mut normal = design.tr_mul(design) * weight;
        let mut right = design.tr_mul(travel) * weight;
        for (index, one) in known.iter().enumerate() {
            let weight = 1.0 / (one.spread * one.spread);
            normal[(index, index)] += weight;
            right[index] += weight * one.mean;
        }
        let root = normal.cholesky()?;
        let unknowns = root.solve(&right);
        let off = travel - design * &unknowns;
        let strained: f64 = known
            .iter()
            .zip(unknowns.iter())
            .map(|(one, value)| ((value - one.mean) / one.spread, ln(one.spread)))
            .map(|(deviations, spread)| deviations * deviations / 2.0 + spread)
            .sum();
        let determinant: f64 = root.l_dirty().diagonal().iter().map(|d| ln(*d)).sum();
        let log = -(travel.len() as f64) * ln(noise)
            - off.norm_squared() * weight / 2.0
            - strained
            - determinant;
        log.is_finite().then(|| Self {
            log,
            inverse: root.inverse(),
            off,
            noise,
        })
    }

    /// Columns that are 1 in one row alone, for every row.
    pub(super) fn single_rows(&self, design: &DMatrix<f64>) -> Vec<Column> {
        let column = |row: usize| Column {
            across: design.row(row).transpose(),
            square: 1.0,
            off: self.off[row],
        };
        (0..design.nrows()).map(column).collect()
    }

    /// Columns that are 1 from one row on, for every row.
    pub(super) fn rows_onwards(&self, design: &DMatrix<f64>) -> Vec<Column> {
        let mut across = DVector::zeros(design.ncols());
        let (mut square, mut off) = (0.0, 0.0);
        let mut list = Vec::new();
        for row in (0..design.nrows()).rev() {
            across += design.row(row).transpose();
            square += 1.0;
            off += self.off[row];
            list.push(Column {
                across: across.clone(),
                square,
                off,
            });
        }
        list.reverse();
        list
    }

    /// ln p of the model with one unknown more.
    pub(super) fn with(&self, column: &Column, known: Known) -> f64 {
        let weight = 1.0 / (self.noise * self.noise);
        let own = 1.0 / (known.spread * known.spread);
        let shared = (column.across.transpose() * &self.inverse * &column.across)[(0, 0)];
        let information = column.square * weight + own - shared * weight * weight;
        let right = column.off * weight + known.mean * own;
        self.log
            + (right * right / information - known.mean * known.mean * own) / 2.0
            + (ln(own) - ln(information)) / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn one_unknown_more_is_the_same_added_or_built_in() {
        let design = DMatrix::from_fn(6, 2, |i, j| if j == 0 { 1.0 } else { i as f64 });
        let travel = DVector::from_vec(vec![0.0, 0.8, 1.4, 2.4, 3.2, 3.8]);
        let known = [Known::new(0.0, 10.0), Known::new(0.75, 0.01)];
        let shift = Known::new(0.2, 0.5);
        let base = Evidence::new(&design, &travel, &known, 0.05).unwrap();
        let added = base.with(&base.rows_onwards(&design)[3], shift);
        let wide = DMatrix::from_fn(6, 3, |i, j| match j {
            2 => f64::from(i >= 3),
            _ => design[(i, j)],
        });
        let known = [known[0], known[1], shift];
        let built = Evidence::new(&wide, &travel, &known, 0.05).unwrap();
        assert_abs_diff_eq!(added, built.log, epsilon = 1e-9);
    }

    #[test]
    fn one_reading_of_a_known_length_is_as_likely_as_the_normal_density_says() {
        // y = b + noise is normal with the variance of both: here 3^2 + 4^2 = 5^2.
        let design = DMatrix::from_element(1, 1, 1.0);
        let travel = DVector::from_element(1, 7.0);
        let got = Evidence::new(&design, &travel, &[Known::new(2.0, 3.0)], 4.0).unwrap();
        assert_abs_diff_eq!(got.log, -ln(5.0) - 0.5, epsilon = 1e-12);
    }
}
