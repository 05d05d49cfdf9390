//! Rule file `preload.rs`: of each of its four judgements one failing and one just-passing case.

use super::*;

const WEAK_HAND: &str = "hand_torque = 0.5\nlayer = 0.14\nfriction = 0.25\n";

/// The finding that says a word, of the worked kit with a spring.
fn of(spring: &str, more: &str, word: &str) -> Finding {
    let text = nested(&format!("{GOOD}{WEAK_HAND}spring = {{ {spring} }}\n{more}"));
    judged_like(&text, "preload", "spring", word)
}

#[test]
fn a_spring_that_is_outdone_does_not_hold() {
    // By hand: 0.5874 N/mm over 40 - 18.2 mm: 12.8 N at turn 0.
    let with = |pull: &str| {
        let spring = "wire = 1, outside = 16, free = 40, coils = 5";
        of(
            &format!("{spring}, pull = \"{pull} N\""),
            "",
            "has to outdo",
        )
    };
    let light = with("0");
    assert_eq!(light.outcome, Outcome::Pass);
    // Weight and its friction alone are below a newton and a half.
    let own = 12.8 / light.value.expect("a value");
    assert!((0.5..1.5).contains(&own), "{own}");
    let warns = 12.8 / 1.5 - own;
    assert_eq!(with(&format!("{:.2}", warns - 0.1)).outcome, Outcome::Pass);
    assert_eq!(with(&format!("{:.2}", warns + 0.1)).outcome, Outcome::Warn);
    assert_eq!(
        with(&format!("{:.2}", 12.8 - own - 0.1)).outcome,
        Outcome::Warn
    );
    assert_eq!(
        with(&format!("{:.2}", 12.8 - own + 0.1)).outcome,
        Outcome::Fail
    );
}

#[test]
fn a_load_may_pull_either_way_unless_the_kit_says_what_pulls() {
    let with = |pull: &str| {
        let spring = format!("wire = 1, outside = 16, free = 40, coils = 5{pull}");
        of(&spring, "load = \"20 N\"\n", "has to outdo").outcome
    };
    assert_eq!(with(""), Outcome::Fail);
    assert_eq!(with(", pull = \"0 N\""), Outcome::Pass);
}

#[test]
fn a_load_beside_the_axis_rubs_in_the_guide() {
    let with = |offset: f64| {
        let more = format!("load = {{ force = \"20 N\", offset = {offset} }}\n");
        let spring = "wire = 1, outside = 16, free = 40, coils = 5, pull = \"0 N\"";
        of(spring, &more, "has to outdo").value.expect("a value")
    };
    // 20.9 mm of guide: 2 x 20 x 10 / 20.9 x 0.25 = 4.78 N more to outdo.
    let more = 12.8 / with(10.0) - 12.8 / with(0.0);
    assert!((more - 4.78).abs() < 0.15, "{more}");
}

#[test]
fn a_wire_that_is_stressed_to_its_yield_takes_a_set() {
    let with = |free: f64| {
        let spring = format!("wire = 1, outside = 16, free = {free}, coils = 5");
        of(&spring, "", "stresses its wire").outcome
    };
    // By hand: 995 MPa allow 23.8 N, 40.5 mm beyond the 7.7 mm of the stop; 0.9 of it 36.5 mm.
    assert_eq!(with(43.9), Outcome::Pass);
    assert_eq!(with(44.6), Outcome::Warn);
    assert_eq!(with(47.8), Outcome::Warn);
    assert_eq!(with(48.7), Outcome::Fail);
}

#[test]
fn a_slender_spring_buckles() {
    let with = |free: f64| {
        let spring = format!("wire = 0.6, outside = 10.6, free = {free}, coils = 9");
        of(&spring, "", "mean diameters").outcome
    };
    assert_eq!(with(39.9), Outcome::Pass);
    assert_eq!(with(40.1), Outcome::Warn);
    assert_eq!(with(52.5), Outcome::Warn);
    assert_eq!(with(52.7), Outcome::Fail);
}

#[test]
fn no_hand_holds_a_keeper_down_against_a_strong_spring() {
    let with = |rate: f64| {
        let spring = format!("wire = 2, outside = 18, free = 45, rate = \"{rate} N/mm\"");
        of(&spring, "", "two thumbs")
    };
    // The spring is longer the more coils it needs, so its force is not its rate times one length.
    let soft = with(4.0);
    assert_eq!(soft.outcome, Outcome::Pass, "{soft:?}");
    let firm = with(5.0);
    assert_eq!(firm.outcome, Outcome::Warn, "{firm:?}");
    let hard = with(8.0);
    assert_eq!(hard.outcome, Outcome::Fail, "{hard:?}");
    let newtons = |found: &Finding| found.value.expect("a value");
    assert!(newtons(&soft) < 50.0 && newtons(&firm) > 50.0 && newtons(&hard) > 100.0);
}

#[test]
fn a_kit_without_a_spring_is_not_judged() {
    assert!(findings(&nested(GOOD), "preload").is_empty());
}
