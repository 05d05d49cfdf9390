//! What the printer's layers leave of every gap, and of the flanks that carry the load.
//!
//! Threads are judged on the axial section of both parts, cut into layers with round tips, at
//! the worst meeting of the layers; slides and upright bores on the gap that is left between
//! their faces, at the first layer too.

use super::finding::{Outcome, Subject};
use super::mend::Proposal;
use super::rule::{Judge, Judgement, Rule, not_below};
use super::typed::{HUNDREDTH, gap_at};
use crate::assembly::{Fit, JointId, Mates, ThreadJoint};
use crate::layout::proportions::{BED_EDGE, CHAMFER_BEYOND_THREAD};
use crate::load::{Case, Change};
use crate::printer::{Flanks, LayeredThread, Outcomes, first_layer_gap};
use crate::units::Length;

/// Rule: gaps and flanks as the layers leave them.
pub(super) const RULE: Rule = Rule {
    id: "as-printed",
    about: "the layers of a printed joint leave no gap, or no flank that bears",
    why: "A printed flank is a staircase with round edges. Where edge meets edge the gap is \
          smaller than drawn, and a screw turns every edge past every other.",
    formula: "Thread: both axial sections cut into layers of height h, each ending in a half \
              circle of that height on the contour as printed; the least distance over all \
              layer phases of both parts, with the flanks' sag and bedding as the profile has \
              them. On a flank it is (g - h)/2 of the printed radial gap g. Warns below 0, \
              fails below -h/2. Layers that bear at the worst meeting: whole steps of 1.732 h \
              in the thread's depth less g; fails below 1, a note below 2. Slides and upright \
              bores: drawn gap less growth of both faces, at the first layer with its flare \
              behind the broken edge; warns below the fit's window, fails below 0.",
    source: "derived: round-tipped layers stand h/4 proud of a 30 degree flank, on each part; \
             -h/2 is where the contours behind the tips overlap; guess: layers that bear, windows",
    mend: "ask for a wider gap of that fit, or print thinner layers",
    judge: Judge::Copies(judge, |case| {
        judge(case).iter().map(|one| one.outcome).collect()
    }),
};

/// Fewest layers of a flank that must bear: with less than one, nothing does at some angle
/// (derived).
const FEWEST: f64 = 1.0;
/// From here one bad layer is no lost flank. Guess.
const GOOD: f64 = 2.0;

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let assembly = &case.design.assembly;
    let mut judgements = Vec::new();
    let mut weakest: Option<Bearing<'_>> = None;
    for (index, joint) in assembly.joints.iter().enumerate() {
        let id = JointId(index);
        if let Some(threads) = &joint.thread {
            let layer = *case.kit.layer;
            let Some(layered) = LayeredThread::of_joint(assembly, joint, layer, case.profile)
            else {
                continue;
            };
            judgements.push(thread_gap(case, id, threads, &layered));
            let bearing = Bearing {
                joint: id,
                threads,
                layered,
            };
            let weaker = |other: &Bearing<'_>| bearing.rank() < other.rank();
            if weakest.as_ref().is_none_or(weaker) {
                weakest = Some(bearing);
            }
        } else {
            judgements.extend(bore(case, id));
        }
    }
    judgements.extend(weakest.map(|bearing| bearing.judged(case)));
    judgements
}

/// The gap that the tips of a thread's layers leave.
fn thread_gap(
    case: &Case<'_>,
    id: JointId,
    threads: &ThreadJoint,
    layered: &LayeredThread,
) -> Judgement {
    let joint = case.design.assembly.joint(id);
    let layer = *case.kit.layer;
    let at_bed = first_layer_gap(
        layered.radial_gap(),
        CHAMFER_BEYOND_THREAD,
        layer,
        case.profile,
    );
    let left = layered.least_gap().min(at_bed);
    let deepest = layer * -0.5;
    let outcome = not_below(left.as_mm(), deepest.as_mm(), 0.0, 0.0);
    let told = case.kit.told();
    let wanted = joint.gap.map_or(Length::ZERO, |gap| gap.wanted);
    // A radial gap opens a flank by its sine, half of it at 30 degrees, and a layer takes what
    // that leaves of it; whole hundredths, upwards.
    let opens = threads.thread.form().flank_angle().sin();
    let wider = (wanted - left / opens).up_to(HUNDREDTH);
    let thinner = (layer + left / (1.0 - opens)).down_to(HUNDREDTH);
    let gap = joint.asked.clone();
    let gap = gap.map(|asked| Change::Gap(asked, joint.fit, wider));
    let mend = Proposal::first_of(gap).or_first_of([Change::Layer(thinner)]);
    Judgement {
        outcome,
        subject: Subject::Joint(id),
        value: left.as_mm(),
        limit: Some(if outcome == Outcome::Fail {
            deepest.as_mm()
        } else {
            0.0
        }),
        unit: "mm",
        message: if outcome == Outcome::Pass {
            format!(
                "printed in layers of {}, the flanks of {} stand {} apart where their layers \
                 meet at the worst; they must not overlap",
                told.length(layer, 2),
                threads.thread.designation(),
                told.length(left, 3)
            )
        } else {
            format!(
                "printed in layers of {}, the flanks of {} overlap by {} where their layers \
                 meet at the worst; they should not, and can bed in by {} at the most",
                told.length(layer, 2),
                threads.thread.designation(),
                told.length(-left, 3),
                told.length(-deepest, 3)
            )
        },
        mend: Some(mend.into()),
        at: gap_at(joint.asked.as_ref()),
    }
}

/// A thread whose bearing flank is weighed against others.
struct Bearing<'a> {
    joint: JointId,
    threads: &'a ThreadJoint,
    layered: LayeredThread,
}

impl Bearing<'_> {
    /// Fewer layers first, then less of the depth.
    fn rank(&self) -> (f64, f64) {
        (self.layered.bearing_layers(), self.layered.depth_left())
    }

    fn judged(&self, case: &Case<'_>) -> Judgement {
        let layers = self.layered.bearing_layers();
        let percent = |share: f64| 100.0 * share;
        let told = case.kit.told();
        let layer = *case.kit.layer;
        let thinner = self.layer_that_bears(case);
        Judgement {
            outcome: not_below(layers, FEWEST, FEWEST, GOOD),
            subject: Subject::Joint(self.joint),
            value: layers,
            limit: Some(FEWEST),
            unit: "1",
            message: format!(
                "the gaps leave {:.0} % of the depth of {}, and on each flank {layers} of its \
                 layers of {} bear where they meet at the worst, {:.0} % of it; at least \
                 {FEWEST}, better {GOOD}",
                percent(self.layered.depth_left()),
                self.threads.thread.designation(),
                told.length(layer, 2),
                percent(self.layered.bearing_share())
            ),
            mend: Some(
                Proposal::first_of([Change::Layer(thinner)])
                    .beside("take a coarser thread")
                    .into(),
            ),
            at: case.kit.layer.at.clone(),
        }
    }

    /// The thickest layer, in whole hundredths, with [`GOOD`] layers in the depth that is left.
    fn layer_that_bears(&self, case: &Case<'_>) -> Length {
        let depth = self.threads.thread.depth();
        let gap = self.layered.radial_gap().max(Length::ZERO);
        let steps = GOOD / self.threads.thread.form().flank_angle().tan();
        // An unmeasured flank extra is a layer of the gap, and thins with it.
        let most = if Flanks::of(case.profile).measured {
            (depth - gap) / steps
        } else {
            (depth - (gap - *case.kit.layer)) / (steps + 1.0)
        };
        most.down_to(HUNDREDTH)
    }
}

/// A slide, or a bore or slot that stood upright, with what goes into it.
fn bore(case: &Case<'_>, id: JointId) -> Option<Judgement> {
    let joint = case.design.assembly.joint(id);
    let upright = [Mates::PRINTED, Mates::BETWEEN_WALLS];
    let gap = joint.gap.filter(|gap| upright.contains(&gap.mates))?;
    match joint.fit {
        Fit::Slide | Fit::Locate | Fit::Swivel => {}
        Fit::Thread | Fit::Press | Fit::Seat | Fit::Stop => return None,
    }
    let free = Outcomes::of(joint, case.profile)?.free;
    let printed = case.profile.printed(joint.fit, &gap)?;
    let at_bed = first_layer_gap(printed.expected, BED_EDGE, *case.kit.layer, case.profile);
    let left = printed.expected.min(at_bed);
    let least = free.max(Length::ZERO);
    let outcome = not_below(left.as_mm(), 0.0, least.as_mm(), least.as_mm());
    let wider = (gap.wanted + least - left).up_to(HUNDREDTH);
    Some(Judgement {
        outcome,
        subject: Subject::Joint(id),
        value: left.as_mm(),
        limit: Some(if outcome == Outcome::Fail {
            0.0
        } else {
            least.as_mm()
        }),
        unit: "mm",
        message: format!(
            "printed, {} keeps a gap of {} on a side; at least {}",
            joint.name,
            case.length(left),
            case.length(least)
        ),
        mend: (joint.asked.clone())
            .map(|asked| Proposal::first_of([Change::Gap(asked, joint.fit, wider)]).into()),
        at: gap_at(joint.asked.as_ref()),
    })
}
