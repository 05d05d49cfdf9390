//! On which side what is: marks as the grooves that they are, and walls that hold a pin as those
//! that are narrower than it.

use super::asked::Hand;
use super::made::{Made, every_kit, number, text};
use super::section::{Bore, Section, bounds};

/// Depth of a V, in mm: its flanks stand at 45 degrees (docs/sizing.md).
const V_DEPTH: f64 = 0.8;
/// A place on a groove may be off by this, in mm: what a probe's step and rounding leave.
const OFF: f64 = 0.03;
/// Step of a probe along a face, in mm.
const STEP: f64 = 0.02;

/// Where a face has V grooves: `depth` says how far below a plane it is at a place, `face` how far
/// it would be without a groove.
fn grooves(
    [from, to]: [f64; 2],
    depth: impl Fn(f64) -> f64,
    face: impl Fn(f64) -> f64,
) -> Vec<f64> {
    // At its deepest, half-way up both flanks, and beside it.
    let is_groove = |at: f64| {
        let is = |place: f64, wanted: f64| (depth(place) - wanted).abs() < OFF;
        let [half, beside] = [V_DEPTH / 2.0, V_DEPTH + 2.0 * OFF];
        is(at, V_DEPTH)
            && [at - half, at + half].iter().all(|x| is(*x, half))
            && [at - beside, at + beside].iter().all(|x| is(*x, face(*x)))
    };
    let steps = ((to - from) / STEP) as usize;
    let mut places: Vec<f64> = Vec::new();
    for place in (0..=steps).map(|step| from + STEP * step as f64) {
        // Neighbours of the deepest place are as good.
        if places.last().is_none_or(|last| place - last > V_DEPTH) && is_groove(place) {
            places.push(place);
        }
    }
    places
}

/// Sign of the y towards which a part has its Vs along z, and how many; a fault where it has them
/// on both sides or none. Its outside is flat there.
fn marked(section: &Section, what: &str, faults: &mut Vec<String>) -> (f64, usize) {
    let ([left, back], [right, front]) = bounds(&section.loops.concat());
    let flat = [(back, -1.0), (front, 1.0)].map(|(face, side)| {
        let depth = |x| section.reach([x, face + side], [0.0, -side]) - 1.0;
        grooves([left, right], depth, |_| 0.0)
    });
    one_side(flat, what, faults)
}

/// The same of a round part.
fn marked_round(section: &Section, what: &str, faults: &mut Vec<String>) -> (f64, usize) {
    let corners = section.loops.concat();
    let square = corners
        .iter()
        .map(|[x, y]| x * x + y * y)
        .fold(0.0, f64::max);
    let radius = square.sqrt();
    let round = [-1.0, 1.0].map(|side| {
        let depth = |x| section.reach([x, (radius + 1.0) * side], [0.0, -side]) - 1.0;
        grooves([-radius, radius], depth, |x| {
            radius - (square - x * x).max(0.0).sqrt()
        })
    });
    one_side(round, what, faults)
}

fn one_side([back, front]: [Vec<f64>; 2], what: &str, faults: &mut Vec<String>) -> (f64, usize) {
    match (back.len(), front.len()) {
        (0, 0) => faults.push(format!("no V on the {what}")),
        (0, count) => return (1.0, count),
        (count, 0) => return (-1.0, count),
        _ => faults.push(format!(
            "Vs on both sides of the {what}: {back:?}, {front:?}"
        )),
    }
    (0.0, 0)
}

/// A section this far from an end, in mm, is past every edge and slot, and short of every hole.
const IN: f64 = 2.5;
/// A section in the slot across the end of an inner screw.
const IN_SLOT: f64 = 1.5;

/// The side of the frame's V: the sign of y. Near the head, where no slot is.
fn v_side(made: &Made, faults: &mut Vec<String>) -> f64 {
    marked(&Section::new(&made.stands("frame"), 2, IN), "frame", faults).0
}

/// The ear of the carriage that has the V: the sign of x.
fn v_ear(made: &Made, faults: &mut Vec<String>) -> f64 {
    let near = made.stands("carriage");
    // The near face stands towards the drive head. Beside the middle, still within the ears.
    let [[left, _, face], [right, ..]] = near.bounds();
    let section = Section::new(&near, 1, 1.0);
    let depth = |x| section.reach([x, face - 1.0], [0.0, 1.0]) - 1.0;
    match grooves([left, right], depth, |_| 0.0)[..] {
        [x] => x.signum(),
        ref other => {
            faults.push(format!("the carriage has Vs at {other:?}"));
            0.0
        }
    }
}

/// How the guide calls so many Vs.
fn vs(count: usize) -> &'static str {
    match count {
        1 => "one V",
        _ => "two Vs (left-hand thread)",
    }
}

#[test]
fn all_vs_stand_in_line_at_turn_0_and_two_of_them_tell_a_left_hand_thread() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let asked = &made.told.asked;
        let [frame, drive, keeper] = ["frame", "drive", "keeper"].map(|piece| made.stands(piece));
        let ends = [&frame, &drive, &keeper].map(|mesh| mesh.bounds().map(|[_, _, z]| z));
        let mut found = Vec::new();
        for (part, mesh, z, hand) in [
            ("frame", &frame, ends[0][0] + IN, asked.drive_hand()),
            ("drive screw", &drive, ends[1][0] + IN, asked.drive_hand()),
            // Its flange stands out of the frame.
            ("keeper", &keeper, ends[2][1] - IN, Hand::Right),
        ] {
            let section = Section::new(mesh, 2, z);
            // The head of all these is a knob.
            let marks = match part {
                "drive screw" => marked_round(&section, part, &mut faults),
                _ => marked(&section, part, &mut faults),
            };
            found.push((part, marks, hand));
        }
        if let Some(hand) = asked.inner_hand() {
            let inner = made.stands("inner");
            let [_, [_, _, end]] = inner.bounds();
            let marks = marked_round(&Section::new(&inner, 2, end - IN), "inner", &mut faults);
            found.push(("inner screw", marks, hand));
            // Its slot lies in the same line.
            let slot = Section::new(&inner, 2, end - IN_SLOT);
            let [along, across] = [[0.0, 1.0], [1.0, 0.0]].map(|way| slot.reach([0.0, 0.0], way));
            if along.is_finite() || across.is_infinite() {
                faults.push(format!("the slot ends after {along}, and is {across} wide"));
            }
        }
        let side = found[0].1.0;
        for (part, (at, count), hand) in found {
            if at != side || count != hand.marks() {
                faults.push(format!(
                    "{part}: {count} Vs at {at}, the frame's at {side}, {hand:?}"
                ));
            }
            if !made.mark(part).starts_with(vs(count)) {
                faults.push(format!("{part}: {count} Vs, said: {}", made.mark(part)));
            }
        }
        faults
    });
}

/// The holes that a part has in a wall square to an axis, so far inside its two outer faces.
struct Walls {
    /// Towards the low end of the axis, and the high one.
    bores: [Vec<Bore>; 2],
}

/// So deep inside a wall that it is past the mouth and where ribs have begun, in mm.
const IN_WALL: f64 = 2.5;

impl Walls {
    /// Of a part in its print frame, whose third axis is up.
    fn new(made: &Made, part: &str, axis: usize) -> Self {
        let mesh = made.part(part);
        let [low, high] = mesh.bounds();
        let bores = [low[axis] + IN_WALL, high[axis] - IN_WALL].map(|at| {
            let section = Section::new(mesh, axis, at);
            section.holes().into_iter().map(Bore::of).collect()
        });
        Self { bores }
    }
}

/// What is wrong with the holes that hold pins in a part: `side` is where the mark is.
fn held_away_from(side: f64, walls: &Walls, made: &Made, count: usize, what: &str) -> Vec<String> {
    let mut faults = Vec::new();
    let pin = made.pin_diameter() / 2.0;
    let ribbed = !made.told.asked.text.contains("\"wall\"");
    for (index, bores) in walls.bores.iter().enumerate() {
        let towards = if index == 0 { -1.0 } else { 1.0 };
        let at_mark = towards == side;
        if bores.len() != count {
            faults.push(format!("{} holes in the {what} at {towards}", bores.len()));
        }
        for bore in bores {
            let loose = bore.inscribed > pin + LOOSE;
            let ribs = if ribbed && !at_mark { 3 } else { 0 };
            if loose != at_mark || bore.ribs != ribs || (ribbed && loose != (bore.inscribed > pin))
            {
                faults.push(format!(
                    "the {what}'s hole at {towards}, its V at {side}, a pin of {pin}: {bore:?}"
                ));
            }
        }
    }
    faults
}

/// Between the gap of a pin that is held and that of one that runs freely, in mm: on a printer that
/// nobody knows 0.04 at the most, 0.09 less a chord at the least.
const LOOSE: f64 = 0.055;

#[test]
fn a_pin_runs_freely_through_the_wall_with_the_v_and_is_held_in_the_one_opposite() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let (side, ear) = (v_side(made, &mut faults), v_ear(made, &mut faults));
        let pins = if made.is_nested() { 1 } else { 2 };
        // The carriage is turned over about x to be printed, so that its ears keep their sides.
        let ears = Walls::new(made, "carriage", 0);
        faults.extend(held_away_from(ear, &ears, made, pins, "carriage"));
        // The frame stands as it is printed.
        let rails = Walls::new(made, "frame", 1);
        faults.extend(held_away_from(side, &rails, made, 2, "frame"));
        faults
    });
}

#[test]
fn a_pin_runs_freely_through_every_other_part_that_it_holds() {
    every_kit(|made| {
        let pin = made.pin_diameter() / 2.0;
        // In the middle of the parts, square to the pins.
        let mut passed = vec![("keeper", 1, 2)];
        if made.is_nested() {
            passed.push(("inner", 0, 1));
        }
        let mut faults = Vec::new();
        for (part, axis, count) in passed {
            let section = Section::new(made.part(part), axis, 0.0);
            let bores: Vec<Bore> = section.holes().into_iter().map(Bore::of).collect();
            if bores.len() != count || bores.iter().any(|bore| bore.inscribed < pin + LOOSE) {
                faults.push(format!("{part}, for a pin of radius {pin}: {bores:?}"));
            }
        }
        faults
    });
}

#[test]
fn pins_go_in_from_the_side_of_the_v_as_the_words_say() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let (side, ear) = (v_side(made, &mut faults), v_ear(made, &mut faults));
        for pin in made.pins() {
            let motion = &made.told.removal(&[pin])["motion"];
            // It comes out towards the side from which it went in.
            let out = number(&motion["distance_mm"]).signum();
            let (axis, marked) = if pin.starts_with("keeper") {
                ("y", side)
            } else {
                ("x", ear)
            };
            if motion["axis"] != axis || out != marked {
                faults.push(format!("{pin}: out {motion}, its V at {marked}"));
            }
        }
        let said = |action: &str| {
            made.told
                .step(action)
                .map_or("", |step| text(&step["text"]))
        };
        let across = said(if made.is_nested() {
            "press the cross pin"
        } else {
            "press the swivel pins"
        });
        let [first, then] =
            ["into the ear with the V", "into the other ear"].map(|ear| across.find(ear));
        if first.is_none() || then.is_none() || first > then {
            faults.push(format!("ears in another order: {across}"));
        }
        let keeper = said("fit the keeper");
        for words in [
            "its V to the frame's V side",
            "Press both keeper pins in from the V side",
        ] {
            if !keeper.contains(words) {
                faults.push(format!("not said: {words}"));
            }
        }
        for (part, words) in [
            ("frame", "keeper pins go in from this side"),
            ("carriage", "a V across one ear: pins go in at this ear"),
            ("keeper", "to the frame's V side"),
        ] {
            if !made.mark(part).contains(words) {
                faults.push(format!("{part}: {}", made.mark(part)));
            }
        }
        faults
    });
}

#[test]
fn flats_of_printed_pins_lie_as_the_words_say_and_bought_ones_have_none() {
    every_kit(|made| {
        let mut faults = Vec::new();
        let side = v_side(made, &mut faults);
        let bought = made.told.bought("pin").is_some();
        for (action, words) in [
            ("press the cross pin", "its flat towards the frame's V side"),
            ("press the swivel pins", "their flats outwards"),
            ("fit the keeper", "flats sideways"),
        ] {
            let step = made.told.step(action);
            let said = step.map_or("", |step| text(&step["text"]));
            if step.is_some() && said.contains(words) == bought || bought && said.contains("flat") {
                faults.push(format!("bought: {bought}, said: {said}"));
            }
        }
        for pin in made.pins().iter().filter(|_| !bought) {
            let piece = made.told.piece(pin);
            // A pin is printed lying on its flat.
            let [x, y, _] = piece.direct([0.0, 0.0, -1.0]);
            let [_, beside, _] = piece.place([0.0, 0.0, 0.0]);
            let right = match pin.split(' ').next() {
                Some("cross") => y * side,
                Some("swivel") => y * beside.signum(),
                _ => x.abs(),
            };
            if right < 1.0 - 1e-9 {
                faults.push(format!(
                    "{pin}: its flat looks to {x}, {y}, the V to {side}"
                ));
            }
        }
        faults
    });
}
