//! A gap that eats most of the thread's depth leaves flanks that slip over each other.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule};
use super::typed::gap_at;
use crate::load::{Case, Change, thinner_layers};
use crate::thread::Thread;
use crate::units::Length;

/// Name of the rule.
pub const FLANK_OVERLAP: &str = "flank-overlap";

/// Rule: drawn gap against the depth of the thread.
pub(super) const RULE: Rule = Rule {
    id: FLANK_OVERLAP,
    about: "the gap takes too much of the thread's depth",
    why: "A radial gap takes as much from the depth of the thread. What is left of the flank \
          carries the load, and slips over when it is too little.",
    formula: "Drawn radial gap against the depth of the basic profile, 0.5413 P. Fails above 0.4 \
              of it.",
    source: "guess: a radial gap of 0.4 of the depth leaves 60 percent of the flank",
    mend: "take a coarser thread, a thinner layer, or a smaller `gaps.thread`",
    judge: Judge::Design(judge),
};

/// Steps in which a gap is proposed.
const STEP: Length = Length::mm(0.005);

/// Largest gap as a share of the thread's depth. Guess.
const LARGEST_SHARE: f64 = 0.4;

/// The most that a thread's gap may be drawn.
pub fn most_gap(thread: &Thread) -> Length {
    thread.depth() * LARGEST_SHARE
}

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let mut judgements = Vec::new();
    for (id, joint, threads) in case.design.assembly.thread_joints() {
        let Some(gap) = &joint.gap else { continue };
        let limit = most_gap(&threads.thread);
        judgements.push(Judgement {
            outcome: if gap.drawn <= limit {
                Outcome::Pass
            } else {
                Outcome::Fail
            },
            subject: Subject::Joint(id),
            value: gap.drawn.as_mm(),
            limit: Some(limit.as_mm()),
            unit: "mm",
            message: format!(
                "the drawn gap of {} is {}, its depth {}; at most {LARGEST_SHARE} of it, {}",
                threads.thread.designation(),
                case.length(gap.drawn),
                case.length(threads.thread.depth()),
                case.length(limit)
            ),
            mend: joint.asked.clone().map(|asked| {
                // What the printer's growth and layers add is drawn whatever is wanted.
                let wanted = (gap.wanted - (gap.drawn - limit)).down_to(STEP);
                Proposal::first_of([Change::Gap(asked, joint.fit, wanted)])
                    .or_first_of(thinner_layers(case.kit))
                    .beside("take a coarser thread")
                    .into()
            }),
            at: gap_at(joint.asked.as_ref()),
        });
    }
    judgements
}
