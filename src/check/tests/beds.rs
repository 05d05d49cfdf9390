//! Rule file `beds.rs`: one kit on one bed, and the same on several.

use super::*;

#[test]
fn a_kit_that_fills_several_beds_says_how_many() {
    let with = |bed: &str| {
        let kit = format!("{GOOD}layer = 0.14\nbed = [{bed}, 200]\npins = {{ grades = false }}");
        judged(&nested(&kit), "beds", "kit")
    };
    assert_eq!(with("220, 220").outcome, Outcome::Pass);
    // By hand, boxes 5 mm apart on 100 by 60: frame and keeper (42 square), two pins (38 by
    // 5.5) behind them; drive, carriage, inner screw and a pin; the last two pins.
    let small = with("100, 60");
    assert_eq!((small.outcome, small.value), (Outcome::Note, Some(3.0)));
    assert!(
        small.message.contains("4, then 4, then 2"),
        "{}",
        small.message
    );
}
