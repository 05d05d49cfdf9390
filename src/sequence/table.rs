//! Who stands in whose way, asked once and kept.

use super::motion::Move;
use super::obstacles::{Obstacles, Passage};
use super::pieces::Pieces;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// What stands in one piece's way, in one motion and pose.
#[derive(Clone, Copy, Debug, Default)]
struct Row {
    /// Those that block, proved or not.
    blocked: Pieces,
    /// Those of them of which it is not proved.
    unproved: Pieces,
}

/// Obstacles with a memory. Rows are filled when they are first asked for, their entries side
/// by side; what is asked does not depend on the number of threads.
pub(super) struct Table<'a, O: Obstacles> {
    obstacles: &'a O,
    rows: Vec<Option<Row>>,
    /// What was asked of two pieces, the lower index moving.
    pairs: BTreeMap<[usize; 4], Passage>,
    /// Index of each motion's way back.
    back: Vec<Option<usize>>,
    holds: Vec<Option<Vec<Pieces>>>,
    waived: Vec<Pieces>,
    optimistic: bool,
}

impl<'a, O: Obstacles> Table<'a, O> {
    pub(super) fn new(obstacles: &'a O) -> Self {
        let pieces = obstacles.pieces();
        let moves = obstacles.moves();
        let rows = moves.len() * obstacles.poses() * pieces;
        Self {
            obstacles,
            rows: vec![None; rows],
            pairs: BTreeMap::new(),
            back: moves
                .iter()
                .map(|way| moves.iter().position(|other| *other == way.back()))
                .collect(),
            holds: vec![None; obstacles.poses()],
            waived: vec![Pieces::NONE; pieces],
            optimistic: false,
        }
    }

    pub(super) fn obstacles(&self) -> &'a O {
        self.obstacles
    }

    pub(super) fn moves(&self) -> &'a [Move] {
        self.obstacles.moves()
    }

    /// From now on, these pairs pass each other whatever they do. An empty list ends it.
    pub(super) fn waive(&mut self, pairs: &[[usize; 2]]) {
        self.waived.fill(Pieces::NONE);
        for [a, b] in pairs {
            self.waived[*a] = self.waived[*a].with(Pieces::one(*b));
            self.waived[*b] = self.waived[*b].with(Pieces::one(*a));
        }
    }

    /// Whether a pair is waived.
    pub(super) fn waives(&self, a: usize, b: usize) -> bool {
        self.waived[a].has(b)
    }

    /// All that block a piece in a motion (an index into the motions) and a pose.
    pub(super) fn blockers(&mut self, piece: usize, motion: usize, pose: usize) -> Pieces {
        let Row { blocked, unproved } = self.row(piece, motion, pose);
        let blocked = if self.optimistic {
            blocked.without(unproved)
        } else {
            blocked
        };
        blocked.without(self.waived[piece])
    }

    /// Looks longer at what is not proved among some pieces.
    pub(super) fn look_longer(&mut self, pieces: Pieces, pose: usize) {
        for piece in pieces.each() {
            for (motion, way) in self.moves().iter().enumerate() {
                let open = self.row(piece, motion, pose).unproved.both(pieces);
                let obstacles = self.obstacles;
                let meet = open
                    .each()
                    .filter(|other| obstacles.surely_meet(piece, *other, *way, pose));
                let meet: Pieces = meet.collect();
                let place = self.place(piece, motion, pose);
                if let Some(row) = &mut self.rows[place] {
                    row.unproved = row.unproved.without(meet);
                }
            }
        }
    }

    /// What to ask of a pair: one piece that goes one way is the other that goes back, and a pose
    /// in which the two stand alike will do.
    fn asked(&self, piece: usize, other: usize, motion: usize, pose: usize) -> [usize; 4] {
        let pose = self.obstacles.like_pose(piece, other, pose);
        match self.back[motion] {
            Some(back) if other < piece => [other, piece, back, pose],
            _ => [piece, other, motion, pose],
        }
    }

    fn place(&self, piece: usize, motion: usize, pose: usize) -> usize {
        (motion * self.obstacles.poses() + pose) * self.obstacles.pieces() + piece
    }

    /// From now on, what is not proved to be in the way is taken to be free, or no longer.
    pub(super) fn optimistic(&mut self, optimistic: bool) {
        self.optimistic = optimistic;
    }

    /// All of a set that block any piece of a group.
    pub(super) fn blockers_of(
        &mut self,
        group: Pieces,
        among: Pieces,
        motion: usize,
        pose: usize,
    ) -> Pieces {
        let mut blockers = Pieces::NONE;
        for piece in group.each() {
            blockers = blockers.with(self.blockers(piece, motion, pose));
        }
        blockers.both(among).without(group)
    }

    /// The least group around a piece that can go that way out of the set: the piece, what
    /// blocks it, what blocks that. It is the whole set where nothing can.
    pub(super) fn along(
        &mut self,
        set: Pieces,
        piece: usize,
        motion: usize,
        pose: usize,
    ) -> Pieces {
        let mut group = Pieces::one(piece);
        let mut new = group;
        while !new.is_empty() {
            let blockers = self.blockers_of(new, set, motion, pose);
            new = blockers.without(group);
            group = group.with(new);
        }
        group
    }

    /// What friction holds to a piece of a set: itself, what is pressed or screwed to it, what
    /// is to that.
    pub(super) fn held_to(&mut self, piece: usize, set: Pieces, pose: usize) -> Pieces {
        let mut held = Pieces::one(piece);
        let mut new = held;
        while !new.is_empty() {
            let mut next = Pieces::NONE;
            for one in new.each() {
                next = next.with(self.holds(one, pose));
            }
            new = next.both(set).without(held);
            held = held.with(new);
        }
        held
    }

    fn holds(&mut self, piece: usize, pose: usize) -> Pieces {
        let obstacles = self.obstacles;
        let count = obstacles.pieces();
        let all = self.holds[pose].get_or_insert_with(|| {
            let of = |a: usize| (0..count).filter(move |b| *b != a && obstacles.hold(a, *b, pose));
            (0..count).map(|a| of(a).collect()).collect()
        });
        all[piece]
    }

    fn row(&mut self, piece: usize, motion: usize, pose: usize) -> Row {
        let count = self.obstacles.pieces();
        let place = self.place(piece, motion, pose);
        if let Some(row) = self.rows[place] {
            return row;
        }
        let others: Vec<usize> = (0..count).filter(|other| *other != piece).collect();
        let asked: Vec<[usize; 4]> = others
            .iter()
            .map(|other| self.asked(piece, *other, motion, pose))
            .filter(|asked| !self.pairs.contains_key(asked))
            .collect();
        let (obstacles, moves) = (self.obstacles, self.obstacles.moves());
        let answers: Vec<Passage> = asked
            .par_iter()
            .map(|[a, b, motion, pose]| obstacles.passage(*a, *b, moves[*motion], *pose))
            .collect();
        self.pairs.extend(asked.into_iter().zip(answers));
        let passages: Vec<Passage> = (0..count)
            .map(|other| {
                let asked = self.asked(piece, other, motion, pose);
                self.pairs.get(&asked).copied().unwrap_or(Passage::Free)
            })
            .collect();
        let which = |wanted: fn(Passage) -> bool| {
            let found = passages.iter().enumerate();
            found
                .filter(|(_, passage)| wanted(**passage))
                .map(|(other, _)| other)
                .collect()
        };
        let row = Row {
            blocked: which(|passage| passage != Passage::Free),
            unproved: which(|passage| passage == Passage::Unproved),
        };
        self.rows[place] = Some(row);
        row
    }
}
