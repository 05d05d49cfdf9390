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
