//! Laws that hold for any threads, hands and turns.

use super::mechanisms::{
    DRIVE, FRAME, INNER, course, nested, net_by_formula, net_by_solver, thread_joint, train,
};
use netlead::assembly::{Constraint, Turning};
use netlead::motion::{Contact, JointGraph, Link, MotionError, Rate, Rates, power_train, solve};
use netlead::thread::{Hand, MAX_STARTS, Thread};
use netlead::units::{Angle, Force, Length};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

fn any_hand() -> impl Strategy<Value = Hand> {
    prop_oneof![Just(Hand::Right), Just(Hand::Left)]
}

fn any_thread() -> impl Strategy<Value = Thread> {
    (10.0..40.0f64, 0.5..5.0f64, any_hand(), 1..=MAX_STARTS).prop_map(|(d, p, hand, starts)| {
        Thread::free(Length::mm(d), Length::mm(p), hand).with_starts(starts)
    })
}

/// What a joint asks of the rates, as a residue.
fn residues(link: &Link, rates: &Rates) -> Vec<f64> {
    let [a, b] = link.between.map(|piece| rates.of(piece));
    let advance = (a.advance - b.advance).as_mm();
    let turn = a.turns - b.turns;
    match link.constraint {
        Constraint::Helical(lead) => vec![advance - lead.as_mm() * turn],
        Constraint::NoTurn => vec![turn],
        Constraint::NoAdvance => vec![advance],
        Constraint::Rigid => vec![advance, turn],
        Constraint::Free => vec![],
    }
}

/// L1 less or plus L2, each lead counted from its own pitch and starts.
fn by_pitch_and_starts(drive: &Thread, inner: &Thread) -> f64 {
    let lead = |thread: &Thread| thread.pitch().as_mm() * f64::from(thread.starts());
    match drive.hand() == inner.hand() {
        true => (lead(drive) - lead(inner)).abs(),
        false => lead(drive) + lead(inner),
    }
}

proptest! {
    #[test]
    fn prop_starts_move_the_carriage_by_pitch_times_starts_of_both_threads(
        drive in any_thread(), inner in any_thread()
    ) {
        let wanted = by_pitch_and_starts(&drive, &inner);
        prop_assert!((net_by_solver(&drive, &inner).as_mm().abs() - wanted).abs() < 1e-9);
    }

    #[test]
    fn prop_net_lead_of_a_nested_kit_is_the_difference_of_the_signed_leads(
        drive in any_thread(), inner in any_thread()
    ) {
        let found = net_by_solver(&drive, &inner).as_mm();
        let wanted = net_by_formula(&drive, &inner).as_mm();
        prop_assume!(wanted.abs() > 1e-6);
        prop_assert!((found - wanted).abs() < 1e-12);
    }

    #[test]
    fn prop_rates_satisfy_every_joint_in_whatever_order_they_are_listed(
        drive in any_thread(),
        inner in any_thread(),
        order in Just((0..6).collect::<Vec<usize>>()).prop_shuffle()
    ) {
        let graph = JointGraph::from(&nested(&drive, &inner));
        let mut shuffled = graph.clone();
        shuffled.links = order.iter().map(|&index| graph.links[index].clone()).collect();
        for graph in [graph, shuffled] {
            let rates = graph.solve().unwrap();
            for residue in graph.links.iter().flat_map(|link| residues(link, &rates)) {
                prop_assert!(residue.abs() < 1e-9);
            }
            let still = rates.of(FRAME);
            prop_assert!(still.advance == Length::ZERO && still.turns == 0.0);
            prop_assert_eq!(rates.of(DRIVE).turns, 1.0);
        }
    }

    #[test]
    fn prop_a_chain_without_any_one_joint_is_loose(
        drive in any_thread(), inner in any_thread(), missing in 0..5usize
    ) {
        let mut kit = nested(&drive, &inner);
        kit.joints.remove(missing);
        let outcome = solve(&kit);
        prop_assert!(matches!(outcome, Err(MotionError::Loose { .. })), "{outcome:?}");
    }

    #[test]
    fn prop_a_contradictory_second_thread_in_the_frame_is_named_with_the_first_alone(
        drive in any_thread(), inner in any_thread(), place in 0..7usize
    ) {
        let mut kit = nested(&drive, &inner);
        let other = Thread::free(drive.major(), drive.pitch() * 1.01, drive.hand());
        kit.joints.insert(place, thread_joint("second", &other, [DRIVE, FRAME], Length::ZERO));
        let Err(MotionError::Locked { mut joints, pieces }) = solve(&kit) else {
            return Err(TestCaseError::fail("two leads on one pair of pieces must lock"));
        };
        joints.sort();
        prop_assert_eq!(joints, ["drive/frame", "second"]);
        prop_assert_eq!(pieces, ["frame", "drive screw"]);
    }

    #[test]
    fn prop_without_any_one_of_the_joints_that_fight_the_drive_turns(
        drive in any_thread(), inner in any_thread(), place in 0..7usize
    ) {
        // Two leads between inner screw and drive let those two only turn together, and then
        // it is the pin and the slide that hold the drive: they are to blame as much.
        let mut kit = nested(&drive, &inner);
        let other = Thread::free(inner.major(), inner.pitch() * 1.01, inner.hand());
        kit.joints.insert(place, thread_joint("second", &other, [INNER, DRIVE], Length::ZERO));
        let Err(MotionError::Locked { joints, .. }) = solve(&kit) else {
            return Err(TestCaseError::fail("two leads on one pair of pieces must lock"));
        };
        prop_assert!(joints.contains(&"inner/drive".to_owned()));
        prop_assert!(joints.contains(&"second".to_owned()));
        for name in &joints {
            let mut freed = kit.clone();
            freed.joints.retain(|joint| joint.name != *name);
            prop_assert!(!matches!(solve(&freed), Err(MotionError::Locked { .. })), "{name}");
        }
    }

    #[test]
    fn prop_a_thread_keeps_its_phase_through_the_stroke(
        drive in any_thread(), inner in any_thread(), turns in -20.0..40.0f64, off in -0.4..0.4f64
    ) {
        let kit = nested(&drive, &inner);
        let rates = solve(&kit).unwrap();
        for joint in &kit.joints[..2] {
            let [male, female] = joint.between.map(|piece| rates.of(piece).after(turns));
            let mut thread = joint.thread.clone().unwrap();
            prop_assert!(thread.phase_error(male, female).abs() < Length::mm(1e-9));
            let wrong = thread.thread.pitch() * off;
            thread.female_root += wrong;
            let error = thread.phase_error(male, female);
            prop_assert!((error - wrong).abs() < Length::mm(1e-9));
            prop_assert!((thread.phase_error_at_start() - wrong).abs() < Length::mm(1e-9));
        }
    }

    #[test]
    fn prop_without_friction_the_torque_is_load_times_net_lead_over_a_full_turn(
        drive in any_thread(), inner in any_thread(), load in 1.0..1000.0f64
    ) {
        let kit = nested(&drive, &inner);
        let rates = solve(&kit).unwrap();
        prop_assume!(rates.carriage_advance().abs() > Length::mm(1e-6));
        let stroke = rates.per_stroke_turn(rates.stroke_direction().unwrap());
        let net = net_by_formula(&drive, &inner).abs();
        prop_assert!((stroke.net_lead() - net).abs() < Length::mm(1e-9));
        let ideal = load * net.as_mm() / 1000.0 / TAU;
        // Pitch radii add up to less than 40 mm, so friction adds less than 0.05 m x mu W:
        // ten times less friction, ten times closer.
        for friction in [0.0, 1e-4, 1e-5, 1e-6] {
            let train = power_train(&kit, &stroke, friction, vec![]).unwrap();
            let torque = train.torque(Force::newtons(load)).as_newton_metres();
            prop_assert!((torque - ideal).abs() <= load * (0.05 * friction + 1e-12));
        }
    }

    #[test]
    fn prop_work_at_the_load_is_efficiency_times_work_at_the_drive(
        drive in any_thread(), inner in any_thread(), friction in 0.05..0.4f64
    ) {
        let kit = nested(&drive, &inner);
        let rates = solve(&kit).unwrap();
        prop_assume!(rates.carriage_advance().abs() > Length::mm(1e-6));
        let stroke = rates.per_stroke_turn(rates.stroke_direction().unwrap());
        let train = power_train(&kit, &stroke, friction, vec![]).unwrap();
        let work = train.torque(Force::newtons(100.0)).as_newton_metres() * 1000.0 * TAU;
        let efficiency = train.efficiency().unwrap();
        prop_assert!((efficiency * work - 100.0 * stroke.net_lead().as_mm()).abs() < 1e-6);
        prop_assert!(efficiency > 0.0 && efficiency < 1.0);
    }

    #[test]
    fn prop_a_self_locking_screw_wastes_more_than_half(
        radius in 2.0..30.0f64, lead in 0.2..20.0f64, friction in 0.01..0.6f64
    ) {
        // Housner & Hudson, Applied Mechanics: Statics, screw threads: below 50 %.
        let phi = Angle::from_tan(friction);
        let train = train(vec![Contact::new(Length::mm(radius), Length::mm(lead), phi)]);
        let locks = friction > lead / (2.0 * PI * radius);
        prop_assume!((friction * 2.0 * PI * radius - lead).abs() > 1e-9);
        prop_assert_eq!(train.self_locking(), locks);
        if locks {
            prop_assert!(train.efficiency().unwrap() < 0.5);
        }
    }

    #[test]
    fn prop_no_turn_of_the_course_is_less_engaged_than_the_least(
        drive in any_thread(), inner in any_thread(),
        start in -80.0..0.0f64, end in 5.0..60.0f64, share in 0.0..=1.0f64
    ) {
        let kit = nested(&drive, &inner);
        let rates = solve(&kit).unwrap().per_stroke_turn(Turning::Clockwise);
        let course = course();
        let span = course.turns + 2.0 * course.over_travel;
        let turn = share * span - course.over_travel;
        for joint in &kit.joints[..2] {
            let [male, female]: [Rate; 2] = joint.between.map(|piece| rates.of(piece));
            let mut thread = joint.thread.clone().unwrap();
            thread.male = [Length::mm(start), Length::mm(end)];
            let found = thread.least_engagement(male, female, &course);
            let here = thread.engaged_length(male, female, turn);
            prop_assert!(here >= found.least - Length::mm(1e-9));
            let there = thread.engaged_length(male, female, found.at_turn);
            prop_assert_eq!(there, found.least);
        }
    }
}
