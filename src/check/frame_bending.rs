//! The frame's rails, or the sides of its channel, are pulled off their middle by the keeper pins, and
//! bend.
//!
//! Not judged, since they are far from any limit: the tapped wall, whose ridges hang from the
//! body beside them with less than a pitch of arm (`thread-strip` judges them), and the rails
//! bent sideways by the carriage's ears, which press with a few tens of newtons.

use super::rule::{Judge, Rule, Strength};
use super::strength::NEAR;
use crate::layout::{Leg, LegSection};
use crate::load::{Bearer, Borne, Case, Loading, Remedy, Stressed};
use crate::strength::Plastic;

/// Rule: what is left of the frame beside its slots in tension and bending.
pub(super) const RULE: Rule = Rule {
    id: "frame-bending",
    about: "the frame is pulled apart beside its slots",
    why: "A carriage that presses on the keeper stretches what stands of the frame on either side, \
          across its layers, and bends it, since the pins pull at its inner edge.",
    formula: "sigma = F/A + F e c / I with F = W/2 in each side, at half the bedding of a pin (0.39 \
              dp) outside its inner edge, times A over what the holes of two pins leave of it. Of a \
              frame with a round bore a side is a rail, what bore and slots leave of the square, \
              summed over strips; of one with a square channel a rectangle, the wall beside the \
              channel at the frame's whole height, and what joins the two below counts nothing. \
              A jaw that is pressed at e beside the axis bends both sides along themselves, too, \
              by W e / 2 each: M (H/2) / I, H the frame's side. \
              Only what the frame's walls leave of either counts. Fails above the strength across layers, warns from \
              0.9 of it.",
    source: "eccentric pull (Shigley, 9th ed., sect. 3-14); printed strengths: low end of data \
             sheets, half across layers",
    mend: "widen a frame with rails (`sizes.frame_side`), or print the frame solid",
    judge: Judge::Strength(Strength::of(places)),
};

/// Legs under a loading: either of two is pulled by half of it.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let place = |leg: &Leg| Stressed {
        bearer: Bearer::Part(leg.part),
        what: leg.what.into(),
        force: loading.push,
        borne: Borne::Stress {
            found: (leg.section.pulled(loading.push / 2.0, leg.at)
                + leg.section.bent_along(loading.push / 2.0 * leg.beside))
                * leg.weakened,
            strength: plastic.upright,
        },
        near: NEAR,
        remedy: match leg.section {
            LegSection::Rail(rail) => Remedy::Frame(rail.rail().side),
            // Its walls are of one thickness; only what fills them can be chosen.
            LegSection::Cheek(_) => Remedy::SolidFrame,
        },
    };
    case.design.members.legs.iter().map(place).collect()
}
