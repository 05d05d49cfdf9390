//! How much of a screw's full profile is inside the hole's, through the stroke.
//!
//! Both stretches move with their pieces. Their overlap is the lesser of two straight lines
//! less the greater of two, over the turns n: such a curve bends downwards only, so over a
//! range of turns it is least at one of the range's ends.

use super::solve::Rate;
use crate::assembly::{Course, ThreadJoint};
use crate::units::Length;

/// The least engagement over a course, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engagement {
    /// Length of full profile in full profile.
    pub least: Length,
    /// Turns n of the drive, in the direction of the stroke, at which it is least.
    pub at_turn: f64,
}

impl ThreadJoint {
    /// Length of the screw's full profile inside the hole's, after n turns of the drive;
    /// `male` and `female` are the rates of the pieces per turn n. Zero when they are apart.
    pub fn engaged_length(&self, male: Rate, female: Rate, turns: f64) -> Length {
        let (male, female) = (male.after(turns).advance, female.after(turns).advance);
        let end = (self.male[1] + male).min(self.female[1] + female);
        let start = (self.male[0] + male).max(self.female[0] + female);
        (end - start).max(Length::ZERO)
    }

    /// The least engagement from n = -m to n = N + m, over-travel included.
    pub fn least_engagement(&self, male: Rate, female: Rate, course: &Course) -> Engagement {
        let at = |turn: f64| Engagement {
            least: self.engaged_length(male, female, turn),
            at_turn: turn,
        };
        let first = at(-course.over_travel);
        let last = at(course.turns + course.over_travel);
        if last.least < first.least {
            last
        } else {
            first
        }
    }
}
