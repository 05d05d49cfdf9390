//! Flanks that are pressed too hard are crushed, or creep until the thread is loose.

use super::rule::{Judge, Rule, Strength};
use super::strength::NEAR;
use super::thread_strip::remedy;
use crate::load::{Bearer, Borne, Case, Loading, Stressed, engaged_threads};
use crate::strength::Plastic;

/// Rule: pressure on the flanks of a thread.
pub(super) const RULE: Rule = Rule {
    id: "flank-pressure",
    about: "the flanks of a thread are pressed too hard",
    why: "Flanks that are crushed make the thread loose, and a load that stays lets them creep: \
          the travel is no longer what the leads say.",
    formula: "p = W P / (pi d2 h Le), with the depth of engagement h = (d - D1)/2 less the gap and \
              the engagement Le at the worst turn of the stroke. Fails above the strength across \
              layers, which crushing exceeds; warns from 0.9 of it; a fifth of it for a lasting \
              load.",
    source: "bearing pressure of a power screw (Shigley, 9th ed., eq. 8-10); printed strengths: \
             low end of data sheets; lasting share: common practice",
    mend: "engage more of the thread, draw a closer gap, or take a thicker thread",
    judge: Judge::Strength(Strength::of(places)),
};

/// Flanks of every thread under a loading.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let force = loading.either();
    engaged_threads(case)
        .map(|engaged| Stressed {
            bearer: Bearer::Joint(engaged.joint),
            what: "the thread's flanks under pressure".into(),
            force,
            borne: Borne::Stress {
                found: force / engaged.mated.flanks(engaged.length),
                strength: plastic.crushing(),
            },
            near: NEAR,
            remedy: remedy(case, &engaged),
        })
        .collect()
}
