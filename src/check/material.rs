//! What the kit's filament does not stand: heat first, then lasting loads.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule};
use crate::load::{Case, Change};
use crate::strength::Material;

/// Rule: the warmth that the kit's filament bears.
pub(super) const RULE: Rule = Rule {
    id: "material",
    about: "the filament softens in places where people leave things",
    why: "Plastic creeps and softens long before it melts. A mechanism left in the sun or in a \
          car comes back bent, its pins loose.",
    formula: "The warmth to which parts may be used, from the filament's softening: PLA 45 \
              degrees C, PETG 60, ABS and ASA 85. A note below 60, as warm as a car in the sun.",
    source: "PLA: common practice, softening at 53 to 58 degrees C in data sheets; PETG: glass \
             transition 71 (Processes 2025, 13(9), 2733) less 10, ABS and ASA: about 100 less 15, guess; car: from memory",
    mend: "keep it from sun, cars and heaters, and release the load when you leave it",
    judge: Judge::Design(judge),
};

/// As warm as a parked car gets in the sun, in degrees C (from memory).
const CAR: f64 = 60.0;

/// Name, where it softens, and the warmth to which it may be used, in degrees C.
fn heat(material: Material) -> (&'static str, &'static str, f64) {
    match material {
        Material::Pla => ("PLA", "53 to 58", 45.0),
        Material::Petg => ("PETG", "71 to 85", 60.0),
        Material::Abs => ("ABS", "about 100", 85.0),
        Material::Asa => ("ASA", "about 100", 85.0),
    }
}

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let (name, softens, cap) = heat(*case.kit.material);
    // Creep matters to what stays loaded.
    let creep = if *case.kit.load.lasting || case.kit.load.force.is_some() {
        "; it creeps under a load that stays on"
    } else {
        ""
    };
    vec![Judgement {
        outcome: if cap < CAR {
            Outcome::Note
        } else {
            Outcome::Pass
        },
        subject: Subject::Kit,
        value: cap,
        limit: Some(CAR),
        unit: "C",
        message: format!(
            "{name} softens at {softens} degrees C: keep it below {cap:.0}, a car in the sun has \
             {CAR:.0}{creep}"
        ),
        mend: Some(
            Proposal::first_of([Change::Material(Material::Petg)])
                .beside(
                    "keep it from sun, cars and heaters, and release the load when you leave it",
                )
                .into(),
        ),
        at: case.kit.material.at.clone(),
    }]
}
