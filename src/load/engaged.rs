//! Threads as a load finds them: least engaged, and with the widest gap that is likely.

use super::case::Case;
use crate::assembly::{Fit, Joint, JointId};
use crate::strength::MatedThreads;
use crate::units::Length;

/// A thread joint with its least engagement and its widest gap.
#[derive(Clone, Debug)]
pub struct Engaged {
    /// The joint.
    pub joint: JointId,
    /// Both threads, as far apart as is likely.
    pub mated: MatedThreads,
    /// Length over which both have their full profile, at the worst turn of the stroke.
    pub length: Length,
}

/// Every thread joint of a case.
pub fn engaged_threads<'a>(case: &'a Case<'_>) -> impl Iterator<Item = Engaged> + use<'a> {
    let joints = case.design.assembly.thread_joints();
    joints.map(|(id, joint, threads)| {
        let [male, female] = joint.between.map(|piece| case.rates.of(piece));
        let engaged = threads.least_engagement(male, female, &case.design.course);
        Engaged {
            joint: id,
            mated: MatedThreads::with_gap(&threads.thread, widest_gap(case, joint)),
            length: engaged.least,
        }
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
