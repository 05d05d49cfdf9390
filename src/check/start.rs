//! Screws that are started by *touch, then turn back* must move enough in that turn to tell.

use super::{Case, Judge, Judgement, Rule, not_below};
use crate::kit::key;
use crate::layout::{COLLAR_GAP_LEADS, End};
use crate::units::Length;

/// Rule: the turn back from touching can be told from the next mark.
pub(super) const RULE: Rule = Rule {
    id: "start-turn",
    about: "touch and turn back is ambiguous: layers hide the distance",
    why: "A nested kit is put together by touch and turn back to the first mark. If layers hide \
          the way back, the first mark cannot be told from the next.",
    formula: "Way of the screw from touching to the first mark, against 2 layers (head) or 1.5 \
              layers (collar). Warns below.",
    source: "guess: the head must leave by two layers, the collar by one and a half",
    mend: "trust the measurement of the last step, or print thinner layers",
    judge: Judge::Design(judge),
};

/// Layers that hide it. Guess.
const HEAD_LAYERS: f64 = 2.0;
/// Layers that hide it. Guess.
const COLLAR_LAYERS: f64 = 1.5;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let layer = *case.kit.layer;
    let of = |subject: &str, way: Length, hidden: Length, at| Judgement {
        outcome: not_below(way.as_mm(), 0.0, hidden.as_mm(), hidden.as_mm()),
        subject: subject.into(),
        value: way.as_mm(),
        limit: Some(hidden.as_mm()),
        unit: "mm",
        message: format!(
            "turned back from touching, the {subject} screw moves {}; layers may hide {}",
            case.length(way),
            case.length(hidden)
        ),
        mend: Some("trust the last measurement of the steps, or print thinner layers".into()),
        at,
    };
    let sizes = &case.design.sizes;
    let head = sizes.head_gap(sizes.assembly_turn);
    let mut judgements = vec![of(
        "drive",
        head,
        layer * HEAD_LAYERS,
        case.kit.place_of(&[key::DRIVE.name()]),
    )];
    if let End::Nested(nested) = &sizes.end {
        // The first place at which the slot points at the mark.
        let collar = nested.thread.lead() * COLLAR_GAP_LEADS;
        let at = case.kit.place_of(&[key::INNER.name()]);
        judgements.push(of("inner", collar, layer * COLLAR_LAYERS, at));
    }
    judgements
}
