//! What the end of a ladder adds: a belief about the terms and the prints' effects, cut where the
//! best step was the first or the last.

use super::bound::{Bound, bounded};
use super::least_squares::{Observation, update};
use super::observed::{Named, rows, shown};
use crate::printer::{Known, Profile, Term};
use crate::units::Length;
use nalgebra::{DMatrix, DVector};

/// A shipped guess yields to ladders as if its standard error were up to so many times as large.
/// Guess: two printers of one maker were found to need 0.2 and 0.5 mm, which lie 2.5 of the
/// shipped errors of a closing to either side of their middle.
pub(super) const GUESSES_YIELD: f64 = 2.5;

/// Mean and covariance of some terms, and behind them of the prints' effects, each in standard
/// deviations of the spread between prints: of them nothing else is known beforehand.
#[derive(Clone, Debug)]
pub(super) struct Belief {
    terms: Vec<Term>,
    mean: DVector<f64>,
    covariance: DMatrix<f64>,
    between: f64,
}

impl Belief {
    /// From readings alone, as generalised least squares has it; `base` tells of terms that no
    /// reading shows. None if the readings do not tell terms apart.
    pub(super) fn from_readings(
        inside: &[Named],
        terms: &[Term],
        prints: usize,
        base: &Profile,
    ) -> Option<Self> {
        let between = base.between.as_mm();
        let seen = shown(inside);
        let size = seen.len() + prints;
        let mut information = DMatrix::zeros(size, size);
        let mut towards = DVector::zeros(size);
        for row in rows(inside, &seen, base.within.as_mm()) {
            let row = with_effect(&row, prints, between);
            let x = DVector::from_column_slice(&row.weights);
            information += &x * x.transpose() / row.variance;
            towards += &x * (row.value / row.variance);
        }
        for print in seen.len()..size {
            information[(print, print)] += 1.0;
        }
        let known = information.cholesky()?.inverse();
        let values = &known * towards;
        let place = |at: usize| match terms.get(at) {
            Some(term) => seen.iter().position(|one| one == term),
            None => Some(at - terms.len() + seen.len()),
        };
        let whole = terms.len() + prints;
        let mean = DVector::from_fn(whole, |at, _| match place(at) {
            Some(seen) => values[seen],
            None => base.value(terms[at]),
        });
        let covariance = DMatrix::from_fn(whole, whole, |i, j| match (place(i), place(j)) {
            (Some(i), Some(j)) => known[(i, j)],
            (None, None) => base.covariance(terms[i], terms[j]),
            _ => 0.0,
        });
        Some(Self {
            terms: terms.to_vec(),
            mean,
            covariance,
            between,
        })
    }

    /// From what was believed before, moved by ladders whose best step lies inside.
    pub(super) fn from_ladders(
        inside: &[Named],
        terms: &[Term],
        prints: usize,
        base: &Profile,
    ) -> Option<Self> {
        let (within, between) = (base.within.as_mm(), base.between.as_mm());
        let whole = terms.len() + prints;
        let believed = |wide: &dyn Fn(usize) -> f64| {
            DMatrix::from_fn(whole, whole, |i, j| match (terms.get(i), terms.get(j)) {
                (Some(a), Some(b)) => base.covariance(*a, *b) * wide(i) * wide(j),
                _ => f64::from(u8::from(i == j)),
            })
        };
        let wide = |at: usize| match base.known(terms[at]) {
            Known::Guess => GUESSES_YIELD,
            Known::Ladder | Known::Measured => 1.0,
        };
        let mut mean: Vec<f64> = terms.iter().map(|term| base.value(*term)).collect();
        mean.resize(whole, 0.0);
        let (mut covariance, gain_from) = (believed(&|_| 1.0), believed(&wide));
        if !inside.is_empty() {
            let rows: Vec<Observation> = rows(inside, terms, within)
                .iter()
                .map(|row| with_effect(row, prints, between))
                .collect();
            (mean, covariance) = update(&mean, &covariance, &gain_from, &rows, 0.0)?;
        }
        Some(Self {
            terms: terms.to_vec(),
            mean: DVector::from_vec(mean),
            covariance,
            between,
        })
    }

    /// Takes the ends in. A guess that only ends show yields as far as it must for the nearest edge
    /// to lie one standard error off, at the most by [`GUESSES_YIELD`]; what is left of
    /// its error is told with it.
    pub(super) fn ends(mut self, ends: &[Named], inside: &[Named], base: &Profile) -> Self {
        let within = base.within;
        let bounds: Vec<Bound> = ends
            .iter()
            .filter_map(|end| self.bound(end, within))
            .collect();
        let seen = shown(inside);
        let yields: Vec<f64> = self
            .terms
            .iter()
            .enumerate()
            .map(|(at, term)| match base.known(*term) {
                Known::Guess if !seen.contains(term) => self.surprise(at, &bounds),
                _ => 1.0,
            })
            .collect();
        let factor = |at: usize| yields.get(at).copied().unwrap_or(1.0);
        let size = self.mean.len();
        let wider = DMatrix::from_fn(size, size, |i, j| {
            self.covariance[(i, j)] * factor(i) * factor(j)
        });
        (self.mean, self.covariance) = bounded(self.mean, wider, &bounds);
        self
    }

    /// By how many standard errors the edges that a term shows in lie beyond what is believed, from
    /// 1 to [`GUESSES_YIELD`].
    fn surprise(&self, term: usize, bounds: &[Bound]) -> f64 {
        let shows = bounds.iter().filter(|bound| bound.weights[term] != 0.0);
        let beyond = |bound: &Bound| {
            let weights = DVector::from_column_slice(&bound.weights);
            let variance = weights.dot(&(&self.covariance * &weights)) + bound.variance;
            let off = bound.edge - weights.dot(&self.mean);
            (if bound.above { off } else { -off }) / variance.sqrt()
        };
        shows.map(beyond).fold(1.0, f64::max).min(GUESSES_YIELD)
    }

    fn bound(&self, end: &Named, within: Length) -> Option<Bound> {
        let trial = end.trial?;
        let (edge, above) = trial.bound()?;
        let prints = self.mean.len() - self.terms.len();
        let row = end.row(&self.terms, within.as_mm());
        Some(Bound {
            weights: with_effect(&row, prints, self.between).weights,
            edge,
            above,
            variance: trial.bound_variance(within),
        })
    }

    /// Mean and covariance of the terms alone.
    pub(super) fn of_terms(&self) -> (Vec<f64>, DMatrix<f64>) {
        let count = self.terms.len();
        let mean = self.mean.iter().take(count).copied().collect();
        let covariance = self.covariance.view((0, 0), (count, count)).into_owned();
        (mean, covariance)
    }
}

/// The same row with a weight for the effect of each print, in standard deviations.
fn with_effect(row: &Observation, prints: usize, between: f64) -> Observation {
    let mut weights = row.weights.clone();
    weights.extend((0..prints).map(|print| match print == row.print {
        true => row.effect * between,
        false => 0.0,
    }));
    Observation {
        weights,
        effect: 0.0,
        ..row.clone()
    }
}
