//! Rule file `press_stress.rs`: one failing and one just-passing case.

use super::*;

/// The good kit, its pins held by plain walls.
fn with_walls() -> String {
    nested(&format!("{GOOD}pins = {{ held_by = \"wall\" }}\n"))
}

#[test]
fn a_tight_pin_splits_the_ear_of_the_carriage() {
    // Hand calculation: pin 5.5 in an ear 11.5 wide, both 2.5 GPa: 0.04 mm make 2500 x 0.04
    // (11.5^2 - 5.5^2) / (2 x 5.5 x 11.5^2) = 7.011 MPa of pressure, times 162.5 / 102 = 11.17 of
    // hoop stress; 14 at 0.0501 mm, 20 at 0.0716 mm, half of which are the radial gaps.
    let with = |gap: &str| {
        let kit = nested(&format!(
            "{GOOD}pins = {{ held_by = \"wall\" }}\ngaps = {{ press = {gap} }}\n"
        ));
        judged(&kit, "press-stress", "carriage").outcome
    };
    assert_eq!(with("-0.025"), Outcome::Pass);
    assert_eq!(with("-0.026"), Outcome::Warn);
    assert_eq!(with("-0.035"), Outcome::Warn);
    assert_eq!(with("-0.036"), Outcome::Fail);
}

#[test]
fn the_frame_is_stretched_by_its_keeper_pins() {
    // 8.25 mm from the frame's end: a ring of 16.5 mm, 3 pins wide: 2500 x 0.04 x (1 - 1/9) / 11 =
    // 8.081 MPa, times 10/8 = 10.10 MPa.
    let frame = judged(&with_walls(), "press-stress", "frame");
    approx::assert_abs_diff_eq!(frame.value.expect("a stress"), 10.10, epsilon = 5e-3);
}

#[test]
fn a_loose_pin_stretches_nothing_and_the_typed_mend_passes() {
    let with = |gap: &str| {
        nested(&format!(
            "{GOOD}pins = {{ held_by = \"wall\" }}\ngaps = {{ press = {gap} }}\n"
        ))
    };
    let loose = judged(&with("0.02"), "press-stress", "carriage");
    assert_eq!((loose.value, loose.outcome), (Some(0.0), Outcome::Pass));
    let tight = judged(&with("-0.05"), "press-stress", "carriage");
    let mend = tight.mend.expect("what to type");
    let typed = mend.split('`').nth(1).expect("a line to type");
    let mended = judged(
        &nested(&format!("{GOOD}pins = {{ held_by = \"wall\" }}\n{typed}\n")),
        "press-stress",
        "carriage",
    );
    assert_eq!(mended.outcome, Outcome::Pass, "{typed}");
}

#[test]
fn crush_ribs_spare_the_wall_until_they_are_driven_far_too_deep() {
    // Three ribs in a pin hole of 5.5 mm, half of whose chords bear 40 MPa; hoop stress is 1.593
    // times the pressure in the ear of 11.5 mm. 0.11 mm deep: chords of 1.540 mm, 5.348 MPa,
    // 8.52 of hoop stress; 14 MPa at 8.789 MPa, chords of 2.531 mm, 0.308 mm deep.
    let with = |gap: f64| {
        let kit = nested(&format!("{GOOD}gaps = {{ press = {gap} }}\n"));
        judged(&kit, "press-stress", "carriage")
    };
    let value = with(-0.11).value.expect("a stress");
    approx::assert_abs_diff_eq!(value, 8.52, epsilon = 0.01);
    assert_eq!(with(-0.11).outcome, Outcome::Pass);
    assert_eq!(with(-0.30).outcome, Outcome::Pass);
}
