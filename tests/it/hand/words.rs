//! Reads a sentence as a hand does: which way to turn, and how often.

/// A way to turn, as it is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Clock {
    With,
    Against,
}

impl Clock {
    /// Of a turn that is positive clockwise.
    pub(crate) fn of(turns: f64) -> Self {
        if turns < 0.0 {
            Self::Against
        } else {
            Self::With
        }
    }

    pub(crate) fn other(self) -> Self {
        match self {
            Self::With => Self::Against,
            Self::Against => Self::With,
        }
    }
}

/// Every whole word that says a way to turn, in order. A word is letters and hyphens, so that the
/// one way is never read out of the other.
pub(crate) fn clocks(text: &str) -> Vec<Clock> {
    let words = text.split(|letter: char| !letter.is_alphabetic() && letter != '-');
    words
        .filter_map(|word| match &*word.to_lowercase() {
            "clockwise" => Some(Clock::With),
            "counter-clockwise" => Some(Clock::Against),
            other => {
                // A spelling that this reader does not know must not slip through.
                assert!(!other.contains("clock"), "{other}");
                None
            }
        })
        .collect()
}

/// Sentences, without their full stops.
pub(crate) fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split(". ")
        .map(|sentence| sentence.trim_end_matches('.'))
}

/// What stands between two words of a text.
pub(crate) fn between<'a>(text: &'a str, before: &str, after: &str) -> Option<&'a str> {
    let (_, rest) = text.split_once(before)?;
    rest.split_once(after).map(|(found, _)| found)
}

/// The number between two words of a text.
pub(crate) fn count(text: &str, before: &str, after: &str) -> Option<f64> {
    // The words before may stand more than once.
    text.match_indices(before).find_map(|(at, _)| {
        let (found, _) = text[at + before.len()..].split_once(after)?;
        found.trim().parse().ok()
    })
}

/// A length in mm, in a kit's own units: `1.1 mm`, or `0.04 in (1.1 mm)`, where the text says it
/// last before some words.
pub(crate) fn millimetres(text: &str, before: &str, after: &str) -> Option<f64> {
    let said = between(text, before, after)?;
    let said = said.rsplit('(').next()?.trim_end_matches(')');
    said.strip_suffix("mm")?.trim().parse().ok()
}

/// `first`, `second`: a place in a row, from 1.
pub(crate) fn ordinal(word: &str) -> Option<usize> {
    let words = ["first", "second", "third", "fourth", "fifth"];
    let place = words.iter().position(|known| *known == word);
    place
        .map(|index| index + 1)
        .or_else(|| word.strip_suffix("th")?.parse().ok())
}

#[test]
fn one_way_is_not_read_out_of_the_other() {
    use Clock::{Against, With};
    for (text, read) in [
        (
            "Turn it counter-clockwise, then clockwise.",
            vec![Against, With],
        ),
        ("Clockwise and counter-clockwise are", vec![With, Against]),
        ("no way at all", vec![]),
    ] {
        assert_eq!(clocks(text), read);
    }
}
