//! A drive screw whose bore leaves too thin a wall splits when it is turned.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use super::typed::HUNDREDTH;
use crate::layout::{LEAST_WALL_LINES, Wall};
use crate::load::{Case, Change};
use crate::thread::Thread;
use crate::units::Length;

/// Rule: wall between the drive screw's root and its bore.
pub(super) const RULE: Rule = Rule {
    id: "drive-wall",
    about: "the wall between the drive screw's root and its tapped bore is too thin",
    why: "The drive screw is a tube around the inner screw. Too few printed lines in its wall \
          leave a seam that opens when the screw is turned hard.",
    formula: "wall = D1 of the drive / 2 - d of the inner / 2 - drawn gap; counted in printed \
              lines. Fails below 3 lines, warns below 4.",
    source: "common practice: a wall that carries load has three printed lines, better four",
    mend: "take a thicker drive, a thinner inner thread, or a narrower line",
    judge: Judge::Design(judge),
};

/// Lines below which the wall is worth a warning (common practice).
const GOOD_LINES: f64 = 4.0;

/// Steps in which a diameter is proposed.
const TENTH: Length = Length::mm(0.1);
const PER_MM: f64 = 10.0;
/// From one diameter that is tried to the next, and how many. Guess.
const HALF: Length = Length::mm(0.5);
const STEPS: u32 = 12;
/// The narrowest line that is proposed: of a nozzle of 0.25 mm (common practice).
const NARROWEST_LINE: Length = Length::mm(0.3);

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let walls = case.design.members.walls.iter();
    walls.map(|wall| judgement(case, wall)).collect()
}

fn judgement(case: &Case<'_>, wall: &Wall) -> Judgement {
    let thickness = wall.thickness;
    let ((outside, _), (inside, inside_key)) = (&wall.outside, &wall.inside);
    let line = *case.kit.line;
    let (least, good) = (line * LEAST_WALL_LINES, line * GOOD_LINES);
    // What the wall lacks of a good one goes off the thread inside on both sides; whole tenths,
    // so that what is typed passes.
    let room = (inside.major() + (thickness - good) * 2.0).down_to(TENTH);
    let narrower = (thickness / GOOD_LINES).down_to(HUNDREDTH);
    let narrower = Some(narrower).filter(|line| *line >= NARROWEST_LINE);
    Judgement {
        outcome: not_below(thickness.as_mm(), least.as_mm(), good.as_mm(), good.as_mm()),
        subject: Subject::Part(wall.part),
        value: thickness.as_mm(),
        limit: Some(least.as_mm()),
        unit: "mm",
        message: format!(
            "the wall between the root of {} and the bore for {} is {}, {:.1} printed \
             lines; at least {LEAST_WALL_LINES} lines, {}, better {GOOD_LINES}",
            outside.designation(),
            inside.designation(),
            case.length(thickness),
            thickness / line,
            case.length(least)
        ),
        mend: Some(
            Proposal::first_of(thinner(inside, room))
                .or_first_of(thicker(outside))
                .or_first_of(narrower.map(Change::Line))
                .into(),
        ),
        at: case.kit.place_of(&[*inside_key]),
    }
}

/// Threads of the same pitch and hand with a smaller diameter, the thickest first.
fn thinner(thread: &Thread, room: Length) -> Vec<Change> {
    let smaller = (0..STEPS).map(|step| room - HALF * f64::from(step));
    let smaller = smaller.filter(|major| *major > thread.depth() * 2.0);
    smaller
        .map(|major| Change::Inner(thread.with_major(tenths(major))))
        .collect()
}

/// The nearest length that is written with one decimal.
fn tenths(length: Length) -> Length {
    Length::mm((length / TENTH).round() / PER_MM)
}

/// Threads of the same pitch and hand with a larger diameter, the thinnest first.
fn thicker(thread: &Thread) -> Vec<Change> {
    let first = thread.major().down_to(HALF);
    let larger = (1..=STEPS).map(|step| first + HALF * f64::from(step));
    larger
        .map(|major| Change::Drive(thread.with_major(tenths(major))))
        .collect()
}
