//! What is wrong with a form and can be seen is named, and forms without fault are hardly accused.

use super::ends::tuned;
use super::printers::{Filled, Ladder, Printer, filled, shipped};
use super::recovery::{form, sizes};
use crate::support::normal::Normal;
use netlead::printer::Term;
use netlead::tuning::Doubt;
use netlead::tuning::tune::{Tuned, tune};

const RUNS: u64 = 100;
/// What a caliper shows.
const RESOLUTION: f64 = 0.01;

/// An ordinary printer, and its form of so many prints.
fn made(seed: u64, prints: usize) -> (Printer, Filled) {
    let mut normal = Normal::seeded(seed);
    let printer = Printer::ordinary(&mut normal);
    let filled = filled(
        &printer,
        &Ladder::set(9, 0.06),
        prints,
        RESOLUTION,
        &mut normal,
    );
    (printer, filled)
}

/// A printer of which x comes out shorter than y by three thousandths.
fn lopsided(seed: u64, prints: usize) -> Filled {
    let mut normal = Normal::seeded(seed);
    let mut printer = Printer::ordinary(&mut normal);
    printer.terms[Term::ScaleX as usize] = -0.002;
    printer.terms[Term::ScaleY as usize] = 0.001;
    filled(
        &printer,
        &Ladder::set(9, 0.06),
        prints,
        RESOLUTION,
        &mut normal,
    )
}

/// How often a doubt like this comes of forms, refusals included.
fn named(forms: impl Fn(u64) -> Filled, like: impl Fn(&str) -> bool) -> f64 {
    let hit = |seed: &u64| {
        let form = form(&forms(*seed).text());
        match tune(&form, &shipped(), &sizes()) {
            Ok(tuned) => tuned.doubts.iter().any(|doubt| like(&doubt.message())),
            Err(problems) => problems.iter().any(|problem| like(&problem.message)),
        }
    };
    (1..=RUNS).filter(hit).count() as f64 / RUNS as f64
}

#[test]
fn ordinary_forms_are_accused_in_one_of_twenty_at_the_most() {
    for prints in [1, 3] {
        let accused = (1..=400)
            .filter(|seed| !tuned(&made(*seed, prints).1).doubts.is_empty())
            .count();
        assert!(accused <= 20, "{prints} prints: {accused} of 400");
    }
}

#[test]
fn inside_jaws_that_read_low_are_named_where_the_printer_is_even_enough_to_show_it() {
    let low = |within: f64, off: f64| {
        named(
            |seed| {
                let mut normal = Normal::seeded(seed);
                let mut printer = Printer::ordinary(&mut normal);
                printer.within = within;
                let ladders = Ladder::set(9, 0.05);
                let mut filled = filled(&printer, &ladders, 3, RESOLUTION, &mut normal);
                for (name, _, readings) in &mut filled.rows {
                    if name.starts_with("slot") || name.starts_with("hole") {
                        readings.iter_mut().for_each(|read| *read -= off);
                    }
                }
                filled
            },
            |told| told.contains("holes and slots read") && told.contains("narrower"),
        )
    };
    let (even, rough) = (low(0.015, 0.06), low(0.04, 0.06));
    // Measured: 78 of 100 on an even printer, where hands that judge to 0.01 hide the rest; on a common
    // one 23, and 63 where jaws are twice as far off, for there the ladders know no better.
    assert!(even >= 0.75, "{even}");
    assert!(even > rough && low(0.04, 0.12) >= 0.5);
    assert!(low(0.015, 0.0) <= 0.05);
}

#[test]
fn x_and_y_that_are_swapped_in_one_print_are_named_and_of_one_kind_of_row_more_often_than_not() {
    let swapped = |kind: &'static str, only: Option<usize>| {
        move |seed: u64| {
            let mut filled = lopsided(seed, 3);
            filled.swap_axes(kind, |print| only.is_none_or(|only| only == print));
            filled
        }
    };
    // Rows of one kind that are swapped in every print hide behind a scale of their own: 61 of 100 are
    // named; of one kind in one print 8 are, which is as good as none (measured).
    for (kind, only, told, least) in [
        ("", Some(1), "all rows of print 2", 0.9),
        ("outer", None, "the outer rows", 0.55),
    ] {
        let share = named(swapped(kind, only), |message| {
            message.contains("x and y look swapped") && message.contains(told)
        });
        assert!(share >= least, "{kind} {only:?}: {share}");
    }
}

#[test]
fn x_and_y_swapped_everywhere_show_against_the_profile_before_and_nowhere_else() {
    let before: Tuned = tuned(&lopsided(1, 3));
    let everywhere = |seed: u64| {
        let mut filled = lopsided(seed, 3);
        filled.swap_axes("", |_| true);
        form(&filled.text())
    };
    let scales = |tuned: &Tuned| tuned.doubts.contains(&Doubt::Scales);
    let count = |old: &netlead::printer::Profile| {
        let hit = |seed: &u64| {
            let tuned = tune(&everywhere(*seed), old, &sizes());
            scales(&tuned.unwrap_or_else(|problems| panic!("{problems:?}")))
        };
        (2..=51).filter(hit).count()
    };
    assert!(count(&before.profile) >= 45);
    assert_eq!(count(&shipped()), 0);
}

#[test]
fn two_ladders_that_are_swapped_are_named_where_their_counts_lie_apart() {
    // A printer whose flanks need 0.2 less than most: its thread's best step lies three from the
    // middle, its slide's near it.
    let share = named(
        |seed| {
            let mut normal = Normal::seeded(seed);
            let mut printer = Printer::ordinary(&mut normal);
            for (term, value) in [
                (Term::FlankExtra, 0.02),
                (Term::OuterGrowth, 0.03),
                (Term::SlotGrowth, 0.03),
                (Term::HoleGrowth, 0.03),
            ] {
                printer.terms[term as usize] = value;
            }
            let ladders = Ladder::set(9, 0.06);
            let mut filled = filled(&printer, &ladders, 3, RESOLUTION, &mut normal);
            let thread = filled.ladders[0].1.clone();
            filled.ladders[0].1 = filled.ladders[3].1.clone();
            filled.ladders[3].1 = thread;
            filled
        },
        |message| {
            let both = message.contains("`drive/frame`") && message.contains("`slide`");
            both && message.contains("look swapped")
        },
    );
    // Measured: 63 of 100; where counts lie nearer, two ladders cannot be told apart.
    assert!(share >= 0.5, "{share}");
}
