//! What was learnt from a form or from counts.

use super::doubt::Doubt;
use super::observed::Named;
use super::own_gap::OwnGap;
use crate::diagnostic::Diagnostic;
use crate::printer::{Known, Profile, Term};
use nalgebra::DMatrix;
use std::ops::Range;

/// What was learnt.
#[derive(Clone, Debug)]
pub struct Tuned {
    /// The new profile.
    pub profile: Profile,
    /// Every term that was fitted, in the order of a profile's terms.
    pub changes: Vec<TermChange>,
    /// Every observation, those left out included.
    pub judged: Vec<Judged>,
    /// Prints in the form.
    pub prints: usize,
    /// Whether the spread is estimated from them, not only believed.
    pub spread_estimated: bool,
    /// Scatter of the readings over what was assumed, squared; about 1 where that was right.
    pub misfit: Option<f64>,
    /// What one more print would bring.
    pub next: NextPrint,
    /// Gaps to ask for joints by themselves, where their ladders disagree.
    pub own_gaps: Vec<OwnGap>,
    /// What is likely wrong with the form.
    pub doubts: Vec<Doubt>,
}

/// A term, before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TermChange {
    /// Which.
    pub term: Term,
    /// Value and standard error before.
    pub old: (f64, f64),
    /// Value and standard error after.
    pub new: (f64, f64),
}

/// An observation beside what the fit makes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Name of its row or ladder.
    pub name: String,
    /// Which print, from 0.
    pub print: usize,
    /// Observation less fit, in mm; `None` where nothing was fitted to judge it by.
    pub residual: Option<f64>,
    /// Studentised residual.
    pub studentised: Option<f64>,
    /// Whether it was left out as an outlier.
    pub outlier: bool,
    /// Of a ladder's end: what the printer takes from the gap lies beyond this, in mm, and whether
    /// above.
    pub bound: Option<(f64, bool)>,
    /// Where its row stands in the form.
    pub at: Range<usize>,
}

/// What one more print would bring to the radial closing: what both walls of a printed joint
/// take from its gap (and its flanks, once a thread ladder was tried).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextPrint {
    /// Standard error now, in mm.
    pub now: f64,
    /// Standard error with one more print like the fullest one, in mm.
    pub then: f64,
}

/// A gain below this is hardly one, in mm: half the last digit of a caliper.
const WORTH: f64 = 0.005;

impl NextPrint {
    /// Whether that makes the closing better known by more than can be read.
    pub fn lowers_it(&self) -> bool {
        self.now - self.then >= WORTH
    }
}

impl Judged {
    /// An observation that nothing was fitted to judge by.
    pub(super) fn unfitted(one: &Named) -> Self {
        Self {
            name: one.name.clone(),
            print: one.print,
            residual: None,
            studentised: None,
            outlier: false,
            bound: one.trial.and_then(|trial| trial.bound()),
            at: one.at.clone(),
        }
    }
}

/// Sets fitted terms of a profile.
pub(super) fn set(
    profile: &mut Profile,
    pairs: &[(Term, f64)],
    covariance: &DMatrix<f64>,
    known: Known,
) -> Result<(), Vec<Diagnostic>> {
    let matrix: Vec<Vec<f64>> = covariance
        .row_iter()
        .map(|row| row.iter().copied().collect())
        .collect();
    profile.set(pairs, &matrix, known).map_err(|bad| {
        vec![Diagnostic::error(
            format!("no profile comes of it: {bad}"),
            0..0,
        )]
    })
}

/// Weights of what a joint's walls take from its gap on these terms: of the female walls that are known
/// the first, since no joint has two of them.
pub(super) fn closing(terms: &[Term]) -> Vec<f64> {
    let walls = [Term::HoleGrowth, Term::SlotGrowth, Term::LyingGrowth];
    let wall = walls.into_iter().find(|wall| terms.contains(wall));
    let closes =
        |term: &Term| matches!(term, Term::OuterGrowth | Term::FlankExtra) || Some(*term) == wall;
    let weights = terms.iter().map(|term| f64::from(u8::from(closes(term))));
    weights.collect()
}

/// Variance of a weighted sum.
pub(super) fn variance(covariance: &DMatrix<f64>, weights: &[f64]) -> f64 {
    let weights = nalgebra::DVector::from_column_slice(weights);
    (weights.transpose() * covariance * &weights)[(0, 0)].max(0.0)
}

/// Terms before and after.
pub(super) fn changes(old: &Profile, new: &Profile, terms: &[Term]) -> Vec<TermChange> {
    let change = |term: &Term| TermChange {
        term: *term,
        old: (old.value(*term), old.error(*term)),
        new: (new.value(*term), new.error(*term)),
    };
    terms.iter().map(change).collect()
}
