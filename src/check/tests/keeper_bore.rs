//! Rule file `keeper_bore.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_keeper_with_a_narrow_bore_fails() {
    let with = |diameter: &str| {
        let kit = format!("{GOOD}pins = {{ diameter = {diameter} }}");
        judged(&nested(&kit), "keeper-bore", "keeper").outcome
    };
    // Dc - 2 dp - 8 with Dc = 28.
    assert_eq!(with("7.5"), Outcome::Pass);
    assert_eq!(with("8"), Outcome::Fail);
}
