//! A thread strips when its ridges shear off: those of the screw, or those of its hole.

use super::loads::{self, Borne, Loading, NEAR, Place};
use super::{Case, Judge, Rule};
use crate::assembly::{Fit, Joint, ThreadJoint};
use crate::strength::{MatedThreads, Plastic};
use crate::units::Length;

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
    judge: Judge::Design(|case| loads::judge(case, places)),
};

const ENGAGE_MORE: &str = "engage more turns: leave out the `sizes` that shorten the thread, or \
                           take a thicker one";

/// Ridges of every thread under a loading.
pub(super) fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    let force = loading.either();
    let place = |joint: &Joint, what, area| Place {
        subject: joint.name.clone(),
        what,
        force,
        borne: Borne::Stress {
            found: force / area,
            strength: plastic.upright_shear(),
        },
        near: NEAR,
        mend: ENGAGE_MORE,
    };
    engaged_threads(case)
        .flat_map(|engaged| {
            let Engaged {
                joint,
                mated,
                length,
            } = engaged;
            let screw = place(
                joint,
                "the screw's ridges in shear",
                mated.screw_shear(length),
            );
            let hole = place(
                joint,
                "the hole's ridges in shear",
                mated.hole_shear(length),
            );
            [screw, hole]
        })
        .collect()
}

/// A thread joint with its least engagement and its widest gap.
pub(super) struct Engaged<'a> {
    pub(super) joint: &'a Joint,
    pub(super) mated: MatedThreads,
    pub(super) length: Length,
}

/// Every thread on the load's way.
pub(super) fn engaged_threads<'a>(case: &'a Case<'_>) -> impl Iterator<Item = Engaged<'a>> {
    let joints = case.design.assembly.joints.iter();
    joints.filter_map(|joint| {
        let threads: &ThreadJoint = joint.thread.as_ref()?;
        let [male, female] = joint.between.map(|piece| case.rates.of(piece));
        let engaged = threads.least_engagement(male, female, &case.design.course);
        Some(Engaged {
            joint,
            mated: MatedThreads::with_gap(&threads.thread, widest_gap(case, joint)),
            length: engaged.least,
        })
    })
}

/// Standard deviations beyond the expected gap that still count as likely: 19 of 20 stay below.
const LIKELY: f64 = 1.64;

/// The drawn gap, or what may well be printed where that is more.
fn widest_gap(case: &Case<'_>, joint: &Joint) -> Length {
    let Some(gap) = &joint.gap else {
        return Length::ZERO;
    };
    let printed = case.profile.printed(Fit::Thread, gap);
    let likely = printed.map(|printed| printed.expected + printed.deviation * LIKELY);
    gap.drawn.max(likely.unwrap_or(Length::ZERO))
}
