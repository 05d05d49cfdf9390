//! The layered section against the closed estimate, and against layers laid one by one.

use super::*;
use crate::strength::Material;
use approx::assert_abs_diff_eq;
use proptest::prelude::*;

fn mm(value: f64) -> Length {
    Length::mm(value)
}

/// A printer that adds nothing to any face, its flank extra given.
fn exact(layer: f64, extra: f64) -> Profile {
    let bed = [220.0, 220.0, 250.0].map(mm);
    let mut profile = Profile::untuned(mm(layer), mm(0.45), bed, 4, Material::Pla);
    let terms = [
        (Term::OuterGrowth, 0.0),
        (Term::HoleGrowth, 0.0),
        (Term::FlankExtra, extra),
    ];
    let nothing = vec![vec![0.0; 3]; 3];
    let set = profile.set(&terms, &nothing, Known::Measured);
    set.expect("a valid profile");
    profile
}

fn thread(designation: &str) -> Thread {
    designation.parse().expect("a thread")
}

const UPRIGHT: [Stood; 2] = [Stood::Upright; 2];

fn gap(designation: &str, radial: f64, layer: f64) -> f64 {
    let profile = exact(layer, layer);
    let thread = thread(designation);
    LayeredThread::new(&thread, mm(radial), UPRIGHT, mm(layer), &profile)
        .least_gap()
        .as_mm()
}

#[test]
fn round_tips_stand_a_quarter_layer_proud_of_each_flank() {
    // Closed estimate: c/2 square to the flank, less h/4 of each part.
    for (designation, radial, layer) in [
        ("M8", 0.2, 0.1),
        ("M12x1.75", 0.18, 0.14),
        ("M20x2.5", 0.19, 0.15),
        ("M36", 0.3, 0.2),
        ("7/8-9 UNC", 0.1, 0.15),
    ] {
        let closed = radial / 2.0 - layer / 4.0 - layer / 4.0;
        assert_abs_diff_eq!(gap(designation, radial, layer), closed, epsilon = 1e-6);
    }
}

#[test]
fn crests_and_roots_keep_the_whole_radial_gap() {
    // Layers so thin that tips do not count: a flank has half of what a crest has.
    assert_abs_diff_eq!(gap("M20x2.5", 0.2, 1e-4), 0.1, epsilon = 1e-4);
}

#[test]
fn a_flank_that_sags_takes_its_sag_times_cos_30_wherever_the_screw_stands() {
    // Extra = h + 1.732 s. Both stood alike: each side of a groove loses one sag. One turned
    // over: one side loses two, and the screw moves over by half of that.
    let (layer, sag) = (0.1, 0.05);
    let profile = exact(layer, layer + sag * 3f64.sqrt());
    let closed = 0.3 / 2.0 - layer / 2.0 - sag * 0.75f64.sqrt();
    for stood in [
        UPRIGHT,
        [Stood::Upright, Stood::TurnedOver],
        [Stood::TurnedOver, Stood::Upright],
        [Stood::TurnedOver; 2],
    ] {
        let layered = LayeredThread::new(&thread("M20x2.5"), mm(0.3), stood, mm(layer), &profile);
        assert_abs_diff_eq!(layered.least_gap().as_mm(), closed, epsilon = 1e-5);
    }
}

#[test]
fn tips_that_were_found_to_bed_in_give_back_what_they_give_way() {
    // Extra of half a layer: the pair needs h/2 less of radial gap, h/4 along the normal.
    let profile = exact(0.2, 0.1);
    let layered = LayeredThread::new(&thread("M20x2.5"), mm(0.2), UPRIGHT, mm(0.2), &profile);
    assert_abs_diff_eq!(layered.least_gap().as_mm(), 0.05, epsilon = 1e-6);
}

#[test]
fn growth_of_both_faces_comes_off_the_gap() {
    // Untuned: 0.03 on each face. 0.25 drawn at 0.15 layers: (0.19 - 0.15) / 2.
    let bed = [220.0, 220.0, 250.0].map(mm);
    let profile = Profile::untuned(mm(0.15), mm(0.45), bed, 4, Material::Pla);
    let layered = LayeredThread::new(&thread("M20x2.5"), mm(0.25), UPRIGHT, mm(0.15), &profile);
    assert_abs_diff_eq!(layered.least_gap().as_mm(), 0.02, epsilon = 1e-6);
    assert_abs_diff_eq!(layered.radial_gap().as_mm(), 0.19, epsilon = 1e-9);
    // 1 - 0.19 / (0.5413 x 2.5); 1.163 of depth holds four steps of 0.2598.
    assert_abs_diff_eq!(layered.depth_left(), 0.860, epsilon = 5e-4);
    assert_eq!(layered.bearing_layers(), 4.0);
    assert_abs_diff_eq!(layered.bearing_share(), 0.768, epsilon = 5e-4);
}

#[test]
fn a_line_rests_on_the_one_below_as_the_table_has_it() {
    // Worked, in percent: of a line of 0.45, then of 0.65.
    for (layer, narrow, wide) in [
        (0.10, 62.0, 73.0),
        (0.12, 54.0, 68.0),
        (0.15, 42.0, 60.0),
        (0.20, 23.0, 47.0),
        (0.25, 4.0, 33.0),
    ] {
        let percent = |line: f64| (100.0 * line_overlap(&Form::ISO, mm(layer), mm(line))).round();
        assert_eq!([percent(0.45), percent(0.65)], [narrow, wide], "{layer}");
        let back = layer_of_overlap(
            &Form::ISO,
            line_overlap(&Form::ISO, mm(layer), mm(0.45)),
            mm(0.45),
        );
        assert_abs_diff_eq!(back.as_mm(), layer, epsilon = 1e-12);
    }
}

/// Radius of the basic profile from its sharp triangle: root 3 through the pitch line at a
/// quarter of the pitch, cut off at both diameters.
fn drawn(thread: &Thread, z: f64) -> f64 {
    let p = thread.pitch().as_mm();
    let distance = (z - p * (z / p).round()).abs();
    let flank = thread.pitch_diameter().as_mm() / 2.0 + 3f64.sqrt() * (p / 4.0 - distance);
    let (root, crest) = (thread.minor_internal(), thread.major());
    flank.clamp(root.as_mm() / 2.0, crest.as_mm() / 2.0)
}

/// The least gap by laying the layers of both parts one by one at many phases: half circles
/// about centres h/2 behind the contour, each with its body behind it.
fn by_layers(thread: &Thread, radial: f64, h: f64, phases: u32) -> f64 {
    let p = thread.pitch().as_mm();
    let step = h / f64::from(phases);
    let mut least = f64::INFINITY;
    let places = (p / step).ceil() as i32;
    // All phases and all layers of a part together are all multiples of a fine step.
    for i in 0..places {
        let z = f64::from(i) * step;
        let centre = drawn(thread, z) - h / 2.0;
        let near = (1.5 * (h + radial) / step).ceil() as i32;
        for j in -near..=near {
            let other = z + f64::from(j) * step;
            let far = drawn(thread, other) + radial + h / 2.0;
            let (dz, dr) = (other - z, (far - centre).max(0.0));
            least = least.min((dz * dz + dr * dr).sqrt() - h);
        }
    }
    least
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn prop_the_worst_meeting_is_that_of_layers_laid_one_by_one(
        (diameter, pitch) in prop::sample::select(vec![(8.0, 1.25), (12.0, 1.75), (20.0, 2.5)]),
        radial in 0.02..0.35f64,
        layer in 0.08..0.25f64,
    ) {
        let designation = format!("M{diameter}x{pitch}");
        let exact = gap(&designation, radial, layer);
        let laid = by_layers(&thread(&designation), radial, layer, 40);
        // The grid misses the worst by half a step of 1/40 layer along a flank, at the most.
        prop_assert!(laid >= exact - 1e-9, "{laid} {exact}");
        prop_assert!(laid <= exact + layer / 40.0, "{laid} {exact}");
    }
}

#[test]
fn half_of_the_layers_on_a_flank_find_more_room_than_at_the_worst_and_no_less_as_layers_get_thin() {
    let of = |layer: f64| {
        let profile = exact(layer, layer);
        LayeredThread::new(&thread("M20x2.5"), mm(0.2), UPRIGHT, mm(layer), &profile)
    };
    // Flanks of 30 degrees stand 0.1 mm apart, and the thinner the layers, the less they take of it.
    for layer in [0.2, 0.1, 0.05, 0.02] {
        let (middle, worst) = (of(layer).middle_gap(), of(layer).least_gap());
        assert!(middle > worst, "{layer}: {middle} and {worst}");
        assert_abs_diff_eq!(middle.as_mm(), 0.1, epsilon = layer / 2.0);
    }
}
