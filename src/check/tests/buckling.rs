//! Rule file `buckling.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_hand_that_pushes_too_hard_bows_the_screws_out() {
    // Hand calculation: 45.0 mm free, core 10.106 mm: l/k = 17.81, stout below (l/k)1 = 28.68;
    // 20 - (20 x 17.81 / (2 pi))^2 / 833.3 = 16.14 MPa on 80.21 mm2: 1295 N. 458.8 N at 2 N m:
    // half of it at 2.82 N m, all at 5.64.
    let with = |torque: f64| {
        let kit = nested(&format!("{GOOD}hand_torque = {torque}\n"));
        judged(&kit, "buckling", "inner").outcome
    };
    assert_eq!(with(2.8), Outcome::Pass);
    assert_eq!(with(2.9), Outcome::Warn);
    assert_eq!(with(5.6), Outcome::Warn);
    assert_eq!(with(5.7), Outcome::Fail);
}

#[test]
fn a_longer_stroke_bows_out_sooner() {
    let most = |stroke: &str| {
        let kit = nested(GOOD).replace("stroke = 10", &format!("stroke = {stroke}"));
        judged(&kit, "buckling", "inner").limit.expect("a load")
    };
    assert!(most("30") < most("10"));
}

#[test]
fn only_screws_that_a_kit_has_are_to_be_thickened() {
    let single = "name = \"t\"\nlayout = \"single\"\ndrive = \"M12\"\nstroke = 60\n";
    let bent = judged(&format!("{single}hand_torque = 9\n"), "buckling", "drive");
    assert_eq!(bent.outcome, Outcome::Fail);
    let mend = bent.mend.expect("what to do");
    assert!(
        mend.ends_with("a thicker screw (`drive`) or a shorter `stroke`"),
        "{mend}"
    );
}
