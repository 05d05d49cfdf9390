//! Grades of pins: what the guide says of their notches, against the notches on the written files.

use super::made::{Made, every_kit, number, text};
use super::section::Section;
use std::collections::BTreeMap;

/// A notch goes deeper than this below the back, in mm; lines and chords do not.
const DIP: f64 = 0.25;
/// A probe looks at the back every so many mm.
const STEP: f64 = 0.05;
/// Pins slope at their ends over less than this, in mm.
const LEAD_IN: f64 = 1.0;
/// One radial step of the grades, in mm (docs/sizing.md).
const GRADE: f64 = 0.05;
/// So far from the frame's open end no pin hole is left in the guide, in mm.
const BELOW_PINS: f64 = 20.0;
/// A pin ends this far below both faces of the frame, in mm (docs/sizing.md).
const BELOW: f64 = 1.0;

/// What is seen of a lying pin's back: where each notch begins and ends, along x.
fn notches(made: &Made, part: &str) -> Vec<[f64; 2]> {
    let mesh = made.part(part);
    let [low, high] = mesh.bounds();
    let cut = Section::new(mesh, 1, 0.0);
    let middle = (low[2] + high[2]) / 2.0;
    let steps = ((high[0] - low[0] - 2.0 * LEAD_IN) / STEP) as usize;
    let mut found: Vec<[f64; 2]> = Vec::new();
    for step in 0..=steps {
        let x = low[0] + LEAD_IN + STEP * step as f64;
        let back = middle + cut.reach([x, middle], [0.0, 1.0]);
        if back > high[2] - DIP {
            continue;
        }
        match found.last_mut() {
            Some(notch) if x - notch[1] < 1.5 * STEP => notch[1] = x,
            _ => found.push([x, x]),
        }
    }
    found
}

/// Grades of a kit's pins: part, and how much thicker than drawn; none of bought pins.
fn grades(made: &Made) -> BTreeMap<String, f64> {
    let parts = made.told.report["parts"].as_array().unwrap().iter();
    let graded = parts.filter(|part| !part["grade"].is_null());
    graded
        .map(|part| {
            let grade = &part["grade"];
            assert_eq!(grade["of"], "pin");
            (text(&part["name"]).into(), number(&grade["radius_more_mm"]))
        })
        .collect()
}

/// How people call a grade: `pin-thinner` is a thinner pin.
fn called(part: &str) -> String {
    let words: Vec<&str> = part.rsplit('-').collect();
    words.join(" ")
}

/// How many a sentence says: `no notch`, `one notch`, `two notches`.
fn said(words: &str) -> Option<usize> {
    let count = words.split(" notch").next()?.rsplit([' ', '(']).next()?;
    let words = ["no", "one", "two", "three"];
    words.iter().position(|word| *word == count)
}

#[test]
fn notches_are_told_as_many_as_the_files_have_and_tell_the_grades_apart() {
    let mut graded = 0;
    for made in super::made::kits() {
        graded += usize::from(!grades(made).is_empty());
    }
    assert!(graded >= 5, "{graded} kits have grades");
    every_kit(|made| {
        let grades = grades(made);
        let mut faults = Vec::new();
        if grades.is_empty() {
            if made.told.bought("pin").is_none() {
                faults.push("printed pins without grades".into());
            }
            return faults;
        }
        let all = grades.keys().map(String::as_str).chain(["pin"]);
        let mut seen = BTreeMap::new();
        for part in all {
            let (count, mark) = (notches(made, part).len(), made.mark(&called(part)));
            if said(mark) != Some(count) {
                faults.push(format!("{part}: {count} notches, said: {mark}"));
            }
            if let Some(other) = seen.insert(count, part) {
                faults.push(format!("{part} and {other} look alike"));
            }
        }
        faults
    });
}

#[test]
fn a_grade_is_so_much_thicker_on_its_file_and_the_steps_send_to_the_right_one() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let grades = grades(made);
        let across = |part: &str| made.part(part).size()[1];
        for (part, more) in &grades {
            let off = across(part) - across("pin") - 2.0 * more;
            // Chords of 0.1 mm may cut both sides of both pins.
            if off.abs() > 0.08 || (more.abs() - GRADE).abs() > 1e-9 {
                faults.push(format!("{part}: {more} more, off by {off}"));
            }
        }
        for step in made.told.steps() {
            let step = text(&step["text"]);
            for (loose, way) in [("thicker pin (", 1.0), ("thinner one (", -1.0)] {
                let Some((_, words)) = step.split_once(loose) else {
                    continue;
                };
                let sent = grades.iter().find(|(_, more)| *more * way > 0.0).unwrap();
                let count = notches(made, sent.0).len();
                if said(words) != Some(count) {
                    faults.push(format!("{loose} sends to {words}, {} has {count}", sent.0));
                }
            }
        }
        let choosing = made.told.steps().iter().filter(|step| {
            let step = text(&step["text"]);
            step.contains("thicker pin (") && step.contains("thinner one (")
        });
        let presses = if grades.is_empty() { 0 } else { 2 };
        if choosing.count() != presses {
            faults.push("not every step that presses pins says how to choose".into());
        }
        faults
    });
}

#[test]
fn notches_end_before_the_pin_leaves_the_wall_by_which_it_went_in() {
    every_kit(|made| {
        let mut faults = Vec::new();
        for part in grades(made).keys() {
            let end = made.part(part).bounds()[1][0];
            let Some([inner, _]) = notches(made, part).into_iter().next() else {
                faults.push(format!("{part} has no notch"));
                continue;
            };
            // The guide's and the socket's walls, seen along any pin's first wall: the frame's
            // side less the widest of guide and socket is the least that a pin lies in.
            let frame = made.part("frame");
            let side = frame.bounds()[1][0];
            let carriage = made.part("carriage");
            let top = carriage.bounds()[1][2];
            let socket = Section::new(carriage, 2, top - 3.0);
            let socket = socket.reach([0.0, 0.0], [0.0, 1.0]);
            // A keeper pin runs along y beside the axis; the guide is round there.
            let [low, high] = made.stands("keeper pin 1").bounds();
            let guide = Section::new(frame, 2, frame.bounds()[1][2] - BELOW_PINS);
            let wall = guide.reach([(low[0] + high[0]) / 2.0, 0.0], [0.0, 1.0]);
            let room = side - BELOW - socket.max(wall);
            if end - inner + DIP > room || !room.is_finite() {
                faults.push(format!(
                    "{part}: notched over {}, {room} in the wall",
                    end - inner
                ));
            }
        }
        faults
    });
}
