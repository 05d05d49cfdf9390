//! Keys that only some kinds of head have a use for.

use super::key;
use super::words::{HeadKind, word};
use crate::declared::{Said, Tree, Words};
use crate::diagnostic::Diagnostic;

/// What only some heads have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Owned {
    /// Flats for a spanner.
    Flats,
    /// A round outside.
    Round,
    /// A hole for a bar.
    BarHole,
    /// An arm.
    Arm,
}

/// The keys that say something of what only some heads have, each with why it changes nothing in
/// the others.
const KEYS: [(&str, Owned, &str); 4] = [
    (
        key::HEAD_ACROSS_FLATS.path,
        Owned::Flats,
        "it has no flats for a spanner",
    ),
    (
        key::HEAD_DIAMETER.path,
        Owned::Round,
        "its width across flats says how wide it is",
    ),
    (key::HEAD_BAR.path, Owned::BarHole, "no bar goes through it"),
    (key::HEAD_ARM.path, Owned::Arm, "it has no arm"),
];

/// What a head has of these.
const fn of(kind: HeadKind) -> &'static [Owned] {
    match kind {
        HeadKind::Hexagon => &[Owned::Flats],
        HeadKind::Knob => &[Owned::Round],
        HeadKind::Tommy => &[Owned::Round, Owned::BarHole],
        HeadKind::Crank => &[Owned::Round, Owned::Arm],
    }
}

/// A kind of head that has it.
fn user_of(owned: Owned) -> Option<HeadKind> {
    let mut kinds = HeadKind::KNOWN.iter().map(|(_, kind)| *kind);
    kinds.find(|kind| of(*kind).contains(&owned))
}

/// The keys that change nothing in a head of a kind, each with why.
pub(super) fn idle_in(kind: HeadKind) -> impl Iterator<Item = (&'static str, &'static str)> {
    let idle = KEYS.into_iter();
    let idle = idle.filter(move |(_, owned, _)| !of(kind).contains(owned));
    idle.map(|(path, _, why)| (path, why))
}

/// What is said of a head that changes nothing in one of its kind.
pub(super) fn problems(tree: &Tree<'_>, kind: &Said<HeadKind>) -> Vec<Diagnostic> {
    let idle = KEYS.into_iter();
    let idle = idle.filter(|(_, owned, _)| !of(kind.value).contains(owned));
    let problem = |(path, owned, why): (&'static str, Owned, &'static str)| {
        let value = tree.fields.get(path)?;
        let message = format!(
            "`{path}` has no meaning for a head of the kind \"{}\": {why}",
            word(kind.value)
        );
        let other = user_of(owned).map_or_else(String::new, |kind| {
            format!(", or write `kind = \"{}\"`", word(kind))
        });
        let leaf = path.rsplit('.').next().unwrap_or(path);
        let problem = Diagnostic::error(message, value.span());
        Some(
            problem
                .label("changes nothing")
                .mend(format!("remove `{leaf}`{other}")),
        )
    };
    idle.filter_map(problem).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_has_a_meaning_for_some_head_and_none_for_another() {
        for (path, owned, _) in KEYS {
            assert!(user_of(owned).is_some(), "no head uses {path}");
            let mut kinds = HeadKind::KNOWN.iter();
            assert!(kinds.any(|(_, kind)| !of(*kind).contains(&owned)), "{path}");
        }
    }
}
