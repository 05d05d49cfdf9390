//! Pieces through the stroke, on their meshes: nothing overlaps that should not, stops stop.

use crate::support::bench::{Bench, in_parallel, in_ribs};
use crate::support::body::{Body, shared};
use crate::support::exact::{corners, overlap_per_length, right_angled};
use crate::support::kits::{self, said};
use crate::support::shape::{alone, here};
use crate::support::sizes::sizes;
use crate::support::{cases, mm, right};
use netlead::assembly::{
    Contour, Fit, InstanceId, Outline, Pose, Solid, ThreadForm, ThreadZone, Turned,
};
use netlead::kit::Grip;
use netlead::motion::{AxialSection, Rate};
use netlead::solid::{mesh, solid_mesh};
use netlead::thread::{Hand, Thread};
use netlead::units::{Angle, Length};
use proptest::prelude::*;
use std::f64::consts::PI;

/// Chord tolerance of these meshes. A mesh understates a gap by as much, and the narrowest
/// drawn gap, between a bought pin and the wall behind its ribs, is 0.07 mm.
const TOLERANCE: f64 = 0.02;

/// Where the mesh is not asked about gaps, in mm.
const COARSE: f64 = 0.05;

/// What rounding leaves where faces meet exactly, in mm3.
const TOUCH: f64 = 1e-6;

#[test]
fn no_piece_overlaps_another_anywhere_in_the_stroke() {
    let kits = kits::one_of_each();
    let clashes = in_parallel(&kits, |(name, kit)| {
        let bench = Bench::kept(kit, TOLERANCE);
        let pieces: Vec<InstanceId> = bench.pieces().collect();
        let all = bench.design.course.turns;
        let found: Vec<String> = [0.0, 1.0, 0.31 * all, 0.5 * all + 0.25, all]
            .into_iter()
            .flat_map(|turns| bench.clashes(&pieces, turns, TOUCH))
            .map(|clash| format!("{name}: {clash}"))
            .collect();
        found
    });
    assert_eq!(clashes.concat(), Vec::<String>::new());
}

#[test]
fn threads_are_in_phase_and_open_in_the_closed_form_at_every_turn() {
    for (name, kit) in kits::one_of_each() {
        let bench = Bench::kept(&kit, COARSE);
        let joints = &bench.design.assembly.joints;
        for joint in joints.iter().filter(|joint| joint.fit == Fit::Thread) {
            let in_hole = joint.thread.as_ref().unwrap();
            let [male, female] = joint.between.map(|piece| bench.rates.of(piece));
            for turns in [-0.4, 0.0, 1.0, 7.77, bench.design.course.turns] {
                let error = in_hole.phase_error(male.after(turns), female.after(turns));
                let gap = joint.gap.unwrap().drawn;
                let section = AxialSection::new(&in_hole.thread, gap, error);
                assert!(error.abs().as_mm() < 1e-9, "{name}: {} {error}", joint.name);
                // In phase the flanks stand c / 2 apart, at 30 degrees to the section's normal.
                let flank = section.flank_gap().as_mm();
                assert!((flank - gap.as_mm() / 2.0).abs() < 1e-9);
                let overlap = overlap_per_length(&in_hole.thread, gap.as_mm(), error.as_mm());
                assert_eq!(overlap, 0.0);
            }
        }
    }
}

/// Turns at which the carriage meets the shoulder, and the keeper, without play.
fn stops(bench: &Bench) -> [f64; 2] {
    let sizes = &sizes(&bench.design);
    let far_face = sizes.near_face + sizes.carriage_length;
    [
        (sizes.shoulder - sizes.near_face) / sizes.net_lead,
        (sizes.keeper_face - far_face) / sizes.net_lead,
    ]
}

#[test]
fn carriage_just_touches_its_stops_and_a_fifth_of_a_millimetre_further_it_is_stopped() {
    for (name, kit) in [
        ("nested", kits::opposite_hands()),
        ("single", kits::left_single()),
    ] {
        let bench = Bench::kept(&kit, TOLERANCE);
        let sizes = &sizes(&bench.design);
        let carriage = bench.piece("carriage");
        let beyond = mm(0.2) / sizes.net_lead;
        // Rings on which the faces meet: the near face has a 1 mm edge and stands over the
        // clear bore, the far one a 0.6 mm edge, and the keeper a 1 mm edge and its hole.
        let ring = |outer: f64, inner: f64| PI * (outer * outer - inner * inner);
        let body = sizes.carriage_diameter.as_mm() / 2.0;
        let clear = sizes.drive.major().as_mm() / 2.0 + 1.0;
        let plug = (sizes.guide() / 2.0 - sizes.gaps.locate.drawn).as_mm() - 1.0;
        let hole = sizes.keeper_bore.as_mm() / 2.0 + 0.6;
        let rings = [ring(body - 1.0, clear), ring((body - 0.6).min(plug), hole)];
        for (index, stop) in ["frame", "keeper"].into_iter().enumerate() {
            let outwards = [-1.0, 1.0][index];
            let still = bench.at(bench.piece(stop), 0.0);
            let meets = |turns: f64| shared(&bench.at(carriage, turns), &still);
            let at = stops(&bench)[index];
            let touching = meets(at);
            assert!(touching <= TOUCH, "{name}: {stop} {touching}");
            let pressed = meets(at + outwards * beyond);
            // A tenth for the chords of both rings.
            let least = 0.9 * 0.2 * rings[index];
            assert!(pressed >= least, "{name}: {stop} {pressed} of {least}");
        }
    }
}

#[test]
fn screws_stay_free_until_all_play_is_used_up_at_both_stops() {
    let kits = kits::one_of_each();
    let clashes = in_parallel(&kits, |(name, kit)| {
        let bench = Bench::kept(kit, TOLERANCE);
        let screws: Vec<InstanceId> = bench
            .pieces()
            .filter(|piece| ["frame", "drive", "inner"].contains(&bench.name(*piece)))
            .collect();
        let course = &bench.design.course;
        let found: Vec<String> = [-course.over_travel, course.turns + course.over_travel]
            .into_iter()
            .flat_map(|turns| bench.clashes(&screws, turns, TOUCH))
            .map(|clash| format!("{name}: {clash}"))
            .collect();
        found
    });
    assert_eq!(clashes.concat(), Vec::<String>::new());
}

#[test]
fn a_nut_out_of_phase_overlaps_its_screw_as_the_closed_form_says() {
    // 0.125 mm is just past contact at 0.2 tan 30 = 0.115 mm; chords open it again.
    overlaps_as_the_closed_form_says(&right(20.0, 2.5), 0.05);
    // Flanks of 45 degrees touch at 0.2 mm.
    let right_angled = Thread::of_form(right_angled(), mm(20.0), mm(2.5), Hand::Right);
    overlaps_as_the_closed_form_says(&right_angled, 0.085);
}

/// Turns a screw in a nut 20 mm thick, with full profile from face to face and a gap of 0.2 mm,
/// and compares what they share: in phase, just past contact and beyond.
fn overlaps_as_the_closed_form_says(thread: &Thread, contact: f64) {
    let tolerance = 0.01;
    let (gap, height) = (mm(0.2), 20.0);
    let (major, root) = (10.0, thread.minor_internal().as_mm() / 2.0);
    let stretch = |external: bool, shift: Length, [low, high]: [f64; 2], ends: f64, line: f64| {
        let between = (line - ends).abs();
        Solid::Turned(Turned {
            outer: Contour {
                corners: corners(&[
                    (low, ends),
                    (low + between, line),
                    (high - between, line),
                    (high, ends),
                ]),
                threads: vec![ThreadZone {
                    z: [mm(low), mm(high)],
                    form: ThreadForm {
                        thread: thread.clone(),
                        shift,
                        crest: mm(0.0),
                        external,
                    },
                }],
            },
            bore: None,
        })
    };
    let screw = stretch(true, Length::ZERO, [-8.0, 28.0], root - 0.5, major + 1.0);
    let tool = stretch(false, gap, [-6.0, 26.0], major + 1.0, root - 0.5);
    let disc = Outline::Circle { diameter: mm(36.0) };
    let mut nut = alone(Solid::Prism(vec![
        (mm(0.0), disc.clone()),
        (mm(height), disc),
    ]));
    nut.cut.push(here(tool));
    let screw = Body::new(&solid_mesh(&screw, mm(tolerance)));
    let nut = Body::new(&mesh(&nut, mm(tolerance)).unwrap());
    for turn in [0.0, contact, 0.25, 0.5] {
        let turned = screw.placed(&Pose::identity().screwed(Angle::turns(turn), Length::ZERO));
        let error = thread.pitch().as_mm() * turn;
        let exact = overlap_per_length(thread, gap.as_mm(), error) * height;
        let found = shared(&turned, &nut);
        // Both surfaces lie within the tolerance of their own; they meet along two flanks and
        // a crest of every pitch: less than the cylinder through the crests.
        let bound = 2.0 * tolerance * 2.0 * PI * major * height;
        assert!((found - exact).abs() <= bound, "{turn}: {found} of {exact}");
        assert_eq!(exact > 0.0, turn > 0.0, "{turn}");
    }
}

#[test]
fn a_drive_half_a_turn_out_of_phase_overlaps_its_frame_by_its_engaged_length() {
    let bench = Bench::kept(&kits::m16(), TOLERANCE);
    let (drive, frame) = (bench.piece("drive"), bench.piece("frame"));
    let assembly = &bench.design.assembly;
    let joint = assembly
        .joints
        .iter()
        .find(|joint| joint.fit == Fit::Thread)
        .unwrap();
    let in_hole = joint.thread.as_ref().unwrap();
    let still = Rate {
        advance: Length::ZERO,
        turns: 0.0,
    };
    let half = Rate {
        turns: 0.5,
        ..still
    };
    let error = in_hole.phase_error(half, still);
    let gap = joint.gap.unwrap().drawn.as_mm();
    let overlap = overlap_per_length(&in_hole.thread, gap, error.as_mm());
    let engaged = in_hole.engaged_length(half, still, 1.0).as_mm();
    let out = bench
        .pose(drive, 0.0)
        .screwed(Angle::turns(0.5), Length::ZERO);
    let found = shared(&bench.posed(drive, &out), &bench.at(frame, 0.0));
    // Countersinks and chamfers add something where the profile is not full: at the most as
    // much in each mm, over the wall.
    let wall = sizes(&bench.design).tapped_wall.as_mm();
    let chords = 2.0 * TOLERANCE * 2.0 * PI * 8.0 * wall;
    let [least, most] = [engaged, wall].map(|length| overlap * length);
    assert!(
        found >= least - chords && found <= most + chords,
        "{least} {found} {most}"
    );
}

/// Area of a circle of radius `r` on one side of a chord `h` from its centre, the greater.
fn above_a_chord(r: f64, h: f64) -> f64 {
    if h >= r {
        return PI * r * r;
    }
    let half = Angle::from_cos(h / r).as_radians();
    PI * r * r - (r * r * half - h * (r * r - h * h).sqrt())
}

#[test]
fn pins_held_by_a_whole_wall_overlap_it_by_the_ring_that_was_drawn() {
    // Wanted -0.08 of both printed: drawn -0.02, radial.
    let mut kit = kits::m20_m12();
    kit.pins.held_by = said(Grip::Wall);
    kit.gaps.press = Some(said(mm(-0.08)));
    let tolerance = 0.002;
    let bench = Bench::new(&kit, tolerance);
    let sizes = &sizes(&bench.design);
    let drawn = sizes.gaps.press.drawn.as_mm();
    assert!((drawn + 0.02).abs() < 1e-12);
    let pin = sizes.pin_diameter.as_mm() / 2.0;
    let flat = pin * 0.5f64.sqrt();
    let ring = above_a_chord(pin, flat) - above_a_chord(pin + drawn, flat);
    // In the -x ear: from the round socket to where the mouth begins, 1 mm from the ear's end.
    // The socket's wall is at sqrt(R^2 - y^2), on average over the ring's y = r cos(angle).
    let socket = sizes.socket_diameter.as_mm() / 2.0;
    const STEPS: i32 = 1000;
    let wall = (0..STEPS)
        .map(|step| {
            let y = pin * Angle::turns(f64::from(step) / f64::from(STEPS)).cos();
            (socket * socket - y * y).sqrt()
        })
        .sum::<f64>()
        / f64::from(STEPS);
    let end = sizes.frame_side.as_mm() / 2.0 - 1.0;
    let length = end - 1.0 - wall;
    let (cross, carriage) = (bench.piece("cross pin"), bench.piece("carriage"));
    let found = shared(&bench.at(cross, 0.0), &bench.at(carriage, 0.0));
    let exact = ring * length;
    // Chords of both, on the contact area; the flat leaves three quarters of the ring's y
    // uneven, which the length of the wall feels by less than a hundredth.
    let bound = 2.0 * tolerance * 2.0 * PI * pin * length + 0.01 * exact;
    assert!(
        (found - exact).abs() <= bound,
        "{found} of {exact}, within {bound}"
    );
    assert!(
        bound < 0.35 * exact,
        "the bound {bound} says nothing of {exact}"
    );
    // Where pins locate there is a gap.
    for piece in ["inner", "frame"] {
        assert!(shared(&bench.at(cross, 0.0), &bench.at(bench.piece(piece), 0.0)) <= TOUCH);
    }
}

#[test]
fn pins_held_by_ribs_overlap_them_by_three_segments_and_nothing_else() {
    // Pin 5.5 across, wanted -0.11 of both printed, drawn -0.05: the tips stand at 2.70.
    let tolerance = 0.002;
    let bench = Bench::new(&kits::m20_m12(), tolerance);
    let (pin, tip, wall) = (2.75, 2.70, 2.85);
    assert_eq!(sizes(&bench.design).pin_diameter, mm(5.5));
    let area = in_ribs(pin, tip);
    // By hand: half-angle acos(2.70 / 2.75) = 0.19101; 3 (7.5625 x 0.19101 - 2.70 x 0.52202).
    assert!((area - 0.1052).abs() < 1e-3, "{area}");
    // In the -x ear: from the socket's wall, radius 8.06, to where the mouth leaves the ribs, from
    // 1.1 mm (where its cone is as wide as the pin) to 1.15 mm from the ear's end at x = 20. On
    // the ribs y is at most 2.75 sin 41 degrees = 1.8, which takes 0.21 off the socket's wall.
    let side = sizes(&bench.design).frame_side.as_mm();
    let (end, socket) = (
        side / 2.0 - 1.0,
        sizes(&bench.design).socket_diameter.as_mm() / 2.0,
    );
    let [least, most] = [
        end - (1.0 + wall - tip) - socket,
        end - (1.0 + wall - pin) - socket + 0.21,
    ];
    let (cross, carriage) = (bench.piece("cross pin"), bench.piece("carriage"));
    let found = shared(&bench.at(cross, 0.0), &bench.at(carriage, 0.0));
    // Chords of the pin, over the width of contact 2 sqrt(2.75^2 - 2.70^2) of each rib.
    let chords = tolerance * 3.0 * 1.05 * most;
    assert!(
        found >= area * least - chords && found <= area * most,
        "{found} of {} to {}",
        area * least,
        area * most
    );
    for piece in ["inner", "frame"] {
        assert!(shared(&bench.at(cross, 0.0), &bench.at(bench.piece(piece), 0.0)) <= TOUCH);
    }
}

#[test]
fn swivel_pins_hold_the_tip_both_ways() {
    // A radial gap g stands g / sqrt 2 square to the 45 degree flanks, so g along the axis: by
    // that much the tip is free both ways, and further out it bears on both pins.
    let bench = Bench::kept(&kits::m16(), TOLERANCE);
    let drive = bench.piece("drive");
    let gap = sizes(&bench.design).gaps.swivel.drawn.as_mm();
    let shifted = |by: f64| {
        let pose = bench.pose(drive, 0.0).screwed(Angle::ZERO, mm(by));
        bench.posed(drive, &pose)
    };
    for name in ["swivel pin 1", "swivel pin 2"] {
        let pin = bench.at(bench.piece(name), 0.0);
        for way in [-1.0, 1.0] {
            // A mesh understates a gap by the tolerance of each face, sqrt 2 along the axis.
            let free = gap - 2.0 * 2f64.sqrt() * TOLERANCE;
            assert!(shared(&shifted(way * free), &pin) <= TOUCH);
            assert!(shared(&shifted(way * (gap + 0.1)), &pin) > 0.0);
        }
    }
}

#[test]
fn carriage_reaches_through_both_slots_to_just_inside_the_frame() {
    let bench = Bench::kept(&kits::m20_m12(), COARSE);
    let side = sizes(&bench.design).frame_side.as_mm() / 2.0;
    let [low, high] = bench.at(bench.piece("carriage"), 0.0).bounds();
    assert!((high[0] - (side - 1.0)).abs() < 1e-9 && (low[0] + side - 1.0).abs() < 1e-9);
}

proptest! {
    #![proptest_config(cases(6))]

    #[test]
    fn prop_no_piece_of_a_buildable_kit_overlaps_another(
        kit in kits::buildable(), share in 0.0..1.0f64
    ) {
        let bench = Bench::new(&kit, TOLERANCE);
        let pieces: Vec<InstanceId> = bench.pieces().collect();
        let turns = bench.design.course.turns;
        let clashes = in_parallel(&[0.0, share * turns, turns], |turns| {
            bench.clashes(&pieces, *turns, TOUCH)
        });
        prop_assert!(clashes.concat().is_empty(), "{clashes:?}");
    }
}
