//! Every joint of a mechanism as it will be printed: gap, odds, and play along the axis.

use super::fits::{PrintedGap, window};
use super::profile::Profile;
use crate::assembly::{Assembly, Joint};
use crate::units::Length;

/// One joint as it will be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintedJoint {
    /// The gap.
    pub gap: PrintedGap,
    /// The chance that it does its work, from 0 to 1.
    pub odds: f64,
    /// The chance with one more hundredth of a millimetre drawn.
    pub odds_with_more: f64,
}

/// What one more step of gap is: a hundredth of a millimetre.
const STEP: Length = Length::mm(0.01);

/// The joints of an assembly, in its order; none for faces that only meet.
pub fn judged(assembly: &Assembly, profile: &Profile) -> Vec<Option<PrintedJoint>> {
    assembly
        .joints
        .iter()
        .map(|joint| judge(joint, profile))
        .collect()
}

fn judge(joint: &Joint, profile: &Profile) -> Option<PrintedJoint> {
    let drawn = joint.gap.as_ref()?;
    let window = window(joint.fit, drawn.ribs.is_some())?;
    let gap = profile.printed(joint.fit, drawn)?;
    let wider = PrintedGap {
        expected: gap.expected + STEP,
        ..gap
    };
    Some(PrintedJoint {
        gap,
        odds: gap.odds(window),
        odds_with_more: wider.odds(window),
    })
}

/// Play of one joint along the axis, before intervals are made of it.
struct Play {
    expected: Length,
    /// What the sag of a lying hole may take.
    sagging: Length,
    /// Standard deviation from the profile's terms, which joints share.
    shared: f64,
    /// Variance of the joint's own spread, in mm2.
    own: f64,
}

impl Play {
    fn of(joint: &Joint, profile: &Profile) -> Option<Self> {
        let (play, gap) = (joint.axial_play?, joint.gap.as_ref()?);
        let Some(printed) = profile.printed(joint.fit, gap) else {
            // End faces lie on whole layers.
            let (expected, sagging) = (play, Length::ZERO);
            return Some(Self {
                expected,
                sagging,
                shared: 0.0,
                own: 0.0,
            });
        };
        let share = if gap.drawn > Length::ZERO {
            play / gap.drawn
        } else {
            1.0
        };
        let expected = printed.expected.max(Length::ZERO) * share;
        let taken = Profile::taken(joint.fit, gap.mates, gap.radius);
        let of_terms = profile.variance_of(&taken).sqrt();
        let of_spread =
            (printed.deviation.as_mm() * printed.deviation.as_mm() - of_terms * of_terms).max(0.0);
        Some(Self {
            expected,
            sagging: printed.sag.min(expected),
            shared: share * of_terms,
            own: share * share * of_spread,
        })
    }

    /// Low, expected and high, for 19 of 20.
    fn interval(&self) -> [Length; 3] {
        let deviation = Length::mm((self.shared * self.shared + self.own).sqrt());
        let half = deviation * super::fits::SHOWN_DEVIATIONS;
        let low = (self.expected - self.sagging - half).max(Length::ZERO);
        [low, self.expected, self.expected + half]
    }
}

/// Play along the axis of every joint as printed, in the order of the joints: low, expected
/// and high; none where a joint has no say. See [`axial_play`] for their sum.
pub fn axial_plays(assembly: &Assembly, profile: &Profile) -> Vec<Option<[Length; 3]>> {
    let play = |joint| Play::of(joint, profile).map(|play| play.interval());
    assembly.joints.iter().map(play).collect()
}

/// Play of the carriage along the axis as printed: low, expected and high.
///
/// Each joint's play goes with its gap (2 tan 30 deg of a thread's, flank geometry of
/// ISO 68-1; once that of a swivel or pin). The terms of the profile are shared by all joints,
/// so their errors add up before they are squared; the spread of each joint is its own. A
/// lying hole's sag may take the play of its pin. The interval holds 19 of 20 mechanisms, as
/// far as the profile is right; a gap below nothing has no play.
pub fn axial_play(assembly: &Assembly, profile: &Profile) -> [Length; 3] {
    let plays = assembly
        .joints
        .iter()
        .filter_map(|joint| Play::of(joint, profile));
    let nothing = Play {
        expected: Length::ZERO,
        sagging: Length::ZERO,
        shared: 0.0,
        own: 0.0,
    };
    let chain = plays.fold(nothing, |sum, play| Play {
        expected: sum.expected + play.expected,
        sagging: sum.sagging + play.sagging,
        shared: sum.shared + play.shared,
        own: sum.own + play.own,
    });
    chain.interval()
}
