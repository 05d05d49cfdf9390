//! How the mechanism is drawn apart: from the order found to where every piece stands, all together, all
//! apart, or on the way between.
//!
//! [`Parting`] is what pictures, the moving drawing and the assembly's file share. A removal ends where its
//! pieces are clear of the rest. Drawn apart, they also make room: what was taken away before, and lies
//! ahead, moves on in front of them; screws that are out of their thread go on until they are out of the
//! hole; and of a group that comes apart on the bench the one half moves that moves away from the mechanism.
//! All by boxes along the axes of the assembly, since a drawing wants air between its pieces anyway.

mod leaving;
mod moved;
mod room;

pub use leaving::{Leaving, Shove};
pub use moved::Moved;

use crate::assembly::{Assembly, InstanceId};
use crate::motion::Rate;
use crate::sequence::Order;
use crate::solid::Mesh;
use std::borrow::Borrow;

/// A mechanism on the way between together and apart.
#[derive(Clone, Debug)]
pub struct Parting {
    /// All that leaves, in the order of taking apart; nothing where no order was found.
    pub leavings: Vec<Leaving>,
    rates: Vec<Rate>,
}

/// How far apart a mechanism is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// How many leavings are done.
    pub done: usize,
    /// Of the one after them, the share of its way that its thread leads, from 0 to 1.
    pub led: f64,
    /// The share of the rest of its way, on which it goes straight, from 0 to 1.
    pub on: f64,
    /// The turn of the mechanism, as far as it is together.
    pub turn: f64,
}

impl Parting {
    /// Of an assembly whose pieces move at rates (what has none stands still) and come apart in an order;
    /// nothing leaves where there is none. `meshes` are those of the parts, in their order, each in its
    /// print frame.
    pub fn of<M: Borrow<Mesh>>(
        assembly: &Assembly,
        rate: impl Fn(InstanceId) -> Option<Rate>,
        order: Option<&Order>,
        meshes: &[M],
    ) -> Self {
        let removals = order.map_or(&[][..], Order::removals);
        let pieces = (0..assembly.instances.len()).map(InstanceId);
        let rates: Vec<Rate> = pieces.map(|piece| rate(piece).unwrap_or(STILL)).collect();
        Self {
            leavings: leaving::leavings(assembly, &rates, removals, meshes),
            rates,
        }
    }

    /// All of it together, after so many turns of the drive in the direction of the stroke.
    pub fn together(turn: f64) -> Progress {
        Progress {
            done: 0,
            led: 0.0,
            on: 0.0,
            turn,
        }
    }

    /// All of it apart.
    pub fn apart(&self) -> Progress {
        Progress {
            done: self.leavings.len(),
            led: 0.0,
            on: 0.0,
            turn: self.leavings.last().map_or(0.0, |last| last.turn_after),
        }
    }

    /// How a piece is moved from its place at turn 0.
    pub fn moved(&self, piece: InstanceId, progress: Progress) -> Moved {
        let mut turn = progress.turn;
        let mut left = Moved::NOT;
        let mut room = [0.0; 3];
        let all = self.leavings.iter().enumerate();
        // The last to leave is the innermost motion: what comes off on the bench came off its group.
        for (index, leaving) in all.rev() {
            let [led, on] = match index.cmp(&progress.done) {
                std::cmp::Ordering::Less => [1.0, 1.0],
                std::cmp::Ordering::Equal => [progress.led, progress.on],
                std::cmp::Ordering::Greater => continue,
            };
            if led <= 0.0 && on <= 0.0 {
                continue;
            }
            if leaving.taken.contains(&piece.0) {
                turn = leaving.turn;
            }
            left = left.then(leaving.by(piece, [led, on]));
            let shoves = leaving.shoved.iter();
            for shove in shoves.filter(|shove| shove.piece == piece.0) {
                room[leaving.axis] += shove.by_mm * (led + on) / 2.0;
            }
        }
        let rate = self
            .rates
            .get(piece.0)
            .map_or(STILL, |rate| rate.after(turn));
        let own = Moved {
            turns: rate.turns,
            shift: [0.0, 0.0, rate.advance.as_mm()],
        };
        own.then(left).shifted(room)
    }
}

/// How a piece moves that nothing moves.
const STILL: Rate = Rate {
    advance: crate::units::Length::ZERO,
    turns: 0.0,
};
