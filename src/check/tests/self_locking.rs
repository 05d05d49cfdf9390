//! Rule file `self_locking.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_greased_single_runs_back_under_its_load() {
    // Hand calculation: M20x2.5 on 18.376 mm: tan lambda = 0.04330, times cos 30 deg = 0.0375.
    let with = |friction: &str| {
        let kit = format!(
            "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\nfriction = {friction}\n"
        );
        judged(&kit, "self-locking", "drive").outcome
    };
    assert_eq!(with("0.037"), Outcome::Fail);
    assert_eq!(with("0.038"), Outcome::Warn);
    assert_eq!(with("0.056"), Outcome::Warn);
    assert_eq!(with("0.057"), Outcome::Pass);
    // The least of an interval counts.
    assert_eq!(with("[0.037, 0.3]"), Outcome::Fail);
}

#[test]
fn a_differential_holds_where_its_plain_screw_would_not() {
    // Hand calculation: r1 tan(phi - 2.480 deg) + r2 tan(phi + 2.936 deg) = 0 at mu = 0.0071.
    let kit = nested(&format!("{GOOD}friction = 0.03\n"));
    let found = judged(&kit, "self-locking", "drive");
    assert_eq!(found.outcome, Outcome::Pass);
    approx::assert_abs_diff_eq!(found.limit.expect("a friction"), 0.0071, epsilon = 5e-5);
}
