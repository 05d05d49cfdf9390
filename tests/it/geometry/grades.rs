//! Grades of pins: of every kit sound and marked, as many as are needed, and no part of what is
//! judged; and how far a carriage turns in its slots.

use crate::support::kits::{buildable, design, kit, said};
use crate::support::written::proved;
use crate::support::{cases, mm, right};
use netlead::assembly::{Fit, Made, Part};
use netlead::kit::Kit;
use netlead::layout::Design;
use netlead::motion::{advance_in_own_turn, solve};
use netlead::printer::Profile;
use netlead::solid::mesh;
use proptest::prelude::*;

/// The parts that may stand in for another.
fn grades(design: &Design) -> Vec<&Part> {
    let parts = design.assembly.parts.iter();
    parts.filter(|part| part.grade.is_some()).collect()
}

/// A value of a part's recipe, in mm.
fn size(part: &Part, name: &str) -> Option<f64> {
    let known = part.recipe.iter().find(|(known, _)| *known == name);
    known.map(|(_, value)| value.as_mm())
}

#[test]
fn every_pin_may_be_a_step_thinner_or_thicker_in_both_of_its_joints() {
    for inner in [None, Some(right(12.0, 1.75))] {
        let assembly = design(&kit(right(20.0, 2.5), inner, 10.0)).assembly;
        let mut joints = 0;
        for joint in &assembly.joints {
            let Some(pin) = assembly.graded(joint) else {
                assert_ne!(joint.fit, Fit::Press, "{}", joint.name);
                continue;
            };
            joints += 1;
            assert!(assembly.instance(pin).name.contains("pin"));
            let shifts: Vec<f64> = assembly.shifts(pin).iter().map(|by| by.as_mm()).collect();
            approx::assert_abs_diff_eq!(shifts[..], [-0.05, 0.0, 0.05][..], epsilon = 1e-12);
        }
        let pins = assembly.instances.iter();
        let pins = pins.filter(|piece| piece.name.contains("pin")).count();
        assert_eq!(joints, 2 * pins);
        assert_eq!(assembly.shifts(assembly.frame), [mm(0.0)]);
    }
}

#[test]
fn a_kit_has_as_many_of_each_grade_as_it_takes_pins_or_two_spare_ones() {
    let mut kit = kit(right(16.0, 2.0), None, 20.0);
    let count = |kit: &Kit| {
        let parts = design(kit).assembly.parts;
        let pins = parts.iter().filter(|part| part.name.starts_with("pin"));
        pins.map(|part| (part.quantity, part.spares))
            .collect::<Vec<_>>()
    };
    assert_eq!(count(&kit), [(4, 0), (4, 4), (4, 4)]);
    kit.pins.grades = said(false);
    assert_eq!(count(&kit), [(6, 2)]);
    kit.pins.grades = said(true);
    kit.pins.buy = Some(said("5 mm dowel".into()));
    kit.pins.diameter = Some(said(mm(5.0)));
    assert_eq!(count(&kit), [(6, 2)]);
}

#[test]
fn a_held_drive_and_a_turning_carriage_move_it_by_the_thread_between_them() {
    for (inner, moves) in [(None, 0.0), (Some(right(12.0, 1.75)), 1.75)] {
        let design = design(&kit(right(20.0, 2.5), inner, 10.0));
        let guide = &design.members.guides[0];
        let own = advance_in_own_turn(&design.assembly, guide.joint).unwrap();
        approx::assert_abs_diff_eq!(own.as_mm(), moves, epsilon = 1e-9);
        // It is not what moves it when the drive turns.
        assert!(solve(&design.assembly).is_ok());
        let gap = design.assembly.joint(guide.joint).gap.unwrap().drawn;
        let play = guide.turning_play(gap).unwrap().as_radians();
        // A small angle: the gap on both sides over the reach.
        let nearly = 2.0 * gap / guide.ear_reach;
        approx::assert_relative_eq!(play, nearly, max_relative = 0.02);
    }
}

#[test]
fn written_ears_turn_in_the_written_slots_as_far_as_is_reckoned() {
    let design = design(&kit(right(20.0, 2.5), Some(right(12.0, 1.75)), 10.0));
    let guide = &design.members.guides[0];
    let gap = design.assembly.joint(guide.joint).gap.unwrap().drawn;
    let whole = guide.turning_play(gap).unwrap();
    let part = |name: &str| {
        let parts = design.assembly.parts.iter();
        let part = parts.into_iter().find(|part| part.name == name).unwrap();
        mesh(&part.shape, mm(0.01)).unwrap()
    };
    let (carriage, frame) = (part("carriage"), part("frame"));
    let half_body = carriage.bounds()[1][1].max(guide.ear_width.as_mm() / 2.0);
    // The slot's walls: corners of the frame outside the round guide, and inside its own half.
    let outside = half_body + 1.0;
    let walls = frame.points.iter().filter(|point| {
        point.x.abs() > outside && point.y.abs() < half_body && point.z > frame.bounds()[1][2] - 0.1
    });
    let slot = walls
        .map(|point| point.y.abs())
        .fold(f64::INFINITY, f64::min);
    let widest = |turn: f64| {
        let (sin, cos) = netlead::units::Angle::radians(turn).sin_cos();
        let ears = carriage.points.iter().filter(|p| p.x.abs() > outside);
        ears.map(|p| (p.x * sin + p.y * cos).abs())
            .fold(0.0, f64::max)
    };
    let one_way = whole.as_radians() / 2.0;
    assert!(slot.is_finite() && slot > guide.ear_width.as_mm() / 2.0);
    assert!(
        widest(one_way * 0.98) < slot,
        "{} in {slot}",
        widest(one_way)
    );
    assert!(
        widest(one_way * 1.02) > slot,
        "{} in {slot}",
        widest(one_way)
    );
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn prop_grades_of_any_kit_are_sound_and_notched_deep_enough_to_be_seen(kit in buildable()) {
        let design = netlead::layout::design(&kit, &Profile::untuned_for(&kit)).unwrap();
        let grades = grades(&design);
        prop_assert_eq!(grades.is_empty(), kit.pins.buy.is_some());
        for part in grades {
            prop_assert_eq!(&part.made, &Made::Printed);
            let depth = size(part, "depth of its notches").unwrap();
            // Two layers and more, and more than a seam or a drooping line hides.
            prop_assert!(depth >= 0.4 && depth >= 2.0 * kit.layer.as_mm(), "{}: {depth}", part.name);
            let diameter = size(part, "diameter").unwrap();
            prop_assert!(depth < 0.25 * diameter, "{}: {depth} of {diameter}", part.name);
            let mesh = mesh(&part.shape, mm(0.05)).unwrap();
            let sound = proved(&mesh, part.shape.genus);
            prop_assert!(sound.is_ok(), "{}: {:?}", part.name, sound.err());
        }
    }
}
