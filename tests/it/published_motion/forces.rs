//! Torque, efficiency and self-locking of published examples; lost motion and engagement.

use super::mechanisms::{
    ACME_FLANK, CARRIAGE, DRIVE, FRAME, course, inch, left, lowering, metric, nested, opposed,
    screw, screw_of_efficiency, single, train,
};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use netlead::assembly::{InstanceId, Turning};
use netlead::motion::{
    Collar, Contact, JointGraph, LostMotion, MotionSummary, PowerTrain, load_path, power_train,
    solve, velocity_ratio,
};
use netlead::units::{Angle, Force, Length, Torque};
use std::f64::consts::TAU;

#[test]
fn differential_torque_and_efficiency_match_the_two_screw_formula() {
    // Khurmi & Gupta, A Textbook of Machine Design, ch. 17 (from memory): torque of a
    // differential screw; values derived for 500 N, mu = 0.2, 60 degree threads, no collar.
    let rows = [
        (metric(16.0, 2.0), metric(10.0, 1.5), 1.414_983, 0.028_119_6),
        (
            metric(20.0, 2.5),
            metric(12.0, 1.75),
            1.754_846,
            0.034_010_46,
        ),
        (metric(30.0, 3.5), metric(20.0, 2.5), 2.750_396, 0.028_933_1),
        (
            metric(36.0, 4.0),
            metric(24.0, 3.0),
            3.290_891,
            0.024_181_13,
        ),
        (
            metric(20.0, 2.5),
            metric(16.0, 1.5),
            2.015_315,
            0.039_486_36,
        ),
        (
            metric(30.0, 2.0),
            metric(16.0, 1.5),
            2.568_251,
            0.015_492_54,
        ),
    ];
    for (drive, inner, torque, efficiency) in rows {
        let by_hand = train(vec![
            Contact::raising(&drive, 0.2),
            lowering(Contact::raising(&inner, 0.2)),
        ]);
        let kit = nested(&drive, &inner);
        let rates = solve(&kit).unwrap().per_stroke_turn(Turning::Clockwise);
        let by_joints = power_train(&kit, &rates, 0.2, vec![]).unwrap();
        for train in [by_hand, by_joints] {
            let found = train.torque(Force::newtons(500.0)).as_newton_metres();
            assert_relative_eq!(found, torque, max_relative = 5e-7);
            assert_relative_eq!(train.efficiency().unwrap(), efficiency, max_relative = 2e-6);
            assert!(train.self_locking());
        }
    }
}

#[test]
fn shigley_example_8_1_double_start_jack_matches() {
    // Shigley, 9th ed., example 8-1, printed figures (from memory): square, d = 32, p = 4 mm,
    // double start, f = fc = 0.08, dc = 40 mm, F = 6.4 kN. Printed to 0.01 N m.
    let thread = screw(Length::mm(30.0), Length::mm(8.0), 0.08, Angle::ZERO);
    let collar = Collar {
        friction: 0.08,
        radius: Length::mm(20.0),
    };
    let load = Force::newtons(6400.0);
    let bare = train(vec![thread]);
    let whole = PowerTrain::new(vec![thread], vec![collar]).unwrap();
    let lowered = |collars| PowerTrain::new(vec![lowering(thread)], collars).unwrap();
    let newton_metres = |torque: Torque| torque.as_newton_metres();
    assert_abs_diff_eq!(newton_metres(bare.torque(load)), 15.94, epsilon = 5e-3);
    let by_collar = newton_metres(whole.torque(load)) - newton_metres(bare.torque(load));
    assert_abs_diff_eq!(by_collar, 10.24, epsilon = 5e-3);
    assert_abs_diff_eq!(newton_metres(whole.torque(load)), 26.18, epsilon = 5e-3);
    assert_abs_diff_eq!(
        newton_metres(lowered(vec![]).torque(load)),
        -0.466,
        epsilon = 5e-4
    );
    assert_abs_diff_eq!(
        newton_metres(lowered(vec![collar]).torque(load)),
        9.77,
        epsilon = 1e-2
    );
    assert_abs_diff_eq!(whole.efficiency().unwrap(), 0.311, epsilon = 5e-4);
    // The example remarks that the threads alone would run down by themselves.
    assert!(!whole.self_locking());
}

#[test]
fn acme_examples_in_inches_match() {
    // Juvinall & Marshek, Fundamentals of Machine Component Design, solution 10.1: Acme,
    // dm = 0.45 in, L = 0.1 in, f = fc = 0.15, dc = 0.625 in, W = 150 lb.
    let thread = screw(Length::inches(0.45), Length::inches(0.1), 0.15, ACME_FLANK);
    let collar = Collar {
        friction: 0.15,
        radius: Length::inches(0.3125),
    };
    let load = Force::pounds(150.0);
    let pound_inches = |torque: Torque| torque / Torque::pound_inches(1.0);
    let bare = pound_inches(train(vec![thread]).torque(load));
    let whole = PowerTrain::new(vec![thread], vec![collar]).unwrap();
    assert_abs_diff_eq!(bare, 7.7, epsilon = 0.05);
    assert_abs_diff_eq!(
        pound_inches(whole.torque(load)) - bare,
        7.03,
        epsilon = 5e-3
    );
    assert_abs_diff_eq!(pound_inches(whole.torque(load)), 14.73, epsilon = 5e-3);
    // Published example, lecture set MD-18 on power screws, 18-3: Acme, Dp = 1.375 in, 4 tpi,
    // f = 0.15, 2900 lb a screw.
    let thread = screw(
        Length::inches(1.375),
        Length::inches(0.25),
        0.15,
        ACME_FLANK,
    );
    let torque = train(vec![thread]).torque(Force::pounds(2900.0));
    assert_abs_diff_eq!(pound_inches(torque), 428.0, epsilon = 0.5);
    // The same at 233 rpm: printed 1.59 hp; exactly it is 1.583.
    let horsepower = pound_inches(torque) * TAU * 233.0 / (12.0 * 33_000.0);
    assert_abs_diff_eq!(horsepower, 1.59, epsilon = 0.01);
}

#[test]
fn khurmi_and_gupta_square_thread_examples_match() {
    // Khurmi & Gupta, A Textbook of Machine Design, examples 17.1 to 17.3 (derived from the
    // statements). Mean diameter, lead, mu; collar mu and mean radius; load; torque in N m.
    let rows = [
        (50.0, 12.5, 0.15, Some((0.18, 30.0)), 10_000.0, 112.0877),
        (37.0, 6.0, 0.1, None, 75_000.0, 211.4612),
        (24.0, 5.0, 0.1, Some((0.16, 25.0)), 10_000.0, 60.090_98),
    ];
    for (diameter, lead, friction, collar, load, torque) in rows {
        let thread = screw(
            Length::mm(diameter),
            Length::mm(lead),
            friction,
            Angle::ZERO,
        );
        let collars = collar.map(|(friction, radius)| Collar {
            friction,
            radius: Length::mm(radius),
        });
        let train = PowerTrain::new(vec![thread], collars.into_iter().collect()).unwrap();
        let found = train.torque(Force::newtons(load)).as_newton_metres();
        assert_relative_eq!(found, torque, max_relative = 5e-7);
        if lead == 6.0 {
            // Example 17.2 moves 300 mm a minute: printed 1.108 kW (from memory), for a torque
            // rounded to 211.6 N m; exactly it is 1.107.
            let turns_a_second = 300.0 / lead / 60.0;
            assert_abs_diff_eq!(found * TAU * turns_a_second, 1108.0, epsilon = 1.0);
        }
    }
}

#[test]
fn khurmi_handwheel_and_spanner_follow_from_the_torque() {
    // Khurmi & Gupta, examples 17.1 (answer from memory: wheel of 1.122 m with 100 N on each
    // side, for a rounded torque) and 17.3 (derived: 120.182 N at 0.5 m).
    let wheel = screw(Length::mm(50.0), Length::mm(12.5), 0.15, Angle::ZERO);
    let collar = |friction, radius| Collar {
        friction,
        radius: Length::mm(radius),
    };
    let load = Force::newtons(10_000.0);
    let train = PowerTrain::new(vec![wheel], vec![collar(0.18, 30.0)]).unwrap();
    let diameter = train.torque(load).as_newton_metres() / 100.0;
    assert_abs_diff_eq!(diameter, 1.122, epsilon = 2e-3);
    let bolt = screw(Length::mm(24.0), Length::mm(5.0), 0.1, Angle::ZERO);
    let train = PowerTrain::new(vec![bolt], vec![collar(0.16, 25.0)]).unwrap();
    let advantage = train.mechanical_advantage(Length::mm(500.0)).unwrap();
    assert_relative_eq!(load.as_newtons() / advantage, 120.182, max_relative = 5e-6);
}

#[test]
fn sixty_degree_threads_match_shigley_equation_8_5() {
    // Derived from Shigley, 9th ed., eqs. 8-4, 8-5 with half angle 30 degrees, F = 500 N.
    // d2, P, mu; torques up and down in N m; efficiency; mu sec 30 / tan lambda.
    let rows = [
        (
            9.026,
            1.5,
            0.15,
            [0.514_921_4, 0.269_006_3],
            0.231_814_4,
            3.274_271,
        ),
        (
            10.863,
            1.75,
            0.2,
            [0.775_621_3, 0.482_204_6],
            0.179_547_1,
            4.503_612,
        ),
        (
            14.701,
            2.0,
            0.2,
            [1.018_099, 0.682_779_4],
            0.156_325_6,
            5.332_933,
        ),
        (
            14.701,
            2.0,
            0.3,
            [1.454_112, 1.097_525],
            0.109_451_6,
            7.999_399,
        ),
    ];
    for (d2, pitch, friction, [up, down], efficiency, margin) in rows {
        let flank = Angle::degrees(30.0);
        let contact = screw(Length::mm(d2), Length::mm(pitch), friction, flank);
        let lowered = train(vec![lowering(contact)]);
        let train = train(vec![contact]);
        let load = Force::newtons(500.0);
        let near = |found: f64, wanted: f64| {
            assert_relative_eq!(found, wanted, max_relative = 1e-6);
        };
        near(train.torque(load).as_newton_metres(), up);
        near(lowered.torque(load).as_newton_metres(), down);
        near(train.efficiency().unwrap(), efficiency);
        near(contact.friction.tan() / contact.lead_angle().tan(), margin);
        assert!(train.self_locking() && contact.self_locking());
    }
}

#[test]
fn turnbuckle_of_khurmi_matches() {
    // Khurmi & Gupta, A Textbook of Machine Design, ch. 17 (derived from the statement): both
    // screws p = 12 mm on 40 mm mean diameter, square, mu = 0.16, 2500 N; draw 240 mm.
    let one = screw(Length::mm(40.0), Length::mm(12.0), 0.16, Angle::ZERO);
    let load = Force::newtons(2500.0);
    let torque = |contacts| train(contacts).torque(load).as_newton_metres();
    assert_relative_eq!(torque(vec![one]), 12.972_86, max_relative = 5e-7);
    assert_relative_eq!(torque(vec![one, one]), 25.945_72, max_relative = 5e-7);
    let both = train(vec![one, one]);
    assert_relative_eq!(both.efficiency().unwrap(), 0.368_049, max_relative = 2e-6);
    let rates = solve(&opposed(&left(&metric(46.0, 12.0)), &metric(46.0, 12.0))).unwrap();
    let closing = rates.of(InstanceId(2)).advance - rates.of(InstanceId(3)).advance;
    let turns = Length::mm(240.0) / closing;
    assert_abs_diff_eq!(turns, 10.0, epsilon = 1e-9);
    let work = torque(vec![one, one]) * TAU * turns;
    assert_relative_eq!(work, 1630.218, max_relative = 5e-7);
}

#[test]
fn published_velocity_ratios_and_advantages_match() {
    // Published example, homework web page: coupling with 5 mm left and right, bar 200 mm,
    // 8 kN by 159.155 N at 40 %: velocity ratio 125.66, mechanical advantage 50.265.
    let bar = Length::mm(200.0);
    let half = screw_of_efficiency(Length::mm(5.0), 0.4);
    let coupling = train(vec![half, half]);
    let ratio = velocity_ratio(bar, coupling.net_lead()).unwrap();
    assert_abs_diff_eq!(ratio, 125.66, epsilon = 5e-3);
    let advantage = coupling.mechanical_advantage(bar).unwrap();
    assert_abs_diff_eq!(advantage, 50.265, epsilon = 5e-4);
    assert_abs_diff_eq!(8000.0 / advantage, 159.155, epsilon = 5e-3);
    // Khurmi, A Textbook of Engineering Mechanics, ex. 11.20 (derived): p = 10 mm, handle
    // 400 mm, 2 kN, efficiency 45 %.
    let jack = train(vec![screw_of_efficiency(Length::mm(10.0), 0.45)]);
    let effort = 2000.0 / jack.mechanical_advantage(Length::mm(400.0)).unwrap();
    assert_relative_eq!(effort, 17.683_88, max_relative = 5e-7);
    // Published example, engineering exam review, problem 516: 20 kN, lead 10 mm, 70 %.
    let jack = train(vec![screw_of_efficiency(Length::mm(10.0), 0.7)]);
    let torque = jack.torque(Force::newtons(20_000.0)).as_newton_metres();
    assert_abs_diff_eq!(torque, 45.5, epsilon = 0.05);
}

#[test]
fn effort_lost_in_a_measured_jack_is_what_a_smooth_one_spares() {
    // Khurmi, A Textbook of Engineering Mechanics, ex. 11.3 no. 5: p = 10 mm, handle 450 mm,
    // 25 N lifts 3 kN. Printed: 282.7, 42.4 %, 14.4 N wasted, frictional load 4.068 kN.
    let handle = Length::mm(450.0);
    let smooth = train(vec![Contact::new(
        Length::mm(20.0),
        Length::mm(10.0),
        Angle::ZERO,
    )]);
    let ratio = velocity_ratio(handle, smooth.net_lead()).unwrap();
    assert_abs_diff_eq!(ratio, 282.7, epsilon = 0.05);
    let advantage = smooth.mechanical_advantage(handle).unwrap();
    assert_abs_diff_eq!(25.0 - 3000.0 / advantage, 14.4, epsilon = 0.05);
    let effort = Torque::newton_metres(25.0 * 0.45);
    let lifted = smooth.load(effort).unwrap().as_newtons();
    // The book carries on with the rounded ratio of 282.7.
    assert_abs_diff_eq!(lifted - 3000.0, 4068.0, epsilon = 25.0 * 0.05);
    let rough = train(vec![screw_of_efficiency(Length::mm(10.0), 0.424)]);
    let effort = 3000.0 / rough.mechanical_advantage(handle).unwrap();
    assert_abs_diff_eq!(effort, 25.0, epsilon = 0.05);
}

#[test]
fn the_best_square_thread_has_the_textbook_efficiency() {
    // Theory of machines, square thread (from memory): (1 - sin phi)/(1 + sin phi) at
    // lambda = 45 degrees - phi/2.
    for degrees in [2.0, 5.0, 12.0] {
        let phi = Angle::degrees(degrees);
        let radius = Length::mm(10.0);
        let at = |lambda: Angle| {
            let lead = TAU * radius * lambda.tan();
            train(vec![Contact::new(radius, lead, phi)])
                .efficiency()
                .unwrap()
        };
        let best = Angle::degrees(45.0 - degrees / 2.0);
        let wanted = (1.0 - phi.sin()) / (1.0 + phi.sin());
        assert_relative_eq!(at(best), wanted, max_relative = 1e-12);
        let aside = Angle::degrees(3.0);
        assert!(at(best - aside) < at(best) && at(best + aside) < at(best));
    }
}

#[test]
fn stop_loads_of_two_newton_metres_match_hand_calculation() {
    // Derived by hand for mu = 0.25: load at which a torque of 2 N m stops.
    let rows = [
        (metric(20.0, 2.5), metric(12.0, 1.75), 459.0),
        (metric(24.0, 2.0), metric(16.0, 1.5), 361.0),
        (inch(1.0, 8.0), inch(0.625, 11.0), 357.0),
    ];
    let torque = Torque::newton_metres(2.0);
    for (drive, inner, load) in rows {
        let kit = nested(&drive, &inner);
        let rates = solve(&kit).unwrap().per_stroke_turn(Turning::Clockwise);
        let train = power_train(&kit, &rates, 0.25, vec![]).unwrap();
        assert_abs_diff_eq!(
            train.load(torque).unwrap().as_newtons(),
            load,
            epsilon = 0.5
        );
    }
    // A single M16x2 on a tip of 13.435 mm: pull on a groove 4.717 mm in radius, 1 mm wide
    // round the pins, and push on a pip a fifth of the tip in radius.
    let kit = single(&metric(16.0, 2.0));
    let rates = solve(&kit).unwrap().per_stroke_turn(Turning::Clockwise);
    for (radius, load) in [(5.717, 513.0), (0.2 * 13.435, 636.0)] {
        let collar = Collar {
            friction: 0.25,
            radius: Length::mm(radius),
        };
        let train = power_train(&kit, &rates, 0.25, vec![collar]).unwrap();
        assert_abs_diff_eq!(
            train.load(torque).unwrap().as_newtons(),
            load,
            epsilon = 0.5
        );
    }
}

#[test]
fn the_load_goes_through_the_threads_and_never_through_a_slide() {
    let kit = nested(&metric(20.0, 2.5), &metric(12.0, 1.75));
    let path = load_path(&JointGraph::from(&kit), FRAME, CARRIAGE).unwrap();
    let names: Vec<&str> = path
        .iter()
        .map(|step| kit.joints[step.joint].name.as_str())
        .collect();
    assert_eq!(
        names,
        ["drive/frame", "inner/drive", "pin/inner", "pin/carriage"]
    );
    let mut open = JointGraph::from(&kit);
    open.links.retain(|link| link.name != "inner/drive");
    assert_eq!(load_path(&open, FRAME, CARRIAGE), None);
}

#[test]
fn a_summary_says_what_a_maker_wants_to_know() {
    let kit = nested(&metric(20.0, 2.5), &metric(12.0, 1.75));
    let rates = solve(&kit).unwrap().per_stroke_turn(Turning::Clockwise);
    let train = power_train(&kit, &rates, 0.2, vec![]).unwrap();
    let plays = [0.3, 0.45, 0.6].map(Length::mm);
    let load = Force::newtons(500.0);
    let summary = MotionSummary::new(&rates, &course(), Some(plays), &train, Some(load));
    assert_abs_diff_eq!(summary.net_lead.as_mm(), 0.75, epsilon = 1e-12);
    assert_abs_diff_eq!(summary.turns_per_mm.unwrap(), 4.0 / 3.0, epsilon = 1e-12);
    assert_eq!(summary.direction, Turning::Clockwise);
    assert!(summary.self_locking);
    // Derived, as in the torque table above.
    assert_relative_eq!(
        summary.torque.unwrap().as_newton_metres(),
        1.754_846,
        max_relative = 5e-7
    );
    let lost = summary.lost_motion.unwrap();
    assert_abs_diff_eq!(lost.low.turns, 0.4, epsilon = 1e-12);
    assert_abs_diff_eq!(lost.nominal.turns, 0.6, epsilon = 1e-12);
    assert_abs_diff_eq!(lost.high.turns, 0.8, epsilon = 1e-12);
    let unknown = MotionSummary::new(&rates, &course(), None, &train, None);
    assert_eq!((unknown.lost_motion, unknown.torque), (None, None));
}

#[test]
fn printed_gaps_lose_nearly_a_turn_at_a_reversal() {
    // Derived: two threads with 0.2 mm, 0.2309 mm each, 0.12 and 0.10 mm at the pin, over 0.75.
    let thread = metric(20.0, 2.5).play(Length::mm(0.2));
    let plays = [thread, thread, Length::mm(0.12), Length::mm(0.10)];
    let lost = LostMotion::of(&plays, Length::mm(0.75)).unwrap();
    assert_abs_diff_eq!(lost.turns, 0.909, epsilon = 5e-4);
}

#[test]
fn a_drive_screw_that_backs_out_is_least_engaged_at_the_rear_stop() {
    // The screw's full profile ends 26 mm in at turn 0, the tapped wall is 24 mm long: backing
    // out by 1.46 turns of 2.5 mm leaves 26 - 3.65 = 22.35 mm.
    let kit = nested(&metric(20.0, 2.5), &metric(12.0, 1.75));
    let rates = solve(&kit).unwrap().per_stroke_turn(Turning::Clockwise);
    let mut thread = kit.joints[0].thread.clone().unwrap();
    thread.male = [Length::mm(-60.0), Length::mm(26.0)];
    let found = thread.least_engagement(rates.of(DRIVE), rates.of(FRAME), &course());
    assert_abs_diff_eq!(found.least.as_mm(), 22.35, epsilon = 1e-9);
    assert_abs_diff_eq!(found.at_turn, -1.46, epsilon = 1e-12);
}
