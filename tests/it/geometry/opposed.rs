//! Opposed mechanisms: sizes against a worked table, and what joints and threads must give.
//!
//! The table was worked by hand from the sizing rules (derived) at layers of 0.15 mm, with drawn gaps
//! of 0.25 mm in the threads, 0.30 mm in swivels, 0.20 mm in the guide and 0.12 mm where parts are put
//! in place by hand. Its heights count from the bearing wall's outer face. It is met within a layer:
//! the table leaves out that the slotted keeper has play in its groove, too, and takes the gap of a
//! nut in its pocket as 0.15 mm.

use crate::support::kits::{design, opposed};
use crate::support::{left, mm, right};
use netlead::kit::Kit;
use netlead::layout::Design;
use netlead::motion::{power_train, solve_stroke};
use netlead::printer::Profile;
use netlead::thread::{Hand, Thread};
use netlead::units::{Length, Torque};

/// Half of what a table of rounded values may be off by, and a layer.
const WITHIN: f64 = 0.15 + 0.005;

/// Sizes in the order of the table's rows.
const ROWS: [&str; 30] = [
    "N",
    "sA",
    "sB",
    "mA PA or mB PB",
    "mn",
    "dp",
    "dsp",
    "djt",
    "Dsl",
    "Lsl",
    "Rn",
    "Rc",
    "B",
    "Wo",
    "floor yb",
    "ytop",
    "kp",
    "Dcb",
    "Lc",
    "zA0",
    "znA",
    "zAe",
    "zs0",
    "zp",
    "zB0",
    "znB",
    "zBe",
    "hk",
    "frame",
    "ypr",
];

struct Column {
    kit: Kit,
    values: [f64; 30],
}

fn table() -> [Column; 3] {
    let five_eighths = |hand: Hand| right(15.875, 25.4 / 11.0).with_hand(hand);
    [
        Column {
            kit: opposed(left(20.0, 2.5), right(20.0, 2.0), 25.0),
            values: [
                10.0,
                25.0,
                20.0,
                0.56 * 2.0,
                23.85,
                5.5,
                16.0,
                17.0,
                24.0,
                28.12,
                9.0,
                13.0,
                39.0,
                49.4,
                -21.47,
                22.65,
                13.15,
                22.45,
                58.5,
                15.5,
                21.6,
                74.95,
                85.44,
                95.54,
                120.0,
                148.55,
                176.1,
                13.5,
                207.9,
                17.9,
            ],
        },
        Column {
            kit: opposed(left(12.0, 1.75), right(12.0, 1.75), 15.0),
            values: [
                8.57,
                15.0,
                15.0,
                0.64 * 1.75,
                15.0,
                5.0,
                9.0,
                9.0,
                17.0,
                16.22,
                5.0,
                9.0,
                27.0,
                37.4,
                -14.54,
                18.15,
                8.9,
                13.3,
                40.5,
                10.5,
                16.6,
                50.04,
                58.39,
                64.29,
                82.0,
                101.4,
                119.84,
                13.0,
                151.4,
                13.65,
            ],
        },
        Column {
            kit: opposed(five_eighths(Hand::Left), five_eighths(Hand::Right), 15.0),
            values: [
                6.5,
                15.0,
                15.0,
                0.48 * 25.4 / 11.0,
                19.5,
                5.0,
                12.5,
                12.5,
                20.5,
                22.17,
                7.0,
                11.0,
                33.0,
                43.4,
                -17.91,
                20.15,
                10.65,
                17.8,
                49.5,
                12.41,
                18.51,
                57.02,
                66.32,
                74.32,
                92.91,
                116.81,
                140.32,
                13.0,
                171.31,
                15.65,
            ],
        },
    ]
}

/// A size by which a part tells what it is made of.
fn told(design: &Design, part: &str, size: &str) -> f64 {
    let parts = &design.assembly.parts;
    let part = parts.iter().find(|one| one.name == part).expect("a part");
    let mut sizes = part.recipe.iter();
    let found = sizes.find(|(name, _)| *name == size);
    found
        .unwrap_or_else(|| panic!("no {size} of {}", part.name))
        .1
        .as_mm()
}

fn found(design: &Design) -> [f64; 30] {
    let of = |part: &str, size: &str| told(design, part, size);
    let wall = of("frame", "collar's face");
    let [near, far] = [0, 1].map(|at| design.course.further[at].length.as_mm());
    let width = of("carriage", "width");
    let length = of("carriage", "length");
    let near_face = of("near-nut", "place");
    let far_face = of("far-nut", "place");
    let sleeve = of("far-shaft", "place");
    let nut_place = of("carriage", "nut's place");
    let height = of("near-nut", "height");
    let roof = of("frame", "channel's roof");
    let slide = of("frame", "slide gap");
    // Roof of 45 degrees to a rib of 12, the gap square to it, and a lip of 3.
    let top = roof + (width - 12.0) / 2.0 + slide * 2f64.sqrt() + 3.0;
    [
        design.course.turns,
        near,
        far,
        // The larger over-travel, in turns of the thread with the larger lead, is that of the smaller.
        design.course.over_travel * far / design.course.turns,
        height,
        of("pin", "diameter"),
        of("drive", "spigot"),
        of("far-shaft", "journal"),
        of("far-shaft", "sleeve"),
        of("far-shaft", "length of the sleeve"),
        of("drive", "neck"),
        of("drive", "collar"),
        width,
        of("pin", "side of the frame"),
        of("frame", "channel's floor"),
        top,
        of("frame", "pin offset"),
        of("carriage", "depth of the rear bore"),
        length,
        near_face - (length - nut_place - height) - wall,
        near_face - wall,
        of("drive", "thread end") - wall,
        sleeve - wall,
        sleeve + of("far-shaft", "coupling pin's place") - wall,
        far_face - nut_place - wall,
        far_face - wall,
        sleeve + of("far-shaft", "thread's end") - wall,
        of("keeper", "plug"),
        of("frame", "length"),
        of("frame", "retaining pin's height"),
    ]
}

#[test]
fn sizes_agree_with_the_worked_table_within_a_layer() {
    for Column { kit, values } in table() {
        let found = found(&design(&kit));
        for ((row, found), value) in ROWS.iter().zip(found).zip(values) {
            assert!(
                (found - value).abs() <= WITHIN,
                "{row} of {:?} is {found}, in the table {value}",
                kit.mechanism
            );
        }
    }
}

fn rates(design: &Design) -> netlead::motion::StrokeRates {
    solve_stroke(&design.assembly, design.net_lead).expect("a mechanism that moves")
}

#[test]
fn joints_alone_draw_the_carriages_together_by_the_sum_of_both_leads() {
    for (drive, far) in [
        (left(20.0, 2.5), right(20.0, 2.0)),
        (right(16.0, 2.0), left(16.0, 2.0)),
        (left(24.0, 3.0), right(18.0, 2.5)),
    ] {
        let [near_lead, far_lead] = [&drive, &far].map(|thread| thread.lead().as_mm());
        let design = design(&opposed(drive.clone(), far, 25.0));
        let rates = rates(&design);
        let carriages = &design.assembly.carriages;
        let closing = rates.closing(carriages).expect("two carriages").as_mm();
        approx::assert_abs_diff_eq!(closing, near_lead + far_lead, epsilon = 1e-9);
        let other = rates.of(carriages.others[0]).advance.as_mm();
        approx::assert_abs_diff_eq!(other, -far_lead, epsilon = 1e-9);
        let clockwise = rates.direction() == netlead::assembly::Turning::Clockwise;
        assert_eq!(
            clockwise,
            drive.hand() == Hand::Left,
            "clockwise closes where the near is left-hand"
        );
        // The shafts turn as one and stay where they are.
        for piece in ["drive", "far shaft"] {
            let mut pieces = design.assembly.instances.iter();
            let at = pieces.position(|one| one.name == piece).expect("a shaft");
            let rate = rates.of(netlead::assembly::InstanceId(at));
            assert_eq!(rate.advance, Length::ZERO);
            approx::assert_abs_diff_eq!(rate.turns.abs(), 1.0, epsilon = 1e-12);
        }
    }
}

#[test]
fn each_carriage_presses_with_what_the_tabled_forces_say() {
    // Worked by hand: T = W (arm of the one thread + arm of the other), 2 N m at a friction of 0.25.
    for (Column { kit, .. }, force) in table().into_iter().zip([326.0, 534.0, 403.0]) {
        let design = design(&kit);
        let train = power_train(&design.assembly, &rates(&design), 0.25, vec![]).expect("a train");
        let load = train
            .load(Torque::newton_metres(2.0))
            .expect("a load")
            .as_newtons();
        approx::assert_abs_diff_eq!(load, force, epsilon = 0.6);
    }
}

#[test]
fn both_threads_keep_the_wanted_engagement_wherever_the_far_shaft_was_set() {
    for Column { kit, .. } in table() {
        let design = design(&kit);
        let rates = rates(&design);
        for (_, joint, in_nut) in design.assembly.thread_joints() {
            let [male, female] = joint.between.map(|piece| rates.of(piece));
            // Set off by half a turn either way: a half turn more of travel at both ends.
            let mut course = design.course.clone();
            course.over_travel += 0.5;
            let engaged = in_nut.least_engagement(male, female, &course).least.as_mm();
            let thread: &Thread = &in_nut.thread;
            let wanted = thread.major().max(thread.pitch() * 6.0).as_mm();
            assert!(
                engaged >= wanted - 0.05,
                "{} is engaged over {engaged} of {wanted}",
                joint.name
            );
        }
    }
}

#[test]
fn the_far_carriage_has_the_play_of_the_coupling_pin_besides() {
    // Worked by hand: 2 tan 30 deg of a thread's gap, two ends of a nut, the collar and the slotted
    // keeper's groove; beyond the coupling pin its gap on either side.
    let kit = opposed(left(16.0, 2.0), right(16.0, 2.0), 25.0);
    let design = design(&kit);
    let play = |pick: &dyn Fn(&str) -> bool| -> f64 {
        let joints = design.assembly.joints.iter();
        let plays = joints
            .filter(|joint| pick(&joint.name))
            .filter_map(|joint| joint.axial_play);
        plays.map(Length::as_mm).sum()
    };
    let shared = play(&|name| name == "drive/frame");
    let near = shared + play(&|name| name.contains("near nut"));
    let far = shared + play(&|name| name.contains("far nut") || name.contains("coupling pin"));
    let thread = 0.25 * 2.0 / 3f64.sqrt();
    approx::assert_abs_diff_eq!(near, thread + 0.2 + 0.30 + 0.12, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(far - near, 2.0 * 0.12, epsilon = 1e-9);
}

#[test]
fn same_hands_are_refused_with_a_line_that_mends_it() {
    let same = opposed(right(16.0, 2.0), right(16.0, 2.0), 25.0);
    let problems =
        netlead::layout::design(&same, &Profile::untuned_for(&same)).expect_err("refused");
    assert_eq!(problems.len(), 1);
    assert!(
        problems[0].message.contains("same hand"),
        "{}",
        problems[0].message
    );
    let mend = problems[0].mend.as_deref().expect("a mend");
    assert!(mend.contains("far = \"16x2-LH\""), "{mend}");
    let mended = opposed(right(16.0, 2.0), left(16.0, 2.0), 25.0);
    design(&mended);
}

#[test]
fn a_stroke_that_hides_the_coupling_pin_is_refused_with_the_least_that_does_not() {
    let mut kit = opposed(left(16.0, 2.0), right(16.0, 2.0), 2.0);
    let problems = netlead::layout::design(&kit, &Profile::untuned_for(&kit)).expect_err("refused");
    let mend = problems[0].mend.as_deref().expect("a mend");
    let least = mend
        .split_whitespace()
        .find_map(|word| word.parse::<f64>().ok())
        .expect("a length");
    kit.stroke.value = mm(least);
    let design = design(&kit);
    // The pin's round is then clear of both carriages.
    let coupling =
        told(&design, "far-shaft", "place") + told(&design, "far-shaft", "coupling pin's place");
    let radius = told(&design, "coupling-pin", "diameter") / 2.0;
    let length = told(&design, "carriage", "length");
    let nut_place = told(&design, "carriage", "nut's place");
    let near_from = told(&design, "near-nut", "place")
        - (length - nut_place - told(&design, "near-nut", "height"));
    let far_from = told(&design, "far-nut", "place") - nut_place;
    assert!(coupling - radius > near_from + length + 0.5, "{coupling}");
    assert!(coupling + radius < far_from - 0.5, "{coupling}");
}
