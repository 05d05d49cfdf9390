//! The hole through the keeper lets a rod reach the carriage: to measure, or to push.

use super::{Case, Judge, Judgement, Rule, not_below};
use crate::kit::key;
use crate::units::Length;
use crate::units_told::number;

/// Rule: hole through the keeper.
pub(super) const RULE: Rule = Rule {
    id: "keeper-bore",
    about: "the hole through the keeper is too narrow for a depth rod",
    why: "The rod of a caliper reaches the carriage through the keeper: without it the travel \
          cannot be measured from behind.",
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
    let sizes = &case.design.sizes;
    let bore = sizes.keeper_bore;
    // Both pins stand beside the bore, and give it what they become thinner.
    let lacking = (Length::mm(NARROWEST_MM) - bore).max(Length::ZERO);
    let thinner = sizes.pin_diameter - lacking / 2.0;
    vec![Judgement {
        outcome: not_below(bore.as_mm(), NARROWEST_MM, NARROWEST_MM, NARROWEST_MM),
        subject: "keeper".into(),
        value: bore.as_mm(),
        limit: Some(NARROWEST_MM),
        unit: "mm",
        message: format!(
            "the hole through the keeper is {} wide; at least {}",
            case.length(bore),
            case.length(Length::mm(NARROWEST_MM))
        ),
        mend: Some(format!(
            "take thinner pins, `pins = {{ diameter = \"{} mm\" }}`, or thicken the carriage \
             (`sizes.carriage_diameter`)",
            number(thinner.down_to(TENTH).as_mm(), 1)
        )),
        at: (case
            .kit
            .pins
            .diameter
            .as_ref()
            .and_then(|said| said.at.clone()))
        .or_else(|| case.kit.place_of(&[key::DRIVE.name()])),
    }]
}
