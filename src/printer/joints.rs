//! Every joint of a mechanism as it will be printed: gap and odds.

use super::copies::{FitOdds, fit_odds};
use super::fits::PrintedGap;
use super::outcome::Outcomes;
use super::profile::Profile;
use crate::assembly::{Assembly, JointId};

/// One joint as it will be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintedJoint {
    /// The gap.
    pub gap: PrintedGap,
    /// At which gaps its outcome changes.
    pub outcomes: Outcomes,
    /// What becomes of its copies.
    pub odds: FitOdds,
}

/// The joints of an assembly, in its order; none for faces that only meet.
pub fn judged(assembly: &Assembly, profile: &Profile) -> Vec<Option<PrintedJoint>> {
    let mut judged = vec![None; assembly.joints.len()];
    for (JointId(index), odds) in fit_odds(assembly, profile) {
        let joint = &assembly.joints[index];
        let gap = joint.gap.as_ref();
        let gap = gap.and_then(|gap| profile.printed(joint.fit, gap));
        let outcomes = Outcomes::of(joint, profile);
        judged[index] = gap.zip(outcomes).map(|(gap, outcomes)| PrintedJoint {
            gap,
            outcomes,
            odds,
        });
    }
    judged
}
