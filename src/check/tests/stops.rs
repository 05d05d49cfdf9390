//! Rule file `stops.rs`: one failing and one just-passing case.

use super::*;
use crate::layout::End;

/// Depth of the bore that a kit text comes to.
fn bore_of(text: &str) -> Length {
    let kit: Kit = text.parse().expect("a valid kit");
    let design = design(&kit, &Profile::untuned_for(&kit)).expect("a kit that can be drawn");
    match design.sizes.end {
        End::Nested(nested) => nested.bore,
        End::Single(_) => panic!("a single layout has no bore"),
    }
}

#[test]
fn a_bore_too_short_for_the_stroke_lets_the_inner_screw_bottom() {
    // The room at the floor goes with the bore: the sized one leaves 0.75 leads and the least
    // collar gap, at least 0.25 leads; a rule asks 0.3 mm, and 0.25 leads to pass.
    let room = |kit: &str| {
        let finding = judged_like(&nested(kit), "stops", "inner", "floor");
        (finding.outcome, finding.value.expect("a gap"))
    };
    let (outcome, sized) = room(GOOD);
    assert_eq!(outcome, Outcome::Pass);
    assert!(sized >= 1.75);
    let bore = bore_of(&nested(GOOD)).as_mm() - sized;
    let with = |left: f64| room(&format!("{GOOD}sizes = {{ bore = {} }}", bore + left)).0;
    assert_eq!(with(0.44), Outcome::Pass);
    assert_eq!(with(0.31), Outcome::Warn);
    assert_eq!(with(0.29), Outcome::Fail);
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
    let kit = nested(&format!("{GOOD}sizes = {{ tapped_wall = 24, bore = 30 }}"));
    let finding = judged_like(&kit, "stops", "inner", "floor");
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(&kit[finding.at.expect("a place")], "30");
}
