//! Too few engaged turns let a printed thread strip.

use super::{Case, Judge, Judgement, Rule, not_below};
use crate::layout::End;
use crate::thread::Thread;
use crate::units::Length;

/// Rule: engagement of full profile at the worst place of the stroke.
pub(super) const RULE: Rule = Rule {
    id: "engagement",
    about: "too little of a thread is engaged at the worst place of the stroke",
    why: "A thread that is engaged over too few pitches strips. The worst place is not turn 0: in \
          a nested kit both threads leave their holes while they work.",
    formula: "Length over which both threads have their full profile, at the worst turn from one \
              over-travel before the stroke to one after it. Fails below 3 pitches; warns below \
              one diameter or six pitches, whichever is more, less 0.3 of a lead for neck and \
              run-out.",
    source: "common practice: one diameter or six pitches, whichever is more",
    mend: "leave out the `sizes` that shorten it, or lengthen `sizes.tapped_wall`",
    judge: Judge::Design(judge),
};

/// Engagement below which a thread is refused, in pitches (common practice).
const FEWEST_PITCHES: f64 = 3.0;
/// What neck and run-out may cost at the far end, in leads. Derived: they stand in the wall
/// when the head is nearest to the frame.
const RUN_OUT_LEADS: f64 = 0.3;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let sizes = &case.design.sizes;
    let mut judgements = Vec::new();
    for joint in &case.design.assembly.joints {
        let Some(threads) = &joint.thread else {
            continue;
        };
        let [male, female] = joint.between.map(|piece| case.rates.of(piece));
        let engaged = threads.least_engagement(male, female, &case.design.course);
        let wanted = match &sizes.end {
            End::Nested(nested) if nested.thread == threads.thread => nested.engagement,
            _ => sizes.drive_engagement,
        };
        judgements.push(judgement(
            case,
            &joint.name,
            &threads.thread,
            engaged,
            wanted,
        ));
    }
    judgements
}

fn judgement(
    case: &Case<'_>,
    name: &str,
    thread: &Thread,
    engaged: crate::motion::Engagement,
    wanted: Length,
) -> Judgement {
    let least = thread.pitch() * FEWEST_PITCHES;
    let good = wanted - thread.lead() * RUN_OUT_LEADS;
    let overrides = &case.kit.sizes;
    let said = if name.starts_with("inner") {
        vec![&overrides.inner_thread, &overrides.bore]
    } else {
        vec![&overrides.tapped_wall, &overrides.drive_thread]
    };
    let blamed = said.into_iter().flatten().find_map(|said| said.at.clone());
    Judgement {
        outcome: not_below(
            engaged.least.as_mm(),
            least.as_mm(),
            good.as_mm(),
            good.as_mm(),
        ),
        subject: name.into(),
        value: engaged.least.as_mm(),
        limit: Some(good.as_mm()),
        unit: "mm",
        message: format!(
            "{} of {} is engaged at {}, {:.1} pitches; wanted {}, refused below {}",
            case.length(engaged.least),
            thread.designation(),
            case.turn(engaged.at_turn),
            engaged.least / thread.pitch(),
            case.length(wanted),
            case.length(least)
        ),
        mend: Some(if name.starts_with("inner") {
            "leave out `sizes.inner_thread` and `sizes.bore`, or write more of both".into()
        } else {
            "leave out `sizes.drive_thread`, or write more of `sizes.tapped_wall`".into()
        }),
        at: blamed.or_else(|| case.kit.stroke.at.clone()),
    }
}
