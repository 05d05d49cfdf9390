//! Putting the mechanism together: every step, sampled on its way, is free.
//!
//! At the assembly turn Na the drive stands where its marks line up; the poses of a step are
//! those of the mechanism there, moved back along the way by which a piece goes in.

use crate::support::bench::{Bench, in_parallel};
use crate::support::body::shared;
use crate::support::kits;
use crate::support::sizes::{End, sizes};
use crate::support::{cases, mm};
use netlead::assembly::{InstanceId, Pose};
use netlead::kit::Kit;
use netlead::thread::Thread;
use netlead::units::{Angle, Length};
use proptest::prelude::*;

/// Chord tolerance, a fraction of the 0.1 mm by which walls stand clear of a pin behind ribs.
const TOLERANCE: f64 = 0.02;

/// Where what is asked is a fifth of a millimetre or more, in mm.
const COARSE: f64 = 0.05;

/// What rounding leaves where faces slide on each other exactly, in mm3.
const TOUCH: f64 = 1e-6;

/// Poses on the way of each step.
const SAMPLES: u32 = 12;

/// Shares of a way, from far off to there, that do not fall on whole turns or layers.
fn shares() -> impl Iterator<Item = f64> {
    (0..=SAMPLES).map(|sample| f64::from(sample) / f64::from(SAMPLES))
}

fn kits() -> Vec<(&'static str, Kit)> {
    kits::one_of_each()
        .into_iter()
        .filter(|(_, kit)| kit.pins.buy.is_none())
        .collect()
}

/// What a piece meets on a straight way into its place at n turns.
fn meets_on_the_way(
    bench: &Bench,
    piece: InstanceId,
    from: [f64; 3],
    turns: f64,
    others: &[&str],
) -> Vec<String> {
    let place = bench.pose(piece, turns);
    let still: Vec<_> = others
        .iter()
        .map(|name| {
            let other = bench.piece(name);
            (name, bench.at(other, turns), bench.pressed(piece, other))
        })
        .collect();
    let mut met = Vec::new();
    for share in shares() {
        let [x, y, z] = from.map(|way| mm(way * share));
        let moving = bench.posed(piece, &place.shifted(x, y, z));
        for (name, other, pressed) in &still {
            let shared = shared(&moving, other);
            if shared > TOUCH + pressed {
                let piece = bench.name(piece);
                met.push(format!(
                    "{piece} meets {name} {share} of the way off: {shared}"
                ));
            }
        }
    }
    met
}

/// A pose on the way out of a thread, after so many turns of its own hand.
fn unscrewed(place: Pose, thread: &Thread, turns: f64, outwards: f64) -> Pose {
    // z = L t: the turns have the sign that moves it outwards.
    let turns = turns * outwards * thread.hand().sign();
    place.screwed(Angle::turns(turns), thread.signed_lead() * turns)
}

/// Fails with all that was met, by kit.
fn free(step: fn(&Bench) -> Vec<String>) {
    let kits = kits();
    let met = in_parallel(&kits, |(name, kit)| {
        let met = step(&Bench::kept(kit, TOLERANCE));
        met.into_iter()
            .map(|met| format!("{name}: {met}"))
            .collect::<Vec<_>>()
    });
    assert_eq!(met.concat(), Vec::<String>::new());
}

/// The inner screw unscrewed out of the drive.
fn inner_into_drive(bench: &Bench) -> Vec<String> {
    let End::Nested(inner) = &sizes(&bench.design).end else {
        return vec![];
    };
    let turn = bench.design.course.assembly_turn;
    let (piece, drive) = (bench.piece("inner"), bench.piece("drive"));
    let still = bench.at(drive, turn);
    let all = inner.thread_length / inner.thread.lead() + 1.0;
    let met = shares().filter_map(|share| {
        let pose = unscrewed(bench.pose(piece, turn), &inner.thread, share * all, 1.0);
        let shared = shared(&bench.posed(piece, &pose), &still);
        (shared > TOUCH).then(|| format!("inner in drive, {share} out: {shared}"))
    });
    met.collect()
}

/// Drive and inner screw together unscrewed out of the frame.
fn drive_into_frame(bench: &Bench) -> Vec<String> {
    let sizes = &sizes(&bench.design);
    let turn = bench.design.course.assembly_turn;
    let frame = bench.at(bench.piece("frame"), turn);
    let carried: Vec<InstanceId> = bench
        .pieces()
        .filter(|piece| ["drive", "inner"].contains(&bench.name(*piece)))
        .collect();
    // The longest way: from the frame's face to the end of what stands out of the drive.
    let all = sizes.near_face / sizes.drive.lead() + turn + 1.0;
    let mut met = Vec::new();
    for share in shares() {
        for piece in &carried {
            let pose = unscrewed(bench.pose(*piece, turn), &sizes.drive, share * all, -1.0);
            let shared = shared(&bench.posed(*piece, &pose), &frame);
            if shared > TOUCH {
                met.push(format!(
                    "{} in frame, {share} out: {shared}",
                    bench.name(*piece)
                ));
            }
        }
    }
    met
}

/// The carriage drawn off at the open end.
fn carriage_over_head(bench: &Bench) -> Vec<String> {
    let turn = bench.design.course.assembly_turn;
    let off = sizes(&bench.design).frame_length.as_mm();
    let nested = matches!(sizes(&bench.design).end, End::Nested(_));
    let others: &[&str] = if nested {
        &["frame", "drive", "inner"]
    } else {
        &["frame", "drive"]
    };
    meets_on_the_way(
        bench,
        bench.piece("carriage"),
        [0.0, 0.0, off],
        turn,
        others,
    )
}

/// Cross pin or swivel pins drawn out through the slot.
fn pins_through_slot(bench: &Bench) -> Vec<String> {
    let turn = bench.design.course.assembly_turn;
    let off = sizes(&bench.design).frame_side.as_mm();
    let nested = matches!(sizes(&bench.design).end, End::Nested(_));
    let (pins, others): (&[&str], &[&str]) = if nested {
        (&["cross pin"], &["frame", "drive", "carriage", "inner"])
    } else {
        (
            &["swivel pin 1", "swivel pin 2"],
            &["frame", "drive", "carriage"],
        )
    };
    let way = [off, 0.0, 0.0];
    let met = pins
        .iter()
        .map(|pin| meets_on_the_way(bench, bench.piece(pin), way, turn, others));
    met.collect::<Vec<_>>().concat()
}

/// All but the keeper from the assembly turn to the end of the stroke.
fn drive_back(bench: &Bench) -> Vec<String> {
    let course = &bench.design.course;
    let pieces: Vec<InstanceId> = bench
        .pieces()
        .filter(|piece| !bench.name(*piece).starts_with("keeper"))
        .collect();
    let back = |share: f64| course.turns + (course.assembly_turn - course.turns) * share;
    let met = [1.0, 0.63, 0.3].map(|share| bench.clashes(&pieces, back(share), TOUCH));
    met.concat()
}

/// The keeper and its pins drawn out at turn 0.
fn keeper_last(bench: &Bench) -> Vec<String> {
    let sizes = &sizes(&bench.design);
    let (plug, side) = (sizes.keeper_plug.as_mm(), sizes.frame_side.as_mm());
    let others = ["frame", "carriage", "drive"];
    let keeper = bench.piece("keeper");
    let mut met = meets_on_the_way(bench, keeper, [0.0, 0.0, plug + 2.0], 0.0, &others);
    for pin in ["keeper pin 1", "keeper pin 2"] {
        let (way, others) = ([0.0, side, 0.0], ["frame", "keeper", "carriage"]);
        met.extend(meets_on_the_way(bench, bench.piece(pin), way, 0.0, &others));
    }
    met
}

#[test]
fn inner_screw_goes_into_the_drive_all_the_way() {
    free(inner_into_drive);
}

#[test]
fn drive_goes_into_the_frame_with_all_that_it_carries() {
    free(drive_into_frame);
}

#[test]
fn carriage_slides_in_at_the_open_end_over_the_head() {
    free(carriage_over_head);
}

#[test]
fn cross_and_swivel_pins_go_in_through_the_slot() {
    free(pins_through_slot);
}

#[test]
fn drive_turns_back_from_the_assembly_turn_before_the_keeper_is_in() {
    free(drive_back);
}

#[test]
fn keeper_and_its_pins_go_in_last() {
    free(keeper_last);
}

proptest! {
    #![proptest_config(cases(4))]

    #[test]
    fn prop_any_buildable_kit_can_be_put_together(kit in kits::buildable()) {
        let bench = Bench::new(&kit, TOLERANCE);
        let steps: [fn(&Bench) -> Vec<String>; 6] = [
            inner_into_drive,
            drive_into_frame,
            carriage_over_head,
            pins_through_slot,
            drive_back,
            keeper_last,
        ];
        let met = in_parallel(&steps, |step| step(&bench)).concat();
        prop_assert!(met.is_empty(), "{met:?}");
    }
}

#[test]
fn collar_touches_before_its_quarter_turn_and_head_before_its_own() {
    // Section by section: screw in until it touches, then turn back. At the assembly turn the
    // collar stands a quarter lead off, the head 0.4 leads and what rounding to a layer adds.
    for (name, kit) in kits() {
        let bench = Bench::kept(&kit, COARSE);
        let sizes = &sizes(&bench.design);
        let turn = bench.design.course.assembly_turn;
        let lead = sizes.drive.lead();
        let head = sizes.head_gap(turn);
        assert!(
            head >= lead * 0.4 - mm(1e-9) && head < lead * 0.4 + *kit.layer,
            "{name}: {head}"
        );
        let (drive, frame) = (bench.piece("drive"), bench.piece("frame"));
        let still = bench.at(frame, turn);
        let meets = |turns: f64| {
            let pose = unscrewed(bench.pose(drive, turn), &sizes.drive, turns, 1.0);
            shared(&bench.posed(drive, &pose), &still)
        };
        let touch = head / lead;
        assert!(meets(touch - 1e-3) <= TOUCH, "{name}");
        assert!(meets(touch + mm(0.2) / lead) > 1.0, "{name}");
        if let End::Nested(inner) = &sizes.end {
            // Screws of one hand meet where the drive goes furthest in, of opposite hands where it
            // comes furthest out: a whole turn past its end, with 0.3 turns to spare.
            let at_bench = if inner.thread.hand() == sizes.drive.hand() {
                turn
            } else {
                -(sizes.over_travel + 0.3).ceil()
            };
            let between = "the inner screw's collar and the drive screw's end";
            let mut distances = bench.design.distances.iter();
            let collar = distances.find(|distance| distance.between == between);
            let collar = collar.unwrap().at(at_bench);
            assert!(
                (collar / inner.thread.lead() - 0.25).abs() < 1e-9,
                "{name}: {collar}"
            );
        }
    }
}

/// So that a step that is not free would be seen: a carriage pushed in sideways is met.
#[test]
fn a_blocked_way_is_seen() {
    let bench = Bench::kept(&kits::m20_m12(), COARSE);
    let turn = bench.design.course.assembly_turn;
    let side = sizes(&bench.design).frame_side;
    let way = [side.as_mm(), 0.0, 0.0];
    let met = meets_on_the_way(&bench, bench.piece("carriage"), way, turn, &["frame"]);
    assert!(met.len() > 3 && Length::ZERO < side);
}
