//! Rule file `safe_load.rs`: one failing and one just-passing case of each rule.

use super::*;

const SINGLE: &str = "name = \"t\"\nlayout = \"single\"\ndrive = \"M16x2\"\nstroke = 25\n\
                      material = \"PETG\"\n";

/// The finding of a rule about the load of a kit.
fn of(rule: &str, load: &str) -> Finding {
    judged(&format!("{SINGLE}{load}\n"), rule, "load")
}

/// What a mend tells to write behind a word, up to the unit.
fn told(mend: &str, before: &str, unit: &str) -> f64 {
    let rest = mend.split(before).nth(1).expect("what is told");
    let number = rest.split(unit).next().expect("a number");
    number.trim_matches(['"', ' ']).parse().expect("a number")
}

#[test]
fn a_load_above_the_safe_one_fails_and_the_one_that_is_told_passes() {
    let much = of("safe-load", "load = \"500 N\"");
    assert_eq!(much.outcome, Outcome::Fail);
    let most = told(&much.mend.expect("a mend"), "a load of ", "N");
    let just = of("safe-load", &format!("load = \"{most} N\""));
    assert_eq!(just.outcome, Outcome::Pass);
    // The reserve is two: twice the limit is where the weakest place breaks, and it is told.
    let over = just.limit.expect("a limit") * 1.01;
    let over = of("safe-load", &format!("load = \"{over} N\""));
    assert_eq!(over.outcome, Outcome::Fail);
}

#[test]
fn a_load_that_stays_is_held_against_a_fifth_of_the_breaking_one() {
    let short = of("safe-load", "load = \"50 N\"").limit.expect("a limit");
    let long = of("safe-load", "load = { force = \"50 N\", lasting = true }");
    // A half and a fifth of the breaking load.
    approx::assert_abs_diff_eq!(long.limit.expect("a limit"), short * 0.4, epsilon = 1e-6);
}

#[test]
fn a_torque_that_does_not_move_the_load_fails_and_the_one_that_is_told_passes() {
    let with = |torque: &str| {
        of(
            "load-torque",
            &format!("load = {{ force = \"100 N\", torque = \"{torque} N m\" }}"),
        )
    };
    let little = with("0.1");
    assert_eq!(little.outcome, Outcome::Fail);
    let needed = told(&little.mend.expect("a mend"), "torque = ", " N m");
    assert_eq!(with(&needed.to_string()).outcome, Outcome::Pass);
    assert_eq!(with(&(needed - 0.02).to_string()).outcome, Outcome::Fail);
}

#[test]
fn a_kit_without_a_load_is_not_judged() {
    for rule in ["safe-load", "load-torque"] {
        assert!(findings(SINGLE, rule).is_empty());
    }
}
