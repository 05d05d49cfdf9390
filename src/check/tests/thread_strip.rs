//! Rule file `thread_strip.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn the_finer_threads_ridges_shear_off_first() {
    // Hand calculation at 2 N m, 458.8 N; gap 0.25, engaged 12.121 mm of M12x1.75: Kn = 10.606,
    // Es = 10.863: pi 6.926 x 10.606 (0.875 + 0.5774 x 0.2578) = 236.3 mm2, 1.942 MPa; 0.55 of
    // 20 = 11 MPa at 11.33 N m, 0.9 of it at 10.20.
    let with = |torque: f64| {
        let kit = nested(&format!("{GOOD}{WORKED}hand_torque = {torque}\n"));
        judged_like(&kit, "thread-strip", "inner/drive", "the screw's ridges").outcome
    };
    assert_eq!(with(10.1), Outcome::Pass);
    assert_eq!(with(10.3), Outcome::Warn);
    assert_eq!(with(11.3), Outcome::Warn);
    assert_eq!(with(11.4), Outcome::Fail);
}

#[test]
fn the_holes_ridges_are_judged_too() {
    // Ds = 12, En = 11.363: pi 6.926 x 12 (0.875 + 0.5774 x 0.6367) = 324.5 mm2, 1.414 MPa at 2
    // N m; 11 at 15.56 N m.
    let with = |torque: f64| {
        let kit = nested(&format!("{GOOD}{WORKED}hand_torque = {torque}\n"));
        judged_like(&kit, "thread-strip", "inner/drive", "the hole's ridges").outcome
    };
    assert_eq!(with(15.5), Outcome::Warn);
    assert_eq!(with(15.6), Outcome::Fail);
}

#[test]
fn a_wider_gap_and_a_shorter_thread_strip_sooner() {
    let stress = |more: &str| {
        let kit = nested(&format!("{GOOD}{more}\n"));
        let found = judged_like(&kit, "thread-strip", "inner/drive", "the screw's ridges");
        found.value.expect("a stress")
    };
    assert!(stress("gaps = { thread = 0.1 }") > stress(""));
    assert!(stress("sizes = { inner_thread = \"42 mm\" }") > stress(""));
}

#[test]
fn a_ridge_wants_walls_as_thick_as_it_is_high() {
    // M20x2.5: 5/16 sqrt(3) 2.5 = 1.3532 mm high; three walls of 0.451 are 1.353, of 0.4511 enough.
    let with = |line: &str| {
        let kit = format!("{GOOD}line = {line}\nwalls = 3\n");
        let found = findings(&nested(&kit), "thread-strip");
        let mut frame = found
            .into_iter()
            .filter(|f| f.message.contains("ridge of the frame"));
        frame.next().expect("a finding about the frame's ridges")
    };
    assert_eq!(with("0.4511").outcome, Outcome::Pass);
    let bare = with("0.451");
    assert_eq!(bare.outcome, Outcome::Fail);
    assert!(
        bare.mend
            .expect("what to type")
            .contains("`frame = 4` in `perimeters`")
    );
    // Of what is printed solid nothing is to be said.
    let found = findings(&nested(GOOD), "thread-strip");
    assert!(
        found
            .iter()
            .all(|f| !f.message.contains("ridge of the inner screw"))
    );
}
