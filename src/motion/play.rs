//! From the axial plays of joints to lost motion.
//!
//! The turns that the drive makes before the carriage follows are the plays of the whole chain
//! divided by the net lead, for each turn takes up one net lead of them. What play a thread's
//! gap gives is its form's matter, [`Thread::play`](crate::thread::Thread::play).

use crate::units::Length;

/// Lost motion at a reversal: what the drive turns before the carriage follows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LostMotion {
    /// Turns of the drive.
    pub turns: f64,
    /// The same at the carriage: the play of the chain.
    pub at_carriage: Length,
}

impl LostMotion {
    /// Of plays in a chain with a net lead of either sign; `None` for a net lead of zero.
    ///
    /// turns = sum of plays / |net lead| (derived, see the module). Plays of 0.2309, 0.2309,
    /// 0.12 and 0.10 mm over 0.75 mm give 0.909 turns.
    pub fn of(plays: &[Length], net_lead: Length) -> Option<Self> {
        let at_carriage: Length = plays.iter().copied().sum();
        (net_lead.abs() > Length::ZERO).then(|| Self {
            turns: at_carriage / net_lead.abs(),
            at_carriage,
        })
    }
}

/// Lost motion as an interval, from the spread of the printed gaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LostMotionRange {
    /// With the narrowest gaps.
    pub low: LostMotion,
    /// With the gaps as they should be.
    pub nominal: LostMotion,
    /// With the widest gaps.
    pub high: LostMotion,
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn lost_motion_has_no_sign_and_none_without_net_lead() {
        let plays = [Length::mm(0.3), Length::mm(0.15)];
        let lost = LostMotion::of(&plays, Length::mm(-0.5)).unwrap();
        assert_abs_diff_eq!(lost.turns, 0.9, epsilon = 1e-12);
        assert_abs_diff_eq!(lost.at_carriage.as_mm(), 0.45, epsilon = 1e-12);
        assert_eq!(LostMotion::of(&plays, Length::ZERO), None);
    }
}
