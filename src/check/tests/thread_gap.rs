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

#[test]
fn a_joint_with_a_gap_by_itself_is_blamed_at_its_line_and_its_typed_mend_passes() {
    let typed = |finding: &Finding| {
        let mend = finding.mend.clone().expect("what to type");
        mend.split('`').nth(1).expect("a line to type").to_owned()
    };
    // Each with a gap that fails or warns, and another that the mend has to leave alone.
    for (id, joint, subject, gap) in [
        ("thread-gap", "inner/drive", "inner/drive", "-0.3"),
        ("as-printed", "inner/drive", "inner/drive", "-0.2"),
        ("as-printed", "carriage/frame", "carriage/frame", "0.001"),
        ("press-stress", "cross pin/carriage", "carriage", "-0.05"),
    ] {
        let base = format!("{GOOD}pins = {{ held_by = \"wall\" }}\n");
        let text = nested(&format!("{base}gaps.joint.\"{joint}\" = {gap}\n"));
        let bad = judged(&text, id, subject);
        assert_ne!(bad.outcome, Outcome::Pass, "{id} {joint}");
        let at = bad.at.clone().expect("a place");
        assert_eq!(&text[at], gap, "{id} {joint}");
        let line = typed(&bad);
        assert!(line.contains(&format!("\"{joint}\"")), "{line}");
        let mended = nested(&format!("{base}{line}\n"));
        let kit = kit(&mended);
        let after = findings_about(&kit, &Profile::untuned_for(&kit), id, subject);
        let failed = after
            .iter()
            .find(|finding| finding.outcome == Outcome::Fail);
        assert!(failed.is_none(), "{id} {joint}: {line}: {failed:?}");
        let gap_judged = after.iter().find(|finding| finding.unit == bad.unit);
        let outcome = gap_judged.map(|finding| finding.outcome);
        assert_eq!(outcome, Some(Outcome::Pass), "{id} {joint}: {line}");
    }
}

#[test]
fn too_wide_a_gap_of_one_joint_is_blamed_by_its_own_key() {
    let text = nested(&format!("{GOOD}gaps.joint.\"inner/drive\" = 0.5\n"));
    let wide = judged(&text, "flank-overlap", "inner/drive");
    assert_eq!(wide.outcome, Outcome::Fail);
    let mend = wide.mend.expect("a mend");
    let line = mend.split('`').nth(1).expect("a line to type");
    assert!(line.contains("\"inner/drive\" = "), "{line}");
    let mended = judged(
        &nested(&format!("{GOOD}{line}\n")),
        "flank-overlap",
        "inner/drive",
    );
    assert_eq!(mended.outcome, Outcome::Pass, "{line}");
    assert_eq!(&text[wide.at.expect("a place")], "0.5");
    let other = judged(&text, "flank-overlap", "drive/frame");
    assert_eq!((other.outcome, other.at), (Outcome::Pass, None));
}
