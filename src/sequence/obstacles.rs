//! What the search asks of the parts: who stands in whose way.
//!
//! The search sees nothing else of them, neither names nor shapes, so it can be judged on
//! obstacles that are written down by hand.

use super::motion::Move;
use super::pieces::Pieces;

/// Whether a piece can go its way as far as another is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Passage {
    /// Proved free, all the way.
    Free,
    /// The other stands in the way.
    Blocked,
    /// A comparison on the safe side says blocked; it could not be proved that they meet.
    Unproved,
}

/// Pieces in poses, and what stands in the way of what. Pieces are indices from 0; poses too,
/// and pose 0 is the one in which the pieces stand assembled.
pub trait Obstacles: Sync {
    /// How many pieces there are.
    fn pieces(&self) -> usize;

    /// The piece that stays.
    fn base(&self) -> usize;

    /// Motions that can take a piece away.
    fn moves(&self) -> &[Move];

    /// How many poses the mechanism is looked at in.
    fn poses(&self) -> usize {
        1
    }

    /// Whether `other` lets `mover` go, in a pose. Only the two are looked at.
    fn passage(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Passage;

    /// The first pose in which two pieces stand against each other as they do in this one.
    fn like_pose(&self, a: usize, b: usize, pose: usize) -> usize {
        let _ = (a, b);
        pose
    }

    /// Whether two pieces of which it is not proved that one blocks the other do meet: a longer
    /// look, for those that are stuck.
    fn surely_meet(&self, mover: usize, other: usize, motion: Move, pose: usize) -> bool {
        let _ = (mover, other, motion, pose);
        false
    }

    /// How far `mover` comes before it meets `other`, in mm along the motion; `None` if it
    /// passes, or if that is not known.
    fn free_travel(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Option<f64>;

    /// How much too wide the one is to pass the other, in mm; `None` if that is not known.
    fn overlap(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Option<f64> {
        let _ = (mover, other, motion, pose);
        None
    }

    /// Turns that a helical motion takes until the threads between the two are apart; zero
    /// where they share none.
    fn turns_engaged(&self, mover: usize, other: usize, motion: Move, pose: usize) -> f64 {
        let _ = (mover, other, motion, pose);
        0.0
    }

    /// Whether friction holds the two together, so that neither falls off: pressed or screwed.
    fn hold(&self, a: usize, b: usize, pose: usize) -> bool {
        let _ = (a, b, pose);
        false
    }

    /// The mechanism's own motion between two poses, of the pieces that are there: `None`
    /// while their joints do not say how they move, else those pairs that meet on the way.
    fn drive(&self, present: Pieces, from: usize, to: usize) -> Option<Vec<[usize; 2]>> {
        let _ = (present, from, to);
        None
    }

    /// Whether two pieces would meet on the mechanism's own motion between two poses, each
    /// moved as in the whole mechanism.
    fn meet_driven(&self, a: usize, b: usize, from: usize, to: usize) -> bool {
        let _ = (a, b, from, to);
        false
    }

    /// Turns of the drive between two poses, without sign.
    fn drive_turns(&self, from: usize, to: usize) -> f64 {
        let _ = (from, to);
        0.0
    }

    /// Size by which the piece is found that a sub-assembly is built upon, in mm3.
    fn volume(&self, piece: usize) -> f64 {
        let _ = piece;
        1.0
    }
}
