//! Whether two pieces do meet: as they stand, or somewhere on a way on which only rings say so.

use super::overlap::{self, Screwed};
use super::pair::{Pair, Trajectory};
use crate::units::{Angle, Length};

/// Two pieces that overlap as they stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// How deep at least, in mm; infinite where one piece is inside the other.
    pub depth: Length,
    /// Where, in the assembly frame.
    pub point: [f64; 3],
}

/// Whether two pieces meet on a way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Met {
    /// They do: it is proved, or seen in a pose on it.
    Surely,
    /// No pose that was looked at shows it.
    NotSeen,
    /// The bound of work was reached before all poses had been looked at.
    LeftOpen,
}

/// Angles in a turn at which meshes are asked whether they meet where rings do. Sampling
/// confirms what rings call blocked; it never calls anything free. Guess.
const CONFIRMING: u32 = 48;
/// Poses of one turn and one more, both ends counted; a prime.
const POSES: u32 = 2 * CONFIRMING + 1;
/// Each pose is looked at this many after the last, so that the first few lie all over the way
/// and one that meets is soon found. No multiple of [`POSES`], so that none is left out.
const STRIDE: u32 = 37;

/// The poses, in 48ths of a turn, in the order in which they are looked at.
pub(super) fn spread_poses() -> impl Iterator<Item = f64> {
    (0..POSES).map(|step| f64::from(step * STRIDE % POSES) / f64::from(CONFIRMING))
}

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
    /// their meshes overlap. What is not shown within a bound of work is not known.
    pub fn meets_on(&self, motion: &Trajectory) -> Met {
        let Some(obstacle) = self.obstacle(motion) else {
            return Met::NotSeen;
        };
        let (lead, up) = match *motion {
            _ if obstacle.proven => return Met::Surely,
            Trajectory::Straight { .. } => return Met::NotSeen,
            Trajectory::Turning { lead, reach, up } => {
                (lead, reach.map_or(up, |reach| reach > Length::ZERO))
            }
        };
        if lead.as_mm() == 0.0 {
            return Met::NotSeen;
        }
        let own = self.mated(Some(lead));
        let apart = |a: u8, b: u8| own(super::body::feature(a), super::body::feature(b));
        // All angles come by in one turn; one more, for what leads in slowly.
        let poses = spread_poses().map(|turns| {
            let way = (obstacle.free_travel + lead.abs() * turns) * if up { 1.0 } else { -1.0 };
            Screwed::by(Angle::turns(way / lead), self.advance + way.as_mm())
        });
        match overlap::in_any_pose(self.a, self.b, poses, &apart) {
            Some(true) => Met::Surely,
            Some(false) => Met::NotSeen,
            None => Met::LeftOpen,
        }
    }
}
