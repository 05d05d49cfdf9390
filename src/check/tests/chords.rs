//! Rule file `chords.rs`: one failing and one just-passing case.

use super::*;

/// Threads are drawn 0.26 wide, of which a quarter is 0.065 and a half 0.13.
fn with(tolerance: &str) -> Finding {
    let gaps = "gaps = { thread = 0.1, slide = 0.3, locate = 0.3 }\nlayer = 0.1\n";
    let text = nested(&format!("{GOOD}{gaps}tolerance = {tolerance}\n"));
    let mut found = findings(&text, "chords");
    assert_eq!(found.len(), 1);
    found.remove(0)
}

#[test]
fn chords_that_take_more_than_a_quarter_are_told_and_the_typed_mend_passes() {
    let plain = with("0.01");
    assert_eq!(plain.outcome, Outcome::Pass);
    let gap = plain.value.expect("what is left") + 0.01;
    assert_eq!(with(&format!("{:.6}", gap * 0.2499)).outcome, Outcome::Pass);
    let told = with(&format!("{:.6}", gap * 0.2501));
    assert_eq!(told.outcome, Outcome::Note);
    assert_eq!(with(&format!("{:.6}", gap * 0.4999)).outcome, Outcome::Note);
    let coarse = with(&format!("{:.6}", gap * 0.5001));
    assert_eq!(coarse.outcome, Outcome::Warn);
    for finding in [told, coarse] {
        let mend = finding.mend.expect("a mend");
        let line = mend.split('`').nth(1).expect("a line to type");
        let (_, value) = line.split_once(" = ").expect("a value");
        let mended = with(value);
        assert_eq!(mended.outcome, Outcome::Pass, "{line}");
        // No finer than it has to be: two thousandths more are told.
        let value: f64 = value
            .trim_matches('"')
            .replace(" mm", "")
            .parse()
            .expect("mm");
        assert_eq!(
            with(&format!("{:.6}", value + 0.002)).outcome,
            Outcome::Note
        );
    }
}

#[test]
fn what_chords_leave_is_the_gap_in_the_report_of_the_joint() {
    let kit = kit(&nested(&format!("{GOOD}tolerance = 0.02\n")));
    let design = design(&kit, &Profile::untuned_for(&kit)).expect("a design");
    let mut thinned = 0;
    for joint in &design.assembly.joints {
        let Some(gap) = joint.gap else { continue };
        let left = joint.gap_written(*kit.tolerance).expect("a gap");
        let lost = (gap.drawn - left).as_mm();
        let expected = if joint.fit.has_chords() && gap.drawn > Length::ZERO {
            0.02
        } else {
            0.0
        };
        assert!((lost - expected).abs() < 1e-12, "{}", joint.name);
        thinned += usize::from(lost > 0.0);
    }
    // Both threads, carriage, keeper, the inner head, and what its pins go through.
    assert!(thinned >= 5, "{thinned}");
}
