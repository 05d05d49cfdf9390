//! Ladders of threads that fit best at gaps which no one profile gives: what to ask for each
//! joint by itself.
//!
//! A profile takes the same from every thread's gap. Two threads of a kit may still want other
//! gaps: a coarse one that was printed better than a fine one, or a hole on a part that warps.

use super::filled::{FilledForm, TriedLadder};
use super::ladder::{BestStep, End};
use crate::assembly::{Fit, Mates};
use crate::printer::Profile;
use crate::units::Length;

/// The gap to ask for a joint by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnGap {
    /// The joint's name.
    pub joint: String,
    /// The gap to ask for, with which the profile draws what leaves the gap that the kit wants.
    pub wanted: Length,
}

/// Standard errors of their difference by which two ladders disagree: one pair in twenty does so
/// by chance (normal distribution).
const APART: f64 = 1.96;
/// And at least so much of a step: less cannot be told by hand. Guess.
const LEAST_STEPS: f64 = 0.75;

/// What one ladder found.
struct Found<'a> {
    ladder: &'a TriedLadder,
    /// What the kit wants of threads.
    wanted: Length,
    first: BestStep,
    /// What the printer took, in mm: the mean of all prints.
    taken: f64,
    /// The same at the least: without end where the first step was best.
    least: f64,
    /// The same at the most: without end where the last step was best.
    most: f64,
    /// Its variance, in mm2.
    variance: f64,
}

/// Gaps for the joints whose ladders disagree with the others about what this printer takes from
/// a thread's gap; none where all agree.
pub(super) fn own_gaps(form: &FilledForm, profile: &Profile) -> Vec<OwnGap> {
    let found: Vec<Found<'_>> = form
        .ladders
        .iter()
        .filter_map(|ladder| Found::of(ladder, profile.within))
        .collect();
    let disagrees = |one: &Found<'_>, other: &Found<'_>| {
        // A ladder's end says that more, or less, was taken than it tells: on that side nothing is
        // known to disagree.
        let apart = (other.least - one.most).max(one.least - other.most);
        apart > APART * (one.variance + other.variance).sqrt()
            && apart >= LEAST_STEPS * one.first.step.min(other.first.step).as_mm()
    };
    let any = (found.iter()).any(|one| found.iter().any(|other| disagrees(one, other)));
    match any {
        true => found.iter().map(|one| one.asked(profile)).collect(),
        false => Vec::new(),
    }
}

impl<'a> Found<'a> {
    fn of(ladder: &'a TriedLadder, within: Length) -> Option<Self> {
        let steps: Vec<BestStep> = ladder.best().flatten().collect();
        // Of threads alone a form says what is wanted.
        let wanted = ladder.wanted?;
        let first = *steps.first()?;
        let count = steps.len() as f64;
        let mean = |of: &dyn Fn(&BestStep) -> f64| steps.iter().map(of).sum::<f64>() / count;
        let taken = mean(&BestStep::taken);
        let ends = |end: End| steps.iter().any(|step| step.end == Some(end));
        Some(Self {
            ladder,
            wanted,
            first,
            taken,
            least: if ends(End::First) {
                f64::NEG_INFINITY
            } else {
                taken
            },
            most: if ends(End::Last) {
                f64::INFINITY
            } else {
                taken
            },
            variance: mean(&|step| step.variance(within)) / count,
        })
    }

    /// What to ask for so that the profile draws what leaves here the gap that is wanted.
    fn asked(&self, profile: &Profile) -> OwnGap {
        let wanted = self.wanted;
        let gap = profile.gap(Fit::Thread, wanted, Mates::PRINTED, self.first.radius);
        let taken_by_all = (gap.drawn - gap.wanted).as_mm();
        OwnGap {
            joint: self.ladder.name.clone(),
            wanted: wanted + Length::mm(self.taken - taken_by_all),
        }
    }
}
