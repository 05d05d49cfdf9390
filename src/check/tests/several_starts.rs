//! Rule file `several_starts.rs`: one noted and one just-passing case.

use super::*;

fn single(drive: &str) -> String {
    format!("name = \"t\"\nlayout = \"single\"\ndrive = \"{drive}\"\nstroke = 10\nlayer = 0.1\n")
}

#[test]
fn two_fine_starts_are_noted_where_one_start_of_m24_gives_the_same_lead() {
    // An eighth of 24 is M24's own coarse pitch, 3.
    let found = judged(&single("24xPh3P1.5"), "several-starts", "drive/frame");
    assert_eq!(found.outcome, Outcome::Note);
    assert_eq!(found.limit, Some(3.0));
    assert!(found.mend.expect("a mend").contains("`drive = \"M24x3\"`"));
    let found = judged(&single("24xPh3.02P1.51"), "several-starts", "drive/frame");
    assert_eq!(found.outcome, Outcome::Pass);
    assert!(findings(&single("M24x3"), "several-starts").is_empty());
}

#[test]
fn starts_whose_leads_nearly_cancel_are_noted_and_those_that_add_are_not() {
    let pair = |inner: &str| {
        format!(
            "name = \"t\"\nlayout = \"nested\"\ndrive = \"M24xPh6P3\"\ninner = \"{inner}\"\nstroke = 10\n"
        )
    };
    // 6 - 4 = 2 a turn, and 6 + 4 of opposite hands.
    let with = |inner: &str, piece: &str| judged(&pair(inner), "several-starts", piece).outcome;
    for piece in ["drive/frame", "inner/drive"] {
        assert_eq!(with("M14xPh4P2", piece), Outcome::Note);
        assert_eq!(with("M14xPh4P2-LH", piece), Outcome::Pass);
    }
}
