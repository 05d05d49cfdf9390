//! Keys of one piece: where it is at which time. Between two of them it turns and goes evenly.

use crate::output::apart::Moved;
use crate::units::Angle;

/// How a piece moves.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Track {
    /// Times in seconds, and turns about the axis, clockwise seen from the drive head.
    pub(super) turns: Vec<(f64, f64)>,
    /// Times in seconds, and ways along x, y and z, in mm.
    pub(super) shifts: Vec<(f64, [f64; 3])>,
}

impl Track {
    /// That begins somewhere.
    pub(super) fn from(begin: Moved) -> Self {
        Self {
            turns: vec![(0.0, begin.turns)],
            shifts: vec![(0.0, begin.shift)],
        }
    }

    /// Turns it from a time on, by at most so much from one key to the next.
    pub(super) fn turn(&mut self, time: f64, seconds: f64, [from, to]: [f64; 2], most: f64) {
        let by = to - from;
        if by == 0.0 {
            return;
        }
        hold(&mut self.turns, time);
        let keys = (by.abs() / most).ceil().max(1.0);
        // A conversion from a float saturates.
        self.turns.extend((1..=keys as usize).map(|key| {
            let share = key as f64 / keys;
            (time + seconds * share, from + by * share)
        }));
    }

    /// Shifts it from a time on.
    pub(super) fn shift(&mut self, time: f64, seconds: f64, [from, to]: [[f64; 3]; 2]) {
        if from != to {
            hold(&mut self.shifts, time);
            self.shifts.push((time + seconds, to));
        }
    }

    /// Times and rotations as quaternions; `None` if it never turns.
    pub(super) fn rotations(&self) -> Option<(Vec<f64>, Vec<[f64; 4]>)> {
        let quaternion = |turns: f64| {
            // Half the angle, unreduced: neighbours then lie on one half of all quaternions.
            let (sin, cos) = Angle::turns(turns / 2.0).sin_cos();
            [0.0, 0.0, sin, cos]
        };
        moves(&self.turns, &0.0).then(|| {
            let keys = self.turns.iter();
            keys.map(|(time, turns)| (*time, quaternion(*turns)))
                .unzip()
        })
    }

    /// Times and shifts; `None` if it never goes anywhere.
    pub(super) fn translations(&self) -> Option<(Vec<f64>, Vec<[f64; 3]>)> {
        moves(&self.shifts, &[0.0; 3]).then(|| self.shifts.iter().copied().unzip())
    }
}

/// Keeps what was last until a time.
fn hold<T: Copy>(keys: &mut Vec<(f64, T)>, time: f64) {
    if let Some((_, value)) = keys.last().copied().filter(|(last, _)| *last < time) {
        keys.push((time, value));
    }
}

/// Whether keys say more than that a piece is where it rests.
fn moves<T: PartialEq>(keys: &[(f64, T)], rest: &T) -> bool {
    keys.iter().any(|(_, value)| value != rest)
}
