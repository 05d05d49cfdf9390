//! Net leads and turns of published pairs, and what locked and loose mechanisms say.

use super::mechanisms::{
    CARRIAGE, DRIVE, FRAME, inch, joint, left, metric, nested, net_by_formula, net_by_solver,
    opposed, single, thread_joint,
};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use netlead::assembly::{Constraint, Fit, InstanceId, Turning};
use netlead::motion::{Freedom, Loose, MotionError, solve, solve_stroke};
use netlead::units::Length;

#[test]
fn published_metric_pairs_give_their_net_lead() {
    // Drive, inner, net lead in mm, source.
    let pairs = [
        // Published example, web page on a differential nut and screw mechanism.
        (metric(8.0, 1.25), metric(5.0, 0.8), 0.45),
        // Published example, electronics hobby web page.
        (metric(5.0, 0.8), metric(4.0, 0.7), 0.1),
        // Khurmi, A Textbook of Engineering Mechanics, ch. 11, differential screw jack with
        // threads of 10 and 6 mm (answer derived). Diameters are free.
        (metric(60.0, 10.0), metric(40.0, 6.0), 4.0),
        // Derived: P1 - P2, the relation of a differential screw (Engineering Mechanics,
        // p. 3.36), with ISO 261 pitches.
        (metric(16.0, 2.0), metric(10.0, 1.5), 0.5),
        (metric(20.0, 2.5), metric(12.0, 1.75), 0.75),
        (metric(30.0, 3.5), metric(20.0, 2.5), 1.0),
        (metric(36.0, 4.0), metric(24.0, 3.0), 1.0),
        (metric(20.0, 2.5), metric(16.0, 1.5), 1.0),
        (metric(30.0, 2.0), metric(16.0, 1.5), 0.5),
    ];
    for (drive, inner, net) in pairs {
        assert_abs_diff_eq!(net_by_solver(&drive, &inner).as_mm(), net, epsilon = 1e-12);
        assert_abs_diff_eq!(net_by_formula(&drive, &inner).as_mm(), net, epsilon = 1e-12);
    }
}

#[test]
fn published_inch_pairs_give_their_net_lead() {
    // Drive, inner, net lead in inches as printed, half a unit of its last place.
    let pairs = [
        // Published example, web encyclopedia, differential screw of 16 and 24 tpi.
        (inch(0.75, 16.0), inch(0.5, 24.0), 0.0208, 5e-5),
        // Published example, hobby machinist forum: 1/4-28 and M4x0.7.
        (inch(0.25, 28.0), metric(4.0, 0.7), 0.0082, 5e-5),
        // Derived: 1/n1 - 1/n2.
        (inch(0.75, 10.0), inch(0.625, 11.0), 0.009_090_909, 5e-10),
        (inch(0.875, 9.0), inch(0.75, 10.0), 0.011_111_11, 5e-9),
        (inch(1.0, 8.0), inch(0.875, 9.0), 0.013_888_89, 5e-9),
        (inch(0.5, 13.0), inch(0.375, 16.0), 0.014_423_08, 5e-9),
        (inch(0.375, 16.0), inch(0.3125, 18.0), 0.006_944_444, 5e-10),
        (inch(0.3125, 18.0), inch(0.25, 20.0), 0.005_555_556, 5e-10),
        (inch(0.25, 20.0), inch(0.19, 24.0), 0.008_333_333, 5e-10),
        (inch(1.25, 7.0), inch(1.0, 8.0), 0.017_857_14, 5e-9),
    ];
    for (drive, inner, net, half_unit) in pairs {
        assert_abs_diff_eq!(
            net_by_solver(&drive, &inner).as_inches(),
            net,
            epsilon = half_unit
        );
        assert_abs_diff_eq!(
            net_by_formula(&drive, &inner).as_inches(),
            net,
            epsilon = half_unit
        );
    }
}

#[test]
fn published_turns_per_length_follow_from_the_net_lead() {
    // Turns in an inch. First: published example, hobby machinist forum, 1/4-20 and 1/4-28.
    // The others are derived: n1 n2 / (n2 - n1), and 1/(1/28 - 0.7/25.4) for M4.
    let in_an_inch = [
        (inch(0.25, 20.0), inch(0.25, 28.0), 70.0),
        (inch(0.25, 28.0), metric(4.0, 0.7), 122.6207),
        (inch(0.75, 10.0), inch(0.625, 11.0), 110.0),
        (inch(0.875, 9.0), inch(0.75, 10.0), 90.0),
        (inch(1.0, 8.0), inch(0.875, 9.0), 72.0),
        (inch(0.5, 13.0), inch(0.375, 16.0), 69.333_33),
        (inch(0.375, 16.0), inch(0.3125, 18.0), 144.0),
        (inch(0.3125, 18.0), inch(0.25, 20.0), 180.0),
        (inch(0.25, 20.0), inch(0.19, 24.0), 120.0),
        (inch(1.25, 7.0), inch(1.0, 8.0), 56.0),
    ];
    for (drive, inner, turns) in in_an_inch {
        let inch = Length::inches(1.0);
        assert_relative_eq!(
            inch / net_by_solver(&drive, &inner),
            turns,
            max_relative = 5e-7
        );
    }
    // Turns in a millimetre, derived: 1/(P1 - P2).
    let in_a_millimetre = [
        (metric(16.0, 2.0), metric(10.0, 1.5), 2.0),
        (metric(20.0, 2.5), metric(12.0, 1.75), 1.333_333),
        (metric(30.0, 3.5), metric(20.0, 2.5), 1.0),
        (metric(36.0, 4.0), metric(24.0, 3.0), 1.0),
        (metric(20.0, 2.5), metric(16.0, 1.5), 1.0),
        (metric(30.0, 2.0), metric(16.0, 1.5), 2.0),
    ];
    for (drive, inner, turns) in in_a_millimetre {
        let mm = Length::mm(1.0);
        assert_relative_eq!(
            mm / net_by_solver(&drive, &inner),
            turns,
            max_relative = 5e-7
        );
    }
}

#[test]
fn opposite_hands_add_as_in_a_compound_screw() {
    // Khurmi & Gupta, A Textbook of Machine Design, ch. 17, compound screw: P1 + P2.
    let (drive, inner) = (metric(20.0, 2.5), left(&metric(12.0, 1.75)));
    assert_abs_diff_eq!(net_by_solver(&drive, &inner).as_mm(), 4.25, epsilon = 1e-12);
}

#[test]
fn ten_millimetres_of_stroke_take_a_third_of_a_hundred_of_drive_travel() {
    // Derived: N = s / (L1 - L2) = 13.3 turns, N L1 = 33.3 mm for 2.5 and 1.75 mm.
    let rates = solve(&nested(&metric(20.0, 2.5), &metric(12.0, 1.75))).unwrap();
    let turns = Length::mm(10.0) / rates.carriage_advance();
    assert_abs_diff_eq!(turns, 13.333_33, epsilon = 1e-5);
    assert_abs_diff_eq!(
        rates.of(DRIVE).after(turns).advance.as_mm(),
        33.333_33,
        epsilon = 1e-5
    );
}

#[test]
fn a_swivel_carries_the_whole_lead_and_two_carriages_close_at_the_sum() {
    let rates = solve(&single(&metric(16.0, 2.0))).unwrap();
    assert_abs_diff_eq!(rates.carriage_advance().as_mm(), 2.0, epsilon = 1e-12);
    // Near left hand, far right hand: clockwise closes (the trade's usual arrangement).
    let (near, far) = (left(&metric(16.0, 2.0)), metric(12.0, 1.75));
    let rates = solve(&opposed(&near, &far)).unwrap();
    assert_abs_diff_eq!(
        rates.of(InstanceId(2)).advance.as_mm(),
        2.0,
        epsilon = 1e-12
    );
    assert_abs_diff_eq!(
        rates.of(InstanceId(3)).advance.as_mm(),
        -1.75,
        epsilon = 1e-12
    );
    let opposed = opposed(&near, &far);
    let stroke = solve_stroke(&opposed, Length::mm(2.0)).unwrap();
    let closing = stroke.closing(&opposed.carriages).unwrap();
    assert_abs_diff_eq!(closing.as_mm(), 3.75, epsilon = 1e-12);
    let single = single(&metric(16.0, 2.0));
    let stroke = solve_stroke(&single, Length::mm(2.0)).unwrap();
    assert_eq!(stroke.closing(&single.carriages), None);
}

#[test]
fn sizes_that_were_made_for_another_net_lead_than_the_joints_give_are_a_defect() {
    // M20x2.5 over M12x1.75: 0.75 mm a turn.
    let nested = nested(&metric(20.0, 2.5), &metric(12.0, 1.75));
    assert!(solve_stroke(&nested, Length::mm(0.75)).is_ok());
    for sized in [2.5, 0.750_001, -0.75] {
        let error = solve_stroke(&nested, Length::mm(sized)).unwrap_err();
        assert!(matches!(error, MotionError::NetLead { .. }), "{sized}");
        assert!(error.is_defect());
    }
}

#[test]
fn a_left_hand_drive_carries_out_the_stroke_counter_clockwise() {
    let rates = solve(&single(&left(&metric(16.0, 2.0)))).unwrap();
    let direction = rates.stroke_direction().unwrap();
    assert_eq!(direction, Turning::CounterClockwise);
    let stroke = rates.per_stroke_turn(direction);
    assert_eq!(stroke.of(DRIVE).turns, -1.0);
    assert_abs_diff_eq!(stroke.net_lead().as_mm(), 2.0, epsilon = 1e-12);
}

#[test]
fn equal_threads_have_no_direction_of_stroke() {
    let thread = metric(12.0, 1.75);
    assert_eq!(
        solve(&nested(&thread, &thread)).unwrap().stroke_direction(),
        None
    );
}

// Locked and loose.

#[test]
fn a_second_thread_of_another_lead_locks_and_only_the_two_are_named() {
    let mut kit = nested(&metric(20.0, 2.5), &metric(12.0, 1.75));
    let other = metric(20.0, 2.0);
    kit.joints.push(thread_joint(
        "keeper thread",
        &other,
        [DRIVE, FRAME],
        Length::ZERO,
    ));
    let error = solve(&kit).unwrap_err();
    assert_eq!(
        error,
        MotionError::Locked {
            joints: vec!["drive/frame".to_owned(), "keeper thread".to_owned()],
            pieces: vec!["frame".to_owned(), "drive screw".to_owned()],
        }
    );
    let sentence = error.to_string();
    assert!(
        sentence.contains("drive/frame and keeper thread contradict"),
        "{sentence}"
    );
    assert!(sentence.contains("frame and drive screw"), "{sentence}");
}

#[test]
fn the_same_thread_said_twice_does_not_lock() {
    let drive = metric(20.0, 2.5);
    let mut kit = nested(&drive, &metric(12.0, 1.75));
    kit.joints.push(thread_joint(
        "keeper thread",
        &drive,
        [DRIVE, FRAME],
        Length::ZERO,
    ));
    assert_abs_diff_eq!(
        solve(&kit).unwrap().carriage_advance().as_mm(),
        0.75,
        epsilon = 1e-12
    );
}

#[test]
fn a_carriage_glued_to_the_frame_locks_the_whole_chain() {
    let mut kit = nested(&metric(20.0, 2.5), &metric(12.0, 1.75));
    kit.joints.push(joint(
        "glue",
        Fit::Press,
        Constraint::Rigid,
        [CARRIAGE, FRAME],
    ));
    let Err(MotionError::Locked { joints, .. }) = solve(&kit) else {
        panic!("a carriage that cannot slide must lock the drive");
    };
    // The slide says nothing that the glue does not say: it is not to blame.
    let chain = [
        "drive/frame",
        "inner/drive",
        "pin/inner",
        "pin/carriage",
        "glue",
    ];
    assert_eq!(joints, chain);
}

#[test]
fn a_nested_kit_without_its_slide_names_the_pieces_that_spin() {
    let mut kit = nested(&metric(20.0, 2.5), &metric(12.0, 1.75));
    kit.joints.retain(|joint| joint.name != "carriage/frame");
    let screw = |piece: &str| Loose {
        piece: piece.to_owned(),
        freedom: Freedom::AdvanceAndTurn,
    };
    let pieces = vec![screw("inner screw"), screw("cross pin"), screw("carriage")];
    assert_eq!(solve(&kit).unwrap_err(), MotionError::Loose { pieces });
}

#[test]
fn a_missing_swivel_and_a_missing_slide_free_the_carriage_each_its_own_way() {
    for (missing, freedom, words) in [
        ("swivel", Freedom::Advance, "carriage (along the axis)"),
        ("carriage/frame", Freedom::Turn, "carriage (about the axis)"),
    ] {
        let mut kit = single(&metric(16.0, 2.0));
        kit.joints.retain(|joint| joint.name != missing);
        let error = solve(&kit).unwrap_err();
        let piece = "carriage".to_owned();
        assert!(error.to_string().contains(words), "{error}");
        let pieces = vec![Loose { piece, freedom }];
        assert_eq!(error, MotionError::Loose { pieces });
    }
}

#[test]
fn a_frame_that_is_turned_and_a_piece_that_is_not_there_are_refused() {
    let mut kit = single(&metric(16.0, 2.0));
    kit.drive = FRAME;
    assert!(matches!(solve(&kit), Err(MotionError::DriveIsFrame { .. })));
    let mut kit = single(&metric(16.0, 2.0));
    kit.joints[1].between[0] = InstanceId(9);
    let error = solve(&kit).unwrap_err();
    assert_eq!(
        error.to_string(),
        "swivel names piece number 9, but there are only 3 pieces"
    );
}
