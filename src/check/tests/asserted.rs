//! Rule file `asserted.rs`: one failing and one just-passing case.

use super::*;

#[test]
fn an_asserted_net_lead_must_be_what_the_threads_give() {
    let with = |lead: &str| {
        judged(
            &nested(&format!("{GOOD}net_lead = {lead}")),
            "net-lead",
            "carriage",
        )
    };
    assert_eq!(with("0.75").outcome, Outcome::Pass);
    assert_eq!(with("0.7505").outcome, Outcome::Pass);
    assert_eq!(with("0.76").outcome, Outcome::Fail);
    assert!(with("0.76").at.is_some());
}

#[test]
fn a_left_hand_drive_advances_counter_clockwise() {
    let kit = "drive = \"M20x2.5-LH\"\ninner = \"M12x1.75-LH\"\nstroke = 10\n";
    let with = |way: &str| {
        judged(
            &nested(&format!("{kit}advance = \"{way}\"")),
            "advance",
            "drive",
        )
    };
    assert_eq!(with("counter-clockwise").outcome, Outcome::Pass);
    assert_eq!(with("clockwise").outcome, Outcome::Fail);
}
