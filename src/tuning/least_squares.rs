//! Generalised least squares with an effect common to each print.
//!
//! Model: y = X t + b z + e, where z is the same for all readings of one print. With
//! V = diag(variance) + s_b^2 b b^T within each print and zero between prints,
//!
//! ```text
//! t = (X^T V^-1 X)^-1 X^T V^-1 y        cov t = (X^T V^-1 X)^-1
//! Q = V^-1 - V^-1 X cov X^T V^-1        r_i = (Q y)_i / sqrt(Q_ii)
//! ```
//!
//! (Aitken 1935; the residuals r_i have unit variance where V is right: Cook and Weisberg,
//! Residuals and Influence in Regression, 1982, section 2.2; both from memory.)

use crate::units::real;
use nalgebra::{DMatrix, DVector};

/// One reading, as a row of the model.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Observation {
    /// What was read, less what does not depend on the unknowns.
    pub value: f64,
    /// A weight for each unknown.
    pub weights: Vec<f64>,
    /// Weight of the print's own effect.
    pub effect: f64,
    /// Variance of the reading within its print; above zero.
    pub variance: f64,
    /// Which print, from 0.
    pub print: usize,
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Solution {
    /// The unknowns.
    pub values: Vec<f64>,
    /// Their covariance.
    pub covariance: DMatrix<f64>,
    /// Readings less what the model says, in the order of the observations.
    pub residuals: Vec<f64>,
    /// Studentised residuals: each over its own standard error and the scatter of all others,
    /// never less than the scatter that was assumed.
    pub studentised: Vec<f64>,
    /// Sum of squares y^T Q y; as large as the degrees of freedom where V is right.
    pub misfit: f64,
    /// Readings less unknowns.
    pub freedom: usize,
}

/// The unknowns cannot be told apart.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Singular {
    /// Condition number of the weights, each column scaled to unit length.
    pub condition: f64,
    /// The unknowns that only show together, by their column.
    pub mixed: Vec<usize>,
}

/// Condition number (unit columns) above which unknowns are not told apart. Outer sizes of 18
/// and 22 mm, with which scale and growth correlate at -0.995, have 20; the plate has 4.4.
/// Guess between the two.
pub(super) const MOST_CONDITION: f64 = 15.0;
/// Share of a unit vector from which an unknown belongs to those that are mixed up. Guess.
const MIXED: f64 = 0.3;

/// The weights as a matrix.
fn matrix(observations: &[Observation], unknowns: usize) -> DMatrix<f64> {
    DMatrix::from_fn(observations.len(), unknowns, |row, column| {
        observations[row]
            .weights
            .get(column)
            .copied()
            .unwrap_or(0.0)
    })
}

/// The covariance of the readings.
fn spread(observations: &[Observation], between: f64) -> DMatrix<f64> {
    let size = observations.len();
    DMatrix::from_fn(size, size, |i, j| {
        let (a, b) = (&observations[i], &observations[j]);
        let common = if a.print == b.print {
            between * between * a.effect * b.effect
        } else {
            0.0
        };
        if i == j { a.variance + common } else { common }
    })
}

/// Condition number of the weights with unit columns, and which columns are mixed up.
///
/// # Errors
/// If the condition number is above [`MOST_CONDITION`].
pub(super) fn told_apart(observations: &[Observation], unknowns: usize) -> Result<f64, Singular> {
    // Columns of unit length: a growth has weights of 1 and a scale of tens of millimetres, and the
    // condition of such a mixture would tell of units, not of the plate.
    let mut unit = matrix(observations, unknowns);
    // Fewer readings than unknowns: rows of zeros show the columns that nothing tells apart.
    if unit.nrows() < unknowns {
        unit = unit.resize_vertically(unknowns, 0.0);
    }
    for mut column in unit.column_iter_mut() {
        let length = column.norm();
        if length > 0.0 {
            column /= length;
        }
    }
    let svd = unit.svd(false, true);
    let (least, most) = (svd.singular_values.min(), svd.singular_values.max());
    let condition = most / least;
    if condition <= MOST_CONDITION {
        return Ok(condition);
    }
    let at = svd.singular_values.imin();
    let mixed = svd.v_t.map(|v_t| {
        let weakest = v_t.row(at).into_owned();
        (0..unknowns)
            .filter(|column| weakest[*column].abs() > MIXED)
            .collect()
    });
    Err(Singular {
        condition,
        mixed: mixed.unwrap_or_default(),
    })
}

/// The unknowns from readings alone. `between` is the standard deviation of the prints' own
/// effect.
///
/// # Errors
/// If the readings do not tell the unknowns apart.
pub(super) fn solve(
    observations: &[Observation],
    unknowns: usize,
    between: f64,
) -> Result<Solution, Singular> {
    told_apart(observations, unknowns)?;
    estimate(observations, unknowns, between).ok_or_else(|| Singular {
        condition: f64::INFINITY,
        mixed: (0..unknowns).collect(),
    })
}

/// The same however ill the unknowns are told apart: their errors say how ill. `None` where no
/// number comes of it.
pub(super) fn estimate(
    observations: &[Observation],
    unknowns: usize,
    between: f64,
) -> Option<Solution> {
    let x = matrix(observations, unknowns);
    let y = DVector::from_iterator(observations.len(), observations.iter().map(|o| o.value));
    let weighed = Weighed::new(observations, &x, &y, between)?;
    let information = x.transpose() * &weighed.x;
    let covariance = information.cholesky()?.inverse();
    let values = &covariance * (x.transpose() * &weighed.y);
    // Q y is V^-1 times the residuals.
    let qy = &weighed.y - &weighed.x * &values;
    let misfit = y.dot(&qy).max(0.0);
    let freedom = observations.len().saturating_sub(unknowns);
    let own: Vec<f64> = (0..observations.len())
        .map(|row| {
            let weights = weighed.x.row(row);
            weighed.inverse[row] - (weights * &covariance * weights.transpose())[(0, 0)]
        })
        .collect();
    Some(Solution {
        studentised: studentised(&own, &qy, misfit, freedom),
        residuals: (&y - &x * &values).iter().copied().collect(),
        values: values.iter().copied().collect(),
        covariance: symmetric(covariance),
        misfit,
        freedom,
    })
}

/// V^-1 X, V^-1 y and the diagonal of V^-1, worked out print by print.
struct Weighed {
    x: DMatrix<f64>,
    y: DVector<f64>,
    inverse: Vec<f64>,
}

impl Weighed {
    fn new(
        observations: &[Observation],
        x: &DMatrix<f64>,
        y: &DVector<f64>,
        between: f64,
    ) -> Option<Self> {
        let mut weighed = Self {
            x: DMatrix::zeros(x.nrows(), x.ncols()),
            y: DVector::zeros(y.len()),
            inverse: vec![0.0; y.len()],
        };
        let prints = observations.iter().map(|o| o.print + 1).max().unwrap_or(0);
        for print in 0..prints {
            let at: Vec<usize> = (0..observations.len())
                .filter(|row| observations[*row].print == print)
                .collect();
            let own: Vec<Observation> = at.iter().map(|row| observations[*row].clone()).collect();
            if own.is_empty() {
                continue;
            }
            // Print by print, since readings of two prints have no effect in common: V falls into
            // blocks, and each is inverted alone.
            let inverse = spread(&own, between).cholesky()?.inverse();
            let block = &inverse * x.select_rows(&at);
            let values = &inverse * y.select_rows(&at);
            for (inside, row) in at.into_iter().enumerate() {
                weighed.x.set_row(row, &block.row(inside));
                weighed.y[row] = values[inside];
                weighed.inverse[row] = inverse[(inside, inside)];
            }
        }
        Some(weighed)
    }
}

/// A share of a row's own variance below which nothing is left to judge it by: the row alone
/// determines something. Far above rounding.
const NOTHING_LEFT: f64 = 1e-9;

/// `own` is the diagonal of Q.
fn studentised(own: &[f64], qy: &DVector<f64>, misfit: f64, freedom: usize) -> Vec<f64> {
    let largest = own.iter().copied().fold(0.0, f64::max);
    let of = |(own, qy): (&f64, &f64)| {
        if *own <= NOTHING_LEFT * largest {
            return 0.0;
        }
        let residual = qy / own.sqrt();
        let others = match freedom.checked_sub(1) {
            // With one reading to spare there are no others to take a scatter from.
            None | Some(0) => 1.0,
            // Never below what was assumed: three readings that agree by luck would make an outlier
            // of the fourth.
            Some(left) => ((misfit - residual * residual).max(0.0) / left as f64).max(1.0),
        };
        residual / others.sqrt()
    };
    own.iter().zip(qy.iter()).map(of).collect()
}

/// What is believed of unknowns, changed by readings (the conditional Gaussian; Kalman 1960,
/// from memory). Nothing needs to be told apart: what the readings do not say stays as it was.
///
/// `gain_from` is the covariance that sets how far readings move the belief; the covariance of
/// the result is that of this estimate where `covariance` is the belief's true one (Joseph's
/// form, which holds for any gain; from memory). `None` if the covariance of the readings is
/// none.
pub(super) fn update(
    believed: &[f64],
    covariance: &DMatrix<f64>,
    gain_from: &DMatrix<f64>,
    observations: &[Observation],
    between: f64,
) -> Option<(Vec<f64>, DMatrix<f64>)> {
    let x = matrix(observations, believed.len());
    let prior = DVector::from_column_slice(believed);
    let y = DVector::from_iterator(observations.len(), observations.iter().map(|o| o.value));
    let noise = spread(observations, between);
    let cross = gain_from * x.transpose();
    let solver = (&x * &cross + &noise).cholesky()?;
    let gain = solver.solve(&cross.transpose()).transpose();
    let values = &prior + &gain * (y - &x * &prior);
    let kept = DMatrix::identity(believed.len(), believed.len()) - &gain * &x;
    let left = &kept * covariance * kept.transpose() + &gain * noise * gain.transpose();
    Some((values.iter().copied().collect(), symmetric(left)))
}

fn symmetric(matrix: DMatrix<f64>) -> DMatrix<f64> {
    (&matrix + matrix.transpose()) * 0.5
}

/// Spread within and between prints, as standard deviations of a reading and of a print's
/// effect.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spread {
    /// Of a reading within its print.
    pub within: f64,
    /// Of the prints' own effect.
    pub between: f64,
}

/// Prints from which on the spread is estimated; with fewer it stays what was believed.
pub(super) const ENOUGH_PRINTS: usize = 3;
/// How many readings the believed spread within a print weighs as much as. Guess.
const BELIEF_WITHIN: f64 = 10.0;
/// How many prints the believed spread between prints weighs as much as. Guess.
const BELIEF_BETWEEN: f64 = 4.0;

/// Mean of a standard deviation by its scale, where its square is scaled inverse chi-squared of so many
/// degrees of freedom, more than one: sqrt(n / 2) gamma((n - 1) / 2) / gamma(n / 2).
fn mean_by_scale(freedom: f64) -> f64 {
    let gammas = real::ln_gamma((freedom - 1.0) / 2.0) - real::ln_gamma(freedom / 2.0);
    (freedom / 2.0).sqrt() * real::exp(gammas)
}

/// The spread that residuals show, mixed with what is believed by their degrees of freedom
/// (the posterior mean of the standard deviation under scaled inverse chi-squared beliefs; Gelman and
/// others, Bayesian Data Analysis, section 2.6; from memory): few prints leave it open upwards. With
/// fewer than three it is what is believed.
///
/// `residuals` are of a fit of all prints together; each goes with its observation.
pub(super) fn estimate_spread(
    observations: &[Observation],
    residuals: &[f64],
    unknowns: usize,
    believed: Spread,
) -> Spread {
    let prints = observations.iter().map(|o| o.print + 1).max().unwrap_or(0);
    let mut squares = 0.0;
    let mut effects = Vec::new();
    for print in 0..prints {
        let of_print = || {
            observations
                .iter()
                .zip(residuals)
                .filter(|(o, _)| o.print == print)
        };
        let size: f64 = of_print().map(|(o, _)| o.effect * o.effect).sum();
        let count = of_print().filter(|(o, _)| o.effect != 0.0).count();
        if size <= 0.0 || count < 2 {
            continue;
        }
        // The print's own effect, by least squares within it.
        let own = of_print().map(|(o, r)| o.effect * r).sum::<f64>() / size;
        squares += of_print()
            .map(|(o, r)| r - own * o.effect)
            .map(|rest| rest * rest)
            .sum::<f64>();
        effects.push((own, size));
    }
    let used = effects.len();
    if used < ENOUGH_PRINTS {
        return believed;
    }
    let freedom = (observations.len() as f64 - unknowns as f64 - (used as f64 - 1.0)).max(0.0);
    let mixed = |belief: f64, weight: f64, squares: f64, freedom: f64| {
        let all = weight + freedom;
        ((weight * belief * belief + squares) / all).sqrt() * mean_by_scale(all)
    };
    let within = mixed(believed.within, BELIEF_WITHIN, squares, freedom);
    let mean = effects.iter().map(|(own, _)| own).sum::<f64>() / used as f64;
    let scatter: f64 = effects
        .iter()
        .map(|(own, _)| (own - mean) * (own - mean))
        .sum();
    // Part of the scatter of the effects is only that of the readings they are fitted from.
    let from_readings: f64 = effects
        .iter()
        .map(|(_, size)| within * within / size)
        .sum::<f64>()
        / used as f64;
    let left = (used as f64 - 1.0) * from_readings;
    let squares = (scatter - left).max(0.0);
    let between = mixed(believed.between, BELIEF_BETWEEN, squares, used as f64 - 1.0);
    Spread { within, between }
}
