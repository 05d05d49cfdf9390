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
