//! The threads that are tried.

use super::wish::Wish;
use crate::thread::{Hand, MAX_STARTS, Thread, series};
use crate::units::Length;

/// Pitches of free threads: from the finest that 6 layers of 0.1 mm print, to that of M64. Guess.
const FREE_PITCHES: [Length; 2] = [Length::mm(0.6), Length::mm(6.0)];
/// Least depth below the surface that a free thread leaves of its diameter, in pitches: as M3 x 0.5
/// has it, the finest of the series. Guess.
const FREE_LEAST_MAJOR: f64 = 6.0;

/// Every thread that a wish allows, right-hand, each with every count of starts.
pub(super) fn threads(wish: &Wish) -> Vec<Thread> {
    let largest = wish.largest_major();
    let standard = wish.series.iter().flat_map(|series| series.threads());
    let single = standard.chain(free(wish));
    let small = single.filter(|thread| thread.major() <= largest);
    let starts = 1..=wish.starts.clamp(1, MAX_STARTS);
    small
        .flat_map(|thread| {
            starts
                .clone()
                .map(move |starts| thread.clone().with_starts(starts))
        })
        .collect()
}

/// A pitch to a ten-thousandth of a millimetre, as it is written.
pub(super) fn as_written(pitch: Length) -> Length {
    Length::mm((pitch.as_mm() * TEN_THOUSAND).round() / TEN_THOUSAND)
}

/// Steps of a pitch in a millimetre, far below any printer.
const TEN_THOUSAND: f64 = 10_000.0;

/// Free threads: the first choice of ISO 261 diameters, each with every pitch in steps that the standard
/// does not list for it.
fn free(wish: &Wish) -> Vec<Thread> {
    let Some(step) = wish.pitch_step else {
        return Vec::new();
    };
    let [finest, coarsest] = FREE_PITCHES;
    let count = ((coarsest - finest) / step).floor() as usize;
    let pitches: Vec<Length> = (0..=count)
        .map(|at| as_written(finest.up_to(step) + step * at as f64))
        .collect();
    let first = |size: &&series::MetricSize| size.choice() == series::Choice::First;
    let majors = series::metric_sizes().filter(first);
    majors
        .flat_map(|size| {
            let fits = |pitch: &&Length| size.major() >= **pitch * FREE_LEAST_MAJOR;
            let is_listed = |pitch: &&Length| {
                let mut listed = size.pitches();
                listed.any(|listed| as_written(listed) == **pitch)
            };
            let of_size = |pitch: &Length| Thread::free(size.major(), *pitch, Hand::Right);
            let fitting = pitches
                .iter()
                .filter(fits)
                .filter(|pitch| !is_listed(pitch));
            fitting.map(of_size).collect::<Vec<_>>()
        })
        .collect()
}
