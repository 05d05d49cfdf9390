//! How judgements came out, without their words: to compare a kit with itself changed.

use super::{Outcome, Subject};

/// A judgement without its words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Judged {
    pub(super) outcome: Outcome,
    subject: Subject,
    unit: &'static str,
    /// The how-manieth of its subject and unit.
    nth: usize,
}

impl Judged {
    /// Judgements of one rule, each told apart from the others.
    pub(super) fn all(
        judgements: impl IntoIterator<Item = (Outcome, Subject, &'static str)>,
    ) -> Vec<Self> {
        let mut all: Vec<Self> = Vec::new();
        for (outcome, subject, unit) in judgements {
            let same = |one: &&Self| one.subject == subject && one.unit == unit;
            let nth = all.iter().filter(same).count();
            all.push(Self {
                outcome,
                subject,
                unit,
                nth,
            });
        }
        all
    }

    /// How the same came out among others; what is not among them passes.
    pub(super) fn among(&self, others: &[Self]) -> Outcome {
        let same = |other: &&Self| {
            (other.subject, other.unit, other.nth) == (self.subject, self.unit, self.nth)
        };
        let found = others.iter().find(same);
        found.map_or(Outcome::Pass, |other| other.outcome)
    }
}
