//! Rule file `fit_odds.rs`: one failing and one just-passing case.

use super::*;
use crate::printer::{Known, TERMS};
use crate::units::Length;

/// What the rule says of the desk stage's pair on a printer of which all is known but its
/// spread, in mm, the same within a print and between prints.
fn on_spread(spread: f64, more: &str, subject: &str) -> Option<Finding> {
    let kit: Kit = nested(&format!("{GOOD}{more}"))
        .parse()
        .expect("a valid kit");
    let mut profile = Profile::untuned_for(&kit);
    let terms = TERMS.map(|term| (term, profile.value(term)));
    let nothing = vec![vec![0.0; TERMS.len()]; TERMS.len()];
    let known = profile.set(&terms, &nothing, Known::Measured);
    known.expect("a profile without errors");
    profile.within = Length::mm(spread);
    profile.between = Length::mm(spread);
    findings_about(&kit, &profile, "fit-odds", subject)
        .into_iter()
        .next()
}

#[test]
fn odds_warn_below_nine_in_ten_and_fail_below_half() {
    // A slide wants 0.14 in a window of 0.05 to 0.25, so 0.09 and 0.11 away: with a deviation
    // of d both faces leave Phi(0.11/d) + Phi(0.09/d) - 1. Both walls and both prints spread:
    // d = 2 spread. Normal table: d = 0.06 gives Phi(1.833) + Phi(1.5) - 1 = 0.8998,
    // d = 0.058 gives Phi(1.897) + Phi(1.552) - 1 = 0.9107.
    let slide = |spread: f64| on_spread(spread, "", "slide").map(|finding| finding.outcome);
    assert_eq!(slide(0.029), Some(Outcome::Pass));
    assert_eq!(slide(0.0301), None, "told with the others");
    let fits = on_spread(0.0301, "", "fits").expect("a warning");
    assert_eq!(fits.outcome, Outcome::Warn);
    assert!(fits.message.contains("slide 90 %"), "{}", fits.message);
    // d = 0.146: Phi(0.753) + Phi(0.616) - 1 = 0.505; d = 0.15: Phi(0.733) + Phi(0.6) - 1 = 0.494.
    assert_eq!(slide(0.073), None);
    assert_eq!(slide(0.075), Some(Outcome::Fail));
}

#[test]
fn a_kit_may_ask_for_other_odds() {
    let slide = |limits: &str| {
        let more = format!("odds = {{ {limits} }}\n");
        on_spread(0.029, &more, "slide").map(|finding| finding.outcome)
    };
    assert_eq!(slide("warn = 0.91, fail = 0.5"), Some(Outcome::Pass));
    assert_eq!(slide("warn = 0.92, fail = 0.5"), None);
    assert_eq!(slide("warn = 0.95, fail = 0.92"), Some(Outcome::Fail));
}

#[test]
fn an_unknown_printer_is_to_be_learnt_first() {
    let kit = nested(GOOD);
    let untold = findings(&kit, "fit-odds");
    let mend = untold.iter().find_map(|finding| finding.mend.as_deref());
    assert!(mend.expect("a mend").contains("netlead coupon"));
}
