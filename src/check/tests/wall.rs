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
        let kit = format!("drive = \"M16\"\ninner = \"{inner}\"\nstroke = 10\n");
        judged(&nested(&kit), "drive-wall", "drive")
    };
    let mend = with("M10").mend.expect("a mend");
    assert!(mend.contains("of 9.7 mm at the most"), "{mend}");
    assert_eq!(with("9.7x1.5").outcome, Outcome::Pass);
    assert_eq!(with("9.8x1.5").outcome, Outcome::Warn);
}
