//! Rule file `keeper_bending.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_keeper_bends_between_its_pins() {
    // Hand calculation at 2 N m and friction 0.12, 929.4 N: the face between 9 and 28 mm presses
    // at 6.406 mm, the pins stand at 9.25: 464.7 x 2.844 = 1321.5 N mm. The plug is 28.4 - 0.24 -
    // 9 = 19.16 wide and 12.75 long: 6 x 1321.5 / (19.16 x 162.6) = 2.546 MPa; 40 at 31.4 N m, 36
    // at 28.3.
    let with = |torque: f64| {
        let kit = format!(
            "{GOOD}hand_torque = {torque}\nfriction = 0.12\ngaps = {{ locate = 0.06, slide = 0.14 }}\nperimeters = \
             {{ keeper = \"solid\" }}\n"
        );
        judged(&nested(&kit), "keeper-bending", "keeper").outcome
    };
    assert_eq!(with(28.2), Outcome::Pass);
    assert_eq!(with(28.4), Outcome::Warn);
    assert_eq!(with(31.3), Outcome::Warn);
    assert_eq!(with(31.6), Outcome::Fail);
}

#[test]
fn a_keeper_bears_what_the_walls_of_its_two_legs_bear() {
    // Four walls on either side of each leg, 7.2 mm of 19.16: 2.546 x 19.16 / 7.2 = 6.775 MPa.
    let kit = format!("{GOOD}friction = 0.12\ngaps = {{ locate = 0.06, slide = 0.14 }}\n");
    let found = judged(&nested(&kit), "keeper-bending", "keeper");
    approx::assert_abs_diff_eq!(found.value.expect("a stress"), 6.775, epsilon = 0.01);
}

#[test]
fn a_jaw_tips_the_keeper_about_its_pins() {
    // Hand calculation at 2 N m and friction 0.12, 929.4 N: the jaw's middle at 29 mm, the pins at
    // 9.25: 929.4 x 19.75 = 18 356 N mm. There the plug, of radius 14.08, is 2 sqrt(14.08^2 - 9.25^2)
    // = 21.23 wide, and 12.75 long: 6 x 18 356 / (21.23 x 162.6) = 31.9 MPa, under 40 and 36.
    let with = |torque: f64| {
        let kit = format!(
            "{GOOD}end = \"jaw\"\nhand_torque = {torque}\nfriction = 0.12\ngaps = {{ locate = 0.06, slide \
             = 0.14 }}\n"
        );
        judged_like(
            &nested(&kit),
            "keeper-bending",
            "keeper",
            "tipped by its jaw",
        )
    };
    let found = with(2.0);
    approx::assert_abs_diff_eq!(found.value.expect("a stress"), 31.9, epsilon = 0.3);
    assert_eq!(found.outcome, Outcome::Pass);
    assert_eq!(with(2.4).outcome, Outcome::Warn);
    assert_eq!(with(2.6).outcome, Outcome::Fail);
}

#[test]
fn a_yoke_bends_the_keeper_between_its_pins() {
    // Hand calculation at 2 N m and friction 0.12, 929.4 N: the lips at 21 + 4 = 25 mm, the pins at
    // 9.25: 464.7 x 15.75 = 7319 N mm. The plug is 21.23 wide at its pins, less than beside its hole of
    // 6.4, and 12.75 long: 6 x 7319 / (21.23 x 162.6) = 12.72 MPa; 36 at 5.66 N m, 40 at 6.29.
    let with = |torque: f64| {
        let kit = format!(
            "{GOOD}end = \"press\"\nhand_torque = {torque}\nfriction = 0.12\ngaps = {{ locate = 0.06, slide \
             = 0.14 }}\n"
        );
        judged_like(
            &nested(&kit),
            "keeper-bending",
            "keeper",
            "bent by the yoke",
        )
    };
    let found = with(2.0);
    approx::assert_abs_diff_eq!(found.value.expect("a stress"), 12.72, epsilon = 0.1);
    assert_eq!(with(5.6).outcome, Outcome::Pass);
    assert_eq!(with(5.9).outcome, Outcome::Warn);
    assert_eq!(with(6.4).outcome, Outcome::Fail);
}
