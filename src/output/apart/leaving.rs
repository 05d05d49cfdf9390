//! What leaves in each removal, how far it goes, and what makes room for it.

use super::moved::Moved;
use super::room::{BESIDE, Room};
use crate::assembly::{Assembly, Axis, InstanceId, Motion};
use crate::motion::Rate;
use crate::sequence::Removed;
use crate::solid::Mesh;
use serde::Serialize;
use std::borrow::Borrow;

/// Air between pieces that are drawn apart, in mm. Guess: two walls.
const AIR: f64 = 9.0;
/// Something that leaves, or the mechanism turned on the way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Leaving {
    /// The pieces that go along the axis on the screen; none where the mechanism is turned.
    pub pieces: Vec<usize>,
    /// The pieces that leave, and turn where a thread leads them.
    pub taken: Vec<usize>,
    /// On the bench, what they leave.
    pub bench: Vec<usize>,
    /// Along and about which axis: 0, 1, 2 for x, y, z.
    pub axis: usize,
    /// How far along it, in mm, with its turns.
    pub advance_mm: f64,
    /// How many turns about it meanwhile: positive is clockwise seen from the drive head.
    pub turns: f64,
    /// How far straight on after that, in mm, until there is air between.
    pub on_mm: f64,
    /// The mechanism's turn when it begins.
    pub turn: f64,
    /// The same when it ends.
    pub turn_after: f64,
    /// What makes room meanwhile.
    pub shoved: Vec<Shove>,
}

/// A piece that makes room, along the axis of what leaves.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shove {
    /// The piece.
    pub piece: usize,
    /// How far, in mm.
    pub by_mm: f64,
}

impl Leaving {
    /// How it has moved a piece when of its way these shares are done: that which its thread leads, and the
    /// rest.
    pub(super) fn by(&self, piece: InstanceId, [led, on]: [f64; 2]) -> Moved {
        let mut moved = Moved::NOT;
        if self.taken.contains(&piece.0) {
            moved.turns = led * self.turns;
        }
        if self.pieces.contains(&piece.0) {
            moved.shift[self.axis] = led * self.advance_mm + on * self.on_mm;
        }
        moved
    }
}

/// All that leaves, in the order of taking apart.
pub(super) fn leavings<M: Borrow<Mesh>>(
    assembly: &Assembly,
    rates: &[Rate],
    removals: &[Removed],
    meshes: &[M],
) -> Vec<Leaving> {
    let mut stage = Stage::new(assembly, rates, meshes);
    let leaves = |removed| stage.leaves(removals, removed);
    removals.iter().map(leaves).collect()
}

/// Where pieces are on the screen.
struct Stage<'a> {
    rates: &'a [Rate],
    /// Where each is drawn, as long as it is in its place at turn 0.
    rooms: Vec<Room>,
    /// Which have left.
    out: Vec<bool>,
    /// The mechanism's turn.
    turn: f64,
}

impl<'a> Stage<'a> {
    fn new<M: Borrow<Mesh>>(assembly: &Assembly, rates: &'a [Rate], meshes: &[M]) -> Self {
        let nothing = Mesh::default();
        let rooms = assembly.instances.iter().map(|piece| {
            let mesh = meshes.get(piece.part.0);
            Room::around(mesh.map_or(&nothing, Borrow::borrow), &piece.pose)
        });
        Self {
            rates,
            rooms: rooms.collect(),
            out: vec![false; assembly.instances.len()],
            turn: 0.0,
        }
    }

    /// Turns the mechanism as far as it is together.
    fn turn_to(&mut self, turn: f64) {
        let pieces = self.rooms.iter_mut().zip(&self.out).zip(self.rates);
        for ((room, _), rate) in pieces.filter(|((_, out), _)| !**out) {
            let gone = rate.after(turn - self.turn);
            *room = room.moved(Axis::Z.index(), gone.advance.as_mm());
        }
        self.turn = turn;
    }

    fn leaves(&mut self, all: &[Removed], removed: &Removed) -> Leaving {
        let Motion {
            distance, turns, ..
        } = removed.motion;
        if removed.is_driven() {
            self.turn_to(removed.turn_after);
            return Self::leaving(removed, &[], [0.0, 0.0, 0.0], Vec::new());
        }
        if removed.group.is_none() {
            self.turn_to(removed.turn);
        }
        let back = removed.group.and_then(|group| all.get(group));
        let back = back.is_some_and(|group| is_back(removed.motion, group.motion));
        // Of a group the half goes along that gets away from the mechanism; what is turned by hand turns.
        let (pieces, rest, way) = match back {
            true => (&removed.rest, &removed.pieces, -1.0),
            false => (&removed.pieces, &removed.rest, 1.0),
        };
        let axis = removed.motion.axis.index();
        let along = distance.as_mm() * way;
        let sign = if along < 0.0 { -1.0 } else { 1.0 };
        self.shift(pieces, axis, along);
        let on = match self.overlap(pieces, rest, axis, sign) {
            Some(by) => (by + AIR) * sign,
            None => AIR * sign,
        };
        self.shift(pieces, axis, on);
        let shoved = self.shove(pieces, rest, axis, sign);
        for piece in &removed.pieces {
            self.out[piece.0] = true;
        }
        Self::leaving(removed, pieces, [along, turns, on], shoved)
    }

    fn leaving(
        removed: &Removed,
        pieces: &[InstanceId],
        [advance_mm, turns, on_mm]: [f64; 3],
        shoved: Vec<Shove>,
    ) -> Leaving {
        Leaving {
            pieces: numbers(pieces),
            taken: match removed.is_driven() {
                true => Vec::new(),
                false => numbers(&removed.pieces),
            },
            bench: match removed.group {
                Some(_) => numbers(&removed.rest),
                None => Vec::new(),
            },
            axis: removed.motion.axis.index(),
            advance_mm,
            turns,
            on_mm,
            turn: removed.turn,
            turn_after: removed.turn_after,
            shoved,
        }
    }

    fn shift(&mut self, pieces: &[InstanceId], axis: usize, by: f64) {
        for piece in pieces {
            self.rooms[piece.0] = self.rooms[piece.0].moved(axis, by);
        }
    }

    /// How far pieces have to go on until they are past others that they hide; `None` if they are.
    fn overlap(
        &self,
        pieces: &[InstanceId],
        others: &[InstanceId],
        axis: usize,
        sign: f64,
    ) -> Option<f64> {
        let pairs = pieces
            .iter()
            .flat_map(|piece| others.iter().map(move |other| (piece, other)));
        let pairs = pairs.map(|(piece, other)| (self.rooms[piece.0], self.rooms[other.0]));
        let hidden = pairs.filter(|(piece, other)| piece.hides(other, axis));
        let over =
            hidden.map(|(piece, other)| other.ends(axis, sign)[0] - piece.ends(axis, sign)[1]);
        over.filter(|over| *over > 0.0).reduce(f64::max)
    }

    /// Moves on what has left before and lies in the way of pieces, each as far as it has to; what it
    /// then reaches itself moves on with it.
    fn shove(
        &mut self,
        pieces: &[InstanceId],
        rest: &[InstanceId],
        axis: usize,
        sign: f64,
    ) -> Vec<Shove> {
        let mut moved: Vec<usize> = pieces.iter().map(|piece| piece.0).collect();
        let stays: Vec<usize> = rest.iter().map(|piece| piece.0).collect();
        let mut shoved = Vec::new();
        loop {
            let waiting = (0..self.rooms.len()).filter(|piece| {
                self.out[*piece] && !moved.contains(piece) && !stays.contains(piece)
            });
            let reached = waiting.filter_map(|piece| {
                let ends = moved.iter().filter_map(|mover| {
                    let [own, mover] = [self.rooms[piece], self.rooms[*mover]];
                    let [front, _] = mover.ends(axis, sign);
                    let [own_front, own_back] = own.ends(axis, sign);
                    let ahead =
                        own_front > mover.ends(axis, sign)[1] && own_back < front + AIR - BESIDE;
                    (mover.hides(&own, axis) && ahead).then_some(front + AIR - own_back)
                });
                Some((piece, ends.reduce(f64::max)?))
            });
            let Some((piece, by)) = reached.reduce(|a, b| if b.1 > a.1 { b } else { a }) else {
                return shoved;
            };
            self.rooms[piece] = self.rooms[piece].moved(axis, by * sign);
            moved.push(piece);
            shoved.push(Shove {
                piece,
                by_mm: by * sign,
            });
        }
    }
}

fn numbers(pieces: &[InstanceId]) -> Vec<usize> {
    pieces.iter().map(|piece| piece.0).collect()
}

/// Whether what leaves a group goes back where the group came from.
fn is_back(motion: Motion, group: Motion) -> bool {
    motion.axis == group.axis && motion.distance.as_mm() * group.distance.as_mm() < 0.0
}
