//! Rule file `stops.rs`: one failing and one just-passing case.

use super::*;

/// Turns by which the play of a millimetre more of thread gap carries a nested kit of 0.75 mm a
/// turn past either stop: two threads, each 2 tan 30 deg of it, half at this end.
const TURNS_PER_GAP: f64 = 2.0 * 1.154_700_5 / 2.0 / 0.75;

/// Outcomes of the good kit, its lengths drawn for no gap at all, with a wanted gap at which a
/// distance has just more, and one at which it has just less, than a limit; `lead` is what the
/// distance loses in a turn.
fn around(limit: f64, lead: f64, subject: &str, word: &str) -> [Outcome; 2] {
    let finding = |gap: f64| {
        let kit = format!("{GOOD}sizes = {{ thread_gap = 0 }}\ngaps = {{ thread = {gap} }}");
        judged_like(&nested(&kit), "stops", subject, word)
    };
    let loose = finding(0.04).value.expect("a distance");
    let at_limit = 0.04 + (loose - limit) / (TURNS_PER_GAP * lead);
    [-0.002, 0.002].map(|more| finding(at_limit + more).outcome)
}

#[test]
fn play_that_lengths_leave_no_room_for_brings_head_collar_and_tip_too_near() {
    use Outcome::{Fail, Pass, Warn};
    // A quarter of the lead to pass, 0.3 mm at the least.
    assert_eq!(around(0.625, 2.5, "drive", "head"), [Pass, Warn]);
    assert_eq!(around(0.3, 2.5, "drive", "head"), [Warn, Fail]);
    for word in ["collar", "floor"] {
        assert_eq!(around(0.4375, 1.75, "inner", word), [Pass, Warn], "{word}");
        assert_eq!(around(0.3, 1.75, "inner", word), [Warn, Fail], "{word}");
    }
}

#[test]
fn a_bore_that_ends_before_the_collar_touches_cannot_be_drawn() {
    let with = |bore: f64| {
        let more = format!("sizes = {{ inner_thread = 45.9, bore = {bore} }}");
        let kit: Kit = nested(&format!("{GOOD}{more}")).parse().expect("a kit");
        design(&kit, &Profile::untuned_for(&kit)).map(|_| ())
    };
    // A tenth of a millimetre beyond the thread.
    assert!(with(46.01).is_ok());
    let problems = with(45.99).expect_err("no way to draw it");
    assert!(problems[0].message.contains("until the collar touches"));
}

#[test]
fn a_drive_thread_too_short_for_the_stroke_cannot_be_drawn() {
    let kit = format!("{GOOD}sizes = {{ drive_thread = 60 }}");
    let kit: Kit = nested(&kit).parse().expect("a valid kit");
    let problems = design(&kit, &Profile::untuned_for(&kit)).expect_err("no way to draw it");
    assert!(
        problems
            .iter()
            .any(|problem| problem.message.contains("head would run into"))
    );
    assert!(problems.iter().all(|problem| problem.at.is_some()));
}

#[test]
fn a_gap_wider_than_the_lengths_leave_room_for_brings_the_head_nearer() {
    let with = |gap: &str| {
        let kit = format!("{GOOD}gaps = {{ thread = {gap} }}");
        judged(&nested(&kit), "stops", "drive")
            .value
            .expect("a gap")
    };
    // Drawn 0.35 against 0.25: two threads, each 1.1547 x 0.1 of play more, half of it at this
    // end, 0.1155 mm of travel or 0.154 turns of 2.5 mm.
    approx::assert_abs_diff_eq!(with("0.04") - with("0.14"), 0.385, epsilon = 0.001);
}

#[test]
fn what_is_blamed_is_the_size_that_was_set() {
    let sizes = "sizes = { tapped_wall = 24, bore = 50, thread_gap = 0 }\ngaps = { thread = 0.9 }";
    let kit = nested(&format!("{GOOD}{sizes}"));
    let finding = judged_like(&kit, "stops", "inner", "collar");
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(&kit[finding.at.expect("a place")], "50");
}
