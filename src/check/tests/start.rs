//! Rule file `start.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn a_fine_inner_thread_on_thick_layers_makes_the_start_ambiguous() {
    let with = |layer: &str| {
        let kit = format!("{GOOD}layer = {layer}\ngaps = {{ thread = -0.1 }}");
        judged(&nested(&kit), "start-turn", "inner").outcome
    };
    // A quarter of 1.75 is 0.4375: one and a half layers of 0.29, not of 0.30.
    assert_eq!(with("0.29"), Outcome::Pass);
    assert_eq!(with("0.30"), Outcome::Warn);
}

#[test]
fn a_drive_thread_that_barely_turns_back_makes_the_start_ambiguous() {
    // The way back is what the thread is longer than zd + L1 Na.
    let with = |thread: f64| {
        let kit = format!("{GOOD}sizes = {{ drive_thread = {thread} }}");
        judged(&nested(&kit), "start-turn", "drive")
    };
    let least = 75.0 - with(75.0).value.expect("a way");
    assert_eq!(with(least + 0.31).outcome, Outcome::Pass); // two layers of 0.15
    assert_eq!(with(least + 0.29).outcome, Outcome::Warn);
}
