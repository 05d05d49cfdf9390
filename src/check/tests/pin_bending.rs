//! Rule file `pin_bending.rs`: one failing and one just-passing case.

use super::*;

fn under(word: &'static str) -> impl Fn(f64) -> Outcome {
    move |torque| {
        let kit = nested(&format!("{GOOD}{WORKED}hand_torque = {torque}\n"));
        judged_like(&kit, "pin-bending", "pin", word).outcome
    }
}

#[test]
fn a_cross_pin_is_bent_between_head_and_carriage() {
    // Hand calculation at 2 N m: 229.4 N in a section, bedded over 4.312 mm, 0.12 mm of room and
    // a mouth of 1 mm: 229.4 (0.3224 x 4.312 + 0.56) = 447.4 N mm over 15.72 mm3: 28.46 MPa; 40
    // at 2.81 N m, 36 at 2.53.
    let with = under("cross pin");
    assert_eq!(with(2.5), Outcome::Pass);
    assert_eq!(with(2.6), Outcome::Warn);
    assert_eq!(with(2.8), Outcome::Warn);
    assert_eq!(with(2.9), Outcome::Fail);
}

#[test]
fn keeper_pins_share_the_push_and_bend_less() {
    // 114.7 N, 0.159 mm of room along the pin: 10.72 MPa; 40 at 7.46 N m.
    let with = under("keeper pins");
    assert_eq!(with(6.7), Outcome::Pass);
    assert_eq!(with(7.4), Outcome::Warn);
    assert_eq!(with(7.5), Outcome::Fail);
}

#[test]
fn swivel_pins_are_bent_in_their_middle() {
    // Single M20x2.5 at 2 N m: the thread's arm is 3.089 mm, that of the swivel 0.25 x 9.870:
    // 360.0 N, so the flank presses with 360.0 / (2 cos 45) = 254.6 on each of two pins of 5 mm,
    // bedded over 3.920 mm: 254.6 x 3.920 / 4 = 249.5 N mm over 9.516 mm3: 26.21 MPa; 36 at 2.75
    // and 40 at 3.05 N m.
    let with = |torque: f64| {
        let kit = format!(
            "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 30\nfriction = 0.25\nhand_torque = {torque}\n"
        );
        judged_like(&kit, "pin-bending", "pin", "swivel").outcome
    };
    assert_eq!(with(2.7), Outcome::Pass);
    assert_eq!(with(3.0), Outcome::Warn);
    assert_eq!(with(3.1), Outcome::Fail);
}

#[test]
fn pins_from_a_shop_are_of_steel_and_not_judged() {
    let kit = nested(&format!("{GOOD}pins = {{ buy = \"5 mm dowel\" }}\n"));
    assert!(findings(&kit, "pin-bending").is_empty());
}

#[test]
fn a_jaw_lays_most_of_its_push_on_the_pin_next_to_it() {
    // Hand calculation: about the flange's edge at 21 mm the pin at 9.25 holds W (29 + 21) / (9.25 + 21)
    // = 1.653 W in two sections; without a jaw each of four bears W / 4: 3.306 times as much.
    let stress = |end: &str| {
        let kit = nested(&format!("{GOOD}{WORKED}end = \"{end}\"\n"));
        let found = judged_like(&kit, "pin-bending", "pin", "keeper pins");
        found.value.expect("a stress")
    };
    approx::assert_relative_eq!(stress("jaw") / stress("flush"), 3.306, max_relative = 2e-3);
    approx::assert_relative_eq!(stress("rod") / stress("flush"), 1.0, max_relative = 1e-12);
}
