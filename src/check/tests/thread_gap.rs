//! Rule file `thread_gap.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn flanks_that_touch_fail() {
    let with = |gap: &str| {
        let kit = format!("{GOOD}gaps = {{ thread = {gap} }}\nlayer = 0.1");
        judged(&nested(&kit), "thread-gap", "drive/frame").outcome
    };
    // Drawn is wanted + 0.06 + one layer of 0.1.
    assert_eq!(with("-0.15"), Outcome::Pass);
    assert_eq!(with("-0.17"), Outcome::Fail);
}
