//! Who stands in whose way, asked once and kept.

use super::motion::Move;
use super::obstacles::{Obstacles, Passage};
use super::pieces::Pieces;
use rayon::prelude::*;

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
    holds: Vec<Option<Vec<Pieces>>>,
    waived: Vec<Pieces>,
    optimistic: bool,
}

impl<'a, O: Obstacles> Table<'a, O> {
    pub(super) fn new(obstacles: &'a O) -> Self {
        let pieces = obstacles.pieces();
        let rows = obstacles.moves().len() * obstacles.poses() * pieces;
        Self {
            obstacles,
            rows: vec![None; rows],
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
        let (obstacles, way) = (self.obstacles, self.obstacles.moves()[motion]);
        let passages: Vec<Passage> = (0..count)
            .into_par_iter()
            .map(|other| {
                if other == piece {
                    Passage::Free
                } else {
                    obstacles.passage(piece, other, way, pose)
                }
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
