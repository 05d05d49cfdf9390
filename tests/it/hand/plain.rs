//! Plain words, for motions that no layout has words of its own for: an assembly by hand, taken
//! apart by hand.

use super::words::{Clock, clocks, count};
use crate::support::kits;
use netlead::assembly::{
    Assembly, Axis, Carriages, Instance, InstanceId, Motion, MotionKind, PartId, Pose, Script,
};
use netlead::sequence::{Direction, Order, Removed, Speaker, steps};
use netlead::units::Length;
use netlead::units_told::Told;

const FRAME: InstanceId = InstanceId(0);
const DRIVE: InstanceId = InstanceId(1);
const NUT: InstanceId = InstanceId(2);

fn assembly() -> Assembly {
    let names = ["frame", "drive", "nut"];
    let instances = names.map(|name| Instance {
        part: PartId(0),
        name: name.into(),
        called: name.into(),
        pose: Pose::identity(),
    });
    Assembly {
        name: "by hand".into(),
        parts: Vec::new(),
        instances: instances.into(),
        joints: Vec::new(),
        frame: FRAME,
        drive: DRIVE,
        carriages: Carriages::one(NUT),
        sides: kits::design(&kits::m16()).assembly.sides,
    }
}

fn removed(kind: MotionKind, axis: Axis, distance: f64, turns: f64) -> Removed {
    let driven = kind == MotionKind::Driven;
    Removed {
        group: None,
        pieces: if driven {
            vec![FRAME, DRIVE, NUT]
        } else {
            vec![NUT]
        },
        rest: if driven {
            Vec::new()
        } else {
            vec![FRAME, DRIVE]
        },
        motion: Motion {
            kind,
            axis,
            distance: Length::mm(distance),
            turns,
        },
        turn: 0.0,
        turn_after: if driven { turns.abs() } else { 0.0 },
        touch: None,
        waits: Vec::new(),
    }
}

/// What is said of putting in what was taken away so, and of taking it away.
fn said(removed: Removed) -> [String; 2] {
    let assembly = assembly();
    let speaker = Speaker {
        assembly: &assembly,
        told: Told::Metric,
    };
    let out = speaker.way(removed.motion);
    let order = Order::Apart {
        up: Direction::new(2, true),
        removals: vec![removed],
    };
    let [step] = &steps(&order, &Script::default(), &speaker)[..] else {
        panic!("one motion is one step");
    };
    [step.text.clone(), out]
}

#[test]
fn a_driven_motion_without_own_words_turns_as_it_turns() {
    for turns in [9.0, -9.0] {
        let [text, out] = said(removed(MotionKind::Driven, Axis::Z, 12.0, turns));
        // Put together it turns the other way, down to the turn from which it was taken apart.
        let told = format!("{turns}: {text} {out}");
        assert_eq!(clocks(&text), [Clock::of(-turns)], "{told}");
        assert_eq!(clocks(&out), [Clock::of(turns)], "{told}");
        assert_eq!(
            count(&text, "clockwise by ", " whole turns"),
            Some(9.0),
            "{told}"
        );
        assert!(text.contains("from turn 9 to turn 0"), "{told}");
        assert_eq!(count(&out, "clockwise by ", " turns"), Some(9.0), "{told}");
    }
}

#[test]
fn a_screw_without_own_words_turns_as_it_turns() {
    for (turns, distance) in [(9.0, 18.0), (-9.0, 18.0), (9.0, -18.0), (-9.0, -18.0)] {
        let [text, out] = said(removed(MotionKind::Helical, Axis::Z, distance, turns));
        let told = format!("{turns}, {distance}: {text} {out}");
        assert_eq!(clocks(&text), [Clock::of(-turns)], "{told}");
        assert!(text.contains("seen from the drive head"), "{told}");
        assert_eq!(count(&text, "about ", " turns"), Some(9.0), "{told}");
        assert_eq!(clocks(&out), [Clock::of(turns)], "{told}");
        assert_eq!(count(&out, "about ", " turns"), Some(9.0), "{told}");
        let away = out.ends_with(" away from the drive head");
        let to = out.ends_with(", towards the drive head");
        assert_eq!((away, to), (distance > 0.0, distance < 0.0), "{told}");
    }
}

#[test]
fn a_straight_motion_without_own_words_goes_where_it_goes_and_never_turns() {
    let ways = [
        (
            Axis::Y,
            5.0,
            "straight towards the V side",
            "away from the V side",
        ),
        (
            Axis::Y,
            -5.0,
            "straight away from the V side",
            "towards the V side",
        ),
        (
            Axis::Z,
            5.0,
            "straight away from the drive head",
            "towards the drive head",
        ),
        (
            Axis::Z,
            -5.0,
            "straight towards the drive head",
            "away from the drive head",
        ),
        (Axis::X, 5.0, "straight sideways", "sideways"),
    ];
    for (axis, distance, out_way, in_way) in ways {
        let [text, out] = said(removed(MotionKind::Straight, axis, distance, 0.0));
        assert!(
            out.starts_with(out_way) && text.contains(in_way),
            "{text} {out}"
        );
        assert!(
            clocks(&text).is_empty() && clocks(&out).is_empty(),
            "{text} {out}"
        );
    }
}
