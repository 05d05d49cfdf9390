//! Words that steps of any layout are made of: ways to turn, counts, marks.
//!
//! To makers only clockwise and counter-clockwise are said, seen from a head that the sentence
//! names; which of them follows from the thread's hand alone.

use super::proportions::CHAMFER_BEYOND_THREAD;
use crate::assembly::{Axis, Going, InstanceId, MotionKind, TAKING_APART, Turning};
use crate::kit::Kit;
use crate::thread::{Hand, Thread};
use crate::units::Length;
use crate::units_told::turn;

/// Decimals of a millimetre that a maker with a rule or a caliper can tell at the bench.
pub(super) const BENCH: usize = 1;
/// Decimals of a millimetre in sizes that the kit file says.
pub(super) const FINE: usize = 2;

/// Decimals of a turn by which ways in are told apart that a hand has to tell apart.
pub(super) const PART_OF_A_TURN: usize = 2;

/// Which way a screw of this hand goes in, seen from its own head.
pub(super) fn way_in(hand: Hand) -> Turning {
    match hand {
        Hand::Right => Turning::Clockwise,
        Hand::Left => Turning::CounterClockwise,
    }
}

/// Which way it comes out.
pub(super) fn way_out(hand: Hand) -> Turning {
    match hand {
        Hand::Right => Turning::CounterClockwise,
        Hand::Left => Turning::Clockwise,
    }
}

/// The same of a way in, in words.
pub(super) fn inwards(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "clockwise",
        Hand::Left => "counter-clockwise",
    }
}

/// Which way it comes out.
pub(super) fn outwards(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "counter-clockwise",
        Hand::Left => "clockwise",
    }
}

/// The marks of a screw and of what it runs in: two Vs tell a left-hand thread.
pub(super) fn vs(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "V",
        Hand::Left => "pair of Vs",
    }
}

/// One V, or two on what carries a left-hand thread.
pub(super) fn v_words(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "one V",
        Hand::Left => "two Vs (left-hand thread)",
    }
}

/// What the bill says of screws that stand on a small head.
pub(super) const BRIM: &str = "brim if it is slender";

/// What the bill says of a head that no whole hand may turn, after a semicolon; nothing of others.
pub(super) fn gently(kit: &Kit) -> String {
    match kit.gentle() {
        Some(gentle) if gentle.by_fingers() => "; turn it with two fingers only".into(),
        Some(gentle) => format!(
            "; turn it no harder than {}",
            kit.told().torque(gentle.torque)
        ),
        None => String::new(),
    }
}

/// What to change for a wider thread: the gap of all threads, that is wanted now, or those of single
/// joints.
pub(super) fn where_a_thread_gap_is_set(kit: &Kit, wanted: Length) -> String {
    match kit.gaps.joints.is_empty() {
        true => format!(
            "thread in the table gaps of the kit file, {} now",
            kit.told().length(wanted, FINE)
        ),
        false => "thread in the table gaps of the kit file, or that joint's own there".into(),
    }
}

/// What is said behind an order to take something apart again: where its way is told.
pub(super) fn told_apart() -> String {
    format!("the guide has the way under {TAKING_APART}")
}

/// `16 whole turns`.
pub(super) fn whole_turns(turns: f64) -> String {
    let plural = if turns < 1.5 { "" } else { "s" };
    format!("{turns:.0} whole turn{plural}")
}

/// What a place is called from which turns are counted; signs are not told.
pub(super) fn called_place(at: f64) -> String {
    match at < 0.0 {
        true => format!("This place is {}.", turn(at, 0)),
        false => format!("Call this place {}.", turn(at, 0)),
    }
}

/// The share of a turn by which neighbouring ways in of so many starts differ.
pub(super) fn share_of_a_turn(starts: u8) -> String {
    match starts {
        0 | 1 => "a whole turn".into(),
        2 => "half a turn".into(),
        3 => "a third of a turn".into(),
        4 => "a quarter of a turn".into(),
        more => format!("1/{more} of a turn"),
    }
}

/// `0.1`, `0.1 or 0.4`, `0.2, 0.5 or 0.7`.
pub(super) fn either(all: impl Iterator<Item = String>) -> String {
    let all: Vec<String> = all.collect();
    match all.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// Turns that a screw makes from the first catch of its thread until its head touches, in a hole
/// that is wider by a gap, radially.
///
/// Ridges pass each other until the chamfer at the screw's end and the countersink, both at 45
/// degrees and both reaching beyond the thread, leave as much of them as they have to climb.
pub(super) fn turns_to_touch(thread: &Thread, length: Length, gap: Length) -> f64 {
    let caught = thread.depth() + gap + CHAMFER_BEYOND_THREAD * 2.0;
    ((length - caught) / thread.lead() + 0.5).floor()
}

/// How a pin of a grade is told from the others: `no notch`, `two notches across its back`.
pub(super) fn notched(count: usize) -> String {
    match count {
        0 => "no notch".into(),
        1 => "one notch across its back".into(),
        2 => "two notches across its back".into(),
        more => format!("{more} notches across its back"),
    }
}

/// `first`, `second`, and so on.
pub(super) fn ordinal(place: usize) -> String {
    const WORDS: [&str; 5] = ["first", "second", "third", "fourth", "fifth"];
    match WORDS.get(place.saturating_sub(1)) {
        Some(word) => (*word).into(),
        None => format!("{place}th"),
    }
}

/// A motion along an axis, done at a turn.
pub(super) fn going(
    pieces: &[InstanceId],
    kind: MotionKind,
    axis: Axis,
    positive: bool,
    turn: f64,
) -> Going {
    let mut pieces = pieces.to_vec();
    pieces.sort_unstable();
    Going {
        pieces,
        kind,
        axis,
        positive: Some(positive),
        turn,
    }
}
