//! What a rule proposes against what it found. A value is told only after it was tried: what was
//! found must be gone or less, and nothing else may become as bad.

use super::Outcome;
use super::tried::Standing;
use crate::load::{Case, Change};

/// Where nothing that was tried does.
pub(super) const NOTHING_HELPS: &str =
    "no single key of this kit helps: take other threads, or ask less of it";

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

    /// Its words, for something that is as bad as `mends` and that `lessens` finds to be less.
    pub(super) fn words(
        self,
        standing: &Standing<'_>,
        mends: Outcome,
        lessens: impl Fn(&Case<'_>) -> bool,
    ) -> String {
        match self {
            Self::Said(words) => words,
            Self::Sought(seek) => seek(standing),
            Self::Tried(proposal) => {
                proposal.words(standing, |change| standing.helps(change, mends, &lessens))
            }
        }
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

    fn words(self, standing: &Standing<'_>, helps: impl Fn(&Change) -> bool) -> String {
        let first = |changes: Vec<Change>| {
            let mut changes = changes.into_iter();
            changes.find(&helps)
        };
        let helping = self.kinds.into_iter().filter_map(first);
        let ways = helping
            .map(|change| change.told(standing.case.kit))
            .chain(self.beside);
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
