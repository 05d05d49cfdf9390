//! Too few engaged turns let a printed thread strip.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use crate::kit::key;
use crate::layout::ThreadPair;
use crate::load::{Case, leave_out, longer};

/// Rule: engagement of full profile at the worst place of the stroke.
pub(super) const RULE: Rule = Rule {
    id: "engagement",
    about: "too little of a thread is engaged at the worst place of the stroke",
    why: "A thread that is engaged over too few pitches strips. The worst place is not turn 0: in \
          a nested kit both threads leave their holes while they work.",
    formula: "Length over which both threads have their full profile, at the worst turn from one \
              over-travel before the stroke to one after it. Fails below 3 pitches; warns below \
              one diameter or six pitches, whichever is more, less 0.3 of a pitch for neck and \
              run-out.",
    source: "common practice: one diameter or six pitches, whichever is more",
    mend: "leave out the `sizes` that shorten it, or lengthen `sizes.tapped_wall`",
    judge: Judge::Design(judge),
};

/// Engagement below which a thread is refused, in pitches (common practice).
const FEWEST_PITCHES: f64 = 3.0;
/// What neck and run-out may cost at the far end, in pitches. Derived: they are a pitch long and
/// stand in the wall when the head is nearest to the frame, which is 0.7 of a lead off, a pitch of
/// one start; of several starts that costs nothing.
const RUN_OUT_PITCHES: f64 = 0.3;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let pairs = case.design.threads.iter();
    pairs.filter_map(|pair| judgement(case, pair)).collect()
}

fn judgement(case: &Case<'_>, pair: &ThreadPair) -> Option<Judgement> {
    let joint = case.design.assembly.joint(pair.joint);
    let threads = joint.thread.as_ref()?;
    let thread = &threads.thread;
    let [male, female] = joint.between.map(|piece| case.rates.of(piece));
    let engaged = threads.least_engagement(male, female, &case.design.course);
    let least = thread.pitch() * FEWEST_PITCHES;
    let good = pair.wanted - thread.pitch() * RUN_OUT_PITCHES;
    let blamed = case.kit.place_of(&pair.lengths);
    Some(Judgement {
        outcome: not_below(
            engaged.least.as_mm(),
            least.as_mm(),
            good.as_mm(),
            good.as_mm(),
        ),
        subject: Subject::Joint(pair.joint),
        value: engaged.least.as_mm(),
        limit: Some(good.as_mm()),
        unit: "mm",
        message: format!(
            "{} of {} is engaged at {}, {:.1} pitches; wanted {}, refused below {}",
            case.length(engaged.least),
            thread.designation(),
            case.turn(engaged.at_turn),
            engaged.least / thread.pitch(),
            case.length(pair.wanted),
            case.length(least)
        ),
        mend: Some(
            Proposal::first_of(leave_out(case.kit, &pair.lengths))
                .or_first_of(longer(case.kit, &pair.lengths))
                .beside(format!("shorten {}", key::STROKE.name()))
                .into(),
        ),
        at: blamed.or_else(|| case.kit.place_of(&[key::STROKE.name()])),
    })
}
