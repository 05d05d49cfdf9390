//! One failing and one just-passing case for every rule.

use super::*;
use crate::layout::design;
use crate::motion::solve;
use crate::printer::Profile;

/// The finding of a rule about a subject, for a kit text.
fn judged(text: &str, id: &str, subject: &str) -> Finding {
    judged_like(text, id, subject, "")
}

/// Depth of the bore that a kit text comes to.
fn bore_of(text: &str) -> crate::units::Length {
    let kit: Kit = text.parse().expect("a valid kit");
    let design = design(&kit, &Profile::untuned_for(&kit)).expect("a kit that can be drawn");
    match design.sizes.end {
        crate::layout::End::Nested(nested) => nested.bore,
        crate::layout::End::Single(_) => panic!("a single layout has no bore"),
    }
}

/// The same, of the finding that says a word.
fn judged_like(text: &str, id: &str, subject: &str, word: &str) -> Finding {
    let (kit, _) = crate::kit::read(text, &ids()).expect("a valid kit");
    let design = design(&kit, &Profile::untuned_for(&kit)).expect("a kit that can be drawn");
    let rates = solve(&design.assembly).expect("a mechanism that moves");
    let direction = rates.stroke_direction().expect("a carriage that advances");
    let rates = rates.per_stroke_turn(direction);
    let case = Case {
        kit: &kit,
        design: &design,
        rates: &rates,
    };
    let found = all(&case)
        .into_iter()
        .find(|f| f.id == id && f.subject == subject && f.message.contains(word));
    found.expect("a finding of this rule about this subject")
}

fn nested(more: &str) -> String {
    format!("name = \"t\"\nlayout = \"nested\"\n{more}")
}

const GOOD: &str = "drive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10\n";

#[test]
fn an_asserted_net_lead_must_be_what_the_threads_give() {
    let with = |lead: &str| {
        judged(
            &nested(&format!("{GOOD}net_lead = {lead}")),
            "net-lead",
            "carriage",
        )
    };
    assert_eq!(with("0.75").outcome, Outcome::Pass);
    assert_eq!(with("0.7505").outcome, Outcome::Pass);
    assert_eq!(with("0.76").outcome, Outcome::Fail);
    assert!(with("0.76").at.is_some());
}

#[test]
fn a_left_hand_drive_advances_counter_clockwise() {
    let kit = "drive = \"M20x2.5-LH\"\ninner = \"M12x1.75-LH\"\nstroke = 10\n";
    let with = |way: &str| {
        judged(
            &nested(&format!("{kit}advance = \"{way}\"")),
            "advance",
            "drive",
        )
    };
    assert_eq!(with("counter-clockwise").outcome, Outcome::Pass);
    assert_eq!(with("clockwise").outcome, Outcome::Fail);
}

#[test]
fn a_drive_wall_below_three_lines_fails_and_below_four_warns() {
    // M16 over M10, drawn gap 0.25: (13.835 - 10)/2 - 0.25 = 1.667 mm, 3.70 lines of 0.45.
    let with = |line: &str| {
        let kit = format!("drive = \"M16\"\ninner = \"M10\"\nstroke = 10\nline = {line}");
        judged(&nested(&kit), "drive-wall", "drive").outcome
    };
    assert_eq!(with("0.45"), Outcome::Warn);
    assert_eq!(with("0.55"), Outcome::Warn);
    assert_eq!(with("0.56"), Outcome::Fail);
    assert_eq!(with("0.41"), Outcome::Pass);
}

#[test]
fn flanks_that_touch_fail() {
    let with = |gap: &str| {
        let kit = format!("{GOOD}gaps = {{ thread = {gap} }}\nlayer = 0.1");
        judged(&nested(&kit), "thread-gap", "drive/frame").outcome
    };
    // Drawn is wanted + 0.06 + one layer of 0.1.
    assert_eq!(with("-0.15"), Outcome::Pass);
    assert_eq!(with("-0.17"), Outcome::Fail);
}

#[test]
fn a_gap_of_more_than_four_tenths_of_the_depth_fails() {
    // M12x1.75 is 0.947 deep: at most 0.379, which is 0.169 wanted at 0.15 layers.
    let with = |gap: &str| {
        let kit = format!("{GOOD}gaps = {{ thread = {gap} }}");
        judged(&nested(&kit), "flank-overlap", "inner/drive").outcome
    };
    assert_eq!(with("0.168"), Outcome::Pass);
    assert_eq!(with("0.170"), Outcome::Fail);
}

#[test]
fn a_short_tapped_wall_lets_the_thread_strip() {
    // Countersinks take 2 x 1.853 mm of the wall; three pitches are 7.5 mm.
    let with = |wall: &str| {
        let kit = format!("{GOOD}sizes = {{ tapped_wall = {wall} }}");
        judged(&nested(&kit), "engagement", "drive/frame").outcome
    };
    assert_eq!(with("24"), Outcome::Pass);
    assert_eq!(with("11.4"), Outcome::Warn);
    assert_eq!(with("11"), Outcome::Fail);
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
fn layers_a_pitch_refuse_below_six_warn_below_eight_note_below_twelve() {
    let with = |layer: &str| {
        let kit = format!("{GOOD}layer = {layer}\ngaps = {{ thread = -0.1 }}");
        judged(&nested(&kit), "layers-per-pitch", "inner").outcome
    };
    assert_eq!(with("0.14"), Outcome::Pass); // 1.75 / 0.14 = 12.5
    assert_eq!(with("0.15"), Outcome::Note); // 11.7
    assert_eq!(with("0.22"), Outcome::Warn); // 7.95
    assert_eq!(with("0.29"), Outcome::Warn); // 6.03
    assert_eq!(with("0.30"), Outcome::Fail); // 5.83
}

#[test]
fn stop_loads_and_stresses_match_the_worked_values() {
    // Hand calculation at layer 0.2, drawn gap 0.25, 2 N m, friction 0.25: 459 N.
    let kit = format!("{GOOD}layer = 0.2\ngaps = {{ thread = -0.01 }}");
    let pin = judged(&nested(&kit), "stop-load", "pin");
    // 459 / (2 x 0.714 x 5.5^2) = 10.6 MPa against 22.
    approx::assert_abs_diff_eq!(pin.value.expect("a stress"), 10.63, epsilon = 0.02);
    approx::assert_abs_diff_eq!(pin.limit.expect("a limit"), 22.0, epsilon = 1e-9);
    assert_eq!(pin.outcome, Outcome::Pass);
}

#[test]
fn a_small_single_breaks_its_swivel_pins_under_a_hand() {
    // Hand calculation: single M12 at 2 N m stresses its pins with about 26 MPa, 22 allowed;
    // stresses go with the torque.
    let with = |torque: &str| {
        let kit = format!(
            "name = \"t\"\nlayout = \"single\"\ndrive = \"M12\"\nstroke = 10\nhand_torque = {torque}"
        );
        judged(&kit, "stop-load", "pin").outcome
    };
    assert_eq!(with("2"), Outcome::Fail);
    assert_eq!(with("1.5"), Outcome::Pass);
}

#[test]
fn a_frame_taller_than_the_printer_fails() {
    let sized = judged(&nested(GOOD), "bed", "frame")
        .value
        .expect("a height");
    let with = |height: f64| {
        judged(
            &nested(&format!("{GOOD}bed = [220, 220, {height}]")),
            "bed",
            "frame",
        )
        .outcome
    };
    assert_eq!(with(sized + 0.01), Outcome::Pass);
    assert_eq!(with(sized - 0.01), Outcome::Fail);
}

#[test]
fn a_fine_inner_thread_on_thick_layers_makes_the_start_ambiguous() {
    let with = |layer: &str| {
        let kit = format!("{GOOD}layer = {layer}\ngaps = {{ thread = -0.1 }}");
        judged(&nested(&kit), "start-turn", "inner").outcome
    };
    // A quarter of 1.75 is 0.4375: one and a half layers of 0.29, not of 0.30.
    assert_eq!(with("0.29"), Outcome::Pass);
    assert_eq!(with("0.30"), Outcome::Warn);
}

#[test]
fn a_keeper_with_a_narrow_bore_fails() {
    let with = |diameter: &str| {
        let kit = format!("{GOOD}pins = {{ diameter = {diameter} }}");
        judged(&nested(&kit), "keeper-bore", "keeper").outcome
    };
    // Dc - 2 dp - 8 with Dc = 28.
    assert_eq!(with("7.5"), Outcome::Pass);
    assert_eq!(with("8"), Outcome::Fail);
}

#[test]
fn a_waiver_keeps_a_finding_but_not_its_verdict() {
    let kit = format!(
        "{GOOD}net_lead = 0.5\n[[waive]]\ncheck = \"net-lead\"\nreason = \"only a mock-up for the shelf\"\n"
    );
    assert_eq!(
        judged(&nested(&kit), "net-lead", "carriage").outcome,
        Outcome::Waived
    );
}

#[test]
fn every_rule_has_a_name_of_its_own() {
    let mut names = ids();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), RULES.len());
}

#[test]
fn a_load_beyond_the_hands_torque_fails() {
    // Hand calculation: 2 N m press with 459 N at layer 0.2, drawn gap 0.25, friction 0.25;
    // neither layer nor gap enters the torque.
    let with = |load: &str| {
        judged(
            &nested(&format!("{GOOD}load = \"{load}\"")),
            "stop-load",
            "load",
        )
        .outcome
    };
    assert_eq!(with("458 N"), Outcome::Pass);
    assert_eq!(with("460 N"), Outcome::Fail);
}

#[test]
fn what_is_blamed_is_the_size_that_was_set() {
    let kit = nested(&format!("{GOOD}sizes = {{ tapped_wall = 24, bore = 30 }}"));
    let finding = judged_like(&kit, "stops", "inner", "floor");
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(&kit[finding.at.expect("a place")], "30");
}

#[test]
fn a_drive_thread_that_barely_turns_back_makes_the_start_ambiguous() {
    // The way back is what the thread is longer than zd + L1 Na.
    let with = |thread: f64| {
        let kit = format!("{GOOD}sizes = {{ drive_thread = {thread} }}");
        judged(&nested(&kit), "start-turn", "drive")
    };
    let least = 75.0 - with(75.0).value.expect("a way");
    assert_eq!(with(least + 0.31).outcome, Outcome::Pass); // two layers of 0.15
    assert_eq!(with(least + 0.29).outcome, Outcome::Warn);
}
