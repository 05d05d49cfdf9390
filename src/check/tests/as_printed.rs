//! Rule file `as_printed.rs`: failing and just-passing cases of threads, flanks and slides.

use super::*;
use crate::printer::{Known, Term};

#[test]
fn tips_that_overlap_warn_and_contours_that_overlap_fail() {
    // Drawn is wanted + growth + a layer, so flanks keep half of what is wanted; tips bed in by
    // half a layer, 0.075, at the most.
    let with = |gap: &str| {
        let kit = format!("{GOOD}layer = 0.15\ngaps = {{ thread = {gap} }}");
        judged_like(&nested(&kit), "as-printed", "drive/frame", "flanks")
    };
    approx::assert_abs_diff_eq!(with("0.04").value.expect("a gap"), 0.02, epsilon = 1e-6);
    assert_eq!(with("0").outcome, Outcome::Pass);
    assert_eq!(with("-0.01").outcome, Outcome::Warn);
    assert_eq!(with("-0.149").outcome, Outcome::Warn);
    assert_eq!(with("-0.151").outcome, Outcome::Fail);
    let mend = with("-0.05").mend.expect("a mend");
    let told = mend.starts_with("write `gaps = { thread = \"0.000 mm\" }`");
    assert!(told, "{mend}");
}

#[test]
fn thinner_layers_mend_a_measured_flank_and_no_guessed_one() {
    // Measured at 0.15: a radial gap of 0.19 is left, (0.19 - 0.2) / 2 at layers of 0.2.
    let text = nested(&format!("{GOOD}layer = 0.2\ngaps = {{ thread = 0.04 }}\n"));
    let kit: Kit = text.parse().expect("a valid kit");
    let mut profile = Profile::untuned_for(&kit);
    profile.layer = Length::mm(0.15);
    let set = profile.set(&[(Term::FlankExtra, 0.15)], &[vec![0.0]], Known::Measured);
    set.expect("a valid profile");
    let found = findings_about(&kit, &profile, "as-printed", "drive/frame");
    let thread = found.first();
    let thread = thread.expect("a finding about the thread");
    assert_eq!(thread.outcome, Outcome::Warn);
    approx::assert_abs_diff_eq!(thread.value.expect("a gap"), -0.005, epsilon = 1e-6);
    let mend = thread.mend.as_deref().expect("a mend");
    assert!(mend.contains("layer = \"0.19 mm\""), "{mend}");
}

#[test]
fn a_flank_on_which_no_layer_bears_fails_and_the_mended_layer_passes() {
    let with = |layer: &str, gap: &str| {
        let kit = format!("{GOOD}layer = {layer}\ngaps = {{ thread = {gap} }}");
        judged_like(&nested(&kit), "as-printed", "inner/drive", "bear")
    };
    // M12x1.75 is 0.9473 deep; wanted gap and one layer go off it, a step is 1.732 layers.
    assert_eq!(with("0.25", "0.27").outcome, Outcome::Fail); // 0.427 of 0.433
    let one = with("0.25", "0.26"); // 0.437
    assert_eq!((one.outcome, one.value), (Outcome::Note, Some(1.0)));
    // Two steps and the layer in the gap: 0.9073 / 4.464 = 0.203.
    let thick = with("0.21", "0.04");
    assert_eq!(thick.outcome, Outcome::Note);
    assert!(thick.mend.expect("a mend").contains("\"0.2 mm\""));
    assert_eq!(with("0.20", "0.04").outcome, Outcome::Pass);
}

#[test]
fn a_tight_slide_warns_and_a_flare_wider_than_the_broken_edge_fails() {
    let with = |gap: &str| {
        let kit = format!("{GOOD}gaps = {{ slide = {gap} }}");
        judged(&nested(&kit), "as-printed", "carriage/frame").outcome
    };
    assert_eq!(with("0.02"), Outcome::Pass);
    assert_eq!(with("0.01"), Outcome::Warn);
    // Wanted 0.14, edge 0.6, half a layer 0.075: a flare of 0.665 fills it.
    let with = |flare: f64| {
        let kit = kit(&nested(GOOD));
        let mut profile = Profile::untuned_for(&kit);
        let set = profile.set(
            &[(Term::FirstLayerFlare, flare)],
            &[vec![0.0]],
            Known::Measured,
        );
        set.expect("a valid profile");
        let found = findings_about(&kit, &profile, "as-printed", "carriage/frame");
        let mut slide = found.into_iter();
        slide.next().expect("a finding about the slide").outcome
    };
    assert_eq!(with(0.64), Outcome::Pass);
    assert_eq!(with(0.66), Outcome::Warn);
    assert_eq!(with(0.67), Outcome::Fail);
}
