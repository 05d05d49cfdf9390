//! Rule file `bed.rs`: one failing and one just-passing case.

use super::*;

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
fn a_frame_wider_than_the_bed_fails_and_one_that_lies_across_it_passes() {
    // A frame of 60 mm square has pins of 58 mm.
    let with = |bed: &str, part: &str| {
        let kit = format!("{GOOD}sizes = {{ frame_side = 60 }}\nbed = [{bed}, 250]");
        judged(&nested(&kit), "bed", part).outcome
    };
    assert_eq!(with("60.1, 60.1", "frame"), Outcome::Pass);
    assert_eq!(with("60.1, 59.9", "frame"), Outcome::Fail);
    assert_eq!(with("50, 58.1", "pin"), Outcome::Pass);
    assert_eq!(with("58.1, 50", "pin"), Outcome::Pass);
    assert_eq!(with("57, 57.9", "pin"), Outcome::Fail);
}

#[test]
fn a_part_more_than_four_times_as_tall_as_wide_wants_a_brim() {
    // The inner screw stands on a collar of 16 mm; its thread goes with the override.
    let with = |thread: f64| {
        let kit = format!("{GOOD}sizes = {{ inner_thread = {thread}, bore = 60 }}");
        judged(&nested(&kit), "bed", "inner")
    };
    let head = with(46.0).value.expect("a height") - 46.0;
    assert_eq!(with(4.0 * 16.0 - head - 0.5).outcome, Outcome::Pass);
    assert_eq!(with(4.0 * 16.0 - head + 0.5).outcome, Outcome::Note);
}
