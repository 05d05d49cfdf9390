//! A load beside the axis tilts the carriage in its guide, and jams it from some offset on.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule};
use super::typed::HUNDREDTH;
use crate::layout::Guide;
use crate::load::{Case, Change};
use crate::strength::{jamming_offset, tilt_across};
use crate::units::Length;

/// Rule: offset of the load against the length of the guide.
pub(super) const RULE: Rule = Rule {
    id: "tilt",
    about: "a load beside the axis jams the carriage in its guide",
    why: "A carriage that is pushed off its middle stands askew and is held by its edges. Beyond \
          some offset friction there grows with the push: it jams, however hard the drive turns.",
    formula: "It jams from e = L / (2 mu), L the carriage's length less its broken edges, mu the \
              greatest friction. Fails where the load's offset exceeds e, warns above half of it: that is the \
              greater of `load.offset` and, with a jaw, the distance of its middle from the axis, for \
              which the carriage is drawn long enough. The \
              tilt that is told is 2 g / L times the carriage's width, g the gap in the guide, a bore or \
              a channel, as expected after printing.",
    source: "statics of a guided piece with dry friction (derived)",
    mend: "bring the load nearer to the axis, or lengthen the carriage",
    judge: Judge::Design(judge),
};

/// Offsets above this share of the jamming one are worth a warning: friction is never known
/// well. Guess.
const NEAR: f64 = 0.5;
fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let guides = case.design.members.guides.iter();
    guides.filter_map(|guide| judgement(case, guide)).collect()
}

fn judgement(case: &Case<'_>, guide: &Guide) -> Option<Judgement> {
    let kit = case.kit;
    let jams = jamming_offset(guide.length, kit.friction().high);
    let joint = case.design.assembly.joint(guide.joint);
    let slide = joint.gap.as_ref()?;
    let printed = case.profile.printed(joint.fit, slide);
    let gap = printed.map_or(slide.wanted, |printed| printed.expected);
    let tilt = tilt_across(gap, guide.length, guide.across);
    let offset = guide.offset.max(*kit.load.offset);
    let longer = offset * (2.0 * kit.friction().high / NEAR) + guide.edges;
    let longer = longer.up_to(Length::mm(1.0));
    let called = case.design.assembly.part_called(guide.part);
    let outcome = if offset > jams {
        Outcome::Fail
    } else if offset > jams * NEAR {
        Outcome::Warn
    } else {
        Outcome::Pass
    };
    Some(Judgement {
        outcome,
        subject: Subject::Part(guide.part),
        value: offset.as_mm(),
        limit: Some(jams.as_mm()),
        unit: "mm",
        message: format!(
            "the load acts {} beside the axis; the {called} jams from {}, and tilts by {} across \
             its width",
            case.length(offset),
            case.length(jams),
            case.length(tilt)
        ),
        mend: Some(
            Proposal::first_of([Change::CarriageLength(longer)])
                // The end is where it is; a load beside it may come nearer.
                .or_first_of(
                    (*kit.load.offset > guide.offset)
                        .then(|| Change::Offset((jams * NEAR).down_to(HUNDREDTH))),
                )
                .into(),
        ),
        at: kit.load.offset.at.clone(),
    })
}
