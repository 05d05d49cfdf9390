//! Rule file `kit_odds.rs`: failing and just-passing cases, and mends that were followed.

use super::*;
use crate::check::kit_odds::{FAR, ROUGHLY};
use crate::printer::{Known, POINTS, TERMS, kit_odds};
use crate::units::Length;

/// The desk stage's pair with these lines.
fn kit_of(more: &str) -> Kit {
    nested(&format!("{GOOD}{more}"))
        .parse()
        .expect("a valid kit")
}

/// A printer of which all is known but its spread, in mm, the same within a print and between.
fn known(kit: &Kit, spread: f64) -> Profile {
    let mut profile = Profile::untuned_for(kit);
    let terms = TERMS.map(|term| (term, profile.value(term)));
    let nothing = vec![vec![0.0; TERMS.len()]; TERMS.len()];
    let set = profile.set(&terms, &nothing, Known::Measured);
    set.expect("a profile without errors");
    profile.prints = 3;
    profile.within = Length::mm(spread);
    profile.between = Length::mm(spread);
    profile
}

fn on_spread(spread: f64, more: &str) -> Finding {
    let kit = kit_of(more);
    only(&kit, &known(&kit, spread))
}

fn only(kit: &Kit, profile: &Profile) -> Finding {
    let mut found = findings_on(kit, profile, "kit-odds").into_iter();
    found.next().expect("a kit has odds")
}

/// Good copies of the desk stage at a spread.
fn usable(spread: f64) -> f64 {
    on_spread(spread, "").value.expect("a share")
}

#[test]
fn too_few_good_copies_warn_below_four_fifths_and_fail_below_half() {
    // The spreads at which the limits are met lie between these, which differ by 0.002 mm.
    let around = |limit: f64| {
        let mut spread = 0.01;
        while usable(spread) >= limit {
            spread += 0.002;
        }
        [spread - 0.002, spread]
    };
    let outcome = |spread: f64| on_spread(spread, "").outcome;
    let [before, behind] = around(0.8);
    assert!(matches!(outcome(before), Outcome::Pass | Outcome::Note));
    assert_eq!(outcome(behind), Outcome::Warn);
    let [before, behind] = around(0.5);
    assert_eq!(outcome(before), Outcome::Warn);
    assert_eq!(outcome(behind), Outcome::Fail);
}

#[test]
fn a_kit_may_ask_for_other_odds() {
    let share = usable(0.03);
    let judged = |fail: f64, warn: f64| {
        let more = format!("odds = {{ fail = {fail:.4}, warn = {warn:.4} }}\n");
        on_spread(0.03, &more).outcome
    };
    assert_ne!(judged(0.1, share - 0.001), Outcome::Warn);
    assert_eq!(judged(0.1, share + 0.001), Outcome::Warn);
    assert_eq!(judged(share + 0.001, share + 0.002), Outcome::Fail);
}

#[test]
fn a_kit_of_shipped_gaps_needs_no_word_on_a_printer_like_most() {
    let kit = kit_of("");
    assert_eq!(
        only(&kit, &Profile::untuned_for(&kit)).outcome,
        Outcome::Pass
    );
}

#[test]
fn gaps_that_bind_are_given_back_at_once_and_following_it_once_is_enough() {
    let kit = kit_of("gaps = { thread = -0.1, slide = 0, locate = 0 }\n");
    let profile = known(&kit, 0.02);
    let finding = only(&kit, &profile);
    assert_eq!(finding.outcome, Outcome::Fail, "{}", finding.message);
    let mend = finding.mend.expect("a mend");
    let mut mended = kit.clone();
    // What stands in the mend is typed: `gaps = { thread = "0.06 mm" }`.
    for line in mend.split('`').skip(1).step_by(2) {
        let (key, value) = line
            .trim_start_matches("gaps = { ")
            .trim_end_matches(" }")
            .split_once(" = ")
            .expect("a key and a value");
        let text = value.trim_matches('"').trim_end_matches(" mm");
        let gap = Some(crate::declared::Said::default_value(Length::mm(
            text.parse().expect("a number"),
        )));
        match key {
            "thread" => mended.gaps.thread = gap,
            "slide" => mended.gaps.slide = gap,
            "locate" => mended.gaps.locate = gap,
            "press" => mended.gaps.press = gap,
            other => panic!("{other}: {mend}"),
        }
    }
    let after = only(&mended, &profile);
    assert!(
        matches!(after.outcome, Outcome::Pass | Outcome::Note),
        "{mend}: {}",
        after.message
    );
}

#[test]
fn pins_in_a_whole_wall_are_told_of_ribs_which_help() {
    let text = "pins = { held_by = \"wall\" }\nodds = { warn = 0.97, fail = 0.1 }\n";
    let kit = kit_of(text);
    let profile = known(&kit, 0.03);
    let finding = only(&kit, &profile);
    assert_eq!(finding.outcome, Outcome::Warn, "{}", finding.message);
    let mend = finding.mend.expect("a mend");
    assert!(mend.contains("held_by = \"ribs\""), "{mend}");
    let ribs = kit_of("");
    let odds = |kit: &Kit| kit_odds(&drawn(kit, &profile).assembly, &profile, POINTS).usable;
    assert!(odds(&ribs) > odds(&kit) + 0.02);
}

#[test]
fn where_only_the_spread_is_left_it_is_said_that_nothing_in_the_kit_helps() {
    // Shipped gaps, all terms known, and a printer that scatters twice as much as it may.
    let finding = on_spread(0.06, "");
    assert!(matches!(finding.outcome, Outcome::Warn | Outcome::Fail));
    let mend = finding.mend.expect("words");
    let told = |words: &str| mend.contains(words);
    // Either a gap that helps, with what comes of it, or that nothing does.
    assert!(
        told("nothing in the kit helps") || told("of 100 go together"),
        "{mend}"
    );
    assert!(!told("netlead coupon"), "its terms are known: {mend}");
}

#[test]
fn a_joint_that_was_tried_by_hand_is_not_failed_by_the_mean_of_all() {
    let text = "gaps = { joint = { \"drive/frame\" = -0.2 } }\n";
    let kit = kit_of(text);
    let profile = known(&kit, 0.02);
    assert_eq!(only(&kit, &profile).outcome, Outcome::Warn);
    let mut guessed = profile.clone();
    guessed.prints = 0;
    assert_eq!(only(&kit, &guessed).outcome, Outcome::Fail);
}

#[test]
fn odds_of_few_points_are_near_enough_to_be_sure_of_an_outcome() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/presets");
    let presets = std::fs::read_dir(folder).expect("presets");
    let mut compared = 0;
    for preset in presets {
        let text = std::fs::read_to_string(preset.expect("a file").path()).expect("text");
        let kit: crate::kit::Kit = text.parse().expect("a kit");
        let untuned = Profile::untuned_for(&kit);
        let mut sloppy = untuned.clone();
        sloppy.within = sloppy.within * 2.0;
        sloppy.between = sloppy.between * 2.0;
        for profile in [&untuned, &untuned.with_terms_known(), &sloppy] {
            let design = crate::layout::design(&kit, profile).expect("a design");
            let odds = |points| kit_odds(&design.assembly, profile, points);
            let (few, many) = (odds(ROUGHLY), odds(POINTS));
            assert!((few.usable - many.usable).abs() < FAR, "{few:?} {many:?}");
            assert!(
                (few.as_printed - many.as_printed).abs() < FAR,
                "{few:?} {many:?}"
            );
            compared += 1;
        }
    }
    assert!(compared >= 30, "{compared}");
}
