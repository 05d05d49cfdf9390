//! What a rule proposes against what it found. A value is told only after it was tried: what was
//! found must be gone or less, and nothing else may become as bad.

use super::rule::Judgement;
use super::strength::NOTHING_HELPS;
use super::tried::{Standing, helps};
use super::{Outcome, Rule};
use crate::load::Change;

/// What looks for words where they are told, because looking costs.
type Seek = dyn FnOnce(&Standing<'_>) -> String + Send;

/// What a judgement proposes.
pub(super) enum Mend {
    /// Words that tell no value to type.
    Said(String),
    /// Words that are looked for where they are told.
    Sought(Box<Seek>),
    /// Changes to be tried.
    Tried(Proposal),
}

impl Mend {
    /// Words that are looked for where they are told.
    pub(super) fn sought(seek: impl FnOnce(&Standing<'_>) -> String + Send + 'static) -> Self {
        Self::Sought(Box::new(seek))
    }

    /// Its words for a judgement of a rule.
    pub(super) fn words(self, standing: &Standing<'_>, of: &Finds<'_>) -> String {
        match self {
            Self::Said(words) => words,
            Self::Sought(seek) => seek(standing),
            Self::Tried(proposal) => proposal.words(standing, of),
        }
    }
}

/// A judgement that is to be mended, as far as others are compared with it.
pub(super) struct Finds<'a> {
    pub(super) rule: &'a Rule,
    pub(super) judged: Judged,
}

/// A judgement without its words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Judged {
    pub(super) outcome: Outcome,
    subject: super::Subject,
    unit: &'static str,
    /// The how-manieth of its subject and unit.
    nth: usize,
}

impl Judged {
    /// Judgements of one rule, each told apart from the others.
    pub(super) fn all(judgements: &[Judgement]) -> Vec<Self> {
        let mut all: Vec<Self> = Vec::with_capacity(judgements.len());
        for judgement in judgements {
            let (subject, unit) = (judgement.subject, judgement.unit);
            let before = all.iter();
            let nth = before.filter(|one| one.subject == subject && one.unit == unit);
            all.push(Self {
                nth: nth.count(),
                outcome: judgement.outcome,
                subject,
                unit,
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

/// Changes to be tried, and what can be done beside them.
#[derive(Default)]
pub(super) struct Proposal {
    kinds: Vec<Vec<Change>>,
    beside: Option<String>,
}

impl Proposal {
    /// Changes of one kind; of these the first that helps is told.
    pub(super) fn first_of(changes: impl IntoIterator<Item = Change>) -> Self {
        Self::default().or_first_of(changes)
    }

    /// Changes of another kind.
    pub(super) fn or_first_of(mut self, changes: impl IntoIterator<Item = Change>) -> Self {
        self.kinds.push(changes.into_iter().collect());
        self
    }

    /// What a maker can do besides, told last.
    pub(super) fn beside(mut self, words: impl Into<String>) -> Self {
        self.beside = Some(words.into());
        self
    }

    fn words(self, standing: &Standing<'_>, of: &Finds<'_>) -> String {
        let first = |changes: Vec<Change>| {
            let mut changes = changes.into_iter();
            changes.find(|change| helps(standing, of, change))
        };
        let helping = self.kinds.into_iter().filter_map(first);
        let ways = helping.map(|change| change.told()).chain(self.beside);
        let ways: Vec<String> = ways.collect();
        match ways.is_empty() {
            true => NOTHING_HELPS.into(),
            false => ways.join(", or "),
        }
    }
}

impl From<Proposal> for Mend {
    fn from(proposal: Proposal) -> Self {
        Self::Tried(proposal)
    }
}

impl From<&str> for Mend {
    fn from(words: &str) -> Self {
        Self::Said(words.into())
    }
}

impl From<String> for Mend {
    fn from(words: String) -> Self {
        Self::Said(words)
    }
}
