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

use super::measured::{Direction, Measured, Unit};
use super::student::{f_tail, two_sided_quantile};
use crate::units::{Angle, real};
use nalgebra::{DMatrix, DVector};

/// Confidence of every interval that is shown.
pub const CONFIDENCE: f64 = 0.95;
/// Quantile of the normal distribution for it.
pub(super) const NORMAL_QUANTILE: f64 = 1.96;
/// Chance of a false alarm at which a first row counts as not taken up. Guess, common
/// practice for what changes a conclusion.
const FALSE_ALARM: f64 = 0.01;
/// Most rows at the start that may stand before the play is taken up. Guess.
const MOST_AT_START: usize = 4;
/// Condition number of the scaled columns above which an error within a turn cannot be told
/// from the rest: 30 is the usual border of harmful collinearity (Belsley, Kuh & Welsch,
/// Regression Diagnostics, 1980, chapter 3; from memory).
const WORST_CONDITION: f64 = 30.0;
/// Singular values below this share of the largest are none: rounding of doubles.
const RANK_TOLERANCE: f64 = 1e-9;
/// Rows to spare beyond the unknowns before an error within a turn is fitted. Guess.
const SPARE_FOR_RIPPLE: usize = 2;
/// Deviations by which a lost motion may contradict the rows that were taking up. Guess.
const CONTRADICTION: f64 = 3.0;

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

/// What a row was when it was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// The play was taken up.
    Settled,
    /// The drive had been reversed and the carriage did not follow yet.
    TakingUp,
    /// The first play had not been taken up yet.
    Start,
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
    /// How far past its place the carriage stood before the first play was taken up.
    pub start: Option<Estimate>,
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

/// Which unknowns there are, and the columns they have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Columns {
    /// Turns from which the lead's column counts, so that it hardly depends on the offset's.
    centre: f64,
    lost: Option<usize>,
    ripple: Option<usize>,
    start: Option<usize>,
    count: usize,
}

/// Offset and lead come first.
const LEAD: usize = 1;

impl Columns {
    fn new(centre: f64, lost: bool, ripple: bool, start: bool) -> Self {
        let mut count = LEAD + 1;
        let mut next = |wanted: bool, width: usize| {
            let at = count;
            count += if wanted { width } else { 0 };
            wanted.then_some(at)
        };
        let (lost, ripple, start) = (next(lost, 1), next(ripple, 2), next(start, 1));
        Self {
            centre,
            lost,
            ripple,
            start,
            count,
        }
    }

    /// Entries of a row that is settled.
    pub(super) fn settled(&self, turns: f64, direction: Direction) -> Vec<f64> {
        let mut row = vec![0.0; self.count];
        row[0] = 1.0;
        row[LEAD] = turns - self.centre;
        if let (Some(lost), Direction::Back) = (self.lost, direction) {
            row[lost] = 1.0;
        }
        if let Some(ripple) = self.ripple {
            let (sine, cosine) = Angle::turns(turns - turns.floor()).sin_cos();
            row[ripple] = sine;
            row[ripple + 1] = cosine;
        }
        row
    }
}

/// What is asked of the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ask {
    /// Rows at the start before the play is taken up.
    at_start: usize,
    ripple: bool,
}

/// Rows as numbers.
struct Data {
    turns: Vec<f64>,
    directions: Vec<Direction>,
    travel: Vec<f64>,
    /// Turns since the last reversal; `None` where there was none, or the drive overshot.
    since: Vec<Option<f64>>,
    sigma: f64,
    unit: Unit,
    /// Mean of the turns.
    centre: f64,
}

impl Data {
    fn new(measured: &Measured) -> Self {
        let rows = &measured.rows;
        let mut since = Vec::new();
        let mut reversal: Option<f64> = None;
        for (index, row) in rows.iter().enumerate() {
            if let Some(before) = index.checked_sub(1).and_then(|i| rows.get(i))
                && before.direction != row.direction
            {
                reversal = Some(before.turns);
            }
            let sign = if row.direction == Direction::Forward {
                1.0
            } else {
                -1.0
            };
            since.push(
                reversal
                    .map(|at| sign * (row.turns - at))
                    .filter(|d| *d >= 0.0),
            );
        }
        let turns: Vec<f64> = rows.iter().map(|row| row.turns).collect();
        Self {
            centre: turns.iter().sum::<f64>() / turns.len().max(1) as f64,
            turns,
            directions: rows.iter().map(|row| row.direction).collect(),
            travel: measured.travels(),
            since,
            sigma: measured.instrument.uncertainty().as_mm(),
            unit: measured.unit,
        }
    }

    fn len(&self) -> usize {
        self.turns.len()
    }

    /// States when play takes `take_up` turns and `at_start` rows stand before the first.
    fn states(&self, take_up: f64, at_start: usize) -> Vec<State> {
        let state = |(index, since): (usize, &Option<f64>)| match since {
            _ if index < at_start => State::Start,
            Some(since) if *since < take_up => State::TakingUp,
            _ => State::Settled,
        };
        self.since.iter().enumerate().map(state).collect()
    }

    /// Lengths of the first take-up that the rows can tell apart: none, and past each row.
    fn take_ups(&self) -> Vec<f64> {
        let mut list: Vec<f64> = self.since.iter().flatten().copied().collect();
        list.sort_by(f64::total_cmp);
        list.dedup();
        // Past a row means before the next one.
        let past = list.windows(2).map(|pair| f64::midpoint(pair[0], pair[1]));
        std::iter::once(0.0)
            .chain(past.collect::<Vec<_>>())
            .collect()
    }
}

/// Fits rows. `None` if they do not even give a lead: fewer than two, or all at one turn.
pub fn fit(measured: &Measured) -> Option<LeadFit> {
    let data = Data::new(measured);
    let best = |at_start: usize| {
        let asked = |ripple| best_take_up(&data, Ask { at_start, ripple });
        asked(true).or_else(|| asked(false))
    };
    let taken_up = best(0)?;
    Some(with_start(&data, &taken_up, best).unwrap_or(taken_up))
}

/// The fit in which the first row alone stands before the play is taken up; `None` if the
/// rows are too few for it.
pub(super) fn from_second(measured: &Measured) -> Option<LeadFit> {
    let data = Data::new(measured);
    let asked = |ripple| {
        best_take_up(
            &data,
            Ask {
                at_start: 1,
                ripple,
            },
        )
    };
    asked(true).or_else(|| asked(false))
}

/// The fit with a first play that was not taken up, if the rows insist on it.
fn with_start(
    data: &Data,
    without: &LeadFit,
    best: impl Fn(usize) -> Option<LeadFit>,
) -> Option<LeadFit> {
    let most = MOST_AT_START.min(data.len().saturating_sub(LEAD + 1));
    let insists = |fit: &LeadFit| {
        let spread = fit.variance()?;
        let gain = (without.sum - fit.sum) / spread;
        let chance = f_tail(gain, 1.0, fit.freedom as f64);
        let forward = data.directions.first() == Some(&Direction::Forward);
        let ahead = fit
            .start
            .is_some_and(|start| (start.value > 0.0) == forward);
        (ahead && chance < FALSE_ALARM / most as f64).then_some(())
    };
    (1..=most)
        .filter_map(best)
        .filter(|fit| insists(fit).is_some() && fit.ripple.is_some() == without.ripple.is_some())
        .min_by(|a, b| a.sum.total_cmp(&b.sum))
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
    let columns = Columns::new(data.centre, both, ask.ripple, ask.at_start > 0);
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
            start: None,
            ripple: None,
            states,
            residuals: residuals.iter().copied().collect(),
            fitted: fitted.iter().copied().collect(),
            freedom,
            deviation: (freedom > 0).then(|| (sum / freedom as f64).sqrt()),
            instrument: data.sigma,
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
        (fit.lead, fit.lost, fit.start) = (lead, lost, start);
        (fit.ripple, fit.outliers) = (ripple, outliers);
        Some(fit)
    }

    /// Variance of one reading: the residuals', but never less than the instrument's.
    fn variance(&self) -> Option<f64> {
        let own = self.deviation?;
        Some((own * own).max(self.instrument * self.instrument))
    }

    /// Standard error and half width of something with this variance at unit variance of a
    /// reading. The half width is the larger of that from the residuals (t) and that from the
    /// instrument (normal): a run of readings that happen to agree proves no finer instrument.
    pub(super) fn spread(&self, unit_variance: f64) -> (f64, f64) {
        let root = unit_variance.max(0.0).sqrt();
        let own = self.deviation.unwrap_or_default();
        let floor = NORMAL_QUANTILE * self.instrument;
        let half = self.quantile.map_or(floor, |t| floor.max(t * own));
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
        // F with a second count without end is chi-square over its first.
        const ENDLESS: f64 = 1e6;
        let ratio = self.deviation? / self.instrument;
        Some(f_tail(ratio * ratio, self.freedom as f64, ENDLESS))
    }
}

/// (X'X)^-1 by the singular values of X with columns of unit length; `None` where they are
/// further apart than `worst`.
fn unit_covariance(design: &DMatrix<f64>, worst: f64) -> Option<DMatrix<f64>> {
    let lengths: Vec<f64> = design.column_iter().map(|column| column.norm()).collect();
    if lengths.iter().any(|length| *length <= RANK_TOLERANCE) {
        return None;
    }
    let mut scaled = design.clone();
    for (mut column, length) in scaled.column_iter_mut().zip(&lengths) {
        column /= *length;
    }
    let svd = scaled.svd(false, true);
    let values = &svd.singular_values;
    let (largest, least) = (values.max(), values.min());
    let sound = largest.is_finite() && least * worst > largest;
    let axes = svd.v_t.filter(|_| sound)?;
    let entry = |i: usize, j: usize| {
        let sum: f64 = (0..values.len())
            .map(|k| axes[(k, i)] * axes[(k, j)] / (values[k] * values[k]))
            .sum();
        sum / (lengths[i] * lengths[j])
    };
    Some(DMatrix::from_fn(lengths.len(), lengths.len(), entry))
}
