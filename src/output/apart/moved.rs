//! A motion of a piece from its place: a turn about the mechanism's axis, then a shift.

use crate::assembly::Pose;
use crate::units::{Angle, Length};

/// How a piece is moved, in the frame of the assembly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// Turns about the axis: positive is clockwise seen from the drive head. Whole turns count.
    pub turns: f64,
    /// Then along x, y and z, in mm.
    pub shift: [f64; 3],
}

impl Moved {
    /// Not at all.
    pub const NOT: Self = Self {
        turns: 0.0,
        shift: [0.0; 3],
    };

    /// This motion, then another.
    #[must_use]
    pub fn then(self, next: Self) -> Self {
        let [x, y, z] = self.shift;
        let (sin, cos) = Angle::turns(next.turns).sin_cos();
        Self {
            turns: self.turns + next.turns,
            shift: [cos * x - sin * y, sin * x + cos * y, z],
        }
        .shifted(next.shift)
    }

    /// This motion, then a shift, in mm.
    #[must_use]
    pub fn shifted(mut self, by: [f64; 3]) -> Self {
        for (along, more) in self.shift.iter_mut().zip(by) {
            *along += more;
        }
        self
    }

    /// Where a piece stands whose place is a pose.
    pub fn of(&self, pose: Pose) -> Pose {
        let [x, y, z] = self.shift.map(Length::mm);
        let turned = pose.screwed(Angle::turns(self.turns), Length::ZERO);
        turned.shifted(x, y, z)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Point3;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_one_motion_after_the_other_moves_a_point_as_both(
            numbers in proptest::collection::vec(-20.0..20.0_f64, 11)
        ) {
            let [first, next] = [0, 4].map(|at| Moved {
                turns: numbers[at],
                shift: [1, 2, 3].map(|axis| numbers[at + axis]),
            });
            let point = Point3::new(numbers[8], numbers[9], numbers[10]);
            let together = first.then(next).of(Pose::identity()).apply(point);
            let one_by_one = next.of(first.of(Pose::identity())).apply(point);
            prop_assert!((together - one_by_one).norm() < 1e-9);
        }
    }
}
