//! Which of two pairs a maker would rather build.
//!
//! First how near the travel comes, then how many rules warn, then how much room it takes, then how
//! readily its threads are found, then how much it bears. Notes (print with a brim) decide nothing
//! before that: nobody builds a larger mechanism to be spared one.

use super::EXACT;
use super::candidate::{is_in_inches, threads_of};
use super::judge::{Judged, Verdict};
use super::wish::Wish;
use crate::kit::Mechanism;
use crate::thread::series::Choice;
use crate::thread::{Standard, Thread};
use crate::units::{Length, real};
use std::cmp::Ordering;

/// Room that differs by less than this share is the same room. Guess: a few millimetres more are not
/// worth a thread that no table lists first.
const SAME_ROOM: f64 = 0.05;
/// Walls thicker than this are thick enough, in printed lines. Guess.
const THICK: f64 = 6.0;

/// What is compared, in the order in which it counts; less is better.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
struct Rank {
    inexact: bool,
    warnings: usize,
    room: i64,
    unfamiliar: u32,
    notes: usize,
    weakness: f64,
    thinness: f64,
    net_off: f64,
}

/// Compares judged pairs, the better first; equals keep the order of their threads.
pub(super) fn by_rank(wish: &Wish) -> impl Fn(&(usize, Judged), &(usize, Judged)) -> Ordering {
    let wish = wish.clone();
    move |(_, a), (_, b)| {
        let (a, b) = (rank(&wish, a), rank(&wish, b));
        a.partial_cmp(&b).unwrap_or(Ordering::Equal)
    }
}

fn rank(wish: &Wish, judged: &Judged) -> Rank {
    let off = wish.off_by(judged.candidate.net_lead);
    Rank {
        inexact: off > EXACT,
        warnings: judged.verdict.warnings(),
        room: judged.size.map_or(i64::MAX, room),
        unfamiliar: unfamiliar(&judged.candidate.mechanism),
        notes: match &judged.verdict {
            Verdict::Buildable { notes, .. } => notes.len(),
            Verdict::Fails(_) => 0,
        },
        weakness: -judged.safe_load.map_or(0.0, |load| load.as_newtons()),
        thinness: -judged.wall.map_or(THICK, |wall| wall.min(THICK)),
        net_off: off,
    }
}

/// Room in steps, so that a little more is the same.
fn room(sides: [Length; 3]) -> i64 {
    let volume: f64 = sides.iter().map(|side| side.as_mm()).product();
    (real::ln(volume.max(1.0)) / real::ln(1.0 + SAME_ROOM)).floor() as i64
}

/// How far the threads of a mechanism are from those that everybody has: a step for each choice of
/// ISO 261 behind the first, half a one for a fine pitch, three for no standard, one for metric with
/// inches.
fn unfamiliar(mechanism: &Mechanism) -> u32 {
    let threads = threads_of(mechanism);
    let each: u32 = threads.iter().map(|thread| steps(thread)).sum();
    let inches = threads.iter().filter(|thread| is_in_inches(thread)).count();
    let mixed = inches > 0 && inches < threads.len();
    each + if mixed { 2 } else { 0 }
}

/// The same of one thread, in half steps.
fn steps(thread: &Thread) -> u32 {
    let choice = match thread.choice() {
        Some(Choice::First) => 0,
        Some(Choice::Second) => 2,
        Some(Choice::Third) => 4,
        None => 6,
    };
    let fine = match thread.standard() {
        Standard::IsoFine | Standard::Unf => 1,
        Standard::IsoCoarse | Standard::Unc | Standard::Free => 0,
    };
    choice + fine
}

/// How near a pair that cannot be built comes, the less the nearer: whether it has no size, how many rules
/// are against it, how much room it takes, how thick its drive screw is.
pub(super) type Nearness = (bool, usize, i64, f64);

/// Of a judged pair.
pub(super) fn nearness(judged: &Judged) -> Nearness {
    let failing = match &judged.verdict {
        Verdict::Fails(reason) => reason.failing,
        Verdict::Buildable { .. } => 0,
    };
    let threads = threads_of(&judged.candidate.mechanism);
    let major = threads
        .first()
        .map_or(f64::INFINITY, |thread| thread.major().as_mm());
    let room = judged.size.map_or(i64::MAX, room);
    (judged.size.is_none(), failing, room, major)
}
