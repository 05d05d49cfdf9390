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
