//! Soundness, printability and marks of the pieces.

use super::{kits, of};
use crate::support::written::proved;
use netlead::coupon::{Extent, Piece, QUICK_TIME};
use netlead::printing_time::{Body, PrintEstimate, Room, fits_on};
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
            // Thick threads and a nut's pockets fill more than a bed, and the sheet says so.
            let large = extent == Extent::Full && !kit.1.members.captives.is_empty();
            assert!(large || fits_on(&bodies, &Room::of(&kit.2)), "{extent:?}");
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
        assert!(!has(LadderKind::Pocket) && !has(LadderKind::BoughtPocket));
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
                    LadderKind::Pocket => 0.06 - 0.02,
                    // A nut M16 may be 23.67 to 24 mm wide (ISO 4032), any of it as likely.
                    LadderKind::BoughtPocket => 0.03 - 0.02 - 0.33 / 4.0,
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

/// Where a line along x through a mesh, at a place along y and z, goes in and out.
fn crossed(mesh: &Mesh, y: f64, z: f64) -> Vec<f64> {
    let mut crossed: Vec<f64> = Vec::new();
    for [a, b, c] in mesh.facets() {
        let side = |p: &nalgebra::Point3<f64>, q: &nalgebra::Point3<f64>| {
            (q.y - p.y) * (z - p.z) - (q.z - p.z) * (y - p.y)
        };
        let [sa, sb, sc] = [side(&b, &c), side(&c, &a), side(&a, &b)];
        let inside = (sa > 0.0 && sb > 0.0 && sc > 0.0) || (sa < 0.0 && sb < 0.0 && sc < 0.0);
        if inside {
            crossed.push((a.x * sa + b.x * sb + c.x * sc) / (sa + sb + sc));
        }
    }
    crossed.sort_by(f64::total_cmp);
    crossed
}

#[test]
fn every_pocket_is_as_wide_on_its_mesh_as_the_nut_and_twice_its_gap_and_holds_its_flats_alone() {
    // M16: 24 mm (ISO 4032); printed for 18x2.4, the first spanner from 1.45 times 18 mm on: 27.
    for (kit, flats, printed) in [(4, 24.0, false), (5, 27.0, true)] {
        let kit = &kits()[kit];
        let coupon = of(kit, Extent::Joint("nut/carriage".into()));
        let ladder = &coupon.ladders[0];
        assert_eq!((coupon.ladders.len(), ladder.gaps.len()), (1, 9));
        assert_eq!(coupon.pieces.len(), 9 + usize::from(printed));
        // As far above the bed as the V is deep: where flats begin, half of that above its corner.
        let corner = 3.0;
        for (index, gap) in ladder.gaps.iter().enumerate() {
            let name = format!("nut-pocket-{}", index + 1);
            let piece = coupon.pieces.iter().find(|piece| piece.name == name);
            let mesh = sound(piece.expect("a pocket for every step")).mesh;
            let half = flats / 2.0 + gap.as_mm();
            let flat = corner + half / 3f64.sqrt();
            for z in [flat + 0.4, flat + 7.6] {
                let at = crossed(&mesh, 0.31, z);
                assert_eq!(at.len(), 4, "{name}: {at:?}");
                approx::assert_abs_diff_eq!(at[2] - at[1], 2.0 * half, epsilon = 1e-4);
            }
            // The V lies as far off the nut as its walls: half of its width over half of its depth.
            let at = crossed(&mesh, 0.31, corner + half / 3f64.sqrt() / 2.0);
            approx::assert_abs_diff_eq!(at[2] - at[1], half, epsilon = 1e-3);
            assert!(overhang(&mesh) < 1e-6, "{name}");
        }
        let blank = coupon
            .pieces
            .iter()
            .find(|piece| piece.name == "nut-pocket-blank");
        assert_eq!(blank.is_some(), printed);
        if let Some(blank) = blank {
            let size = sound(blank).size_mm;
            let across = size[0].min(size[1]);
            approx::assert_abs_diff_eq!(across, flats, epsilon = 1e-4);
        }
    }
}

#[test]
fn a_kit_without_a_captive_nut_has_no_ladder_of_pockets_and_is_not_told_of_one() {
    let kit = &kits()[0];
    let asked = netlead::coupon::coupon(
        &kit.0,
        &kit.1,
        &kit.2,
        &Extent::Joint("keeper/frame".into()),
    );
    let refusal = asked.expect_err("a keeper has no ladder");
    assert!(!refusal.known.contains(&"keeper/frame".to_string()));
    let tandem = &kits()[4];
    let asked = netlead::coupon::coupon(
        &tandem.0,
        &tandem.1,
        &tandem.2,
        &Extent::Joint("nut".into()),
    );
    let refusal = asked.expect_err("there is no such joint");
    for known in ["drive/frame", "drive/nut", "carriage/frame", "nut/carriage"] {
        assert!(refusal.known.contains(&known.to_string()), "{known}");
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
