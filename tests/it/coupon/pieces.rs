//! Soundness, printability and marks of the pieces.

use super::{kits, of};
use crate::support::written::proved;
use netlead::coupon::{Extent, Piece, QUICK_TIME};
use netlead::printing_time::{Body, PrintEstimate, fits_on};
use netlead::solid::{Mesh, Written, mesh};
use netlead::tuning::LadderKind;
use netlead::units::{Angle, Length};

const TOLERANCE: Length = Length::mm(0.03);

fn sound(piece: &Piece) -> Written {
    let mesh = mesh(&piece.shape, TOLERANCE).unwrap_or_else(|e| panic!("{}: {e}", piece.name));
    proved(&mesh, piece.shape.genus).unwrap_or_else(|e| panic!("{}: {e}", piece.name))
}

fn bodies(pieces: &[Piece]) -> Vec<Body> {
    pieces
        .iter()
        .map(|piece| Body::of(&sound(piece).mesh))
        .collect()
}

/// Area in mm2 of faces above the bed that lean further than 45 degrees over nothing.
fn overhang(mesh: &Mesh) -> f64 {
    mesh.facets()
        .filter(|[a, b, c]| a.z.max(b.z).max(c.z) > 0.01)
        .map(|[a, b, c]| (b - a).cross(&(c - a)))
        .filter(|normal| normal.z < -0.72 * normal.norm())
        .map(|normal| normal.norm() / 2.0)
        .sum()
}

#[test]
fn every_piece_of_every_preset_is_one_sound_body_that_stands_on_the_bed() {
    for kit in kits() {
        for extent in [Extent::Full, Extent::Quick, Extent::Break] {
            let coupon = of(&kit, extent.clone());
            let mut names = Vec::new();
            let mut bodies = Vec::new();
            for piece in &coupon.pieces {
                let written = sound(piece);
                bodies.push(Body::of(&written.mesh));
                let low = written.low_mm[2];
                assert!(low.abs() < 1e-6, "{} stands at {low}", piece.name);
                names.push(&piece.name);
            }
            let all = names.len();
            names.sort();
            names.dedup();
            assert_eq!(names.len(), all, "two pieces have one name: {names:?}");
            assert!(fits_on(&bodies, kit.2.bed), "{extent:?}");
        }
    }
}

#[test]
fn plate_and_slides_have_no_face_that_needs_support() {
    let kit = &kits()[0];
    let coupon = of(kit, Extent::Full);
    let free = |piece: &&Piece| piece.name == "plate" || piece.name.starts_with("slide");
    for piece in coupon.pieces.iter().filter(free) {
        let area = overhang(&sound(piece).mesh);
        assert!(area < 1e-6, "{}: {area} mm2 hang over", piece.name);
    }
}

#[test]
fn the_plate_has_the_size_and_the_plastic_of_its_design() {
    // Design of the plate: 62 x 77 x 16 mm, 7.7 cm3.
    let plate = &of(&kits()[0], Extent::Full).pieces[0];
    let written = sound(plate);
    approx::assert_abs_diff_eq!(written.size_mm[0], 62.0, epsilon = 1e-4);
    approx::assert_abs_diff_eq!(written.size_mm[1], 77.0, epsilon = 1e-4);
    approx::assert_abs_diff_eq!(written.size_mm[2], 16.0, epsilon = 0.15);
    approx::assert_relative_eq!(written.volume_mm3, 7700.0, max_relative = 0.1);
}

#[test]
fn a_quick_print_of_every_preset_stays_below_45_minutes_and_has_three_steps_or_more() {
    for kit in kits() {
        let coupon = of(&kit, Extent::Quick);
        let estimate = PrintEstimate::new(&bodies(&coupon.pieces), &kit.2);
        let name = &*kit.0.name;
        assert!(estimate.time <= QUICK_TIME, "{name}: {}", estimate.time);
        for ladder in &coupon.ladders {
            let steps = ladder.gaps.len();
            assert!((3..=5).contains(&steps), "{name}: {steps} steps");
        }
        let has = |kind| coupon.ladders.iter().any(|ladder| ladder.kind == kind);
        let pins = has(LadderKind::PinOnRibs) || has(LadderKind::BoughtPinOnRibs);
        assert!(has(LadderKind::Thread) && has(LadderKind::Slide) && pins);
    }
}

#[test]
fn what_a_hand_feels_is_expected_to_begin_in_the_middle_of_a_ladder_whatever_is_wanted() {
    for kit in kits() {
        for extent in [Extent::Full, Extent::Quick, Extent::Break] {
            for ladder in of(&kit, extent).ladders {
                // Untuned the printer is taken to take 0.03 a printed face, and a layer of flanks.
                let begins = match ladder.kind {
                    LadderKind::Thread => 0.06 + kit.0.layer.as_mm(),
                    LadderKind::Slide => 0.06 + 0.02,
                    LadderKind::PinOnRibs => 0.06,
                    LadderKind::BoughtPinOnRibs => 0.03,
                    LadderKind::PinLying | LadderKind::PinUpright => 0.06 - 0.04,
                    LadderKind::BoughtPinLying => 0.03 - 0.04,
                };
                // As many steps change the answer below as above: all but the widest.
                let last = ladder.gaps.len() - 2;
                let middle = (ladder.gaps[0] + ladder.gaps[last]) / 2.0;
                approx::assert_abs_diff_eq!(middle.as_mm(), begins, epsilon = 1e-12);
            }
        }
    }
}

/// Runs of facets of a section at a height that lie deeper than `radius`: the grooves.
fn grooves(mesh: &Mesh, height: f64, radius: f64) -> usize {
    let mut angles: Vec<f64> = Vec::new();
    for corners in mesh.facets() {
        for (a, b) in [(0, 1), (1, 2), (2, 0)] {
            let (a, b) = (corners[a], corners[b]);
            if (a.z - height) * (b.z - height) < 0.0 {
                let at = a + (b - a) * ((height - a.z) / (b.z - a.z));
                let rho = (at.x * at.x + at.y * at.y).sqrt();
                if rho > radius - 0.9 && rho < radius - 0.3 {
                    angles.push(Angle::of_point(at.x, at.y).as_degrees());
                }
            }
        }
    }
    angles.sort_by(f64::total_cmp);
    // Walls of one groove are within 8 degrees, grooves 24 degrees apart.
    1 + angles
        .windows(2)
        .filter(|pair| pair[1] - pair[0] > 12.0)
        .count()
}

#[test]
fn the_grooves_of_a_ring_can_be_counted_on_its_mesh() {
    let kit = &kits()[0];
    let coupon = of(kit, Extent::Full);
    // M20, and 3 mm of wall around it.
    let outside = 20.0 / 2.0 + 3.0;
    for count in 1..=7 {
        let name = format!("thread-drive-frame-ring-{count}");
        let piece = coupon.pieces.iter().find(|piece| piece.name == name);
        let written = sound(piece.expect("a ring for every step"));
        assert_eq!(grooves(&written.mesh, 4.03, outside), count, "{name}");
    }
}

#[test]
fn the_ladder_of_one_joint_is_made_alone_and_another_name_lists_those_there_are() {
    let kit = &kits()[0];
    let coupon = of(kit, Extent::Joint("drive/frame".into()));
    assert_eq!(coupon.ladders.len(), 1);
    assert!(
        coupon
            .pieces
            .iter()
            .all(|piece| piece.name.starts_with("thread-drive-frame"))
    );
    let missing =
        netlead::coupon::coupon(&kit.0, &kit.1, &kit.2, &Extent::Joint("frame/moon".into()));
    let refusal = missing.expect_err("there is no such joint");
    assert!(
        refusal.known.contains(&"drive/frame".to_string()),
        "{:?}",
        refusal.known
    );
    assert!(coupon_names(kit).iter().all(|name| !name.contains('/')));
}

fn coupon_names(
    kit: &(
        netlead::kit::Kit,
        netlead::layout::Design,
        netlead::printer::Profile,
    ),
) -> Vec<String> {
    let coupon = netlead::coupon::coupon(&kit.0, &kit.1, &kit.2, &Extent::Full).expect("a coupon");
    coupon.pieces.into_iter().map(|piece| piece.name).collect()
}
