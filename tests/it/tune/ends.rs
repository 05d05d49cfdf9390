//! Ends of ladders, ladders beside a caliper, and coarse calipers: what is told of the errors holds.

use super::printers::{Filled, Ladder, Printer, filled, shipped};
use super::recovery::{form, sizes};
use crate::support::normal::Normal;
use netlead::printer::Term;
use netlead::tuning::LadderKind;
use netlead::tuning::tune::{Tuned, tune};

pub(super) fn tuned(filled: &Filled) -> Tuned {
    let form = form(&filled.text());
    tune(&form, &shipped(), &sizes()).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// How many stated errors each fitted term is off.
fn off(tuned: &Tuned, printer: &Printer) -> Vec<(Term, f64)> {
    let changes = tuned.changes.iter();
    changes
        .map(|change| {
            let off = change.new.0 - printer.term(change.term);
            (change.term, off.abs() / change.new.1)
        })
        .collect()
}

/// Share of terms, over many printers and forms, that are off by more than so many stated errors.
fn beyond(errors: f64, runs: u64, make: impl Fn(&mut Normal) -> (Printer, Filled)) -> f64 {
    let mut all = Vec::new();
    for seed in 0..runs {
        let (printer, filled) = make(&mut Normal::seeded(seed + 1));
        all.extend(off(&tuned(&filled), &printer));
    }
    let far = all.iter().filter(|(_, off)| *off > errors).count();
    far as f64 / all.len() as f64
}

/// An ordinary printer's form of three prints, read with a caliper of this resolution.
fn ordinary(steps: usize, step: f64, resolution: f64) -> impl Fn(&mut Normal) -> (Printer, Filled) {
    move |normal| {
        let printer = Printer::ordinary(normal);
        let ladders = Ladder::set(steps, step);
        let filled = filled(&printer, &ladders, 3, resolution, normal);
        (printer, filled)
    }
}

const FINE: f64 = 1e-6;

/// A ladder of which the first or the last step is best whatever the print, and its form.
fn always_an_end(last: bool) -> impl Fn(&mut Normal) -> (Printer, Filled) {
    move |normal| {
        let printer = Printer::ordinary(normal);
        let mut ladder = Ladder::around("drive/frame", LadderKind::Thread, 7, 0.05);
        let taken = printer.sum(&ladder.step().weights());
        // So far that no scatter (0.05) brings the best step inside.
        let shift = taken + if last { -0.3 - 0.15 } else { 0.15 } - ladder.gaps[0];
        ladder.gaps.iter_mut().for_each(|gap| *gap += shift);
        let filled = filled(&printer, &[ladder], 3, FINE, normal);
        let at = if last { 6 } else { 0 };
        assert!(filled.ladders[0].1.iter().all(|best| *best == at));
        (printer, filled)
    }
}

#[test]
fn with_an_end_always_best_the_stated_errors_hold() {
    for last in [false, true] {
        let share = beyond(3.0, 60, always_an_end(last));
        assert!(share < 0.02, "last {last}: {share}");
    }
}

#[test]
fn with_an_end_always_best_and_no_caliper_the_stated_errors_hold() {
    for last in [false, true] {
        let make = always_an_end(last);
        let share = beyond(3.0, 60, |normal| {
            let (printer, filled) = make(normal);
            (printer, filled.without_rows())
        });
        assert!(share < 0.02, "last {last}: {share}");
    }
}

#[test]
fn prop_ordinary_printers_have_their_terms_inside_at_the_stated_rate() {
    for (steps, step, resolution) in [(9, 0.06, FINE), (3, 0.06, FINE), (9, 0.06, 0.1)] {
        let share = 1.0 - beyond(1.96, 400, ordinary(steps, step, resolution));
        assert!(
            (0.93..=0.99).contains(&share),
            "{steps} steps, {resolution}: {share}"
        );
    }
}

#[test]
fn prop_ladders_alone_leave_ordinary_printers_inside_at_the_stated_rate_or_above() {
    for (steps, step) in [(9, 0.06), (5, 0.07), (3, 0.1)] {
        let make = ordinary(steps, step, FINE);
        let share = 1.0
            - beyond(1.96, 400, |normal| {
                let (printer, filled) = make(normal);
                (printer, filled.without_rows())
            });
        assert!((0.93..=1.0).contains(&share), "{steps} steps: {share}");
    }
}

#[test]
fn an_end_is_told_as_a_bound_and_moves_the_belief_beyond_it_and_an_inner_step_is_a_value() {
    let mut normal = Normal::seeded(5);
    let (_, filled) = always_an_end(true)(&mut normal);
    let ladder = filled.ladders[0].0.clone();
    let with = |best: usize| {
        let mut one = filled.clone().without_rows();
        one.ladders[0].1 = vec![best];
        tuned(&one)
    };
    let (end, inner) = (with(6), with(5));
    // A thread runs from no gap on, and does not in the step before the last.
    let edge = ladder.gaps[5];
    let (told, above) = end.judged[0].bound.expect("an end");
    assert!(above && (told - edge).abs() < 1e-5, "{told} {edge}");
    assert_eq!(inner.judged[0].bound, None);
    let error = |tuned: &Tuned| tuned.profile.error(Term::FlankExtra);
    assert!(
        error(&end) > error(&inner),
        "{} {}",
        error(&end),
        error(&inner)
    );
}
