//! What a rule is: its page of the manual, and what it needs to see in order to judge.

use super::finding::{Finding, Outcome, Subject};
use super::judged::Judged;
use super::mend::Mend;
use super::tried::Standing;
use crate::clearance::Clearance;
use crate::load::{Case, ForceFigures, Places};
use crate::sequence::Order;
use crate::solid::Mesh;
use std::ops::Range;

/// What rules look at that judge the meshes.
#[derive(Clone, Copy, Debug)]
pub struct Bodies<'a> {
    /// The mesh of every part, bought ones too, in its print frame, in the order of the parts;
    /// of a printed part as its file holds it.
    pub meshes: &'a [&'a Mesh],
    /// How they come apart.
    pub order: &'a Order,
    /// What every pair of pieces leaves between them through the stroke.
    pub clearance: &'a Clearance,
}

/// A rule, with its page of the manual.
pub struct Rule {
    /// Its name, as waivers and reports say it.
    pub id: &'static str,
    /// What goes wrong, in a line: lower case, no full stop.
    pub about: &'static str,
    /// Why a maker should care, in whole sentences.
    pub why: &'static str,
    /// How the value is reckoned and at which values it fails, warns or notes, in whole
    /// sentences.
    pub formula: &'static str,
    /// Where its limits come from.
    pub source: &'static str,
    /// What to do about it, in general; a finding says it for its kit. Lower case, no full stop.
    pub mend: &'static str,
    pub(super) judge: Judge,
}

/// What a rule needs to see.
#[derive(Clone, Copy)]
pub(super) enum Judge {
    /// Sizes and motion alone.
    Design(fn(&Case<'_>) -> Vec<Judgement>),
    /// The same, over all the copies that a printer makes of a kit: it takes the longer. And the
    /// outcome alone, which may be sure before all of them were looked at.
    Copies(
        fn(&Case<'_>) -> Vec<Judgement>,
        fn(&Case<'_>) -> Vec<Outcome>,
    ),
    /// The meshes too; and what of it can be expected without them.
    Bodies(
        fn(&Case<'_>, &Bodies<'_>) -> Vec<Judgement>,
        fn(&Case<'_>) -> Vec<Judgement>,
    ),
    /// What presses on it.
    Strength(Strength),
}

/// A rule of strength: places that are held against whatever presses, and that count for the
/// load that a mechanism bears.
#[derive(Clone, Copy)]
pub(super) struct Strength {
    /// The places.
    pub(super) places: Places,
    /// What is judged before them.
    pub(super) before: fn(&Case<'_>) -> Vec<Judgement>,
    /// What is judged after them, by what the mechanism bears as a whole.
    pub(super) after: fn(&Case<'_>, &ForceFigures) -> Vec<Judgement>,
}

impl Strength {
    /// Places, and nothing beside them.
    pub(super) const fn of(places: Places) -> Self {
        Self {
            places,
            before: |_| Vec::new(),
            after: |_, _| Vec::new(),
        }
    }
}

/// Whether findings have their mends: to seek them takes longer than to judge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mends {
    /// Each that does not pass has its own.
    Sought,
    /// None has one.
    LeftOut,
}

/// A finding without what its rule says once for all.
pub(super) struct Judgement {
    pub(super) outcome: Outcome,
    pub(super) subject: Subject,
    pub(super) value: f64,
    pub(super) limit: Option<f64>,
    pub(super) unit: &'static str,
    pub(super) message: String,
    pub(super) mend: Option<Mend>,
    pub(super) at: Option<Range<usize>>,
}

impl Rule {
    /// Whether it looks at meshes.
    pub fn needs_meshes(&self) -> bool {
        match self.judge {
            Judge::Bodies(..) => true,
            Judge::Design(_) | Judge::Copies(..) | Judge::Strength(_) => false,
        }
    }

    /// Its judgements as findings; what the kit waives comes out as waived.
    pub(super) fn findings(
        &self,
        standing: &Standing<'_>,
        judgements: Vec<Judgement>,
        mends: Mends,
    ) -> Vec<Finding> {
        let waived = self.is_waived(standing.case);
        let judged = Judged::all(judgements.iter().map(Judgement::came_out));
        let mend = |judged: Judged, mend: Mend| self.words(standing, judged, mend);
        let finding = |(judgement, judged): (Judgement, Judged)| Finding {
            id: self.id,
            outcome: match judgement.outcome {
                Outcome::Warn | Outcome::Fail if waived => Outcome::Waived,
                outcome => outcome,
            },
            subject: judgement.subject,
            value: Some(judgement.value),
            limit: judgement.limit,
            unit: judgement.unit,
            message: judgement.message,
            mend: (judgement.mend)
                .filter(|_| judgement.outcome != Outcome::Pass && mends == Mends::Sought)
                .map(|proposed| mend(judged, proposed)),
            source: self.source,
            at: judgement.at,
        };
        judgements.into_iter().zip(judged).map(finding).collect()
    }

    /// The words of a mend of one of its judgements. What it found on meshes is not looked at again:
    /// whoever proposes a change of it answers for that.
    pub(super) fn words(&self, standing: &Standing<'_>, judged: Judged, mend: Mend) -> String {
        let lessens = |after: &Case<'_>| match self.judge {
            Judge::Design(_) | Judge::Copies(..) | Judge::Strength(_) => {
                judged.among(&self.without_meshes(after)) < judged.outcome
            }
            Judge::Bodies(..) => true,
        };
        mend.words(standing, judged.outcome, lessens)
    }

    /// How it comes out as far as that is known of sizes and motion; places of strength are
    /// compared by themselves.
    pub(super) fn without_meshes(&self, case: &Case<'_>) -> Vec<Judged> {
        let judgements = match self.judge {
            Judge::Design(judge) | Judge::Copies(judge, _) => judge(case),
            Judge::Strength(strength) => (strength.before)(case),
            Judge::Bodies(_, expected) => expected(case),
        };
        Judged::all(judgements.iter().map(Judgement::came_out))
    }

    /// Whether the kit waives it.
    pub(super) fn is_waived(&self, case: &Case<'_>) -> bool {
        let mut waivers = case.kit.waive.iter();
        waivers.any(|waiver| waiver.check.value == self.id)
    }
}

impl Judgement {
    /// Outcome, subject and unit.
    pub(super) fn came_out(&self) -> (Outcome, Subject, &'static str) {
        (self.outcome, self.subject, self.unit)
    }
}

/// The outcome of a value that must not be below `fail`, and had better not be below `warn`
/// or `note`.
pub(super) fn not_below(value: f64, fail: f64, warn: f64, note: f64) -> Outcome {
    // Sums that land on a limit but for binary rounding pass it.
    let below = |limit: f64| value < limit - ROUNDING * limit.abs().max(1.0);
    if below(fail) {
        Outcome::Fail
    } else if below(warn) {
        Outcome::Warn
    } else if below(note) {
        Outcome::Note
    } else {
        Outcome::Pass
    }
}

/// Rounding of sums of doubles, relative. Guess, far below a printable size.
const ROUNDING: f64 = 1e-9;
