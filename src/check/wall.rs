//! A drive screw whose bore leaves too thin a wall splits when it is turned.

use super::{Case, Judge, Judgement, Rule, not_below};
use crate::kit::key;
use crate::layout::{End, LEAST_WALL_LINES};

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

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let sizes = &case.design.sizes;
    let End::Nested(nested) = &sizes.end else {
        return Vec::new();
    };
    let bore = nested.thread.major() / 2.0 + sizes.gaps.thread.drawn;
    let wall = sizes.drive.minor_internal() / 2.0 - bore;
    let line = *case.kit.line;
    let (least, good) = (line * LEAST_WALL_LINES, line * GOOD_LINES);
    let outcome = not_below(wall.as_mm(), least.as_mm(), good.as_mm(), good.as_mm());
    let room = sizes.drive.minor_internal() - (sizes.gaps.thread.drawn + least) * 2.0;
    vec![Judgement {
        outcome,
        subject: "drive".into(),
        value: wall.as_mm(),
        limit: Some(least.as_mm()),
        unit: "mm",
        message: format!(
            "the wall between the root of {} and the bore for {} is {}, {:.1} printed \
             lines; at least {LEAST_WALL_LINES} lines, {}, better {GOOD_LINES}",
            sizes.drive.designation(),
            nested.thread.designation(),
            case.length(wall),
            wall / line,
            case.length(least)
        ),
        mend: Some(format!(
            "take a thicker `drive`, or an `inner` thread of {} at the most",
            case.kit.told().length(room, 1)
        )),
        at: case.kit.place_of(&[key::INNER.name()]),
    }]
}
