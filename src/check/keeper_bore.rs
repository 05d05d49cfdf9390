//! The hole through the keeper lets a rod reach the carriage: to measure, or to push.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::layout::Peephole;
use crate::load::{Case, Change, thicker_carriage};
use crate::units::Length;

/// Rule: hole through the keeper.
pub(super) const RULE: Rule = Rule {
    id: "keeper-bore",
    about: "the hole through the keeper is too narrow for a depth rod",
    why: "The rod of a caliper reaches the carriage through the keeper: without it the travel \
          cannot be measured from behind. A keeper that lets a screw out has no such hole; there \
          the carriage's rib in the slot is measured.",
    formula: "Diameter of the hole, what is left between the keeper's pins. Fails below 5 mm.",
    source: "guess: a caliper's depth rod and a finger's push want 5 mm",
    mend: "thicken the carriage, or take thinner pins",
    judge: Judge::Design(judge),
};

/// Narrowest hole, in mm. Guess.
const NARROWEST_MM: f64 = 5.0;

/// Steps in which a diameter is proposed.
const TENTH: Length = Length::mm(0.1);

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let holes = case.design.peepholes.iter();
    holes.map(|hole| judgement(case, hole)).collect()
}

fn judgement(case: &Case<'_>, hole: &Peephole) -> Judgement {
    // Both pins stand beside the bore, and give it what they become thinner.
    let lacking = (Length::mm(NARROWEST_MM) - hole.diameter).max(Length::ZERO);
    let thinner = hole.pins - lacking / 2.0;
    let value = hole.diameter.as_mm();
    Judgement {
        outcome: not_below(value, NARROWEST_MM, NARROWEST_MM, NARROWEST_MM),
        subject: Subject::Part(hole.part),
        value,
        limit: Some(NARROWEST_MM),
        unit: "mm",
        message: format!(
            "{} is {} wide; at least {}",
            hole.called,
            case.length(hole.diameter),
            case.length(Length::mm(NARROWEST_MM))
        ),
        mend: Some(
            Proposal::first_of([Change::ThinnerPins(thinner.down_to(TENTH))])
                .or_first_of(thicker_carriage(hole.carriage))
                .into(),
        ),
        at: case.kit.place_of(&hole.blame),
    }
}
