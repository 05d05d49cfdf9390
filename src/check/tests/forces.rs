//! Figures of force: what a mechanism bears and presses with, by the places of all rules of
//! strength.

use super::*;
use crate::strength::Plastic;
use approx::{assert_abs_diff_eq, assert_relative_eq};
use proptest::prelude::*;
use std::f64::consts::TAU;

/// What `look` finds in the case of a kit text.
fn look_at<T>(text: &str, look: impl FnOnce(&Case<'_>) -> T) -> T {
    let kit = kit(text);
    let profile = Profile::untuned_for(&kit);
    let design = drawn(&kit, &profile);
    look(&Case {
        kit: &kit,
        profile: &profile,
        design: &design,
        rates: &rates(&design),
    })
}

fn figures(text: &str) -> ForceFigures {
    look_at(text, |case| force_figures(case).expect("figures"))
}

#[test]
fn the_figures_of_a_differential_match_a_hand_calculation() {
    // M20x2.5 / M12x1.75, PLA on PLA 0.12 to 0.38 (published). Arms of the load: 2.152 and
    // 6.574 mm; of the plain screw 1.681 and 4.515 mm.
    let figures = figures(&nested(GOOD));
    let hand = &figures.clamping[0];
    let near = |force: crate::units::Force, wanted: f64| {
        assert_abs_diff_eq!(force.as_newtons(), wanted, epsilon = 0.5);
    };
    near(hand.force[0], 304.2);
    near(hand.force[1], 929.4);
    let plain = hand.plain.expect("a plain screw beside a differential");
    near(plain[0], 442.9);
    near(plain[1], 1189.7);
    // net / (2 pi arm) = 0.75 / (2 pi 6.574) and 0.75 / (2 pi 2.152); 150 / arm.
    assert_abs_diff_eq!(figures.efficiency[0], 0.018_16, epsilon = 5e-6);
    assert_abs_diff_eq!(figures.efficiency[1], 0.055_47, epsilon = 5e-6);
    assert_abs_diff_eq!(figures.advantage[0], 22.82, epsilon = 5e-3);
    assert_abs_diff_eq!(figures.advantage[1], 69.71, epsilon = 5e-3);
    // The core tears at its notch first: 11.05 MPa under 304.2 N and the 0.626 N m that are passed
    // on at a friction of 0.38, 20 at 550.8 N.
    assert!(
        figures
            .weakest
            .starts_with("the inner screw's core, at the notch")
    );
    near(figures.breaking, 550.8);
    near(figures.safe_load, 275.4);
    near(figures.lasting_load, 110.2);
    // 275.4 N on the lesser arm of 2.152 mm.
    let torque = figures.safe_torque.as_newton_metres();
    assert_abs_diff_eq!(torque, 0.5927, epsilon = 5e-4);
}

#[test]
fn a_single_has_no_plain_screw_beside_it_and_a_kits_friction_counts() {
    let single = "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\n";
    let figures = figures(&format!("{single}friction = 0.25\n"));
    assert!(figures.plain.is_none());
    let hand = &figures.clamping[0];
    assert!(hand.plain.is_none());
    // As worked for the stop: 508.4 N pushed.
    for force in hand.force {
        assert_abs_diff_eq!(force.as_newtons(), 508.4, epsilon = 0.1);
    }
}

/// Kits of several sorts.
fn kits() -> Vec<String> {
    let single = |drive: &str| {
        format!("name = \"t\"\nlayout = \"single\"\ndrive = \"{drive}\"\nstroke = 12\n")
    };
    let pair = |drive: &str, inner: &str| {
        format!(
            "name = \"t\"\nlayout = \"nested\"\ndrive = \"{drive}\"\ninner = \"{inner}\"\nstroke = 12\n"
        )
    };
    vec![
        single("M16"),
        single("M24x2-LH"),
        pair("M20x2.5", "M12x1.75"),
        pair("M20x2.5", "M12x1.75-LH"),
        pair("M24x2", "M16x1.5"),
        pair("1-8", "5/8-11"),
    ]
}

/// Shares of their limits of all findings about the kit's own load, as reports have them.
fn under_a_load(kit: &str, load: f64) -> Vec<f64> {
    let text = format!("{kit}hand_torque = 0.05\nfriction = 0.25\nload = \"{load} N\"\n");
    look_at(&text, |case| {
        let mut found = of_design(case);
        found.retain(|finding| finding.message.starts_with("the kit's load of"));
        for finding in &found {
            let judge = rule(finding.id).expect("a rule of this name").judge;
            assert!(matches!(judge, Judge::Strength(_)), "{}", finding.id);
        }
        let share = |finding: Finding| finding.value.zip(finding.limit).map(|(v, l)| v / l);
        found.into_iter().filter_map(share).collect()
    })
}

#[test]
fn every_place_that_is_judged_holds_the_breaking_force_and_one_no_more() {
    // Every rule that says what a load does is a rule of strength, whatever made it one: none may
    // give way below the breaking force, of which the safe load is a half.
    for kit in kits().into_iter().chain([bought()]) {
        let of = |kit: &str| figures(&format!("{kit}friction = 0.25\n")).breaking;
        let breaking = of(&kit).as_newtons();
        let shares = under_a_load(&kit, breaking);
        assert!(shares.len() >= 8, "{} in {kit}", shares.len());
        let most = shares.into_iter().fold(0.0, f64::max);
        assert_abs_diff_eq!(most, 1.0, epsilon = 1e-6);
    }
}

#[test]
fn the_worst_place_of_every_rule_of_strength_bounds_the_breaking_force() {
    for kit in kits().into_iter().chain([bought()]) {
        look_at(&kit, |case| {
            let figures = force_figures(case).expect("figures");
            let rough = load::Trains::of(case, figures.friction.high).expect("threads");
            let unit = crate::units::Force::newtons(1.0);
            let loading = rough.under(unit);
            let plastic = case.plastic();
            for rule in RULES {
                let Judge::Strength(strength) = rule.judge else {
                    continue;
                };
                for place in (strength.places)(case, &plastic, &loading) {
                    let breaks = unit / place.borne.utilisation();
                    assert!(figures.breaking <= breaks, "{}: {}", rule.id, place.what);
                }
            }
        });
    }
}

/// A kit whose pins are from a shop, so that another place breaks first.
fn bought() -> String {
    nested(&format!("{GOOD}pins = {{ buy = \"5 mm dowel\" }}\n"))
}

proptest! {
    #[test]
    fn prop_what_a_kit_bears_goes_with_the_strength_of_its_plastic(
        which in 0..6usize, factor in 0.1..10.0f64,
    ) {
        let [soft, strong] = look_at(&kits()[which], |case| {
            let plastic = case.plastic();
            // Columns bow out by stiffness, so it goes along.
            let stronger = Plastic {
                flat: plastic.flat * factor,
                upright: plastic.upright * factor,
                stiffness: plastic.stiffness * factor,
                ..plastic
            };
            let places = strength_places();
            [plastic, stronger]
                .map(|plastic| load::figures(case, &plastic, &places).expect("figures"))
        });
        prop_assert_eq!(soft.weakest, strong.weakest);
        for (one, other) in [
            (soft.safe_load.as_newtons(), strong.safe_load.as_newtons()),
            (soft.lasting_load.as_newtons(), strong.lasting_load.as_newtons()),
            (soft.safe_torque.as_newton_metres(), strong.safe_torque.as_newton_metres()),
        ] {
            assert_relative_eq!(one * factor, other, max_relative = 1e-9);
        }
    }

    #[test]
    fn prop_no_force_exceeds_that_of_the_same_screws_without_friction(
        which in 0..6usize, torque in 0.05..50.0f64,
        low in 0.02..0.9f64, more in 0.0..0.1f64,
    ) {
        let kit = format!(
            "{}hand_torque = {torque}\nfriction = [{low}, {}]\n", kits()[which], low + more
        );
        let (figures, net_lead) = look_at(&kit, |case| {
            (force_figures(case), case.rates.net_lead())
        });
        let Some(figures) = figures else { return Ok(()) };
        for clamping in &figures.clamping {
            let work = TAU * clamping.torque.as_newton_mm();
            let [least, most] = clamping.force.map(crate::units::Force::as_newtons);
            prop_assert!(0.0 < least && least <= most);
            prop_assert!(most < work / net_lead.as_mm());
        }
        prop_assert!(figures.efficiency.iter().all(|share| 0.0 < *share && *share < 1.0));
        prop_assert!(figures.lasting_load < figures.safe_load);
        prop_assert!(figures.safe_load < figures.breaking);
    }
}

#[test]
fn a_hand_up_to_the_torque_that_is_told_breaks_nothing_and_one_above_does() {
    let single = "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 30\n";
    for text in [nested(GOOD), single.to_owned()] {
        let most = figures(&text).breaking_torque().as_newton_metres();
        let breaks = |torque: f64| {
            let kit = format!("{text}hand_torque = {torque:.4}\n");
            ["stop-load", "pin-bending", "buckling", "thread-strip"].map(|rule| {
                let found = findings(&kit, rule);
                found.iter().any(|one| one.outcome == Outcome::Fail)
            })
        };
        assert_eq!(breaks(most * 0.99), [false; 4], "{most}");
        assert!(breaks(most * 1.01).contains(&true), "{most}");
    }
}
