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
