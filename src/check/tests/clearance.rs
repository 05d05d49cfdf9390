//! Rule file `clearance.rs`: one failing and one just-passing case.

use super::*;
use crate::assembly::{Fit, InstanceId};
use crate::clearance::{Feature, FoundBy, Kind, LeastGap, Overlap, PairClearance};

/// The finding about the inner screw in a drive screw whose end comes so near to the collar, in
/// mm, when all play is used up: lengths leave no room for a thread gap, and the gap is wide.
fn with_room_at_the_collar(room: f64) -> Finding {
    let kit = |gap: f64| format!("{GOOD}sizes = {{ thread_gap = 0 }}\ngaps = {{ thread = {gap} }}");
    let loose = judged_like(&nested(&kit(0.04)), "stops", "inner", "collar");
    // Two threads, each 2 tan 30 deg of gap, half at this end: turns of 1.75 mm at 0.75 a turn.
    let lost = 2.0 * 1.154_700_5 / 2.0 / 0.75 * 1.75;
    let gap = 0.04 + (loose.value.expect("a distance") - room) / lost;
    judged(&nested(&kit(gap)), "clearance", "drive/inner")
}

#[test]
fn a_collar_that_reaches_the_end_of_the_drive_screw_overlaps_it() {
    let overlapping = with_room_at_the_collar(-0.2);
    assert_eq!(overlapping.outcome, Outcome::Fail);
    let depth = overlapping.value.expect("a depth");
    approx::assert_abs_diff_eq!(depth, -0.2, epsilon = 2e-3);
    assert!(overlapping.at.is_some() && overlapping.mend.is_some());
}

#[test]
fn a_collar_nearer_than_the_flanks_is_worth_a_warning() {
    // By hand: room r wants g = 0.04 + (0.907 - r) / 2.694, drawn g + 0.21, and half of that
    // between flanks, less two chords of 0.01, 0.001 of precision and root two rows of 0.05,
    // 0.0917 in all: nearer than that below r = 0.170.
    for (room, outcome) in [(0.15, Outcome::Warn), (0.19, Outcome::Pass)] {
        let near = with_room_at_the_collar(room);
        assert_eq!(near.outcome, outcome, "{room}");
        approx::assert_abs_diff_eq!(near.value.expect("a gap"), room, epsilon = 2e-3);
    }
    let clear = judged(&nested(GOOD), "clearance", "drive/inner");
    assert_eq!(clear.outcome, Outcome::Pass);
    approx::assert_abs_diff_eq!(clear.value.expect("a gap"), 0.125, epsilon = 1e-9);
}

/// What is judged of one pair of the sound kit, made up from its design and tolerance.
fn of_pair(pair: impl Fn(&Design, Length) -> PairClearance) -> Vec<Judgement> {
    let kit: Kit = nested(GOOD).parse().expect("a valid kit");
    let profile = Profile::untuned_for(&kit);
    let design = design(&kit, &profile).expect("a kit that can be drawn");
    let rates = solve(&design.assembly).expect("a mechanism that moves");
    let direction = rates.stroke_direction().expect("a carriage that advances");
    let rates = rates.per_stroke_turn(direction);
    let clearance = Clearance {
        pairs: vec![pair(&design, *kit.tolerance)],
    };
    let case = Case {
        kit: &kit,
        profile: &profile,
        design: &design,
        rates: &rates,
    };
    let bodies = Bodies {
        meshes: &[],
        clearance: &clearance,
        order: &Order::TooMany(0),
    };
    let Judge::Bodies(judge, _) = rule("clearance").expect("a rule of this name").judge else {
        panic!("this rule judges bodies")
    };
    judge(&case, &bodies)
}

/// The outcome for two pieces without a joint that come so near, square to the axis or along it.
fn free(gap: f64, along: [f64; 3]) -> Outcome {
    let judged = of_pair(|design, _| {
        let piece = |name: &str| {
            let pieces = &design.assembly.instances;
            let found = pieces.iter().position(|piece| piece.name == name);
            InstanceId(found.expect("a piece of this name"))
        };
        PairClearance {
            between: [piece("drive"), piece("carriage")],
            kind: Kind::Turning,
            turns: [0.0, 1.0],
            least: Some(LeastGap {
                gap: Length::mm(gap),
                at_turn: 0.0,
                points: [[0.0; 3], along.map(|share| share * gap)],
                features: [Feature::Body; 2],
                by: FoundBy::Rings,
            }),
            overlap: None,
        }
    });
    judged[0].outcome
}

/// What is judged of two pieces that are pressed together and overlap by so much more, in mm,
/// than their interference and two chords along a lead-in of 45 degrees.
fn pressed(beyond: f64, proven: bool) -> Vec<Judgement> {
    of_pair(|design, tolerance| {
        let mut joints = design.assembly.joints.iter();
        let joint = joints.find(|joint| joint.fit == Fit::Press);
        let joint = joint.expect("pins that are pressed in");
        let drawn = joint.gap.expect("a press has a gap").drawn;
        assert!(drawn < tolerance * 2.0, "{drawn:?}");
        let interference = (Length::ZERO - drawn).max(Length::ZERO);
        PairClearance {
            between: joint.between,
            kind: Kind::Still,
            turns: [0.0, 1.0],
            least: None,
            overlap: Some(Overlap {
                depth: (interference + tolerance * 2.0) * 2.0_f64.sqrt() + Length::mm(beyond),
                at_turn: 0.0,
                point: [0.0; 3],
                proven,
            }),
        }
    })
}

#[test]
fn pressed_pieces_may_overlap_by_their_interference_and_no_more() {
    assert!(pressed(-0.001, true).is_empty());
    let deeper = &pressed(0.001, true)[0];
    assert_eq!(deeper.outcome, Outcome::Fail);
    assert!(deeper.message.contains(" or more, "), "{}", deeper.message);
    // What only rings show may pass at some angle; one inside the other is no press.
    assert_eq!(pressed(0.001, false)[0].outcome, Outcome::Warn);
    assert_eq!(pressed(f64::INFINITY, true)[0].outcome, Outcome::Fail);
}

#[test]
fn pieces_without_a_joint_want_a_fifth_of_a_millimetre_as_printed() {
    // Two upright faces of the untuned printer grow by 0.06 mm together (docs/printing.md).
    let across = [1.0, 0.0, 0.0];
    assert_eq!(free(0.27, across), Outcome::Pass);
    assert_eq!(free(0.25, across), Outcome::Warn);
    // End faces come as whole layers.
    let along = [0.0, 0.0, 1.0];
    assert_eq!(free(0.21, along), Outcome::Pass);
    assert_eq!(free(0.19, along), Outcome::Warn);
}

#[test]
fn every_pair_of_a_sound_kit_passes_whatever_the_layout() {
    let single = "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\n";
    for kit in [nested(GOOD), single.into()] {
        let found = findings(&kit, "clearance");
        // Both threads or the swivel, the slide, both stops, the keeper's plug and its pins.
        assert!(found.len() >= 7, "{}", found.len());
        for finding in found {
            assert_eq!(finding.outcome, Outcome::Pass, "{}", finding.message);
        }
    }
}
