//! Rule file `frame_bending.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn rails_are_pulled_at_their_inner_edge() {
    // Hand calculation at 2 N m, 229.4 N in each rail: 479.3 mm2 about y = 14.79, I = 7777 mm4,
    // pulled at 10.774 + 2.156 = 12.930; 229.4 (1/479.3 + 1.861 x 8.841 / 7777) = 0.964 MPa, and
    // the pins' holes take 112.5 mm2: 1.259 MPa; 20 at 31.8 N m, 18 at 28.6.
    let with = |torque: f64| {
        let kit = nested(&format!("{GOOD}hand_torque = {torque}\n"));
        judged(&kit, "frame-bending", "frame").outcome
    };
    assert_eq!(with(28.4), Outcome::Pass);
    assert_eq!(with(28.8), Outcome::Warn);
    assert_eq!(with(31.6), Outcome::Warn);
    assert_eq!(with(31.9), Outcome::Fail);
}
