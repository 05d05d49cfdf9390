//! Rule file `wall.rs`: one failing and one just-passing case.

use super::*;

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
fn the_inner_thread_that_a_thin_wall_is_told_to_take_passes() {
    // M16 over M10 lacks 0.133 mm of four lines: 10 - 0.267, in whole tenths 9.7 mm.
    let with = |inner: &str| {
        let kit = format!("drive = \"M16\"\ninner = \"{inner}\"\nstroke = 10\nhand_torque = 0.3\n");
        judged(&nested(&kit), "drive-wall", "drive")
    };
    let mend = with("M10").mend.expect("a mend");
    assert!(mend.contains("`inner = \"9.7x1.5\"`"), "{mend}");
    assert_eq!(with("9.7x1.5").outcome, Outcome::Pass);
    assert_eq!(with("9.8x1.5").outcome, Outcome::Warn);
}

#[test]
fn a_thinner_inner_thread_is_not_told_where_its_core_breaks_sooner_already() {
    // A whole hand overloads the core of M10; that of 9.7 mm more.
    let kit = "drive = \"M16\"\ninner = \"M10\"\nstroke = 10\n";
    let mend = judged(&nested(kit), "drive-wall", "drive").mend;
    let mend = mend.expect("a mend");
    assert!(!mend.contains("inner"), "{mend}");
}
