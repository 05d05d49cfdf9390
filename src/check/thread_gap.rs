//! Threads that do not clear each other bind at the first turn.
//!
//! Judged in closed form on the axial section of both threads, in phase as they are drawn.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule};
use super::typed::{HUNDREDTH, gap_at};
use crate::load::{Case, Change};
use crate::motion::AxialSection;
use crate::units::Length;

/// Rule: drawn gap between the flanks of each thread pair.
pub(super) const RULE: Rule = Rule {
    id: "thread-gap",
    about: "the flanks of a screw and its tapped hole overlap as drawn",
    why: "Flanks that overlap as drawn are one body to the printer, or bind at the first turn.",
    formula: "Flank gap, square to the flank: c/2 - abs(e) cos 30 deg, with c the drawn radial \
              gap and e by how much the crest stands off the middle of its groove.",
    source: "axial section of the basic profile (ISO 68-1): flank gap = c/2 - abs(e) cos 30 deg",
    mend: "ask for a wider `gaps.thread`",
    judge: Judge::Design(judge),
};

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let mut judgements = Vec::new();
    for (id, joint, threads) in case.design.assembly.thread_joints() {
        let Some(gap) = &joint.gap else { continue };
        let error = threads.phase_error_at_start();
        let flank = AxialSection::new(&threads.thread, gap.drawn, error).flank_gap();
        let clear = flank > Length::ZERO;
        let lacking = (Length::mm(LEAST_MEND) - gap.drawn).max(Length::ZERO);
        judgements.push(Judgement {
            outcome: if clear { Outcome::Pass } else { Outcome::Fail },
            subject: Subject::Joint(id),
            value: flank.as_mm(),
            limit: Some(0.0),
            unit: "mm",
            message: format!(
                "the flanks of {} stand {} apart as drawn; they must not touch",
                threads.thread.designation(),
                case.kit.told().length(flank, 3)
            ),
            mend: joint.asked.clone().map(|asked| {
                let wanted = (gap.wanted + lacking).up_to(HUNDREDTH);
                Proposal::first_of([Change::Gap(asked, joint.fit, wanted)]).into()
            }),
            at: gap_at(joint.asked.as_ref()),
        });
    }
    judgements
}

/// Drawn gap that a mend proposes, in mm: growth of both faces and a layer. Guess.
const LEAST_MEND: f64 = 0.2;
