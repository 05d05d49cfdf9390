//! Screws that are started by *touch, then turn back* must move enough in that turn to tell.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use super::typed::HUNDREDTH;
use crate::layout::TouchStart;
use crate::load::{Case, Change};
use crate::units::Length;

/// Rule: the turn back from touching can be told from the next mark.
pub(super) const RULE: Rule = Rule {
    id: "start-turn",
    about: "touch and turn back is ambiguous: layers hide the distance",
    why: "A nested kit is put together by touch and turn back to the first mark. If layers hide \
          the way back, the first mark cannot be told from the next.",
    formula: "Way of the screw from touching to the first mark, against 2 layers (head) or 1.5 \
              layers (collar); and of a screw of several starts, by how much that way differs after \
              it went in in a wrong one of its ways. Warns below.",
    source: "guess: the head must leave by two layers, the collar by one and a half",
    mend: "trust the measurement of the last step, or print thinner layers",
    judge: Judge::Design(judge),
};

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let starts = case.design.starts.iter();
    let each = starts.flat_map(|start| {
        let part = case.design.assembly.part_called(start.part);
        let back = format!("turned back from touching, the {part} moves");
        let wrong =
            format!("gone in in a wrong one of its ways, the {part} differs at its mark by");
        let first = judgement(case, start, start.way, &back);
        let ways = start
            .wrong_way
            .map(|way| judgement(case, start, way, &wrong));
        std::iter::once(first).chain(ways)
    });
    each.collect()
}

fn judgement(case: &Case<'_>, start: &TouchStart, way: Length, what: &str) -> Judgement {
    let hidden = *case.kit.layer * start.hidden_by;
    Judgement {
        outcome: not_below(way.as_mm(), 0.0, hidden.as_mm(), hidden.as_mm()),
        subject: Subject::Part(start.part),
        value: way.as_mm(),
        limit: Some(hidden.as_mm()),
        unit: "mm",
        message: format!(
            "{what} {}; layers may hide {}",
            case.length(way),
            case.length(hidden)
        ),
        mend: Some(
            Proposal::first_of([Change::Layer((way / start.hidden_by).down_to(HUNDREDTH))])
                .beside("trust the last measurement of the steps")
                .into(),
        ),
        at: case.kit.place_of(&[start.key]),
    }
}
