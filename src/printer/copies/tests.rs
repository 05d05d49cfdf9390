//! Odds of a kit against closed forms, and what they must and must not do.

use super::*;
use crate::assembly::Fit;
use crate::kit::Kit;
use crate::layout;
use crate::printer::{Known, TERMS};
use crate::units::Length;
use crate::units::real;
use proptest::prelude::*;

const NESTED: &str = "name = \"t\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\n\
                      stroke = 10\npins = { grades = false }\n";

fn kit(more: &str) -> Kit {
    format!("{NESTED}{more}").parse().expect("a valid kit")
}

fn assembly(kit: &Kit, profile: &Profile) -> Assembly {
    layout::design(kit, profile)
        .expect("a kit that can be drawn")
        .assembly
}

/// An untuned printer with this spread in mm and, if `known`, without any error of its terms.
fn printer(kit: &Kit, within: f64, between: f64, known: bool) -> Profile {
    let mut profile = Profile::untuned_for(kit);
    if known {
        let terms = TERMS.map(|term| (term, profile.value(term)));
        let nothing = vec![vec![0.0; TERMS.len()]; TERMS.len()];
        let set = profile.set(&terms, &nothing, Known::Measured);
        set.expect("a profile without errors");
    }
    profile.within = Length::mm(within);
    profile.between = Length::mm(between);
    profile
}

#[test]
fn one_fit_alone_is_the_closed_form() {
    let kit = kit("");
    let profile = printer(&kit, 0.04, 0.02, false);
    let mut assembly = assembly(&kit, &profile);
    assembly.joints.retain(|joint| joint.fit == Fit::Slide);
    let [(_, fit)] = fit_odds(&assembly, &profile)[..] else {
        panic!("one slide");
    };
    let odds = kit_odds(&assembly, &profile, POINTS);
    // 0.14 wanted in 0.02 to 0.35; two errors of 0.03, two faces of 0.024, two parts of 0.006, and
    // a print that moves both walls by 0.02 each: sqrt(0.0018 + 0.001152 + 0.000072 + 0.0016)
    // = 0.06800. Normal table: Phi(3.0882) - Phi(-1.7647) = 0.99899 - 0.03881 = 0.9602.
    approx::assert_abs_diff_eq!(fit.as_printed, 0.9602, epsilon = 2e-4);
    approx::assert_abs_diff_eq!(odds.as_printed, fit.as_printed, epsilon = 2e-3);
    approx::assert_abs_diff_eq!(odds.usable, fit.usable, epsilon = 2e-3);
}

#[test]
fn fits_that_share_nothing_multiply() {
    // Terms known, nothing between prints: faces alone scatter, and the pins' outsides are shared, so
    // they are left out.
    let kit = kit("");
    let profile = printer(&kit, 0.06, 0.0, true);
    let mut assembly = assembly(&kit, &profile);
    assembly
        .joints
        .retain(|joint| matches!(joint.fit, Fit::Thread | Fit::Slide));
    let product: f64 = fit_odds(&assembly, &profile)
        .iter()
        .map(|(_, odds)| odds.as_printed)
        .product();
    let odds = kit_odds(&assembly, &profile, 8);
    approx::assert_abs_diff_eq!(odds.as_printed, product, epsilon = 1e-12);
    assert!(product < 0.95, "the case has something to tell: {product}");
}

#[test]
fn fits_that_share_all_are_right_together_or_not_at_all() {
    // Only the print scatters: the gaps of both threads are the same in every copy.
    let kit = kit("");
    let profile = printer(&kit, 0.0, 0.05, true);
    let mut assembly = assembly(&kit, &profile);
    assembly.joints.retain(|joint| joint.fit == Fit::Thread);
    // Parts of their own would scatter by 0.3 of it.
    let odds = kit_odds(&assembly, &profile, POINTS);
    let [(_, one), (_, other)] = fit_odds(&assembly, &profile)[..] else {
        panic!("two threads");
    };
    let together = one.as_printed.min(other.as_printed);
    assert!(odds.as_printed < together, "parts differ a little");
    assert!(
        odds.as_printed > together - 0.05,
        "{} {together}",
        odds.as_printed
    );
    assert!(odds.as_printed > one.as_printed * other.as_printed + 0.05);
}

#[test]
fn two_fits_with_what_they_share_are_the_bivariate_normal() {
    // Simpson's rule over the one factor that both threads share, given which they are independent.
    let kit = kit("");
    let profile = printer(&kit, 0.05, 0.04, true);
    let mut assembly = assembly(&kit, &profile);
    assembly.joints.retain(|joint| joint.fit == Fit::Thread);
    let scatter = Scatter::of(&assembly, &profile);
    let covariance: f64 = (0..scatter.rank())
        .map(|factor| scatter.factors[0][factor] * scatter.factors[1][factor])
        .sum();
    let steps = 4000;
    let width = 16.0 / f64::from(steps);
    let sum: f64 = (0..=steps)
        .map(|step| {
            let z = -8.0 + width * f64::from(step);
            let density = real::exp(-z * z / 2.0) / (2.0 * std::f64::consts::PI).sqrt();
            let weight = match step {
                0 => 1.0,
                step if step == steps => 1.0,
                step if step % 2 == 1 => 4.0,
                _ => 2.0,
            };
            let both: f64 = (0..2)
                .map(|fit| {
                    let mean = scatter.fits[fit].mean + covariance.sqrt() * z;
                    let rest = scatter.variance(fit) - covariance;
                    let outcomes = &scatter.fits[fit].outcomes;
                    let window = [outcomes.free.as_mm(), outcomes.loose.as_mm()];
                    normal::inside(window, mean, rest)
                })
                .product();
            weight * density * both
        })
        .sum();
    let exact = sum * width / 3.0;
    let odds = kit_odds(&assembly, &profile, POINTS);
    approx::assert_abs_diff_eq!(odds.as_printed, exact, epsilon = 2e-3);
}

#[test]
fn many_more_points_say_the_same() {
    let kit = kit("");
    for (within, between, known) in [(0.04, 0.02, false), (0.05, 0.05, false), (0.02, 0.03, true)] {
        let profile = printer(&kit, within, between, known);
        let assembly = assembly(&kit, &profile);
        let told = kit_odds(&assembly, &profile, POINTS);
        let more = kit_odds(&assembly, &profile, 32 * POINTS);
        approx::assert_abs_diff_eq!(told.as_printed, more.as_printed, epsilon = 8e-3);
        approx::assert_abs_diff_eq!(told.usable, more.usable, epsilon = 8e-3);
        assert_eq!(
            told,
            kit_odds(&assembly, &profile, POINTS),
            "the same twice"
        );
    }
}

#[test]
fn an_unknown_a_known_and_a_sloppy_printer_come_out_as_makers_know_them() {
    // Common practice: desk kits are printed every day; most go after some filing, a printer that was
    // learnt seldom needs it, and a sloppy one makes scrap.
    let kit = kit("");
    let of = |within: f64, between: f64, known: bool| {
        let profile = printer(&kit, within, between, known);
        kit_odds(&assembly(&kit, &profile), &profile, POINTS)
    };
    let (unknown, learnt) = (of(0.04, 0.02, false), of(0.03, 0.02, true));
    let sloppy = of(0.05, 0.05, false);
    assert!((0.40..0.65).contains(&unknown.as_printed), "{unknown:?}");
    assert!(unknown.usable > 0.85, "{unknown:?}");
    assert!(
        learnt.as_printed > unknown.as_printed + 0.1 && learnt.usable > 0.97,
        "{learnt:?}"
    );
    assert!(
        sloppy.as_printed < 0.35 && sloppy.usable < 0.75,
        "{sloppy:?}"
    );
    for odds in [unknown, learnt, sloppy] {
        let lost = 1.0 - odds.usable;
        let causes = odds.too_tight + odds.too_loose;
        assert!(causes >= lost - 1e-9 && odds.too_tight.max(odds.too_loose) <= lost + 1e-9);
    }
}

#[test]
fn three_pins_to_choose_from_are_better_than_one_and_no_worse_anywhere() {
    let kit = kit("");
    let profile = printer(&kit, 0.04, 0.02, false);
    let one = assembly(&kit, &profile);
    let graded: Kit = NESTED
        .replace("grades = false", "grades = true")
        .parse()
        .expect("a valid kit");
    let three = assembly(&graded, &profile);
    let (of_one, of_three) = (
        kit_odds(&one, &profile, POINTS),
        kit_odds(&three, &profile, POINTS),
    );
    assert!(
        of_three.as_printed > of_one.as_printed + 0.05,
        "{of_one:?} {of_three:?}"
    );
    assert!(of_three.usable >= of_one.usable);
    let pairs = fit_odds(&one, &profile)
        .into_iter()
        .zip(fit_odds(&three, &profile));
    for ((_, alone), (_, chosen)) in pairs {
        assert!(chosen.as_printed >= alone.as_printed - 1e-12);
    }
}

#[test]
fn a_choice_of_pins_is_counted_as_often_as_at_least_one_is_right() {
    // Three pins 0.05 apart in two windows: counted copy by copy on a fine grid of both gaps.
    let shifts = [-0.05, 0.0, 0.05];
    let windows = [[-0.06, 0.0], [-0.02, 0.11]];
    let (mean, variance) = ([-0.02, 0.05], [0.0016, 0.0025]);
    let steps = 1200;
    let mut right = 0.0;
    let at = |step: i32, axis: usize| {
        let z = -5.0 + 10.0 * (f64::from(step) + 0.5) / f64::from(steps);
        let density = real::exp(-z * z / 2.0);
        (mean[axis] + z * f64::sqrt(variance[axis]), density)
    };
    let mut all = 0.0;
    for i in 0..steps {
        for j in 0..steps {
            let ((a, wa), (b, wb)) = (at(i, 0), at(j, 1));
            let fits = |shift: &f64| {
                let inside =
                    |gap: f64, [least, most]: [f64; 2]| (least..=most).contains(&(gap - shift));
                inside(a, windows[0]) && inside(b, windows[1])
            };
            all += wa * wb;
            right += wa * wb * f64::from(u8::from(shifts.iter().any(fits)));
        }
    }
    let counted = right / all;
    let [told] = united(&shifts, |moved| {
        let of =
            |axis: usize| normal::inside(shifted(windows[axis], moved), mean[axis], variance[axis]);
        [of(0) * of(1)]
    });
    approx::assert_abs_diff_eq!(told, counted, epsilon = 2e-3);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn prop_shares_are_shares_and_errors_never_help_a_fit_in_its_middle(
        within in 0.0f64..0.06, between in 0.0f64..0.06, more in 0.001f64..0.03,
    ) {
        let kit = kit("");
        let profile = printer(&kit, within, between, true);
        let assembly = assembly(&kit, &profile);
        let odds = kit_odds(&assembly, &profile, 256);
        for share in [odds.as_printed, odds.usable, odds.too_tight, odds.too_loose] {
            prop_assert!((-1e-12..=1.0 + 1e-12).contains(&share));
        }
        prop_assert!(odds.as_printed <= odds.usable + 1e-12);
        // A pressed pin on ribs stands in the middle of its window, so scatter can only harm it.
        let press = |profile: &Profile| {
            let odds = fit_odds(&assembly, profile).into_iter();
            let mut odds = odds.filter(|(joint, _)| assembly.joint(*joint).fit == Fit::Press);
            odds.next().expect("a pressed pin").1.as_printed
        };
        let worse = printer(&kit, within + more, between + more, true);
        prop_assert!(press(&worse) <= press(&profile) + 1e-12);
    }
}
