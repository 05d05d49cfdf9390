//! Rule file `frame_bending.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn rails_are_pulled_at_their_inner_edge() {
    // Hand calculation at 2 N m, 229.4 N in each rail: 479.3 mm2 about y = 14.79, I = 7777 mm4,
    // pulled at 10.774 + 2.156 = 12.930; 229.4 (1/479.3 + 1.861 x 8.841 / 7777) = 0.964 MPa, and
    // the pins' holes take 112.5 mm2: 1.259 MPa; 20 at 31.8 N m, 18 at 28.6.
    let with = |torque: f64| {
        let kit = nested(&format!(
            "{GOOD}{WORKED}hand_torque = {torque}\nperimeters = {{ frame = \"solid\" }}\n"
        ));
        judged(&kit, "frame-bending", "frame").outcome
    };
    assert_eq!(with(28.4), Outcome::Pass);
    assert_eq!(with(28.8), Outcome::Warn);
    assert_eq!(with(31.6), Outcome::Warn);
    assert_eq!(with(31.9), Outcome::Fail);
}

#[test]
fn rails_of_walls_alone_are_pulled_harder() {
    // Of 0.426 of the area and 0.667 of the second moment: 4.7 MPa under 929.4 N, where solid
    // rails have 2.55.
    let with = |walls: &str| {
        let kit = format!("{GOOD}{WORKED}walls = {walls}\n").replace("0.25", "0.12");
        judged(&nested(&kit), "frame-bending", "frame")
    };
    let [few, solid] = ["4", "40"].map(|walls| with(walls).value.expect("a stress"));
    approx::assert_abs_diff_eq!(solid, 2.55, epsilon = 0.01);
    approx::assert_abs_diff_eq!(few, 4.7, epsilon = 0.2);
}

#[test]
fn a_jaw_bends_the_rails_along_themselves() {
    // Hand calculation: two rails of a square of 42 mm less a bore of 28.4 and slots of 11.9; each is
    // bent along itself by W e / 2 with e = 21 + 1 + 7 = 29, over a second moment about the frame's y
    // axis. Of a half square it is 42^3 x 21 / 12 = 129 654 mm4; half of the bore's circle takes pi
    // 14.2^4 / 8 = 15 967 of it, half of the slots beside the circle 5.95 (21^3 - 12.89^3) / 3 x 2 less
    // what the circle has there, 28 200 or so: some 86 000 are left. 229.4 x 29 x 21 / 86 000 = 1.62
    // MPa, and the pins' holes take a quarter of the section: 2.1 MPa more than without a jaw.
    let stress = |end: &str| {
        let kit = nested(&format!(
            "{GOOD}{WORKED}end = \"{end}\"\nperimeters = {{ frame = \"solid\" }}\n"
        ));
        let found = judged(&kit, "frame-bending", "frame");
        found.value.expect("a stress")
    };
    approx::assert_abs_diff_eq!(stress("jaw") - stress("flush"), 2.1, epsilon = 0.25);
}
