//! Whether two pieces do meet: as they stand, or somewhere on a way on which only rings say so.

use super::overlap;
use super::pair::{Pair, Trajectory};
use crate::units::{Angle, Length};
use nalgebra::Vector3;

/// Two pieces that overlap as they stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// How deep at least, in mm; infinite where one piece is inside the other.
    pub depth: Length,
    /// Where, in the assembly frame.
    pub point: [f64; 3],
}

/// Angles in a turn at which meshes are asked whether they meet where rings do. Sampling
/// confirms what rings call blocked; it never calls anything free. Guess.
const CONFIRMING: u32 = 48;

impl Pair<'_> {
    /// The deepest overlap of the two as they stand, one inside the other included. Threads in
    /// their own threads are judged by section and do not count.
    pub fn overlap(&self) -> Option<Standing> {
        let threads = self
            .a
            .threads
            .iter()
            .map(|thread| thread.thread.signed_lead());
        let own: Vec<_> = threads.map(|lead| self.mated(Some(lead))).collect();
        let apart = |a: u8, b: u8| {
            let features = [super::body::feature(a), super::body::feature(b)];
            own.iter().any(|own| own(features[0], features[1]))
        };
        let found = overlap::deepest(self.a, self.b, &self.shift(), &apart)?;
        Some(Standing {
            depth: Length::mm(found.depth),
            point: found.point.into(),
        })
    }

    /// Whether it is known that the two meet on a way: proved, or shown by a pose on it in which
    /// their meshes overlap.
    pub fn surely_met(&self, motion: &Trajectory) -> bool {
        let Some(obstacle) = self.obstacle(motion) else {
            return false;
        };
        let (lead, up) = match *motion {
            _ if obstacle.proven => return true,
            Trajectory::Straight { .. } => return false,
            Trajectory::Turning { lead, reach, up } => {
                (lead, reach.map_or(up, |reach| reach > Length::ZERO))
            }
        };
        if lead.as_mm() == 0.0 {
            return false;
        }
        let own = self.mated(Some(lead));
        let apart = |a: u8, b: u8| own(super::body::feature(a), super::body::feature(b));
        // All angles come by in one turn; one more, for what leads in slowly.
        (0..=2 * CONFIRMING).any(|step| {
            let beyond = lead.abs() * (f64::from(step) / f64::from(CONFIRMING));
            let way = (obstacle.free_travel + beyond) * if up { 1.0 } else { -1.0 };
            let moved = self
                .a
                .screwed(Angle::turns(way / lead), self.advance + way.as_mm());
            overlap::deepest(&moved, self.b, &Vector3::zeros(), &apart).is_some()
        })
    }
}
