//! Rows as numbers for the fit: turns, ways, travels, and what a suspected slip changes of them.

use super::measured::{Direction, Measured, Unit};
use crate::units::Length;
use std::ops::Range;

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

/// What is put right of the rows before they are fitted.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) enum Correction {
    /// Nothing.
    #[default]
    None,
    /// The play was not taken up yet in so many rows at the start.
    Start(usize),
    /// So many turns more were made than are written, in these rows.
    Turns(Range<usize>, f64),
    /// The reading of these rows is off by one unknown length.
    Shift(Range<usize>),
}

/// Rows as numbers.
pub(super) struct Data {
    pub(super) turns: Vec<f64>,
    pub(super) directions: Vec<Direction>,
    pub(super) travel: Vec<f64>,
    /// Turns since the last reversal; `None` where there was none, or the drive overshot.
    pub(super) since: Vec<Option<f64>>,
    pub(super) sigma: f64,
    /// Whether the instrument's repeatability was stated.
    pub(super) stated: bool,
    pub(super) unit: Unit,
    /// Mean of the turns.
    pub(super) centre: f64,
    /// Rows whose reading is off by one unknown length.
    pub(super) shifted: Range<usize>,
}

impl Data {
    pub(super) fn new(measured: &Measured, correction: &Correction) -> Self {
        let mut rows = measured.rows.clone();
        if let Correction::Turns(range, by) = correction {
            for row in rows.iter_mut().take(range.end).skip(range.start) {
                row.turns += by;
            }
        }
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
            stated: measured.instrument.repeatability > Length::ZERO,
            unit: measured.unit,
            shifted: match correction {
                Correction::Shift(rows) => rows.clone(),
                _ => 0..0,
            },
        }
    }

    pub(super) fn len(&self) -> usize {
        self.turns.len()
    }

    /// States when play takes `take_up` turns and `at_start` rows stand before the first.
    pub(super) fn states(&self, take_up: f64, at_start: usize) -> Vec<State> {
        let state = |(index, since): (usize, &Option<f64>)| match since {
            _ if index < at_start => State::Start,
            Some(since) if *since < take_up => State::TakingUp,
            _ => State::Settled,
        };
        self.since.iter().enumerate().map(state).collect()
    }

    /// Lengths of the first take-up that the rows can tell apart: none, and past each row.
    pub(super) fn take_ups(&self) -> Vec<f64> {
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
