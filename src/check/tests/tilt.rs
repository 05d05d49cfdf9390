//! Rule file `tilt.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_load_far_off_the_axis_jams_the_carriage() {
    // Hand calculation: 22.5 mm less edges of 1.6 guide it, friction 0.25: 20.9 / 0.5 = 41.8 mm.
    let with = |offset: &str| {
        let kit = nested(&format!("{GOOD}{WORKED}load = {{ offset = {offset} }}\n"));
        judged(&kit, "tilt", "carriage").outcome
    };
    assert_eq!(with("20.8"), Outcome::Pass);
    assert_eq!(with("21"), Outcome::Warn);
    assert_eq!(with("41.7"), Outcome::Warn);
    assert_eq!(with("41.9"), Outcome::Fail);
}

#[test]
fn more_friction_jams_sooner_and_the_longer_carriage_of_the_mend_does_not() {
    let kit = format!("{GOOD}load = {{ offset = 30 }}\nfriction = [0.12, 0.38]\n");
    let jams = judged(&nested(&kit), "tilt", "carriage");
    // 20.9 / 0.76 = 27.5 mm.
    assert_eq!(jams.outcome, Outcome::Fail);
    let mend = jams.mend.expect("what to type");
    let typed = mend.split('`').nth(1).expect("a line to type");
    assert!(mend.contains("` in `sizes`"), "{mend}");
    let mended = nested(&format!("{kit}sizes.{typed}\n"));
    assert_eq!(
        judged(&mended, "tilt", "carriage").outcome,
        Outcome::Pass,
        "{typed}"
    );
}

#[test]
fn a_jaw_is_a_load_beside_the_axis_for_which_the_carriage_is_long_enough() {
    // e = 21 + 1 + 7 = 29 mm; 4 x 0.25 x 29 + 1.6 = 30.6 mm pass, and warn if they are less.
    let with = |more: &str| {
        let kit = nested(&format!("{GOOD}{WORKED}end = \"jaw\"\n{more}"));
        judged(&kit, "tilt", "carriage")
    };
    let drawn = with("");
    assert_eq!(drawn.outcome, Outcome::Pass);
    approx::assert_abs_diff_eq!(drawn.value.expect("an offset"), 29.0, epsilon = 1e-9);
    assert_eq!(
        with("sizes.carriage_length = 30.7\n").outcome,
        Outcome::Pass
    );
    let short = with("sizes.carriage_length = 30.5\n");
    assert_eq!(short.outcome, Outcome::Warn);
    // Only a longer carriage helps: the jaw is where it is.
    let mend = short.mend.expect("what to type");
    assert!(
        mend.contains("length") && !mend.contains("offset"),
        "{mend}"
    );
    // A load further out than the jaw counts by itself.
    assert_eq!(with("load = { offset = 70 }\n").outcome, Outcome::Fail);
}
