//! A thread strips when its ridges shear off: those of the screw, or those of its hole.

use super::rule::{Judge, Rule, Strength};
use super::strength::NEAR;
use super::typed::table;
use crate::assembly::JointId;
use crate::kit::key;
use crate::load::{Bearer, Borne, Case, Engaged, Loading, Stressed, engaged_threads};
use crate::strength::Plastic;
use crate::thread::Area;

/// Rule: ridges of both members in shear.
pub(super) const RULE: Rule = Rule {
    id: "thread-strip",
    about: "the ridges of a screw or of its hole shear off",
    why: "A printed thread with few engaged turns, or with a wide gap, gives way all at once: its \
          ridges slide off and the hole is ruined with the screw.",
    formula: "W over the shear area. Screw: pi Le/P Kn [P/2 + tan 30 (Es - Kn)]; hole: pi Le/P Ds \
              [P/2 + tan 30 (Ds - En)]. Le is the engagement at the worst turn of the stroke; Kn \
              and En stand off by the drawn gap, or by the widest that is likely to be printed. \
              Fails above 0.55 of the strength across layers, warns from 0.9 of that. The areas \
              count a mean over all turns; the first ones carry more.",
    source: "ASME B1.1-2003, app. B (FED-STD-H28/2B); printed strengths: low end of data sheets, \
             half across layers, 0.55 in shear",
    mend: "engage more of the thread, or draw a closer gap",
    judge: Judge::Strength(Strength::of(places)),
};

/// Ridges of every thread under a loading.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let force = loading.either();
    let place = |joint: JointId, what: &str, area: Area| Stressed {
        bearer: Bearer::Joint(joint),
        what: what.into(),
        force,
        borne: Borne::Stress {
            found: force / area,
            strength: plastic.upright_shear(),
        },
        near: NEAR,
        mend: format!(
            "engage more turns: leave out the {} that shorten the thread, or take a thicker one",
            table(key::TAPPED_WALL.name())
        ),
    };
    engaged_threads(case)
        .flat_map(
            |Engaged {
                 joint,
                 mated,
                 length,
             }| {
                [
                    ("the screw's ridges in shear", mated.screw_shear(length)),
                    ("the hole's ridges in shear", mated.hole_shear(length)),
                ]
                .map(|(what, area)| place(joint, what, area))
            },
        )
        .collect()
}
