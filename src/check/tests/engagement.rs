//! Rule file `engagement.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_short_tapped_wall_lets_the_thread_strip() {
    // Countersinks take 2 x 1.853 mm of the wall; three pitches are 7.5 mm.
    let with = |wall: &str| {
        let kit = format!("{GOOD}sizes = {{ tapped_wall = {wall} }}");
        judged(&nested(&kit), "engagement", "drive/frame").outcome
    };
    assert_eq!(with("24"), Outcome::Pass);
    assert_eq!(with("11.4"), Outcome::Warn);
    assert_eq!(with("11"), Outcome::Fail);
}
