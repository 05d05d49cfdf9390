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
