//! What cannot be drawn: sizes that leave no part.
//!
//! These are not matters of judgement, so no kit can waive them; every one names the line
//! that caused it.

use super::elements::run_out;
use super::proportions::*;
use crate::diagnostic::{Diagnostic, Severity};
use crate::kit::{KeyPath, Kit};
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
    pub(super) no_room: &'static str,
}

/// What to do when no value of a size's own key helps.
pub(super) const NO_ROOM: &str = "take a thicker `drive`";

/// Steps in which a diameter is proposed.
pub(super) const TENTH: Length = Length::mm(0.1);

/// Way back from touching that a hand can still tell as one: a thin layer. Guess.
pub(super) const LEAST_TURN_BACK: Length = Length::mm(0.1);

/// Rounding of sums of doubles. Far below a layer.
const ROUNDING: Length = Length::mm(1e-9);

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
            no_room: NO_ROOM,
        }
    }

    fn broken(&self, kit: &Kit, threads: &[KeyPath]) -> Option<Diagnostic> {
        let (limit, word) = match (self.least, self.most) {
            (Some(least), _) if self.value < least - ROUNDING => (least, "at least"),
            (_, Some(most)) if self.value > most + ROUNDING => (most, "at most"),
            _ => return None,
        };
        let told = kit.told();
        let limit = told.length(limit, 2);
        let at = self.key.and_then(|key| kit.place_of(&[key]));
        // Below the least nothing helps if that is above the most, nor above the most of what
        // follows from everything else.
        let derived = at.is_none() && word == "at most";
        let closed = matches!((self.least, self.most), (Some(least), Some(most)) if least > most);
        let mend = match (self.key, &at) {
            _ if closed || derived => self.no_room.into(),
            (Some(key), Some(_)) => format!("write {key} of {word} {limit}, or leave it out"),
            (Some(key), None) => format!("set {key} yourself, or take thicker threads"),
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
