//! The keeper is a beam on its two pins, bent by the carriage that presses on it.

use super::rule::{Judge, Rule, Strength};
use super::strength::NEAR;
use crate::layout::Plate;
use crate::load::{Bearer, Borne, Case, Loading, Remedy, Stressed};
use crate::strength::Plastic;

/// Rule: the keeper's plug in bending.
pub(super) const RULE: Rule = Rule {
    id: "keeper-bending",
    about: "the keeper bends between its pins",
    why: "At the far stop the carriage presses on the keeper, which only its two pins hold. A thin \
          plug bends and splits at the hole through its middle.",
    formula: "sigma = 6 M / (b h^2) in the middle, b the plug's width less the hole through it, h \
              the plug's length, less the pocket of a spring; the flange is not counted. M = W/2 |xp - x0|: pins at xp, each \
              half of the carriage's face presses at its centroid, x0 = 4 (R^3 - r^3) / (3 pi (R^2 - \
              r^2)) of a round carriage, (B h0^2/2 - 2 r^3/3) / (B h0 - pi r^2/2) of a square one: \
              a rectangle beside the bore, B wide and as high as the lower of its floor and its \
              roof, h0. A fixed jaw tips the keeper about its pins, too: M = W (e - xp), e from the axis \
              to the middle of the jaw, b what the walls of the plug leave of its width there. The yoke of a press pulls at the wings beyond \
              the pins: M = W/2 (e - xp), e to the middle of its lips, b the lesser of both. Fails above the strength in the plane of the layers, warns from 0.9 of it.",
    source: "beam of rectangular section (Shigley, 9th ed., eq. 3-24); printed strengths: low end \
             of data sheets",
    mend: "lengthen the keeper's plug (`sizes.keeper_plug`)",
    judge: Judge::Strength(Strength::of(places)),
};

/// Plates under a loading.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let place = |plate: &Plate| Stressed {
        bearer: Bearer::Part(plate.part),
        what: plate.what.into(),
        force: loading.push,
        borne: Borne::Stress {
            found: plate
                .section
                .bending(loading.push * plate.share * plate.lever),
            strength: plastic.flat,
        },
        near: NEAR,
        remedy: Remedy::Plug(plate.section.height + plate.pocket),
    };
    case.design.members.plates.iter().map(place).collect()
}
