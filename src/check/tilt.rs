//! A load beside the axis tilts the carriage in its guide, and jams it from some offset on.

use super::{Case, Judge, Judgement, Outcome, Rule};
use crate::assembly::Fit;
use crate::layout::rules::{BED_EDGE, EDGE};
use crate::strength::{jamming_offset, tilt_across};

/// Rule: offset of the load against the length of the guide.
pub(super) const RULE: Rule = Rule {
    id: "tilt",
    about: "a load beside the axis jams the carriage in its guide",
    why: "A carriage that is pushed off its middle stands askew and is held by its edges. Beyond \
          some offset friction there grows with the push: it jams, however hard the drive turns.",
    formula: "It jams from e = L / (2 mu), L the carriage's length less its broken edges, mu the \
              greatest friction. Fails where `load.offset` exceeds e, warns above half of it. The \
              tilt that is told is 2 g / L times the carriage's width, g the gap in the guide as \
              expected after printing.",
    source: "statics of a guided piece with dry friction (derived)",
    mend: "bring the load nearer to the axis, or lengthen the carriage",
    judge: Judge::Design(judge),
};

/// Offsets above this share of the jamming one are worth a warning: friction is never known
/// well. Guess.
const NEAR: f64 = 0.5;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let (kit, sizes) = (case.kit, &case.design.sizes);
    let guided = sizes.carriage_length - EDGE - BED_EDGE;
    let jams = jamming_offset(guided, kit.friction.high);
    let slide = &sizes.gaps.slide;
    let printed = case.profile.printed(Fit::Slide, slide);
    let gap = printed.map_or(slide.wanted, |printed| printed.expected);
    let tilt = tilt_across(gap, guided, sizes.carriage_diameter);
    let offset = *kit.load.offset;
    let outcome = if offset > jams {
        Outcome::Fail
    } else if offset > jams * NEAR {
        Outcome::Warn
    } else {
        Outcome::Pass
    };
    vec![Judgement {
        outcome,
        subject: "carriage".into(),
        value: offset.as_mm(),
        limit: Some(jams.as_mm()),
        unit: "mm",
        message: format!(
            "the load acts {} beside the axis; the carriage jams from {}, and tilts by {} across \
             its width",
            case.length(offset),
            case.length(jams),
            case.length(tilt)
        ),
        mend: Some(format!(
            "bring the load within {} of the axis, or lengthen the carriage \
             (`sizes.carriage_length = \"{:.0} mm\"`)",
            case.length(jams * NEAR),
            (offset.as_mm() * 2.0 * kit.friction.high / NEAR + (EDGE + BED_EDGE).as_mm()).ceil()
        )),
        at: kit.load.offset.at.clone(),
    }]
}
