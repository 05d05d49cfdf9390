//! Rule file `flank_pressure.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn flanks_are_crushed_where_the_finer_thread_presses() {
    // Hand calculation at 2 N m, 458.8 N; M12x1.75, gap 0.25: depth 0.697 mm, 6.926 turns on
    // 10.863 mm: 164.8 mm2, 2.784 MPa; 20 at 14.37 N m, 18 at 12.93.
    let with = |torque: f64| {
        let kit = nested(&format!("{GOOD}{WORKED}hand_torque = {torque}\n"));
        judged(&kit, "flank-pressure", "inner/drive").outcome
    };
    assert_eq!(with(12.9), Outcome::Pass);
    assert_eq!(with(13.0), Outcome::Warn);
    assert_eq!(with(14.3), Outcome::Warn);
    assert_eq!(with(14.4), Outcome::Fail);
}
