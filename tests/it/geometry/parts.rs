//! Whole parts: sound, of the drawn size, and of the volume of their exact form.

use crate::support::bench::{Bench, in_parallel};
use crate::support::kits::design;
use crate::support::kits::{self, kit, one_of_each, said};
use crate::support::shape;
use crate::support::sizes::{End, sizes};
use crate::support::written::proved;
use crate::support::{cases, mm, right};
use netlead::assembly::{Made, Part};
use netlead::kit::Kit;
use netlead::solid::{Written, mesh};
use proptest::prelude::*;

/// A part as its file holds it, or why it is not sound.
fn written(part: &Part, tolerance: f64) -> Result<Written, String> {
    let fault = |error: &dyn std::error::Error| format!("{}: {error}", part.name);
    let mesh = mesh(&part.shape, mm(tolerance)).map_err(|e| fault(&e))?;
    proved(&mesh, part.shape.genus).map_err(|e| fault(&e))
}

/// Chord tolerance of the parts that are measured, in mm: the program's own default.
const TOLERANCE: f64 = 0.01;

/// Every part of a kit, each with its file.
fn all_written(bench: &Bench) -> Vec<(&Part, &Written)> {
    let parts = bench.written();
    parts
        .map(|(part, written)| (part, written.as_ref().unwrap()))
        .collect()
}

/// The part of a name.
fn named<'a>(parts: &[(&Part, &'a Written)], name: &str) -> &'a Written {
    parts.iter().find(|(part, _)| part.name == name).unwrap().1
}

#[test]
fn every_part_of_every_sort_of_kit_is_sound_and_has_its_designed_genus() {
    let kits = one_of_each();
    let faults = in_parallel(&kits, |(name, kit)| {
        let bench = Bench::kept(kit, TOLERANCE);
        let faults = bench
            .written()
            .filter_map(|(_, written)| written.as_ref().err());
        faults
            .map(|fault| format!("{name}: {fault}"))
            .collect::<Vec<_>>()
    });
    assert_eq!(faults.concat(), Vec::<String>::new());
}

#[test]
fn every_part_stands_on_the_bed() {
    for (name, kit) in one_of_each() {
        for (part, written) in all_written(&Bench::kept(&kit, TOLERANCE)) {
            match part.made {
                Made::Printed => assert_eq!(written.low_mm[2], 0.0, "{name}: {}", part.name),
                // What is bought lies on no bed.
                Made::Bought(_) => {}
            }
        }
    }
}

/// Fails unless the box has these sizes but for what chords and 32-bit floats take.
fn spans(what: &str, written: &Written, drawn: [f64; 3], tolerance: f64) {
    for (found, drawn) in written.size_mm.iter().zip(drawn) {
        // A chord of a circle may cut off its extremes by the tolerance on both sides.
        let slack = 1e-4;
        assert!(
            (drawn - 2.0 * tolerance - slack..=drawn + slack).contains(found),
            "{what} spans {found}, drawn {drawn}"
        );
    }
}

#[test]
fn parts_have_the_size_of_the_drawing() {
    let tolerance = TOLERANCE;
    for (_, kit) in one_of_each() {
        let bench = Bench::kept(&kit, tolerance);
        let parts = all_written(&bench);
        let sizes = &sizes(&bench.design);
        let side = sizes.frame_side.as_mm();
        let frame = [side, side, sizes.frame_length.as_mm()];
        spans("frame", named(&parts, "frame"), frame, tolerance);
        // The flange is 4 mm thick.
        let keeper = [side, side, 4.0 + sizes.keeper_plug.as_mm()];
        spans("keeper", named(&parts, "keeper"), keeper, tolerance);
        // Ears and pins end 1 mm inside the frame's faces.
        let body = sizes.carriage_diameter.max(sizes.ear_width).as_mm();
        let carriage = [side - 2.0, body, sizes.carriage_length.as_mm()];
        spans("carriage", named(&parts, "carriage"), carriage, tolerance);
        // A hexagon 0.15 mm narrower than its spanner; the tip carries a pip 0.6 mm high.
        let flats = sizes.across_flats.as_mm() - 0.15;
        let tip = match &sizes.end {
            End::Nested(_) => 0.0,
            End::Single(tip) => tip.length.as_mm() + 0.6,
        };
        let height = (sizes.head_height + sizes.drive_thread).as_mm() + tip;
        let drive = named(&parts, "drive");
        assert!((drive.size_mm[1] - flats).abs() < 1e-4);
        assert!((drive.size_mm[2] - height).abs() < 1e-4);
        // One flat 0.707 dp wide leaves (1 + 0.707) / 2 of a printed pin's height; a bought one is round.
        let pin = sizes.pin_diameter.as_mm();
        let is_pin = |(part, _): &&(&Part, &Written)| part.name == "pin";
        let high = match parts.iter().find(is_pin).unwrap().0.made {
            Made::Printed => pin * (1.0 + 0.5f64.sqrt()) / 2.0,
            Made::Bought(_) => pin,
        };
        let lying = [side - 2.0, pin, high];
        spans("pin", named(&parts, "pin"), lying, tolerance);
        if let End::Nested(inner) = &sizes.end {
            // V, slot and cross hole cut into the box, not into the radius.
            let written = named(&parts, "inner");
            let radius = |p: &nalgebra::Point3<f64>| (p.x * p.x + p.y * p.y).sqrt();
            let widest = written.mesh.points.iter().map(radius).fold(0.0, f64::max);
            assert!((widest - inner.collar.as_mm() / 2.0).abs() < 1e-4);
            let height = (inner.head_height + inner.thread_length).as_mm();
            assert!((written.size_mm[2] - height).abs() < 1e-4);
        }
    }
}

/// Points in each of the eight sets of an estimate: 2.4 million in all.
const POINTS: u32 = 300_000;

/// Volumes of a kit's parts against their exact forms.
fn volumes_agree(kit: &Kit) {
    let tolerance = TOLERANCE;
    let bench = Bench::kept(kit, tolerance);
    in_parallel(&all_written(&bench), |(part, written)| {
        // A box of its own, so that a part too small or too large would show.
        let low = [0, 1, 2].map(|axis| written.low_mm[axis] - 0.5);
        let size = written.size_mm.map(|size| size + 1.0);
        let exact = shape::volume(&part.shape, low, size, POINTS);
        let off = written.volume_mm3 - exact.volume;
        let bound = tolerance * written.area_mm2 + 4.0 * exact.error;
        // The sampling must be finer than what it judges.
        assert!(
            exact.error < 1e-3 * exact.volume,
            "{}: {exact:?}",
            part.name
        );
        assert!(
            off.abs() <= bound,
            "{}: {off} of {bound}, {exact:?}",
            part.name
        );
    });
}

#[test]
fn volumes_of_nested_parts_agree_with_their_exact_forms() {
    volumes_agree(&kits::opposite_hands());
}

#[test]
fn volumes_of_single_parts_with_teardrops_agree_with_their_exact_forms() {
    let mut kit = kits::thick_pins(kit(right(24.0, 3.0), None, 12.0), 7.0);
    kit.layer = said(mm(0.2));
    volumes_agree(&kit);
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn prop_every_part_of_a_buildable_kit_is_sound(
        kit in kits::buildable(), tolerance in 0.005..0.05f64,
        pin in prop::option::weighted(0.3, 3.0..7.5f64)
    ) {
        let mut kit = kit;
        // What stands in the socket must hold the pin: 2.4 of its diameters across.
        let across = match &sizes(&design(&kit)).end {
            End::Nested(inner) => inner.collar,
            End::Single(tip) => tip.diameter,
        };
        kit.pins.diameter = pin.map(|pin| said(mm(pin.min(across.as_mm() / 2.4))));
        for part in &design(&kit).assembly.parts {
            let found = written(part, tolerance);
            prop_assert!(found.is_ok(), "{}", found.err().unwrap_or_default());
        }
    }
}
