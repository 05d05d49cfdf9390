//! Ladders: what their best step says, alone and together with a caliper.

use super::forms::{HEAD, plate, sum, truth};
use super::printers::{HAND, goes_from};
use super::recovery::{form, sizes, tuned};
use netlead::printer::{Known, Profile, Term};
use netlead::tuning::tune::{blank, tune, tune_by_trials};
use netlead::tuning::{BestStep, LadderKind};
use netlead::units::Length;
use std::fmt::Write as _;

fn trial(kind: LadderKind, drawn: f64, step: f64, radius: f64) -> BestStep {
    BestStep {
        kind,
        drawn: Length::mm(drawn),
        step: Length::mm(step),
        radius: Length::mm(radius),
        end: None,
    }
}

/// What a made-up printer draws where a fit of this kind just goes.
fn begins(kind: LadderKind, radius: f64) -> f64 {
    goes_from(kind) + sum(&trial(kind, 0.0, 0.0, radius).weights())
}

/// A ladder of which the made-up printer makes the step of three grooves go, by half a step.
fn ladder(name: &str, kind: LadderKind, step: f64, radius: f64) -> String {
    let right = begins(kind, radius) + step / 2.0;
    let gaps: Vec<String> = (-2..=2)
        .map(|at| format!("{:.6}", right + step * f64::from(at)))
        .collect();
    let mut text = String::new();
    write!(
        text,
        "[[ladder]]\nname = \"{name}\"\nkind = \"{}\"\nwanted = 0.3\ngaps = [{}]\n\
         radius = {radius}\nbest = [3]\n",
        kind.word(),
        gaps.join(", ")
    )
    .expect("writing to a string never fails");
    text
}

fn ladders() -> String {
    ladder("drive/frame", LadderKind::Thread, 0.05, 10.0)
        + &ladder("pin", LadderKind::PinLying, 0.025, 2.0)
        + &ladder("slide", LadderKind::Slide, 0.05, 0.0)
}

#[test]
fn caliper_and_ladders_together_give_flank_extra_and_lying_growth() {
    let tuned = tuned(&(plate(1, 0.0, 0.0, 1) + &ladders()));
    for term in [Term::FlankExtra, Term::LyingGrowth] {
        approx::assert_abs_diff_eq!(tuned.profile.value(term), truth(term), epsilon = 1e-5);
        assert_eq!(tuned.profile.known(term), Known::Ladder);
    }
    approx::assert_abs_diff_eq!(tuned.profile.value(Term::HoleGrowth), 0.11, epsilon = 1e-5);
}

#[test]
fn a_profile_from_ladders_alone_draws_where_the_fit_begins() {
    let text = format!("{HEAD}{}", ladders());
    let form = form(&text);
    let old = blank(&form);
    let tuned = tune(&form, &old, &sizes()).expect("ladders are enough");
    for (kind, radius, step) in [
        (LadderKind::Thread, 10.0, 0.05_f64),
        (LadderKind::PinLying, 2.0, 0.025),
        (LadderKind::Slide, 0.0, 0.05),
    ] {
        let (fit, mates) = kind.fit();
        let right = begins(kind, radius);
        let drawn = |profile: &Profile| {
            let (leaves, radius) = (Length::mm(goes_from(kind)), Length::mm(radius));
            profile.gap(fit, leaves, mates, radius).drawn.as_mm()
        };
        let (before, after) = (drawn(&old), drawn(&tuned.profile));
        // Within half a step of the one that fitted, or three fifths of a longer way to it: what
        // is believed of the spread forbids more after one print. By hand, of two walls: errors of
        // 0.03 that yield as 0.075 have 2 x 0.075^2 = 0.0113, the finding 2 x 0.04^2 of its walls
        // and (2 x 0.03)^2 of its print, 0.0068: 0.0113 / 0.0181 = 0.62 of the way.
        let (left, way) = ((after - right).abs(), (before - right).abs());
        assert!(
            left < (step / 2.0).max(way * 0.4),
            "{kind:?}: {before} {after} {right}"
        );
    }
    assert_eq!(tuned.profile.known(Term::FlankExtra), Known::Ladder);
    assert_eq!(tuned.profile.known(Term::ScaleX), Known::Guess);
}

#[test]
fn a_ladder_alone_makes_the_sum_better_known_than_its_terms() {
    let form = form(&format!("{HEAD}{}", ladders()));
    let old = blank(&form);
    let profile = tune(&form, &old, &sizes())
        .expect("ladders are enough")
        .profile;
    let sum = [
        (Term::OuterGrowth, 1.0),
        (Term::HoleGrowth, 1.0),
        (Term::FlankExtra, 1.0),
    ];
    let before = old.variance_of(&sum).sqrt();
    let after = profile.variance_of(&sum).sqrt();
    let own = profile.error(Term::OuterGrowth);
    assert!(after < before, "{after} {before}");
    assert!(own > 0.6 * old.error(Term::OuterGrowth), "{own}");
}

#[test]
fn a_step_is_known_to_its_width_over_the_root_of_twelve() {
    // Uniform distribution: variance 1/12 of the squared width. Within = 0; a hand that says yes or no
    // is taken to be off by 0.01.
    let trial = trial(LadderKind::Thread, 0.25, 0.06, 10.0);
    approx::assert_abs_diff_eq!(
        trial.variance(Length::ZERO),
        0.06 * 0.06 / 12.0 + HAND * HAND,
        epsilon = 1e-15
    );
    // The plug runs in this ring and not in the next, 0.06 tighter, and runs from no gap on.
    approx::assert_abs_diff_eq!(trial.taken(), 0.22, epsilon = 1e-12);
}

#[test]
fn the_spread_is_that_of_one_wall_in_a_ladder_as_in_a_joint() {
    // A step of no width between two printed walls, whole faces of which stand off by 0.6 x 0.04 each:
    // 2 x 0.024^2; with a bought pin one wall is left. The printed gap of the same joint has that much
    // beside its terms, its print, which moves every wall by 0.02, and its parts, 0.3 x 0.02 each.
    let profile = blank(&form(&format!("{HEAD}{}", ladders())));
    for (kind, walls) in [
        (LadderKind::PinLying, 2.0),
        (LadderKind::BoughtPinLying, 1.0),
    ] {
        let trial = trial(kind, 0.0, 0.0, 2.0);
        let variance = walls * 0.024 * 0.024;
        let judged = variance + HAND * HAND;
        approx::assert_abs_diff_eq!(trial.variance(profile.within), judged, epsilon = 1e-15);
        let (fit, mates) = kind.fit();
        let gap = profile.gap(fit, Length::ZERO, mates, Length::mm(2.0));
        let printed = profile.printed(fit, &gap).expect("a press has a window");
        let own = printed.deviation.as_mm() * printed.deviation.as_mm()
            - profile.variance_of(&trial.weights());
        let prints = (walls * 0.02) * (walls * 0.02) + walls * 0.006 * 0.006;
        approx::assert_abs_diff_eq!(own, variance + prints, epsilon = 1e-12);
    }
}

#[test]
fn no_trial_teaches_nothing() {
    let form = form(&format!("{HEAD}{}", ladders()));
    assert!(tune_by_trials(&[], &blank(&form)).is_none());
}
