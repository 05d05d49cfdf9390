//! How the mechanism is drawn apart: from the order found to motions of pieces on the screen.
//!
//! A removal ends where its pieces are clear of the rest. Drawn apart, they also make room: what was
//! taken away before, and lies ahead, moves on in front of them; screws that are out of their thread go
//! on until they are out of the hole; and of a group that comes apart on the bench the one half moves
//! that moves away from the mechanism. All by boxes along the axes of the assembly, since a drawing
//! wants air between its pieces anyway.

use crate::assembly::{InstanceId, Motion, MotionKind, Step};
use crate::motion::Rate;
use crate::output::kit::Product;
use crate::sequence::{Order, Removed, Speaker};
use crate::solid::Mesh;
use crate::units_told::number;
use serde::Serialize;

/// Air between pieces that are drawn apart, in mm. Guess: two walls.
const AIR: f64 = 9.0;
/// Boxes that share less than this, in mm, lie side by side.
const BESIDE: f64 = 0.01;

/// Something that leaves, or the mechanism turned on the way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Leaving {
    /// What it is called: `keeper pin 1 comes out`.
    pub words: String,
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

/// A box along the axes, in mm.
#[derive(Clone, Copy, Debug)]
struct Room {
    low: [f64; 3],
    high: [f64; 3],
}

impl Room {
    fn moved(mut self, axis: usize, by: f64) -> Self {
        self.low[axis] += by;
        self.high[axis] += by;
        self
    }

    /// Whether two overlap seen along an axis.
    fn hides(&self, other: &Self, axis: usize) -> bool {
        let across = (0..3).filter(|each| *each != axis);
        let mut shared = across.map(|each| {
            self.high[each].min(other.high[each]) - self.low[each].max(other.low[each])
        });
        shared.all(|shared| shared > BESIDE)
    }

    /// Its front and its back in a direction, which is an axis with a sign.
    fn ends(&self, axis: usize, sign: f64) -> [f64; 2] {
        let ends = [self.low[axis] * sign, self.high[axis] * sign];
        [ends[0].max(ends[1]), ends[0].min(ends[1])]
    }
}

/// All that leaves, in the order of taking apart; nothing where no order was found.
pub fn leavings(product: &Product, meshes: &[Mesh]) -> Vec<Leaving> {
    let Some(Order::Apart { removals, .. }) = &product.order else {
        return Vec::new();
    };
    let mut stage = Stage::new(product, meshes);
    removals
        .iter()
        .map(|removed| stage.leaves(removals, removed))
        .collect()
}

/// Where pieces are on the screen.
struct Stage<'a> {
    product: &'a Product,
    /// Where each is drawn, as long as it is in its place at turn 0.
    rooms: Vec<Room>,
    /// Which have left.
    out: Vec<bool>,
    /// The mechanism's turn.
    turn: f64,
}

impl<'a> Stage<'a> {
    fn new(product: &'a Product, meshes: &[Mesh]) -> Self {
        let assembly = &product.design.assembly;
        let rooms = assembly.instances.iter().map(|piece| {
            let mesh = meshes.get(piece.part.0);
            let placed = mesh.map(|mesh| mesh.placed(&piece.pose));
            let [low, high] = placed.unwrap_or_default().bounds();
            Room { low, high }
        });
        Self {
            product,
            rooms: rooms.collect(),
            out: vec![false; assembly.instances.len()],
            turn: 0.0,
        }
    }

    /// Turns the mechanism as far as it is together.
    fn turn_to(&mut self, turn: f64) {
        for (piece, room) in self.rooms.iter_mut().enumerate() {
            if let (false, Some(rate)) = (self.out[piece], self.product.rate(InstanceId(piece))) {
                *room = room.moved(2, advance_mm(rate, turn - self.turn));
            }
        }
        self.turn = turn;
    }

    fn leaves(&mut self, all: &[Removed], removed: &Removed) -> Leaving {
        let Motion {
            distance, turns, ..
        } = removed.motion;
        if removed.is_driven() {
            self.turn_to(removed.turn_after);
            return self.leaving(removed, &[], [0.0, 0.0, 0.0], Vec::new());
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
        self.leaving(removed, pieces, [along, turns, on], shoved)
    }

    fn leaving(
        &self,
        removed: &Removed,
        pieces: &[InstanceId],
        [advance_mm, turns, on_mm]: [f64; 3],
        shoved: Vec<Shove>,
    ) -> Leaving {
        Leaving {
            words: words(self.product, removed),
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

/// How far a piece goes along the axis in so many turns, in mm.
fn advance_mm(rate: Rate, turns: f64) -> f64 {
    rate.advance.as_mm() * turns
}

fn words(product: &Product, removed: &Removed) -> String {
    let speaker = Speaker {
        assembly: &product.design.assembly,
        told: product.kit.told(),
    };
    let names = speaker.names(&removed.pieces);
    let several = removed.pieces.len() > 1;
    match (removed.motion.kind, several) {
        (MotionKind::Driven, _) => {
            format!(
                "the drive is turned to turn {}",
                number(removed.turn_after, 1)
            )
        }
        (MotionKind::Helical, true) => format!("{names} are screwed out together"),
        (MotionKind::Helical, false) => format!("{names} is screwed out"),
        (MotionKind::Straight, true) => format!("{names} come out together"),
        (MotionKind::Straight, false) => format!("{names} comes out"),
    }
}

/// For each step, how many leavings are undone before it and after it, all having left at the start;
/// where it moves nothing both are the same.
///
/// A step of the design carries the first of its motions; it covers the motions up to the first of the
/// next step.
pub fn step_ranges(order: &Order, steps: &[Step]) -> Vec<[usize; 2]> {
    let found = order.insertions();
    let motions: Vec<Motion> = found.iter().map(|removed| removed.way_in()).collect();
    let mut ranges = Vec::with_capacity(steps.len());
    let mut done = 0;
    for (index, step) in steps.iter().enumerate() {
        if step.motion.is_none() || done == motions.len() {
            ranges.push([done, done]);
            continue;
        }
        let next = steps[index + 1..]
            .iter()
            .find_map(|step| step.motion.map(|motion| (step, motion)));
        let begins = |at: &usize| match next {
            Some((step, motion)) => {
                motions[*at] == motion
                    && found[*at]
                        .pieces
                        .iter()
                        .any(|piece| step.pieces.contains(piece))
            }
            None => false,
        };
        let end = (done + 1..motions.len())
            .find(begins)
            .unwrap_or(motions.len());
        ranges.push([done, end]);
        done = end;
    }
    ranges
}
