//! Everything that a form or a kit's counts say, as rows of one model.

use super::clue::FACES_OF_A_READING;
use super::filled::FilledForm;
use super::ladder::BestStep;
use super::least_squares::Observation;
use crate::printer::{TERMS, Term};
use crate::units::Length;
use std::ops::Range;

/// An observation with its name.
#[derive(Clone, Debug)]
pub(super) struct Named {
    pub(super) name: String,
    pub(super) at: Range<usize>,
    pub(super) weights: Vec<(Term, f64)>,
    pub(super) effect: f64,
    pub(super) value: f64,
    pub(super) print: usize,
    /// A ladder's; a caliper reading has none.
    pub(super) trial: Option<BestStep>,
}

impl Named {
    /// As a row of a model with these columns.
    pub(super) fn row(&self, terms: &[Term], within: f64) -> Observation {
        let weight = |term: &Term| {
            let found = self.weights.iter().filter(|(known, _)| known == term);
            found.map(|(_, weight)| weight).sum()
        };
        Observation {
            value: self.value,
            weights: terms.iter().map(weight).collect(),
            effect: self.effect,
            variance: match &self.trial {
                None => FACES_OF_A_READING * within * within,
                Some(trial) => trial.variance(Length::mm(within)),
            },
            print: self.print,
        }
    }
}

pub(super) fn rows(observed: &[Named], terms: &[Term], within: f64) -> Vec<Observation> {
    observed.iter().map(|one| one.row(terms, within)).collect()
}

/// Everything observed, in file order.
pub(super) fn observations(form: &FilledForm) -> Vec<Named> {
    let mut observed = Vec::new();
    for row in &form.rows {
        for (print, reading) in row.measured.iter().enumerate() {
            let Some(reading) = reading else { continue };
            observed.push(Named {
                name: row.name.clone(),
                at: row.at.clone(),
                weights: row.feature.weights(),
                effect: row.feature.print_effect(),
                value: (*reading - row.feature.drawn).as_mm(),
                print,
                trial: None,
            });
        }
    }
    for ladder in &form.ladders {
        for (print, trial) in ladder.best().enumerate() {
            let Some(trial) = trial else { continue };
            observed.push(tried(&ladder.name, ladder.at.clone(), trial, print));
        }
    }
    observed
}

pub(super) fn tried(name: &str, at: Range<usize>, trial: BestStep, print: usize) -> Named {
    Named {
        name: name.into(),
        at,
        weights: trial.weights(),
        effect: trial.print_effect(),
        value: trial.taken(),
        print,
        trial: Some(trial),
    }
}

/// Whether an observation is a bound: the best step was at an end of its ladder.
pub(super) fn is_end(one: &Named) -> bool {
    one.trial.is_some_and(|trial| trial.end.is_some())
}

/// The terms that some observation shows, in the order of a profile's.
pub(super) fn shown(observed: &[Named]) -> Vec<Term> {
    let shows = |term: &Term| {
        let weights = observed.iter().flat_map(|one| &one.weights);
        weights
            .into_iter()
            .any(|(known, weight)| known == term && *weight != 0.0)
    };
    TERMS.into_iter().filter(|term| shows(term)).collect()
}

/// Prints in all.
pub(super) fn prints(observed: &[Named]) -> usize {
    observed.iter().map(|one| one.print + 1).max().unwrap_or(0)
}

/// The observations, and the fullest print's once more as a print of its own.
pub(super) fn another_print(observed: &[Named]) -> Vec<Named> {
    let count = prints(observed);
    let of = |print: usize| observed.iter().filter(move |one| one.print == print);
    // The first among equals.
    let fullest = (0..count)
        .rev()
        .max_by_key(|print| of(*print).count())
        .unwrap_or(0);
    let more = of(fullest).map(|one| Named {
        print: count,
        ..one.clone()
    });
    observed.iter().cloned().chain(more).collect()
}
