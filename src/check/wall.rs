//! A drive screw whose bore leaves too thin a wall splits when it is turned.

use super::finding::Subject;
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::layout::{LEAST_WALL_LINES, Wall};
use crate::load::Case;
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

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let walls = case.design.members.walls.iter();
    walls.map(|wall| judgement(case, wall)).collect()
}

fn judgement(case: &Case<'_>, wall: &Wall) -> Judgement {
    let thickness = wall.thickness;
    let ((outside, outside_key), (inside, inside_key)) = (&wall.outside, &wall.inside);
    let line = *case.kit.line;
    let (least, good) = (line * LEAST_WALL_LINES, line * GOOD_LINES);
    // What the wall lacks of a good one goes off the thread inside on both sides; whole tenths,
    // so that what is typed passes.
    let room = (inside.major() + (thickness - good) * 2.0).down_to(TENTH);
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
        mend: Some(format!(
            "take a thicker {outside_key}, or an {inside_key} thread of {} at the most",
            case.kit.told().length(room, 1)
        )),
        at: case.kit.place_of(&[*inside_key]),
    }
}
