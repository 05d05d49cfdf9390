//! Every clockwise that is said, against the motion that it is said of.
//!
//! A motion in the report turns positively clockwise for an eye at the drive head; a right-hand
//! screw that turns so goes away from that eye. What is said from a screw's own slotted head is
//! said by an eye at the other end.

use super::asked::{Asked, Hand};
use super::made::{Made, Told, every_kit, number, text, text_list};
use super::words::{Clock, clocks, count, sentences};
use crate::support::cases;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::Value;

/// What a way to turn is said of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Of {
    /// Screwing in what the step handles.
    In,
    /// Screwing it back.
    Out,
    /// The mechanism's own motion, as the step makes it.
    Driven,
    /// The stroke.
    Stroke,
    /// Against the stroke, until it stops.
    Back,
}

/// What a sentence with a way to turn speaks of; `None` if nothing that is known here.
fn subject(sentence: &str) -> Option<Of> {
    let said = sentence.to_lowercase();
    let starts = |words: &str| said.starts_with(words);
    if said.contains("carry out the stroke") {
        Some(Of::Stroke)
    } else if starts("turn it") && said.contains("measure again") {
        // From the rear stop to the marks.
        Some(Of::Stroke)
    } else if starts("turn the drive screw") && said.contains("until the carriage stops") {
        Some(Of::Back)
    } else if starts("turn the drive screw") && said.contains("whole turn") {
        Some(Of::Driven)
    } else if starts("unscrew") || starts("then unscrew") {
        Some(Of::Out)
    } else if [
        "screw ",
        "on the bench, screw ",
        "pass the drive screw",
        "hold the carriage",
    ]
    .into_iter()
    .any(starts)
    {
        Some(Of::In)
    } else {
        None
    }
}

/// The way that a thread of a hand goes in, for an eye at the head of its own screw.
fn inwards(hand: Hand) -> Clock {
    Clock::of(hand.sign())
}

/// How far a motion goes away from the drive head; nothing where none was found.
fn number_of(motion: &Value) -> f64 {
    motion["distance_mm"].as_f64().unwrap_or(0.0)
}

/// What is wrong with the ways to turn of one step.
pub(crate) fn step_faults(told: &Told, step: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    let said = text(&step["text"]);
    let motion = &step["motion"];
    let turns = motion["turns"].as_f64();
    // From the far end a turn looks the other way round.
    let far_end = said.contains("seen from its own slotted head");
    let handles = |piece: &str| text_list(&step["parts"]).contains(&piece);
    let asked = &told.asked;
    let screw = if handles("inner") && !handles("frame") {
        asked.inner_hand().unwrap()
    } else {
        asked.drive_hand()
    };
    let stroke = inwards(asked.drive_hand());
    for sentence in sentences(said) {
        for clock in clocks(sentence) {
            let Some(of) = subject(sentence) else {
                faults.push(format!("said of nothing that is known: {sentence}"));
                continue;
            };
            // By the hand of the thread, and by the motion that was found.
            let by_hand = match of {
                Of::In => inwards(screw),
                Of::Out => inwards(screw).other(),
                Of::Stroke => stroke,
                Of::Driven if number_of(motion) > 0.0 => stroke,
                Of::Back | Of::Driven => stroke.other(),
            };
            let found = turns.map(|turns| Clock::of(if far_end { -turns } else { turns }));
            let by_motion = match of {
                Of::In | Of::Driven => found,
                Of::Out => found.map(Clock::other),
                Of::Stroke | Of::Back => None,
            };
            if clock != by_hand || by_motion.is_some_and(|way| way != clock) {
                faults.push(format!(
                    "{of:?}: {clock:?}, by the motion {motion}: {sentence}"
                ));
            }
        }
    }
    if let ("driven", Some(turns)) = (motion["kind"].as_str().unwrap_or(""), turns) {
        let told = ["clockwise by ", "clockwise of "];
        let told = told
            .iter()
            .find_map(|before| count(said, before, " whole turn"));
        if told != Some(turns.abs()) {
            faults.push(format!("{turns} turns, said {told:?}: {said}"));
        }
        let back = said.contains("draws back from the open end");
        if back && number(&motion["distance_mm"]) >= 0.0 {
            faults.push(format!("{motion}: {said}"));
        }
    }
    faults
}

/// What is wrong with any way to turn in a report.
pub(crate) fn report_faults(told: &Told) -> Vec<String> {
    let mut faults: Vec<String> = Vec::new();
    for step in told.steps() {
        faults.extend(step_faults(told, step));
        if !clocks(text(&step["reason"])).is_empty() {
            faults.push(format!("a way to turn in a reason: {}", step["reason"]));
        }
    }
    for removal in told.removals() {
        let turns = number(&removal["motion"]["turns"]);
        let expected = (turns != 0.0).then_some(turns > 0.0);
        if removal["clockwise"].as_bool() != expected {
            faults.push(format!("{removal}"));
        }
    }
    // The stroke itself: the drive turns so, and the carriage goes away from the head.
    let [drive, carriage] = ["drive", "carriage"].map(|piece| told.piece(piece));
    let stroke = inwards(told.asked.drive_hand());
    if Clock::of(drive.turns) != stroke || carriage.advance <= 0.0 || drive.advance <= 0.0 {
        faults.push(format!("{drive:?} {carriage:?}"));
    }
    for check in told.report["checks"].as_array().unwrap() {
        if check["id"] == "advance" && clocks(text(&check["message"]))[0] != stroke {
            faults.push(format!("{check}"));
        }
    }
    faults
}

/// Every way to turn that the steps of a report say.
fn of_steps(told: &Told) -> Vec<Clock> {
    told.steps()
        .iter()
        .flat_map(|step| clocks(text(&step["text"])))
        .collect()
}

#[test]
fn the_guide_and_the_page_turn_as_the_motion_turns() {
    every_kit(|made| {
        let mut faults = report_faults(&made.told);
        let steps = of_steps(&made.told);
        // Into both screws and back, the way to turn 0, the stroke, and the last measurement.
        let least = if made.is_nested() { 7 } else { 4 };
        if steps.len() < least {
            faults.push(format!("{} ways to turn in all steps", steps.len()));
        }
        let stroke = inwards(made.told.asked.drive_hand());
        let (guide, putting) = made.guide.split_once("## Putting it together").unwrap();
        let (putting, apart) = putting.split_once("## Pins, in and out").unwrap();
        let (apart, trial) = apart.split_once("## Trial sheet").unwrap();
        if clocks(trial) != [stroke] {
            faults.push(format!("the trial sheet turns {:?}", clocks(trial)));
        }
        if clocks(putting) != steps {
            faults.push("the guide turns otherwise than the report".into());
        }
        let removals = made.told.report["removals"].as_array().unwrap().iter();
        let taken: Vec<Clock> = removals
            .filter_map(|removal| Some((removal["clockwise"].as_bool()?, removal)))
            .map(|(clockwise, removal)| {
                let motion = &removal["motion"];
                // What leaves away from the drive head is turned by its far end, and seen from there.
                let far = motion["kind"] == "helical" && number(&motion["distance_mm"]) > 0.0;
                if clockwise != far {
                    Clock::With
                } else {
                    Clock::Against
                }
            })
            .collect();
        if clocks(apart) != taken {
            faults.push("the guide's way apart turns otherwise than the report's".into());
        }
        // Before its steps: the stroke, and where the eye is, which names both ways.
        let eye = [Clock::With, Clock::Against];
        if clocks(guide) != [&[stroke][..], &eye].concat() {
            faults.push(format!("before the steps: {:?}", clocks(guide)));
        }
        if !guide.contains("by an eye in front of the drive head, looking along the screws") {
            faults.push("nobody says where the eye is".into());
        }
        let (page, putting) = made.terminal.split_once("Putting it together").unwrap();
        // Its heading says clockwise once more.
        if clocks(putting) != [&[Clock::With][..], &steps].concat() {
            faults.push("the page turns otherwise than the report".into());
        }
        // The digest has it, and the motion behind it.
        if clocks(page) != [stroke, stroke] {
            faults.push(format!("before the page's steps: {:?}", clocks(page)));
        }
        for (text, before) in [(guide, "turns for stroke: "), (page, "turns for stroke  ")] {
            let said = count(text, before, " c");
            if said.is_none_or(|said| !carries_out(made, said)) {
                faults.push(format!("{said:?} turns for the stroke"));
            }
        }
        faults
    });
}

/// Whether so many turns, rounded to a hundredth, carry out the stroke.
fn carries_out(made: &Made, turns: f64) -> bool {
    let travel = made.told.piece("carriage").advance;
    let stroke = number(&made.told.report["motion"]["stroke_mm"]);
    (turns - stroke / travel).abs() <= 0.005 + 1e-9
}

/// The entries of a page of take-apart, each on one line.
fn entries(page: &str) -> Vec<String> {
    let mut entries: Vec<String> = Vec::new();
    for line in page.lines() {
        let line = line.trim();
        let numbered = line
            .split_once(". ")
            .is_some_and(|(n, _)| n.parse::<u32>().is_ok());
        match entries.last_mut() {
            _ if numbered => entries.push(line.into()),
            Some(last) => *last = format!("{last} {line}"),
            None => {}
        }
    }
    entries
}

#[test]
fn take_apart_turns_and_goes_as_its_data_say() {
    every_kit(|made| {
        let page = made.take_apart();
        let entries = entries(&page);
        let removals = made.told.removals();
        let mut faults = Vec::new();
        if entries.len() != removals.len() || removals.is_empty() {
            faults.push(format!("{} entries of {}", entries.len(), removals.len()));
        }
        for (entry, removal) in entries.iter().zip(removals) {
            let motion = &removal["motion"];
            let [turns, distance] = ["turns", "distance_mm"].map(|field| number(&motion[field]));
            let clock = if turns == 0.0 {
                vec![]
            } else {
                vec![Clock::of(turns)]
            };
            let about = if motion["kind"] == "driven" {
                " by "
            } else {
                "about "
            };
            let turned = turns == 0.0 || count(entry, about, " turns") == Some(turns.abs().round());
            let way = match (text(&motion["axis"]), distance > 0.0) {
                _ if motion["kind"] == "driven" => {
                    let [from, to] = ["turn", "turn_after"].map(|turn| number(&removal[turn]));
                    format!("from turn {from} to turn {to}")
                }
                ("x", _) => "sideways".into(),
                ("y", true) => " towards the V side".into(),
                ("y", false) => "away from the V side".into(),
                (_, true) => "away from the drive head".into(),
                (_, false) => " towards the drive head".into(),
            };
            if clocks(entry) != clock || !turned || !entry.contains(&way) {
                faults.push(format!("{entry}: {removal}"));
            }
        }
        faults
    });
}

/// A thread that no standard has, of any hand; the diameter in hundredths of a millimetre.
fn designation(diameter: u32, pitch: u32, left: bool) -> String {
    let hand = if left { "-LH" } else { "" };
    format!(
        "{}x{}{hand}",
        f64::from(diameter) / 100.0,
        f64::from(pitch) / 100.0
    )
}

/// Kits far from the presets; most of them can be drawn.
fn any_kit() -> impl Strategy<Value = Asked> {
    let threads = (1600..3600u32, 10..14u32, any::<bool>());
    let inside = proptest::option::of((45..58u32, 50..85u32, any::<bool>()));
    let lines = (
        select(vec!["mm", "inch"]),
        select(vec![
            "",
            "pins.buy = \"1/8 dowel\"",
            "pins.buy = \"4 mm dowel\"",
            "pins.diameter = \"6.5 mm\"",
        ]),
        select(vec!["ribs", "wall"]),
        select(vec!["clockwise", "counter-clockwise"]),
        select(vec!["0.1 mm", "0.15 mm", "0.25 mm"]),
        0.04..0.2f64,
    );
    (threads, inside, 2..60u32, lines).prop_map(|(drive, inside, stroke, lines)| {
        let (diameter, coarse, left) = drive;
        let pitch = diameter * coarse / 100;
        let (units, pins, held, advance, layer, tolerance) = lines;
        let inner = inside.map(|(thin, fine, other)| {
            // Of opposite hands the leads add up, whichever is finer.
            designation(diameter * thin / 100, pitch * fine / 100, other)
        });
        let stroke = if inner.is_some() {
            f64::from(stroke) / 2.0
        } else {
            f64::from(stroke)
        };
        Asked::new(
            &designation(diameter, pitch, left),
            inner.as_deref(),
            stroke,
            &[
                &format!("units = \"{units}\""),
                pins,
                &format!("pins.held_by = \"{held}\""),
                &format!("advance = \"{advance}\""),
                &format!("layer = \"{layer}\""),
                &format!("tolerance = \"{tolerance:.3} mm\""),
            ],
        )
    })
}

proptest! {
    #![proptest_config(cases(16))]

    #[test]
    fn prop_words_turn_as_the_motion_turns(asked in any_kit()) {
        let told = Told::new(&asked);
        // What cannot be drawn is refused, and says nothing of turning.
        prop_assume!(told.is_ok());
        let faults = report_faults(&told.unwrap());
        prop_assert!(faults.is_empty(), "{}\n{}", asked.text, faults.join("\n"));
    }
}

#[test]
fn where_no_order_is_found_the_words_still_turn_with_the_threads() {
    // A gap of -0.09 mm drawn: the screws stand in their holes' flanks.
    let tight = ["gaps.thread = -0.3", "tolerance = 0.05"];
    for (drive, inner) in [
        ("M20x2.5-LH", Some("M12x1.75-LH")),
        ("M20x2.5", Some("M12x1.75-LH")),
        ("M16x2-LH", None),
    ] {
        let told = Told::new(&Asked::new(drive, inner, 10.0, &tight)).unwrap();
        assert!(told.removals().is_empty(), "{drive}");
        assert!(of_steps(&told).len() >= 4, "{drive}");
        assert_eq!(report_faults(&told), Vec::<String>::new());
    }
}
