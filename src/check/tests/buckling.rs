//! Rule file `buckling.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_hand_that_pushes_too_hard_bows_the_screws_out() {
    // Hand calculation: 45.0 mm free, core 10.106 mm: l/k = 17.81, stout below (l/k)1 = 28.68;
    // 20 - (20 x 17.81 / (2 pi))^2 / 833.3 = 16.14 MPa on 80.21 mm2: 1295 N. 458.8 N at 2 N m:
    // half of it at 2.82 N m, all at 5.64.
    let with = |torque: f64| {
        let kit = nested(&format!("{GOOD}{WORKED}hand_torque = {torque}\n"));
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
        mend.starts_with("take a thicker screw (`drive = "),
        "{mend}"
    );
    let pair = nested(&format!("{GOOD}hand_torque = 9\n"));
    let bent = judged(&pair, "buckling", "inner").mend.expect("what to do");
    assert!(!bent.contains("take a thicker screw"), "{bent}");
}

#[test]
fn a_screw_of_thin_walls_bows_out_sooner() {
    // At 929.4 N a solid core takes 1296 N; with four walls a ring of 0.853 mm of 439 N.
    let with = |walls: &str| {
        let kit =
            format!("{GOOD}friction = 0.12\nlayer = 0.14\nperimeters = {{ inner = {walls} }}\n");
        judged(&nested(&kit), "buckling", "inner")
    };
    let [solid, thin] = ["\"solid\"", "4"].map(with);
    assert_eq!(solid.outcome, Outcome::Warn);
    approx::assert_abs_diff_eq!(solid.limit.expect("a load"), 1296.0, epsilon = 0.5);
    assert_eq!(thin.outcome, Outcome::Fail);
    approx::assert_abs_diff_eq!(thin.limit.expect("a load"), 439.0, epsilon = 0.5);
    let mend = thin.mend.expect("what to do");
    assert!(mend.starts_with("print the inner screw solid"), "{mend}");
}
