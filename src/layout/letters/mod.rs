//! A name on every part that has a face for it: the kit's tag, and a revision that is another one
//! whenever the part is.
//!
//! The revision is reckoned from the exact shape, so that two parts of one name can be told apart
//! on the bench, and which of them a report speaks of.

mod font;
mod panel;
#[cfg(test)]
mod tests;

pub(super) use panel::{Panel, on_end};

use crate::assembly::{Label, Part, Shape};
use crate::kit::Kit;
use crate::units::Length;
use sha2::{Digest, Sha256};

/// Letters of which a revision is made: those that are not taken for one another when they are
/// printed or read upside down in a hurry (no 0 and O, 1 and I, 2 and Z, 5 and S, 6 and G, 8 and B, D,
/// Q).
const CLEAR: [char; 22] = [
    'A', 'C', 'E', 'F', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'R', 'T', 'U', 'V', 'W', 'X', 'Y', '3',
    '4', '7', '9',
];
/// Letters of a revision. Three make 10648: a part that changes gets its old one once in so many
/// times.
const REVISION: usize = 3;
/// Letters of a tag.
const TAG: usize = 2;

/// The tag of a kit: the first letters of the first words of its name, or of its only word.
pub(super) fn tag(name: &str) -> String {
    let known = |letter: &char| font::strokes(*letter).is_some();
    let words: Vec<Vec<char>> = name
        .split(|letter: char| !letter.is_alphanumeric())
        .map(|word| word.to_uppercase().chars().filter(known).collect())
        .filter(|word: &Vec<char>| !word.is_empty())
        .collect();
    match &words[..] {
        [only] => only.iter().take(TAG).collect(),
        several => several.iter().map(|word| word[0]).take(TAG).collect(),
    }
}

/// The revision of a part of this shape, its letters not counted, in a kit of this tag, cut into
/// facets within a tolerance and lettered for a width of line.
fn revision(part: &str, tag: &str, shape: &Shape, tolerance: Length, line: Length) -> String {
    // Every number of it, each as it is read back.
    let told = format!("{part} {tag} {tolerance:?} {line:?} {shape:?}");
    let digest = Sha256::digest(told);
    let mut number = digest[..8]
        .iter()
        .fold(0u64, |number, byte| number << 8 | u64::from(*byte));
    let mut letter = || {
        let at = (number % CLEAR.len() as u64) as usize;
        number /= CLEAR.len() as u64;
        CLEAR[at]
    };
    (0..REVISION).map(|_| letter()).collect()
}

/// Sinks a part's name into what of its faces is free for it, and says so.
pub(super) fn engrave(kit: &Kit, part: &mut Part, panels: &[Panel]) {
    let tag = tag(&kit.name);
    let revised = |line: Length| revision(&part.name, &tag, &part.shape, *kit.tolerance, line);
    let (revision, bare) = (revised(*kit.line), revised(Length::ZERO));
    let written = |panel: &Panel, lines: &[Vec<&str>]| panel.written(lines, *kit.line);
    let both = match panels {
        [] => None,
        [one] => written(one, &[vec![&tag, &revision]])
            .or_else(|| written(one, &[vec![&tag], vec![&revision]])),
        [first, second, ..] => written(first, &[vec![&tag]])
            .zip(written(second, &[vec![&revision]]))
            .map(|(tag, revision)| [tag, revision].concat()),
    };
    let alone = || {
        panels
            .iter()
            .find_map(|panel| written(panel, &[vec![&revision]]))
    };
    let (text, troughs) = match (both, tag.is_empty()) {
        (Some(troughs), false) => (format!("{tag} {revision}"), troughs),
        _ => match alone() {
            Some(troughs) => (revision.clone(), troughs),
            None => {
                let sunk = None;
                // No width of letters' lines shapes it.
                let revision = bare;
                part.label = Some(Label { revision, sunk });
                return;
            }
        },
    };
    part.shape.cut.extend(troughs);
    part.recipe.push(("width of its letters' lines", *kit.line));
    let sunk = Some(text);
    part.label = Some(Label { revision, sunk });
}
