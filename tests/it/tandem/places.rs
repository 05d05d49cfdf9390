//! Every place in which the drive screw may come to stand, on the meshes.
//!
//! The nut may stand on any of its six flats, which shifts its thread by a sixth of a pitch each, and
//! so the drive screw along the frame's thread: by up to half of the way from one place to the next.

use super::{free_pitch, inches, left_hand, metric};
use crate::support::bench::{Bench, in_parallel};
use crate::support::body::{Body, shared};
use netlead::assembly::{InstanceId, Pose};
use netlead::kit::Kit;
use netlead::layout::Design;
use netlead::units::{Angle, Length};

/// Chord tolerance of these meshes, in mm: the narrowest gap that is looked at is 0.12 mm.
const TOLERANCE: f64 = 0.03;

/// What rounding leaves where faces meet exactly, in mm3.
const TOUCH: f64 = 1e-6;

fn kits() -> Vec<(&'static str, Kit)> {
    vec![
        ("metric", metric()),
        ("left-hand", left_hand()),
        ("inches", inches()),
        ("free pitch", free_pitch()),
    ]
}

/// Leads of the thick thread and of the thin one, without sign.
fn leads(design: &Design) -> [f64; 2] {
    let mut threads = design.assembly.thread_joints();
    [(); 2].map(|()| threads.next().expect("two threads").2.thread.lead().as_mm())
}

/// Turns that the drive screw stands off in the direction of the stroke, where the nut stands on
/// another flat, some sixths of a turn clockwise.
fn shifted(design: &Design, sixths: i32) -> f64 {
    let [_, thin] = leads(design);
    let hand = design
        .assembly
        .thread_joints()
        .next()
        .unwrap()
        .2
        .thread
        .hand();
    // The carriage stays: net x turns - thin x (sixths / 6, in the thread's own sense) = 0.
    let own = f64::from(sixths) / 6.0 * hand.sign();
    -own * thin / design.net_lead.as_mm()
}

/// The drive screw and the nut in another of its places, at a turn of the stroke.
fn posed(bench: &Bench, sixths: i32, turns: f64) -> [Body; 2] {
    let (drive, nut) = (bench.piece("drive"), bench.piece("nut"));
    let off = shifted(&bench.design, sixths);
    let screw = bench.pose(drive, turns + off);
    let upright: Pose = bench.pose(nut, turns);
    let turned = upright.screwed(Angle::turns(f64::from(sixths) / 6.0), Length::ZERO);
    [bench.posed(drive, &screw), bench.posed(nut, &turned)]
}

fn others(bench: &Bench) -> Vec<InstanceId> {
    let names = ["frame", "carriage", "keeper", "stop pin", "keeper pin 1"];
    names.map(|name| bench.piece(name)).into()
}

#[test]
fn in_each_of_the_nuts_six_places_the_drive_screw_is_free_through_the_stroke() {
    let found = in_parallel(&kits(), |(name, kit)| {
        let bench = Bench::kept(kit, TOLERANCE);
        let all = bench.design.course.turns;
        let mut clashes = Vec::new();
        for sixths in -3..=3 {
            for turns in [0.0, 0.37 * all, all] {
                let [drive, nut] = posed(&bench, sixths, turns);
                let mut pairs = vec![("nut", shared(&drive, &nut))];
                let carriage = bench.at(bench.piece("carriage"), turns);
                pairs.push(("the nut in the carriage", shared(&nut, &carriage)));
                for other in others(&bench) {
                    let body = bench.at(other, turns);
                    pairs.push((bench.name(other), shared(&drive, &body)));
                }
                let met = pairs.into_iter().filter(|(_, volume)| *volume > TOUCH);
                clashes.extend(met.map(|(with, volume)| {
                    format!("{name}, {sixths}/6, turn {turns}: {with} {volume} mm3")
                }));
            }
        }
        clashes
    });
    assert_eq!(found.concat(), Vec::<String>::new());
}

#[test]
fn a_screw_that_stands_between_two_places_cuts_its_nut() {
    let bench = Bench::kept(&metric(), TOLERANCE);
    let [_, nut] = posed(&bench, 0, 0.0);
    // Half of a sixth off: the flanks, half of 0.25 mm apart, are a twelfth of 2 mm off.
    let drive = bench.piece("drive");
    let off = (shifted(&bench.design, 0) + shifted(&bench.design, 1)) / 2.0;
    let screw = bench.posed(drive, &bench.pose(drive, off));
    assert!(shared(&screw, &nut) > 1.0);
}

/// How much of both full profiles meets, with the drive screw off by some turns.
fn engaged(
    design: &Design,
    rates: &netlead::motion::StrokeRates,
    off: f64,
    turns: f64,
) -> [f64; 2] {
    let joints: Vec<_> = design.assembly.thread_joints().collect();
    [0, 1].map(|index| {
        let (_, joint, thread) = joints[index];
        let [male, female] = joint.between.map(|piece| rates.of(piece));
        let screw = male.after(turns + off).advance.as_mm();
        let hole = female.after(turns).advance.as_mm();
        let [low, high] = [0, 1].map(|end| {
            let (m, f) = (
                thread.male[end].as_mm() + screw,
                thread.female[end].as_mm() + hole,
            );
            match end {
                0 => m.max(f),
                _ => m.min(f),
            }
        });
        high - low
    })
}

#[test]
fn in_each_place_both_threads_are_engaged_as_wanted_until_all_play_is_used_up() {
    for (name, kit) in kits() {
        let bench = Bench::kept(&kit, TOLERANCE);
        let course = &bench.design.course;
        for sixths in -3..=3 {
            let off = shifted(&bench.design, sixths);
            for turns in [-course.over_travel, course.turns + course.over_travel] {
                let engaged = engaged(&bench.design, &bench.rates, off, turns);
                // With 0.7 leads of clearance under the head, a neck of one pitch reaches into the
                // wall's countersink by 0.3 pitches less the 0.45 mm by which that is longer.
                let neck = (0.3 * leads(&bench.design)[0] - 0.45).max(0.0);
                let pairs = engaged.into_iter().zip(&bench.design.threads);
                for ((found, pair), neck) in pairs.zip([neck, 0.0]) {
                    let wanted = pair.wanted.as_mm() - neck;
                    assert!(
                        found > wanted - 1e-6,
                        "{name}, {sixths}/6, {turns}: {found} of {wanted}"
                    );
                }
            }
        }
    }
}

/// How far the carriage goes beyond turn 0 and beyond the last turn until it meets its stop, in mm:
/// half a millimetre and what rounding up to a layer adds at the far end.
#[test]
fn the_carriage_just_touches_its_stops_and_a_fifth_of_a_millimetre_further_it_is_stopped() {
    for (name, kit) in kits() {
        let bench = Bench::kept(&kit, TOLERANCE);
        let (carriage, net) = (bench.piece("carriage"), bench.design.net_lead.as_mm());
        let course = &bench.design.course;
        for (stop, end, way) in [("stop pin", 0.0, -1.0), ("keeper", course.turns, 1.0)] {
            let still = bench.at(bench.piece(stop), 0.0);
            let meets = |travel: f64| shared(&bench.at(carriage, end + way * travel / net), &still);
            assert!(meets(0.48) < TOUCH, "{name}: {stop} too early");
            assert!(meets(0.5 + 0.2 + 0.2) > 1.0, "{name}: {stop} too late");
        }
    }
}

#[test]
fn mirrored_hands_make_mirrored_screws_but_for_their_marks() {
    let [right, left] = [metric(), left_hand()].map(|kit| Bench::kept(&kit, TOLERANCE));
    for part in ["drive", "nut", "frame"] {
        let volume = |bench: &Bench| {
            let of = bench
                .design
                .assembly
                .parts
                .iter()
                .position(|one| one.name == part);
            bench.meshes[of.unwrap()].volume_mm3()
        };
        let (one, other) = (volume(&right), volume(&left));
        // A second V of 0.8 mm takes 0.64 mm2 of section more.
        let mark = (one - other) / 0.64;
        assert!(mark > 0.0 && mark < 40.0, "{part}: {one} and {other}");
    }
}
