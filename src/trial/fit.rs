//! Least squares: rows become net lead, lost motion and the error within a turn.
//!
//! The travel x of the carriage at n turns, derived from the play of a screw pair:
//!
//! ```text
//! settled forward   x = o + L n     + a sin(n turns) + b cos(n turns)
//! settled back      x = o + L n + j + a sin(n turns) + b cos(n turns)
//! taking up         x stays where the reversal left it
//! before the first  x stays at a place of its own until the play is taken up
//! ```
//!
//! o is an offset, L the net lead, j the lost motion at the carriage: turned back, the
//! carriage follows only after the play j, so at one n it stands further on. Which rows are
//! taking up is found by trial of every count of them; the one is kept that fits best and
//! contradicts its own j least. Lengths are in mm, towards the end of the stroke.

use super::columns::{Columns, LEAD, RANK_TOLERANCE, unit_covariance};
use super::measured::{Direction, Measured, Unit};
use super::rows::{Correction, Data, State};
use super::student::{f_tail, two_sided_quantile};
use crate::units::real;
use nalgebra::{DMatrix, DVector};

/// Confidence of every interval that is shown.
pub const CONFIDENCE: f64 = 0.95;
/// Quantile of the normal distribution for it.
pub(super) const NORMAL_QUANTILE: f64 = 1.96;
/// Condition number of the scaled columns above which an error within a turn cannot be told
/// from the rest: 30 is the usual border of harmful collinearity (Belsley, Kuh & Welsch,
/// Regression Diagnostics, 1980, chapter 3; from memory).
const WORST_CONDITION: f64 = 30.0;
/// Rows to spare beyond the unknowns before an error within a turn is fitted. Guess.
const SPARE_FOR_RIPPLE: usize = 2;
/// Deviations by which a lost motion may contradict the rows that were taking up. Guess.
const CONTRADICTION: f64 = 3.0;
/// Chance of the instrument alone below which something else scatters the rows. Guess, common
/// practice for what changes a conclusion.
pub(super) const ELSEWHERE: f64 = 0.01;

/// A fitted value in mm with its standard error and the half width of its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Most likely.
    pub value: f64,
    /// Standard error.
    pub error: f64,
    /// The interval is value - half to value + half.
    pub half: f64,
}

impl Estimate {
    /// Whether the interval, widened by `more`, holds a value.
    pub fn holds(&self, value: f64, more: f64) -> bool {
        (value - self.value).abs() <= real::hypot(self.half, more)
    }
}

/// The error within a turn, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ripple {
    /// a, of the sine.
    pub sine: f64,
    /// b, of the cosine.
    pub cosine: f64,
    /// Half of what it adds from peak to valley, with its interval.
    pub amplitude: Estimate,
    /// The chance that noise alone looks like it.
    pub chance: f64,
}

/// Rows, fitted.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadFit {
    /// Net lead.
    pub lead: Estimate,
    /// o, travel at turn 0 when settled forward (or back, if there is nothing else).
    pub offset: f64,
    /// Lost motion at the carriage; `None` if the rows do not have both ways.
    pub lost: Option<Estimate>,
    /// Whether the instrument's steps, and not its scatter, limit the lost motion's interval.
    pub rounded: bool,
    /// Why it is not told although the rows have both ways.
    pub lost_beyond: Option<Beyond>,
    /// How far past its place the carriage stood before the first play was taken up.
    pub start: Option<Estimate>,
    /// By how much the rows that a slip moved read too far on.
    pub shift: Option<Estimate>,
    /// `None` if the rows cannot separate it.
    pub ripple: Option<Ripple>,
    /// What each row was.
    pub states: Vec<State>,
    /// Measured less fitted travel of each row.
    pub residuals: Vec<f64>,
    /// Fitted travel of each row.
    pub fitted: Vec<f64>,
    /// Rows less unknowns.
    pub freedom: usize,
    /// Standard deviation of the residuals; `None` without rows to spare.
    pub deviation: Option<f64>,
    /// The instrument's standard uncertainty.
    pub instrument: f64,
    /// Whether its repeatability was stated.
    pub stated: bool,
    /// In which the rows were read, and in which people are told of them.
    pub unit: Unit,
    /// Rows that stand off further than the rest allows.
    pub outliers: Vec<usize>,
    pub(super) covariance: DMatrix<f64>,
    columns: Columns,
    sum: f64,
    /// Of t, for the shown confidence; none without rows to spare.
    quantile: Option<f64>,
}

/// The instrument cannot show the lost motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beyond {
    /// Half width of the interval that its steps leave, in mm.
    pub half: f64,
    /// The coarsest usual step that would show it, in mm.
    pub step: f64,
}

/// What is asked of the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ask {
    /// Rows at the start before the play is taken up.
    at_start: usize,
    ripple: bool,
}

/// Fits rows as they are. `None` if they do not even give a lead: fewer than two, or all at
/// one turn.
pub fn fit(measured: &Measured) -> Option<LeadFit> {
    fit_put_right(measured, &Correction::None)
}

/// Fits rows of which something is put right first.
pub(super) fn fit_put_right(measured: &Measured, correction: &Correction) -> Option<LeadFit> {
    let data = Data::new(measured, correction);
    let at_start = match correction {
        Correction::Start(rows) => *rows,
        _ => 0,
    };
    let asked = |ripple| best_take_up(&data, Ask { at_start, ripple });
    asked(true).or_else(|| asked(false))
}

/// The best of all counts of rows that were taking up; those that contradict their own lost
/// motion only if there is no other.
fn best_take_up(data: &Data, ask: Ask) -> Option<LeadFit> {
    let fits: Vec<(f64, LeadFit)> = data
        .take_ups()
        .into_iter()
        .filter_map(|take_up| Some((take_up, solve(data, take_up, ask)?)))
        .collect();
    let tally = |fit: &LeadFit| contradiction(data, fit);
    fits.into_iter()
        .map(|(_, fit)| fit)
        .min_by(|a, b| tally(a).cmp(&tally(b)).then(a.sum.total_cmp(&b.sum)))
}

/// Rows that a fit's own lost motion puts elsewhere.
fn contradiction(data: &Data, fit: &LeadFit) -> usize {
    let Some(lost) = fit.lost else { return 0 };
    let slack = CONTRADICTION * real::hypot(lost.error, data.sigma);
    let odd = |(since, state): (&Option<f64>, &State)| match (since, state) {
        (Some(since), State::TakingUp) => since * fit.lead.value > lost.value + slack,
        (Some(since), State::Settled) => since * fit.lead.value < lost.value - slack,
        _ => false,
    };
    let pairs = data.since.iter().zip(&fit.states);
    pairs.filter(|pair| odd(*pair)).count()
}

fn solve(data: &Data, take_up: f64, ask: Ask) -> Option<LeadFit> {
    let states = data.states(take_up, ask.at_start);
    let settled = |way| {
        let mut pairs = states.iter().zip(&data.directions);
        pairs.any(|(state, direction)| *state == State::Settled && *direction == way)
    };
    let both = settled(Direction::Forward) && settled(Direction::Back);
    let shifted = !data.shifted.is_empty();
    let columns = Columns::new(data.centre, [both, ask.ripple, ask.at_start > 0, shifted]);
    let mut design = DMatrix::zeros(data.len(), columns.count);
    let mut before: Vec<f64> = Vec::new();
    for (index, state) in states.iter().enumerate() {
        let row = match (state, columns.start) {
            (State::TakingUp, _) if !before.is_empty() => before.clone(),
            (State::Start, Some(start)) => {
                let mut row = vec![0.0; columns.count];
                row[start] = 1.0;
                row
            }
            _ => columns.settled(data.turns[index], data.directions[index]),
        };
        design.row_mut(index).copy_from_slice(&row);
        if let Some(shift) = columns.shift
            && data.shifted.contains(&index)
        {
            design[(index, shift)] = 1.0;
        }
        before = row;
    }
    LeadFit::new(data, states, columns, &design)
}

impl LeadFit {
    fn new(
        data: &Data,
        states: Vec<State>,
        columns: Columns,
        design: &DMatrix<f64>,
    ) -> Option<Self> {
        let freedom = data.len().checked_sub(columns.count)?;
        if columns.ripple.is_some() && freedom < SPARE_FOR_RIPPLE {
            return None;
        }
        let worst = columns
            .ripple
            .map_or(1.0 / RANK_TOLERANCE, |_| WORST_CONDITION);
        let covariance = unit_covariance(design, worst)?;
        let travel = DVector::from_column_slice(&data.travel);
        let unknowns = &covariance * design.transpose() * &travel;
        let fitted = design * &unknowns;
        let residuals = travel - &fitted;
        let sum = residuals.norm_squared();
        let mut fit = Self {
            lead: Estimate {
                value: 0.0,
                error: 0.0,
                half: 0.0,
            },
            offset: unknowns[0] - unknowns[LEAD] * columns.centre,
            lost: None,
            rounded: false,
            lost_beyond: None,
            start: None,
            shift: None,
            ripple: None,
            states,
            residuals: residuals.iter().copied().collect(),
            fitted: fitted.iter().copied().collect(),
            freedom,
            deviation: (freedom > 0).then(|| (sum / freedom as f64).sqrt()),
            instrument: data.sigma,
            stated: data.stated,
            unit: data.unit,
            outliers: Vec::new(),
            covariance,
            columns,
            sum,
            quantile: (freedom > 0).then(|| two_sided_quantile(CONFIDENCE, freedom as f64)),
        };
        let estimate = |weights: Vec<(usize, f64)>| fit.weighted(&unknowns, &weights);
        let lead = estimate(vec![(LEAD, 1.0)]);
        let lost = columns.lost.map(|column| estimate(vec![(column, 1.0)]));
        let shift = columns.shift.map(|column| estimate(vec![(column, 1.0)]));
        let start = columns.start.map(|column| {
            let first = columns.settled(data.turns[0], data.directions[0]);
            let line = first
                .iter()
                .enumerate()
                .map(|(column, weight)| (column, -weight));
            estimate(std::iter::once((column, 1.0)).chain(line).collect())
        });
        let ripple = columns.ripple.map(|column| fit.rippled(&unknowns, column));
        let outliers = fit.standing_off(design);
        (fit.lead, fit.lost) = (lead, lost);
        (fit.start, fit.shift) = (start, shift);
        (fit.ripple, fit.outliers) = (ripple, outliers);
        Some(fit)
    }

    /// Variance of one reading: the residuals', but never less than the instrument's.
    fn variance(&self) -> Option<f64> {
        let own = self.deviation?;
        Some((own * own).max(self.instrument * self.instrument))
    }

    /// Standard error and half width of something with this variance at unit variance of a
    /// reading. Where the repeatability is stated and the rows scatter no more than it allows,
    /// the instrument is known (normal). Else the half width is the larger of that from the
    /// residuals (t) and that from the instrument: a run of readings that happen to agree proves
    /// no finer instrument.
    pub(super) fn spread(&self, unit_variance: f64) -> (f64, f64) {
        let root = unit_variance.max(0.0).sqrt();
        let own = self.deviation.unwrap_or_default();
        let floor = NORMAL_QUANTILE * self.instrument;
        let known = self.stated && self.noise_chance().is_none_or(|chance| chance >= ELSEWHERE);
        let half = self.quantile.filter(|_| !known);
        let half = half.map_or(floor, |t| floor.max(t * own));
        (root * own.max(self.instrument), root * half)
    }

    fn weighted(&self, unknowns: &DVector<f64>, weights: &[(usize, f64)]) -> Estimate {
        let value = weights
            .iter()
            .map(|(column, weight)| weight * unknowns[*column])
            .sum();
        let row = |(i, wi): &(usize, f64)| -> f64 {
            let pairs = weights.iter();
            pairs
                .map(|(j, wj)| wi * wj * self.covariance[(*i, *j)])
                .sum()
        };
        let (error, half) = self.spread(weights.iter().map(row).sum());
        Estimate { value, error, half }
    }

    fn rippled(&self, unknowns: &DVector<f64>, column: usize) -> Ripple {
        let (sine, cosine) = (unknowns[column], unknowns[column + 1]);
        let size = real::hypot(sine, cosine);
        let along = |value: f64| if size > 0.0 { value / size } else { 0.0 };
        let weights = [(column, along(sine)), (column + 1, along(cosine))];
        let block = self.covariance.view((column, column), (2, 2)).into_owned();
        let pair = DVector::from_column_slice(&[sine, cosine]);
        let form = block
            .try_inverse()
            .map_or(0.0, |inverse| pair.dot(&(inverse * &pair)));
        let variance = self.variance().unwrap_or(f64::INFINITY);
        Ripple {
            sine,
            cosine,
            amplitude: self.weighted(unknowns, &weights),
            chance: f_tail(form / 2.0 / variance, 2.0, self.freedom as f64),
        }
    }

    /// Rows whose residual, against a fit without them, is beyond chance (externally
    /// studentised residual against t, Bonferroni's share of 5 % for each row; Belsley, Kuh &
    /// Welsch 1980, chapter 2; from memory).
    fn standing_off(&self, design: &DMatrix<f64>) -> Vec<usize> {
        if self.freedom < 2 {
            return Vec::new();
        }
        let freedom = (self.freedom - 1) as f64;
        let share = (1.0 - CONFIDENCE) / self.residuals.len() as f64;
        let limit = two_sided_quantile(1.0 - share, freedom);
        let off = |index: &usize| {
            let row = design.row(*index);
            let left = 1.0 - (row * &self.covariance * row.transpose())[(0, 0)];
            if left < RANK_TOLERANCE {
                return false;
            }
            let residual = self.residuals[*index];
            let others = (self.sum - residual * residual / left).max(0.0) / freedom;
            let deviation = others.sqrt().max(self.instrument);
            (residual / (deviation * left.sqrt())).abs() > limit
        };
        (0..self.residuals.len()).filter(off).collect()
    }

    /// Rows of the design for readings that might be added, and the unknowns they bear on.
    pub(super) fn columns(&self) -> &Columns {
        &self.columns
    }

    /// Index of the lead among the unknowns.
    pub(super) const fn lead_column(&self) -> usize {
        LEAD
    }

    /// Rows that were settled or taking up when read.
    pub fn count(&self, state: State) -> usize {
        self.states.iter().filter(|s| **s == state).count()
    }

    /// The chance that the instrument alone spreads the residuals as much; `None` without
    /// rows to spare.
    pub fn noise_chance(&self) -> Option<f64> {
        self.chance_within(self.instrument)
    }

    /// The chance that readings of this standard deviation, in mm, spread the residuals as much.
    pub(super) fn chance_within(&self, deviation: f64) -> Option<f64> {
        // F with a second count without end is chi-square over its first.
        const ENDLESS: f64 = 1e6;
        let ratio = self.deviation? / deviation;
        Some(f_tail(ratio * ratio, self.freedom as f64, ENDLESS))
    }
}
