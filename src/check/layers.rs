//! A thread of too few layers a pitch has no flanks, only steps.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::layout::ThreadPair;
use crate::load::{Case, Change};
use crate::units::Length;

/// Rule: layers in one pitch of each thread.
pub(super) const RULE: Rule = Rule {
    id: "layers-per-pitch",
    about: "a thread's pitch has too few printed layers",
    why: "The printer draws a flank as steps, one a layer. Few layers a pitch leave no flank, \
          only steps that lock into each other.",
    formula: "Pitch over layer height. Fails below 6, warns below 8, notes below 11.5, \
              which is 12 to the nearest.",
    source: "common practice: 6 layers a pitch is the floor; derived: from 8 on the crest has a \
             layer of its own; 12 is good",
    mend: "print thinner layers, or take a coarser thread",
    judge: Judge::Design(judge),
};

/// Fewest layers a pitch (common practice).
const FEWEST: f64 = 6.0;
/// From here the crest, an eighth of the pitch, has a layer (derived).
const CREST_HAS_A_LAYER: f64 = 8.0;
/// From here flanks are smooth (common practice).
const GOOD: f64 = 12.0;
/// What is not worth a note: 12 to the nearest layer, so that M12's pitch at the default layer, 11.7,
/// earns none. Guess.
const NEARLY_GOOD: f64 = 11.5;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let pairs = case.design.threads.iter();
    pairs.filter_map(|pair| judgement(case, pair)).collect()
}

fn judgement(case: &Case<'_>, pair: &ThreadPair) -> Option<Judgement> {
    let joint = case.design.assembly.joint(pair.joint);
    let thread = &joint.thread.as_ref()?.thread;
    let layer = *case.kit.layer;
    let layers = thread.pitch() / layer;
    let better = if layers < CREST_HAS_A_LAYER {
        CREST_HAS_A_LAYER
    } else {
        GOOD
    };
    // Whole hundredths, downwards, and never nothing.
    let enough = (thread.pitch().as_mm() / better * 100.0).floor().max(1.0) / 100.0;
    Some(Judgement {
        outcome: not_below(layers, FEWEST, CREST_HAS_A_LAYER, NEARLY_GOOD),
        subject: Subject::Joint(pair.joint),
        value: layers,
        limit: Some(FEWEST),
        unit: "1",
        message: format!(
            "{} has {layers:.1} layers of {} in a pitch; at least {FEWEST}, better {GOOD}",
            thread.designation(),
            case.length(layer)
        ),
        mend: Some(
            Proposal::first_of([Change::Layer(Length::mm(enough))])
                .beside("take a coarser thread")
                .into(),
        ),
        at: case.kit.place_of(&[pair.key]),
    })
}
