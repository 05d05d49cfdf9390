//! A coarse tolerance thins the gap of every round joint on the way to its files.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::assembly::JointId;
use crate::kit::key;
use crate::layout::TOUCHING;
use crate::load::{Case, Change};
use crate::units::Length;

/// Rule: what chords leave of the joint whose gap they take the largest share of.
pub(super) const RULE: Rule = Rule {
    id: "chords",
    about: "the chords of the written meshes thin a gap",
    why: "A file has chords for curves. Those of a bore stand inside it, so that a joint is \
          tighter in the files than it is drawn.",
    formula: "The gap as drawn, radial or a side, less `tolerance`, of the joint whose open gap is \
              least; faces that are drawn to touch and pressed pins left out. Warns below half of \
              the gap, notes below three quarters; less than a tenth is refused.",
    source: "derived: the chord of a bore stands inside it by up to the tolerance, the corners of \
             a shaft on its circle; guess: a quarter of a gap is within what a printer errs by",
    mend: "write a finer `tolerance`",
    judge: Judge::Design(judge),
};

/// Share of a gap that a note is not written at.
const GOOD: f64 = 0.75;
/// Share below which it is more than a note.
const HALF: f64 = 0.5;
/// Steps in which a tolerance is proposed.
const STEP: Length = Length::mm(1e-3);
/// Decimals of a millimetre in which it is told.
const DECIMALS: usize = 3;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let tolerance = *case.kit.tolerance;
    let joints = case.design.assembly.joints.iter().enumerate();
    let open = joints.filter_map(|(index, joint)| {
        let gap = joint.gap?.drawn;
        (joint.fit.has_chords() && gap > TOUCHING).then_some((gap, JointId(index)))
    });
    let Some((gap, id)) = open.min_by(|(a, _), (b, _)| a.as_mm().total_cmp(&b.as_mm())) else {
        return Vec::new();
    };
    let joint = case.design.assembly.joint(id);
    let left = gap - tolerance;
    let [one, other] = joint
        .between
        .map(|piece| case.design.assembly.called(piece));
    let told = case.kit.told();
    let fine = (gap * (1.0 - GOOD)).down_to(STEP);
    vec![Judgement {
        outcome: not_below(left.as_mm(), 0.0, gap.as_mm() * HALF, gap.as_mm() * GOOD),
        subject: Subject::Joint(id),
        value: left.as_mm(),
        limit: Some(gap.as_mm() * HALF),
        unit: "mm",
        message: format!(
            "chords of {} leave {} of the gap between {one} and {other} in the files, {} as drawn",
            told.length(tolerance, DECIMALS),
            told.length(left, DECIMALS),
            told.length(gap, DECIMALS)
        ),
        mend: Some(Proposal::first_of([Change::Tolerance(fine)]).into()),
        at: case.kit.place_of(&[key::TOLERANCE.name()]),
    }]
}
