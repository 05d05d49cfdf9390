//! Rule file `end_bending.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn ears_bend_at_the_carriages_body() {
    // Hand calculation: frame of 42 mm, bolts at 27; the body of 28 mm ends beside an ear of 11.5 at
    // sqrt(14^2 - 5.75^2) = 12.765: a lever of 14.235 mm. The pin stands 16.35 - 9.75 - 0.6 = 6 mm
    // under the near face, and the ear ends half a hole of 5.74 and 2.5 before it, so that it is 11.13
    // mm thick of 22.5. At 2 N m and friction 0.25, 458.8 N: 6 x 229.4 x 14.235 / (11.5 x 11.13^2) =
    // 13.75 MPa; 40 at 5.82 N m, 36 at 5.23.
    let with = |torque: f64| {
        let kit = nested(&format!(
            "{GOOD}{WORKED}end = \"ears\"\nhand_torque = {torque}\n"
        ));
        let found = judged(&kit, "end-bending", "carriage");
        (found.outcome, found.value.expect("a stress") / torque)
    };
    let (_, stress) = with(2.0);
    approx::assert_abs_diff_eq!(stress * 2.0, 13.75, epsilon = 0.02);
    assert_eq!(with(5.2).0, Outcome::Pass);
    assert_eq!(with(5.26).0, Outcome::Warn);
    assert_eq!(with(5.78).0, Outcome::Warn);
    assert_eq!(with(5.86).0, Outcome::Fail);
}

#[test]
fn a_fixed_jaw_bends_where_it_leaves_the_flange() {
    // Hand calculation: its middle stands 8 mm beside the frame; an arm 23.8 wide and 8 high: at
    // 458.8 N 6 x 458.8 x 8 / (23.8 x 64) = 14.46 MPa; with two walls of 1.8 mm, 3.6 wide, 95.6.
    let with = |more: &str| {
        let kit = nested(&format!("{GOOD}{WORKED}end = \"jaw\"\n{more}"));
        judged(&kit, "end-bending", "keeper")
    };
    let solid = with("").value.expect("a stress");
    approx::assert_abs_diff_eq!(solid, 14.46, epsilon = 0.05);
    let walls = with("perimeters = { keeper = 4 }\n");
    approx::assert_abs_diff_eq!(walls.value.expect("a stress"), 95.6, epsilon = 0.4);
    assert_eq!(walls.outcome, Outcome::Fail);
    assert!(
        walls
            .mend
            .expect("what to type")
            .contains("keeper = \"solid\"")
    );
}

/// A press whose keeper is solid, its gaps those of the other hand calculations.
fn press(torque: f64, more: &str) -> String {
    nested(&format!(
        "{GOOD}end = \"press\"\nhand_torque = {torque}\nfriction = 0.12\ngaps = {{ locate = 0.06, \
         slide = 0.14 }}\n{more}"
    ))
}

#[test]
fn a_yoke_is_bent_at_its_hole_and_beside_its_grooves() {
    // Hand calculation at 2 N m and friction 0.12, 929.4 N, on a frame of 42: half of it at the wing's
    // end, 21 + 7 = 28 from the axis; a plate of 16 less a hole of 7, 18 high: 6 x 464.7 x 28 /
    // (9 x 324) = 26.77 MPa, warned of from 36 and failed at 40.
    let crossbar = |torque: f64| judged_like(&press(torque, ""), "end-bending", "yoke", "crossbar");
    let found = crossbar(2.0);
    approx::assert_abs_diff_eq!(found.value.expect("a stress"), 26.77, epsilon = 0.02);
    assert_eq!(crossbar(2.68).outcome, Outcome::Pass);
    assert_eq!(crossbar(2.7).outcome, Outcome::Warn);
    assert_eq!(crossbar(2.98).outcome, Outcome::Warn);
    let failed = crossbar(3.0);
    assert_eq!(failed.outcome, Outcome::Fail);
    assert!(failed.mend.expect("what to type").contains("hand_torque"));
    // A lip is pulled at 25; the groove's floor is at 28.12, the middle of a leg of 10 at 33.12: 464.7 x
    // 8.12 = 3773 N mm bend it by 6 x 3773 / (16 x 100) = 14.15 MPa, and 464.7 / 160 = 2.90 pull.
    let legs = judged_like(&press(2.0, ""), "end-bending", "yoke", "legs");
    approx::assert_abs_diff_eq!(legs.value.expect("a stress"), 17.05, epsilon = 0.02);
    // A lip, 3.12 from its middle to its root, 8 high: 6 x 464.7 x 3.12 / (16 x 64) = 8.5 MPa.
    let lips = judged_like(&press(2.0, ""), "end-bending", "yoke", "lips");
    approx::assert_abs_diff_eq!(lips.value.expect("a stress"), 8.5, epsilon = 0.02);
}

#[test]
fn wings_are_bent_where_the_plug_ends() {
    // Hand calculation as above: from the lip at 25 to the guide at 14.2, 10.8; wings of 42 - 6 = 36 by
    // 7.8: 6 x 464.7 x 10.8 / (36 x 60.84) = 13.75 MPa.
    let wings = judged_like(&press(2.0, ""), "end-bending", "keeper", "wings");
    approx::assert_abs_diff_eq!(wings.value.expect("a stress"), 13.75, epsilon = 0.05);
    // With two walls of 1.8 mm, 3.6 wide, ten times as much: it breaks, and filling it helps.
    let thin = press(2.0, "perimeters = { keeper = 4 }\n");
    let wings = judged_like(&thin, "end-bending", "keeper", "wings");
    approx::assert_abs_diff_eq!(wings.value.expect("a stress"), 137.5, epsilon = 0.5);
    assert_eq!(wings.outcome, Outcome::Fail);
    assert!(
        wings
            .mend
            .expect("what to type")
            .contains("keeper = \"solid\"")
    );
}

#[test]
fn a_flush_carriage_has_nothing_that_stands_out() {
    assert!(findings(&nested(GOOD), "end-bending").is_empty());
    assert!(findings(&nested(&format!("{GOOD}end = \"rod\"\n")), "end-bending").is_empty());
}

#[test]
fn a_cranks_arm_bends_at_its_hub() {
    // Hand calculation: a drive screw of 20 mm has a hub of 34 and an arm of 50, 20.4 broad and 8.1 high,
    // that leaves the hub at sqrt(17^2 - 10.2^2) = 13.6: of 10 N m 7.28 bend it. Solid: 6 x 7280 / (8.1 x
    // 20.4^2) = 12.96 MPa; 40 at 30.9 N m, 36 at 27.8. With two walls of 1.8 on either side of it 16.8 are
    // hollow: of its 8.1 mm 8.1 (1 - (16.8 / 20.4)^3) = 3.58 bear, 29.3 MPa.
    let with = |torque: f64, more: &str| {
        let kit = format!(
            "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\nhead = {{ kind = \"crank\" }}\nhand_torque = \
             {torque}\n{more}"
        );
        let found = judged(&kit, "end-bending", "drive");
        (found.outcome, found.value.expect("a stress"))
    };
    approx::assert_abs_diff_eq!(with(10.0, "").1, 12.96, epsilon = 0.01);
    let walls = "perimeters = { drive = 4 }\n";
    approx::assert_abs_diff_eq!(with(10.0, walls).1, 29.3, epsilon = 0.1);
    assert_eq!(with(27.6, "").0, Outcome::Pass);
    assert_eq!(with(28.0, "").0, Outcome::Warn);
    assert_eq!(with(30.7, "").0, Outcome::Warn);
    assert_eq!(with(31.1, "").0, Outcome::Fail);
}
