//! The opposed layout: what the bench is told, against the motion and the meshes.

use crate::hand::asked::{Asked, Hand};
use crate::hand::made::{Told, number, text, text_list};
use crate::hand::words::{Clock, between, clocks, millimetres, sentences};
use crate::support::bench::{Bench, in_parallel};
use netlead::kit::Kit;
use std::sync::OnceLock;

/// Chord tolerance of these meshes, in mm; ends along the axis are flat.
const TOLERANCE: f64 = 0.05;
/// What is told to a tenth of a millimetre, or a hundredth of an inch, may be off by this.
const TENTH: f64 = 0.14;

/// A kit with its two hands.
struct Case {
    asked: Asked,
    far: Hand,
}

/// Either hand near, alike or unequal leads, both units, bought and printed pins.
fn kits() -> Vec<Case> {
    let kit = |drive: &str, far: &str, stroke: f64, more: &str| Case {
        asked: Asked {
            text: format!(
                "name = \"kit\"\nlayout = \"opposed\"\ndrive = \"{drive}\"\nfar = \"{far}\"\n\
                 stroke = \"{stroke} mm\"\nhand_torque = 0.1\nbed = [\"300 mm\", \"300 mm\", \"300 mm\"]\n{more}\n"
            ),
            drive: drive.into(),
            inner: None,
        },
        far: match far.ends_with("-LH") {
            true => Hand::Left,
            false => Hand::Right,
        },
    };
    vec![
        kit("M16x2-LH", "M16x2", 25.0, ""),
        kit("M20x2.5", "M20x2-LH", 20.0, "layer = \"0.2 mm\""),
        kit("5/8-11-LH", "5/8-11", 15.0, "units = \"inch\""),
        kit("22x2.2-LH", "18x2.6", 12.0, "pins.buy = \"5 mm dowel\""),
    ]
}

/// What the program says of each of them, asked once.
fn reports() -> &'static [(Case, Told)] {
    static REPORTS: OnceLock<Vec<(Case, Told)>> = OnceLock::new();
    REPORTS.get_or_init(|| {
        let kits = kits();
        let told = in_parallel(&kits, |case| Told::new(&case.asked).unwrap());
        kits.into_iter().zip(told).collect()
    })
}

fn bench(case: &Case) -> Bench {
    let kit: Kit = case.asked.text.parse().expect("a valid kit");
    Bench::new(&kit, TOLERANCE)
}

/// Lowest and highest z of a piece at turn 0.
fn ends(bench: &Bench, piece: &str) -> [f64; 2] {
    let mesh = bench.mesh_at(bench.piece(piece), 0.0);
    let along = mesh.points.iter().map(|point| point.z);
    along.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], z| {
        [low.min(z), high.max(z)]
    })
}

/// The way that a thread of a hand goes in, for an eye behind its own head.
fn inwards(hand: Hand) -> Clock {
    Clock::of(hand.sign())
}

#[test]
fn every_way_to_turn_is_that_of_the_motion_and_of_the_thread() {
    for (case, told) in reports() {
        assert!(!told.removals().is_empty(), "{}", case.asked.text);
        let near = case.asked.drive_hand();
        let mut said = 0;
        for step in told.steps() {
            let action = text(&step["action"]);
            for sentence in sentences(text(&step["text"])) {
                let turned = clocks(sentence);
                let wanted = match (turned.len(), action) {
                    (0, _) => continue,
                    // In, until it touches, then back to the marks.
                    (1, "screw the drive screw in")
                        if sentence.contains("turn the drive screw") =>
                    {
                        inwards(near).other()
                    }
                    (1, "screw the drive screw in") => inwards(near),
                    (1, "screw the far shaft into its carriage") => inwards(case.far),
                    // A shaft that goes nowhere draws its nut towards the eye in front of it.
                    (1, "press the coupling pin") => inwards(case.far),
                    (1, "measure, and run the stroke") if sentence.contains("until") => {
                        inwards(near)
                    }
                    (1, _) if sentence.contains("run the whole stroke") => inwards(near).other(),
                    _ => panic!("said of nothing that is known: {action}: {sentence}"),
                };
                assert_eq!(turned[0], wanted, "{action}: {sentence}");
                said += 1;
                let motion = &step["motion"];
                let turns = motion["turns"].as_f64().unwrap_or(0.0);
                let goes_in = action.starts_with("screw") && !sentence.contains("turn the drive");
                if goes_in && turns != 0.0 {
                    assert_eq!(Clock::of(turns), turned[0], "{action}: {motion}");
                }
            }
        }
        assert!(said >= 4, "{said} ways to turn: {}", case.asked.text);
    }
}

#[test]
fn distances_at_the_bench_are_those_of_the_meshes_at_turn_0() {
    for (case, told) in reports() {
        let bench = bench(case);
        let [near, far] = ["near carriage", "far carriage"].map(|piece| ends(&bench, piece));
        let [shaft, frame] = ["far shaft", "frame"].map(|piece| ends(&bench, piece));
        let step = |action: &str| {
            let step = told.step(action);
            text(&step.unwrap_or_else(|| panic!("no {action}"))["text"])
        };
        let close = |said: Option<f64>, is: f64, what: &str| {
            let said = said.unwrap_or_else(|| panic!("{what}: {}", case.asked.text));
            assert!((said - is).abs() < TENTH, "{what}: {said}, not {is}");
        };
        let out = step("screw the far shaft into its carriage");
        let said = millimetres(out, "the journal stands ", " out of");
        close(said, shaft[1] - far[1], "the journal");
        let inside = step("slide the far carriage in");
        let said = millimetres(inside, "far face stands ", " inside");
        close(said, frame[1] - far[1], "the far face");
        let pressed = step("press the coupling pin");
        let said = between(pressed, "two carriages: ", " are wanted").map(str::to_owned);
        let said = said.and_then(|said| {
            let said = said.rsplit('(').next()?.trim_end_matches(')').to_owned();
            said.strip_suffix(" mm")?.trim().parse().ok()
        });
        close(said, far[0] - near[1], "between the carriages");
    }
}

#[test]
fn both_carriages_go_as_far_as_their_leads_say_and_towards_each_other() {
    for (case, told) in reports() {
        let lead = |designation: &str| {
            let thread: netlead::thread::Thread = designation.parse().unwrap();
            thread.lead().as_mm()
        };
        let far_name = between(&case.asked.text, "far = \"", "\"").unwrap();
        let [near, far] = ["near carriage", "far carriage"].map(|piece| told.piece(piece).advance);
        assert!((near - lead(&case.asked.drive)).abs() < 1e-6, "{near}");
        assert!((far + lead(far_name)).abs() < 1e-6, "{far}");
        let motion = &told.report["motion"];
        // Reports have six decimals.
        assert!((number(&motion["net_lead_mm"]) - near).abs() < 1e-6);
    }
}

#[test]
fn left_hand_parts_carry_two_vs_in_words_and_the_steps_say_which_nut_is_which() {
    for (case, told) in reports() {
        let hands = [case.asked.drive_hand(), case.far];
        for (which, hand) in ["near", "far"].into_iter().zip(hands) {
            let action = format!("put the {which} nut into its carriage");
            let step = told.step(&action).unwrap();
            let said = text(&step["text"]);
            let wanted = match hand.marks() {
                1 => "one V",
                _ => "two Vs (left-hand thread)",
            };
            assert!(said.contains(wanted), "{said}");
            let nut = format!("{which} nut");
            assert!(text_list(&step["parts"]).contains(&nut.as_str()), "{step}");
        }
    }
}
