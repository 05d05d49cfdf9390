//! Rule file `strength.rs`: one failing and one just-passing case.

use super::*;

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
