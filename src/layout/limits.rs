//! What cannot be drawn: sizes that leave no part.
//!
//! These are not matters of judgement, so no kit can waive them; every one names the line
//! that caused it.

use super::elements::run_out;
use super::proportions::*;
use crate::assembly::{Assembly, Joint};
use crate::diagnostic::{Diagnostic, Severity};
use crate::kit::{KeyPath, Kit, key};
use crate::thread::Thread;
use crate::units::Length;
use std::ops::Range;

/// A size and the least or greatest that can be drawn.
pub(super) struct Bound {
    /// What it is, as people call it.
    pub(super) name: &'static str,
    /// Its key, by which a kit sets it; none where it follows from others alone.
    pub(super) key: Option<KeyPath>,
    pub(super) value: Length,
    pub(super) least: Option<Length>,
    pub(super) most: Option<Length>,
    /// What sets the bound.
    pub(super) reason: &'static str,
    /// What to do when no value of its own key helps.
    pub(super) no_room: String,
}

/// What to do when no value of a size's own key helps.
pub(super) const NO_ROOM: &str = "take a thicker `drive`";

/// What to do where a size would be longer than any part.
const SHORTER: &str = "shorten `stroke`, or take threads with a larger net lead";

/// Steps in which a diameter is proposed.
pub(super) const TENTH: Length = Length::mm(0.1);

/// Least net lead: below it lost motion is all there is. Guess.
pub(super) const LEAST_NET_LEAD: Length = Length::mm(0.1);

/// Way back from touching that a hand can still tell as one: a thin layer. Guess.
pub(super) const LEAST_TURN_BACK: Length = Length::mm(0.1);

/// Steps and decimals in which limits are told; in inches a thousandth.
const HUNDREDTH: Length = Length::mm(0.01);
/// See there.
const DECIMALS: usize = 2;

/// The last decimal in which a limit is told.
pub(super) fn typed_step(kit: &Kit) -> Length {
    match kit.inches {
        true => Length::inches(0.001),
        false => HUNDREDTH,
    }
}

/// The most of a gap that chords may take: a tenth is left. Guess.
const CHORDS_OF_GAP: f64 = 0.9;
/// Steps in which a tolerance is proposed: the last decimal that is told.
const TOLERANCE_STEP: Length = Length::mm(0.001);
/// The coarsest tolerance of faces that are drawn to touch. Guess: twice the common one, far below
/// what a printer errs by.
const AT_A_TOUCH: Length = Length::mm(0.02);

/// The gap at or below which faces are drawn to touch: threads that bed in are.
pub(crate) const TOUCHING: Length = Length::mm(0.02 / CHORDS_OF_GAP);

/// Why a tolerance closes a gap as drawn; empty if it does not. A bore's chords lie inside it by
/// up to the tolerance, a shaft's inside the shaft, so that of a gap at least the tolerance less is
/// left. Pressed pins meet their holes whatever the chords.
pub(super) fn eaten(kit: &Kit, assembly: &Assembly) -> Vec<Diagnostic> {
    let curved = |joint: &&Joint| joint.fit.has_chords();
    let open = assembly.joints.iter().filter(curved).filter_map(|joint| {
        let drawn = joint.gap?.drawn;
        (drawn > Length::ZERO).then_some((drawn, joint))
    });
    let Some((drawn, joint)) = open.min_by(|(a, _), (b, _)| a.as_mm().total_cmp(&b.as_mm())) else {
        return Vec::new();
    };
    let most = (drawn * CHORDS_OF_GAP).max(AT_A_TOUCH);
    if *kit.tolerance <= most {
        return Vec::new();
    }
    let told = kit.told();
    let step = match kit.inches {
        true => Length::inches(1e-4),
        false => TOLERANCE_STEP,
    };
    let most = told.length(most.down_to(step), 3);
    let [one, other] = joint.between.map(|piece| assembly.called(piece));
    vec![problem(
        format!(
            "chords of {} may close the gap between {one} and {other}, {} as drawn: at most {most}",
            told.length(*kit.tolerance, 3),
            told.length(drawn, 3)
        ),
        kit.place_of(&[key::TOLERANCE.name(), key::DRIVE.name()]),
        "coarser than the gap is wide",
        format!("write {} of at most {most}", key::TOLERANCE.name()),
    )]
}

/// Rounding of sums of doubles. Far below a layer.
const ROUNDING: Length = Length::mm(1e-6);

/// A problem that names a line.
pub(super) fn problem(
    message: String,
    at: Option<Range<usize>>,
    label: &str,
    mend: String,
) -> Diagnostic {
    Diagnostic {
        severity: Severity::Error,
        message,
        at,
        label: label.into(),
        mend: Some(mend),
    }
}

/// Why sizes leave no part to draw; empty if they do. `threads` are the keys that are to blame
/// where no size is.
pub(super) fn broken(kit: &Kit, bounds: &[Bound], threads: &[KeyPath]) -> Vec<Diagnostic> {
    let broken = |bound: &Bound| bound.broken(kit, threads);
    bounds.iter().filter_map(broken).collect()
}

/// Least thread that has a neck, a run-out, a turn and a chamfer.
pub(super) fn least_thread(thread: &Thread) -> Length {
    run_out(thread) + chamfer_length(thread) + OVERCUT * 2.0 + thread.pitch()
}

impl Bound {
    /// A size that must not be less than something.
    pub(super) fn least(
        name: &'static str,
        key: KeyPath,
        value: Length,
        least: Length,
        reason: &'static str,
    ) -> Self {
        Self {
            name,
            key: Some(key),
            value,
            least: Some(least),
            most: None,
            reason,
            no_room: NO_ROOM.into(),
        }
    }

    /// Whether the least is more than its key may say.
    fn is_beyond(&self, kit: &Kit) -> bool {
        let Some((key, least)) = self.key.zip(self.least) else {
            return false;
        };
        let mut kit = kit.clone();
        kit.size(key).is_some_and(|(_, limits)| least > limits.most)
    }

    fn broken(&self, kit: &Kit, threads: &[KeyPath]) -> Option<Diagnostic> {
        let (limit, word) = match (self.least, self.most) {
            (Some(least), _) if self.value < least - ROUNDING => (least, "at least"),
            (_, Some(most)) if self.value > most + ROUNDING => (most, "at most"),
            _ => return None,
        };
        let told = kit.told();
        // Rounded to the side on which it may be typed.
        let step = typed_step(kit);
        let limit = match word {
            "at least" => limit.up_to(step),
            _ => limit.down_to(step),
        };
        let limit = told.length(limit, DECIMALS);
        let at = self.key.and_then(|key| kit.place_of(&[key]));
        // Below the least nothing helps if that is above the most, nor above the most of what
        // follows from everything else.
        let derived = at.is_none() && word == "at most";
        let closed = matches!((self.least, self.most), (Some(least), Some(most)) if least.up_to(step) > most.down_to(step));
        let beyond = self.is_beyond(kit);
        let mend = match (self.key, &at) {
            _ if closed || derived => self.no_room.clone(),
            _ if beyond => SHORTER.into(),
            (Some(key), Some(_)) => format!("write {key} of {word} {limit}"),
            (Some(key), None) => format!("set {key} to {word} {limit}"),
            (None, _) => "take a thicker thread".into(),
        };
        Some(problem(
            format!(
                "the {} is {}, {word} {limit}: {}",
                self.name,
                told.length(self.value, 2),
                self.reason
            ),
            at.or_else(|| kit.place_of(threads)),
            "",
            mend,
        ))
    }
}
