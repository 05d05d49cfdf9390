//! What cannot be a tandem mechanism, and what to write instead: followed once, it can.

use netlead::kit::Kit;
use netlead::layout;
use netlead::printer::Profile;

fn kit(drive: &str, thin: &str) -> Kit {
    let text = format!(
        "name = \"t\"\nlayout = \"tandem\"\ndrive = \"{drive}\"\nthin = \"{thin}\"\nstroke = 10\n"
    );
    text.parse().expect("a valid file")
}

/// Every problem with a pair, message and mend.
fn problems(drive: &str, thin: &str) -> Vec<[String; 2]> {
    let kit = kit(drive, thin);
    let design = layout::design(&kit, &Profile::untuned_for(&kit));
    let problems = design.err().unwrap_or_default();
    let told = |problem: netlead::diagnostic::Diagnostic| {
        [problem.message, problem.mend.unwrap_or_default()]
    };
    problems.into_iter().map(told).collect()
}

#[test]
fn a_pair_of_opposite_hands_is_refused_and_told_the_other_hand() {
    let found = problems("M24x3", "M16x2-LH");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0][0].contains("opposite hands"), "{found:?}");
    assert!(found[0][1].contains("`thin = \"M16x2\"`"), "{found:?}");
    assert!(problems("M24x3", "M16x2").is_empty());
}

#[test]
fn a_thin_thread_that_does_not_pass_the_wall_is_refused_with_the_thickest_that_does() {
    let found = problems("M24x3", "22x2");
    let mend = &found[0][1];
    let (_, most) = mend.split_once("at most ").expect("a diameter");
    let most: f64 = most.split(' ').next().unwrap().parse().unwrap();
    assert!(problems("M24x3", &format!("{most}x2")).is_empty(), "{mend}");
    assert!(!problems("M24x3", &format!("{}x2", most + 0.2)).is_empty());
}

#[test]
fn a_thin_thread_with_the_larger_lead_is_refused() {
    for (drive, thin) in [
        ("M24x2", "M16x2"),
        ("M24x1.5", "M16x2"),
        ("24x2.05", "16x2"),
    ] {
        let found = problems(drive, thin);
        assert!(found[0][0].contains("a turn; at least 0.1 mm"), "{found:?}");
    }
    assert!(problems("24x2.2", "16x2").is_empty());
}

#[test]
fn a_thin_thread_too_coarse_for_its_diameter_is_refused_with_a_diameter_that_works() {
    let found = problems("20x4.2", "5x4");
    let coarse = found
        .iter()
        .find(|[message, _]| message.contains("too coarse"));
    let [_, mend] = coarse.expect("too coarse");
    let (_, least) = mend.split_once("at least ").expect("a diameter");
    let least: f64 = least.split(' ').next().unwrap().parse().unwrap();
    let after = problems("20x4.2", &format!("{least}x4"));
    assert!(
        !after
            .iter()
            .any(|[message, _]| message.contains("too coarse")),
        "{after:?}"
    );
}
