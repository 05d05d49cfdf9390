//! What the bench is told, against the motion and the written meshes.

use crate::hand::asked::Asked;
use crate::hand::made::{Told, number, text};
use crate::hand::turning::report_faults;
use crate::hand::words::{between, millimetres};
use crate::support::bench::in_parallel;
use crate::support::sizes::told;
use netlead::assembly::Pose;
use netlead::kit::Kit;
use netlead::layout::{self, Design};
use netlead::printer::Profile;
use netlead::units::Length;
use std::sync::OnceLock;

/// Kits as text: either thread may be the first to catch, or neither.
fn kits() -> Vec<Asked> {
    let kit = |drive: &str, thin: &str, stroke: f64, more: &str| Asked {
        text: format!(
            "name = \"kit\"\nlayout = \"tandem\"\ndrive = \"{drive}\"\nthin = \"{thin}\"\n\
             stroke = \"{stroke} mm\"\nhand_torque = 0.1\n{more}\n"
        ),
        drive: drive.into(),
        inner: None,
    };
    vec![
        kit("M20x2.5", "M14x2", 8.0, ""),
        kit("M24x3-LH", "M16x2-LH", 20.0, "layer = \"0.2 mm\""),
        kit("7/8-9", "1/2-13", 10.0, "units = \"inch\""),
        kit("26x3.2", "18x2.4", 15.0, "pins.buy = \"5 mm dowel\""),
        // A long nut, and a long wall.
        kit("M24x3", "M16x2", 6.0, "sizes.nut = 60"),
        kit("M24x3", "M16x2", 6.0, "sizes.tapped_wall = 80"),
    ]
}

/// What the program says of each of them, asked once.
fn reports() -> &'static [(Asked, Told)] {
    static REPORTS: OnceLock<Vec<(Asked, Told)>> = OnceLock::new();
    REPORTS.get_or_init(|| {
        let kits = kits();
        let told = in_parallel(&kits, |asked| Told::new(asked).unwrap());
        kits.into_iter().zip(told).collect()
    })
}

fn design(asked: &Asked) -> Design {
    let kit: Kit = asked.text.parse().expect("a valid kit");
    layout::design(&kit, &Profile::untuned_for(&kit)).expect("a design")
}

/// What is told to a tenth of a millimetre, or a hundredth of an inch, may be off by this.
const BENCH: f64 = 0.14;

/// Lowest and highest z of a piece at turn 0, by the shape's own sizes.
struct Ends {
    frame: f64,
    carriage: f64,
    net: f64,
}

fn ends(design: &Design) -> Ends {
    let of = |part: &str, size: &str| told(design, part, size).unwrap().as_mm();
    let rear = of("nut", "place") - of("carriage", "nut's place");
    Ends {
        frame: of("frame", "length"),
        carriage: rear + of("carriage", "length"),
        net: design.net_lead.as_mm(),
    }
}

/// Turns of the stroke, before turn 0, at which each screw's end meets the mouth of its hole: its
/// whole profile less what chamfer and countersink take.
fn meets_its_hole(design: &Design) -> [f64; 2] {
    let mut threads = design.assembly.thread_joints();
    [(); 2].map(|()| {
        let (_, _, joint) = threads.next().expect("two threads");
        let cut = joint.thread.depth() + Length::mm(0.5);
        let far = joint.male[1] + cut - (joint.female[0] - cut);
        far / joint.thread.lead()
    })
}

#[test]
fn every_way_to_turn_is_that_of_the_motion() {
    for (asked, report) in reports() {
        let mut faults = report_faults(report);
        if report.removals().is_empty() {
            faults.push("no order was found".into());
        }
        assert_eq!(faults, Vec::<String>::new(), "{}", asked.text);
    }
}

#[test]
fn the_carriage_is_held_where_the_second_thread_catches_whichever_that_is() {
    let mut firsts = Vec::new();
    for (asked, report) in reports() {
        let design = design(asked);
        let Ends {
            frame,
            carriage,
            net,
        } = ends(&design);
        let [thick, thin] = meets_its_hole(&design);
        let second = thick.min(thin);
        let inside = frame - (carriage - net * second);
        for action in ["slide the carriage in", "go to turn 0"] {
            let step = report
                .step(action)
                .unwrap_or_else(|| panic!("no {action}: {}", asked.text));
            let said =
                millimetres(text(&step["text"]), "far face stands ", " inside the frame").unwrap();
            assert!(
                (said - inside).abs() < BENCH,
                "{action}: {said}, not {inside}: {}",
                asked.text
            );
        }
        let step = text(&report.step("go to turn 0").unwrap()["text"]);
        let named = match thick < thin {
            true => "the thick thread in the frame catches",
            false => "the thin thread in the nut catches",
        };
        assert!(step.contains(named), "{step}");
        // It starts at a whole turn at which the second has not caught yet, and less than two turns before.
        let start = design.course.assembly_turn;
        assert!(
            -start >= second && -start < second + 2.0,
            "{start} {second}"
        );
        let step = text(&report.step("start the drive screw").unwrap()["text"]);
        let first = match thick.max(thin) > -start {
            false => "Neither thread has caught yet",
            true if thick > thin => "The thin thread has not caught in the nut yet",
            true => "The thick thread has not caught in the frame yet",
        };
        assert!(step.contains(first), "{step}");
        firsts.push(first);
    }
    firsts.sort_unstable();
    firsts.dedup();
    assert_eq!(firsts.len(), 3, "{firsts:?}");
}

#[test]
fn the_head_stands_off_the_frame_as_told_at_the_start_and_at_the_rear_stop() {
    for (asked, report) in reports() {
        let design = design(asked);
        let of = |size: &str| told(&design, "drive", size).unwrap().as_mm();
        let lead = of("drive thread's lead").abs();
        let gap = |turn: f64| of("thread length") - of("thread end") - lead * turn;
        let step = text(&report.step("start the drive screw").unwrap()["text"]);
        let (_, off) = step.split_once(" stands in line ").unwrap();
        let said = millimetres(off, " stands ", " off the frame").unwrap();
        let start = gap(design.course.assembly_turn);
        assert!((said - start).abs() < BENCH, "{said}, not {start}: {step}");
        // Back on the stop pin, half a millimetre behind turn 0, in the middle place.
        let net = design.net_lead.as_mm();
        let at_stop = gap(-0.5 / net);
        let step = text(&report.step("measure, and run the stroke").unwrap()["text"]);
        let [least, most] = range(step).expect("two distances");
        assert!(
            least < at_stop && at_stop < most,
            "{at_stop} of {least} to {most}"
        );
        // All of the places that the lengths have room for, and no more than the next one.
        let mut threads = design.assembly.thread_joints();
        let thin = threads.nth(1).unwrap().2.thread.lead().as_mm();
        let rung = lead * thin / net;
        assert!(
            most - least > rung && most - least < rung * 1.6,
            "{least} to {most}, rung {rung}"
        );
    }
}

/// The two lengths between some words, in mm.
fn range(said: &str) -> Option<[f64; 2]> {
    let said = between(said, "anything ", " will do")?;
    let said = said.rsplit('(').next()?.trim_end_matches(')');
    let (least, most) = said.strip_suffix(" mm")?.split_once(" to ")?;
    Some([least.parse().ok()?, most.parse().ok()?])
}

#[test]
fn pins_go_in_from_the_marked_side_with_their_flats_away_from_the_slot() {
    for (asked, report) in reports() {
        for pin in ["stop pin", "keeper pin 1", "keeper pin 2"] {
            let motion = &report.removal(&[pin])["motion"];
            assert_eq!(text(&motion["axis"]), "x", "{pin}");
            // Out towards +x, where the frame has its V: taking apart goes the other way.
            assert!(number(&motion["distance_mm"]) > 0.0, "{pin}: {motion}");
            // The flat lies on the bed.
            let flat = report.piece(pin).direct([0.0, 0.0, -1.0]);
            assert!((flat[1] + 1.0).abs() < 1e-9, "{pin}: {flat:?}");
        }
        let bought = asked.text.contains("pins.buy");
        let step = text(&report.step("press the stop pin").unwrap()["text"]);
        assert_eq!(
            step.contains("its flat away from the slot"),
            !bought,
            "{step}"
        );
    }
}

#[test]
fn the_tip_comes_out_of_the_keeper_as_far_as_told() {
    for (asked, report) in reports() {
        let design = design(asked);
        let tip = told(&design, "drive", "thin thread's end").unwrap().as_mm();
        let lead = design
            .assembly
            .thread_joints()
            .next()
            .unwrap()
            .2
            .thread
            .lead()
            .as_mm();
        // Behind the frame the keeper's flange is 5 mm thick.
        let out = tip + lead * design.course.turns - ends(&design).frame - 5.0;
        let step = text(&report.step("fit the keeper").unwrap()["text"]);
        let said = millimetres(step, "tip comes ", " out of the keeper");
        match out > 0.0 {
            true => assert!((said.unwrap() - out).abs() < BENCH, "{said:?}, not {out}"),
            false => assert_eq!(said, None),
        }
    }
}

#[test]
fn the_vs_of_head_and_frame_stand_in_line_at_turn_0_and_the_frame_has_one_on_the_pins_side() {
    for asked in kits() {
        let design = design(&asked);
        let found = |part: &str, place: [f64; 2], hand: usize| {
            let of = design
                .assembly
                .parts
                .iter()
                .position(|one| one.name == part)
                .unwrap();
            let piece = design
                .assembly
                .instances
                .iter()
                .find(|one| one.part.0 == of)
                .unwrap();
            let mesh =
                netlead::solid::mesh(&design.assembly.parts[of].shape, Length::mm(0.05)).unwrap();
            let pose: Pose = piece.pose;
            let points = mesh.points.iter().map(|point| pose.apply(*point));
            // The bottoms of two Vs stand 1.5 mm beside the middle.
            let wanted: Vec<[f64; 2]> = match hand {
                1 => vec![place],
                _ => vec![[place[0] - 1.5, place[1]], [place[0] + 1.5, place[1]]],
            };
            let points: Vec<_> = points.collect();
            wanted.iter().all(|[x, y]| {
                points
                    .iter()
                    .any(|point| (point.x - x).abs() < 1e-3 && (point.y - y).abs() < 1e-3)
            })
        };
        let vs = asked.drive_hand().marks();
        let of = |part: &str, size: &str| told(&design, part, size).unwrap().as_mm();
        let foot = of("carriage", "roof") + (of("carriage", "width") - 12.0) / 2.0;
        let top = foot + of("frame", "slide gap") * 2f64.sqrt() + 3.0;
        assert!(found("frame", [0.0, top - 0.8], vs), "{}", asked.text);
        let head = of("drive", "knob") / 2.0;
        assert!(found("drive", [0.0, head - 0.8], vs), "{}", asked.text);
        let side = of("pin", "side of the frame") / 2.0;
        assert!(found("frame", [side - 0.8, 0.0], 1), "{}", asked.text);
        assert!(!found("frame", [-side + 0.8, 0.0], 1), "{}", asked.text);
    }
}
