//! Ears, jaws, a press's wings and cranks stand out of their part and are bent by what presses at their
//! end, and so is a yoke.

use super::rule::{Judge, Rule, Strength};
use super::strength::NEAR;
use crate::layout::{Arm, Crank, Way};
use crate::load::{Bearer, Borne, Case, Loading, Remedy, Stressed};
use crate::strength::Plastic;

/// Rule: what the carriage works with and what the screw is turned by, in bending.
pub(super) const RULE: Rule = Rule {
    id: "end-bending",
    about: "an ear, a jaw, a keeper's wing, a yoke or a crank breaks",
    why: "Ears and jaws stand out of the frame's side and are pressed at their end, so they are bent at \
          their root. A press pulls at the wings of its keeper by the lips of a yoke, whose crossbar and legs it \
          bends. A hand at the drive head presses with hundreds of newtons there. A crank's arm is bent at its \
          hub by the torque itself.",
    formula: "sigma = 6 M / (b h^2) at the root, M the share of the push times the way from where it acts: of two \
              ears half on each, from the middle of the bolt to the carriage's round body; of a jaw all of it, \
              from the middle of its face to that body, and of the fixed jaw to the frame's face, where its arm leaves the keeper's flange; \
              half on each side of a press: of a wing from the middle of the yoke's lip to the guide, where the plug ends; of the yoke's lip from there to its leg; \
              of a leg beside its groove to the leg's middle and h / 6 more, by which the pull counts; of the crossbar from the axis to the wing's end, \
              beyond which no lip is pulled, b the plate less the hole. b is what the walls of the part leave \
              of the width (a carriage and a keeper with a jaw, and a keeper with wings, are solid where the kit does not say, a yoke always), h the height in the direction of the push. On a rib M is taken to \
              the rib's top, and the stress goes across the layers of a carriage that was printed lying. Of a crank M is the torque times what of the arm stands out of \
              the hub over all of it; its section is that of its walls, b (1 - (1 - 2 t / h)^3) instead of b with walls of t, the height h its breadth, along the layers. Fails above the strength \
              across or along the layers, as they lie, warns from 0.9 of it.",
    source: "beam of rectangular section (Shigley, 9th ed., eq. 3-24); printed strengths: low end \
             of data sheets",
    mend: "print the part solid, or turn no harder (`hand_torque`)",
    judge: Judge::Strength(Strength::of(places)),
};

/// Arms under a loading.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let place = |arm: &Arm| {
        let force = loading.on(arm.way);
        Stressed {
            bearer: Bearer::Part(arm.part),
            what: arm.what.into(),
            force,
            borne: Borne::Stress {
                found: arm.section.bending(force * arm.share * arm.lever),
                strength: match arm.across {
                    true => plastic.upright,
                    false => plastic.flat,
                },
            },
            near: NEAR,
            remedy: arm.walls.map_or(Remedy::None, Remedy::Filled),
        }
    };
    let turned = |crank: &Crank| Stressed {
        bearer: Bearer::Part(crank.part),
        what: crank.what.into(),
        // What the torque presses with meanwhile.
        force: loading.on(Way::Either),
        borne: Borne::Stress {
            found: crank.section.bending(loading.torque * crank.share),
            strength: plastic.flat,
        },
        near: NEAR,
        remedy: Remedy::Filled(crank.walls),
    };
    let members = &case.design.members;
    let arms = members.arms.iter().map(place);
    arms.chain(members.cranks.iter().map(turned)).collect()
}
