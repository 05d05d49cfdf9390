//! Words of which a key takes one, and the word that was probably meant.

use super::Units;

/// A type that is written as one of a few words.
pub(crate) trait Words: Copy + Sized + 'static {
    /// What the words name.
    const NOUN: &'static str;
    /// The words that can be built today.
    const KNOWN: &'static [(&'static str, Self)];
    /// Words of the trade that are refused as not available yet.
    const LATER: &'static [&'static str] = &[];
}

impl Words for Units {
    const NOUN: &'static str = "unit of bare numbers";
    const KNOWN: &'static [(&'static str, Self)] = &[("mm", Self::Mm), ("inch", Self::Inch)];
}

/// The words in quotes, for a sentence: `"nested"` or `"single"`.
pub(crate) fn listed(words: impl IntoIterator<Item = impl AsRef<str>>) -> String {
    let quoted: Vec<String> = words
        .into_iter()
        .map(|word| format!("\"{}\"", word.as_ref()))
        .collect();
    match quoted.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} or {last}", others.join(", ")),
        _ => quoted.concat(),
    }
}

/// Words longer than this are not compared: no key or id is near it, and the comparison
/// takes time with the product of the lengths. Guess.
const LONGEST_COMPARED: usize = 40;

/// The candidate that was probably meant by `word`, if one is near enough.
///
/// Near is a Damerau-Levenshtein distance of a third of the longer word, at least one (guess:
/// it takes `strok` for `stroke` but not `bore` for `bed`); case and `-` for `_` are free.
pub(crate) fn closest<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    if word.chars().count() > LONGEST_COMPARED {
        return None;
    }
    let word = folded(word);
    candidates
        .into_iter()
        .filter_map(|candidate| {
            let other = folded(candidate);
            let longer = word.chars().count().max(other.chars().count());
            let distance = strsim::damerau_levenshtein(&word, &other);
            (distance <= (longer / 3).max(1) && distance < longer).then_some((distance, candidate))
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

fn folded(word: &str) -> String {
    word.to_lowercase().replace(['-', ' '], "_")
}
