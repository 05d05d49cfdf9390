//! The plan: what leaves after what, and what each had to wait for.

use super::blame::{self, Stuck};
use super::cheapest::{Act, Search, touch, turns_engaged};
use super::greedy::{self, Outlook};
use super::motion::{Direction, Move};
use super::obstacles::Obstacles;
use super::pieces::{MOST_PIECES, Pieces};
use super::table::Table;

/// How a set of pieces comes apart until its base is left, in the order of taking apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The piece that stays.
    pub base: usize,
    /// Which side had best be up.
    pub up: Direction,
    /// What is taken away, one after the other.
    pub removals: Vec<Removal>,
}

/// Something that is done in taking apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Removal {
    /// What is done.
    pub deed: Deed,
    /// The pieces that it moves, ascending.
    pub pieces: Vec<usize>,
    /// The pieces that stay where they are, ascending; none of those that left before.
    pub rest: Vec<usize>,
    /// The pose in which it begins.
    pub pose: usize,
    /// What stood in its way and had to leave before it.
    pub waits: Vec<Wait>,
    /// How the group comes apart on the bench, if it is one.
    pub bench: Option<Plan>,
}

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Deed {
    /// The pieces leave.
    Leave {
        /// How.
        motion: Move,
        /// Turns until their threads are out of those of the rest; zero without threads.
        turns: f64,
        /// How far they could be screwed in further before a screw touches what it is screwed
        /// into, in mm; `None` if it never does, or has no thread.
        back: Option<f64>,
    },
    /// The mechanism is turned, all its joints standing.
    Drive {
        /// To which pose.
        to: usize,
        /// By how many turns of the drive, without sign.
        turns: f64,
    },
}

/// One thing that had to leave first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Wait {
    /// Index of the earlier removal, in the same list.
    pub removal: usize,
    /// A piece that it moved, which stood in the way (or whose place in its former pose did).
    pub blocker: usize,
    /// The piece that was blocked.
    pub blocked: usize,
}

/// Whether a set comes apart.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// It does, this way.
    Apart(Plan),
    /// It does not, and this is why.
    Stuck(Stuck),
    /// There are more pieces than a plan can hold.
    TooMany {
        /// How many there are.
        pieces: usize,
    },
}

/// Finds out whether everything comes apart, and in which order a person would do it.
pub fn plan<O: Obstacles>(obstacles: &O) -> Answer {
    let count = obstacles.pieces();
    if count > MOST_PIECES {
        return Answer::TooMany { pieces: count };
    }
    let mut table = Table::new(obstacles);
    let all = Pieces::first(count);
    let rest = greedy::rest(&mut table, all);
    // What comes apart by taking away whatever can go needs no longer look.
    if rest.pieces.count() > 1 {
        match greedy::outlook(&mut table, all) {
            Outlook::Apart => {}
            left @ (Outlook::Stuck | Outlook::Open) => {
                return Answer::Stuck(blame::stuck(&mut table, all, rest, left));
            }
        }
    }
    match level(&mut Search::new(&mut table), all, 0) {
        Some(plan) => Answer::Apart(plan),
        // The two agree; if they ever did not, this is the safe side.
        None => Answer::Stuck(blame::stuck(&mut table, all, rest, Outlook::Open)),
    }
}

/// The plan of a set on its own.
fn level<O: Obstacles>(search: &mut Search<'_, '_, O>, set: Pieces, pose: usize) -> Option<Plan> {
    if set.count() < 2 {
        return None;
    }
    let way = search.cheapest(set, pose)?;
    let base = search.base_of(set);
    let mut left = set;
    let mut removals: Vec<Removal> = Vec::new();
    for (pose, act) in way.acts {
        let removal = match act {
            Act::Leave { group, motion } => {
                let rest = left.without(group);
                let bench = level(search, group, pose);
                let waits = waits(search, &removals, group, motion, pose);
                let obstacles = search.table().obstacles();
                let way = obstacles.moves()[motion];
                left = rest;
                Removal {
                    deed: Deed::Leave {
                        motion: way,
                        turns: turns_engaged(obstacles, group, rest, way, pose),
                        back: touch(obstacles, group, rest, way, pose),
                    },
                    pieces: group.each().collect(),
                    rest: rest.each().collect(),
                    pose,
                    waits,
                    bench,
                }
            }
            Act::Drive { to } => {
                let obstacles = search.table().obstacles();
                Removal {
                    deed: Deed::Drive {
                        to,
                        turns: obstacles.drive_turns(pose, to),
                    },
                    pieces: left.each().collect(),
                    rest: Vec::new(),
                    pose,
                    waits: drive_waits(obstacles, &removals, left, pose, to),
                    bench: None,
                }
            }
        };
        removals.push(removal);
    }
    Some(Plan {
        base,
        up: way.up,
        removals,
    })
}

/// Which earlier removals cleared the way of a group.
fn waits<O: Obstacles>(
    search: &mut Search<'_, '_, O>,
    earlier: &[Removal],
    group: Pieces,
    motion: usize,
    pose: usize,
) -> Vec<Wait> {
    let mut waits = Vec::new();
    for (index, removal) in earlier.iter().enumerate() {
        let Deed::Leave { .. } = removal.deed else {
            continue;
        };
        for blocked in group.each() {
            let blockers = search.table().blockers(blocked, motion, pose);
            let gone = removal.pieces.iter().copied();
            waits.extend(
                gone.filter(|piece| blockers.has(*piece))
                    .map(|blocker| Wait {
                        removal: index,
                        blocker,
                        blocked,
                    }),
            );
        }
    }
    waits
}

/// Which earlier removals cleared the way of the mechanism's own motion.
fn drive_waits<O: Obstacles>(
    obstacles: &O,
    earlier: &[Removal],
    left: Pieces,
    from: usize,
    to: usize,
) -> Vec<Wait> {
    let mut waits = Vec::new();
    for (index, removal) in earlier.iter().enumerate() {
        let Deed::Leave { .. } = removal.deed else {
            continue;
        };
        let gone: Pieces = removal.pieces.iter().copied().collect();
        for blocker in gone.each() {
            for blocked in left.each() {
                if obstacles.meet_driven(blocker, blocked, from, to) {
                    waits.push(Wait {
                        removal: index,
                        blocker,
                        blocked,
                    });
                }
            }
        }
    }
    waits
}

impl Plan {
    /// Every removal, those on the bench after that of their group, with its depth.
    pub fn each(&self) -> Vec<(usize, &Removal)> {
        fn gather<'a>(plan: &'a Plan, depth: usize, all: &mut Vec<(usize, &'a Removal)>) {
            for removal in &plan.removals {
                all.push((depth, removal));
                if let Some(bench) = &removal.bench {
                    gather(bench, depth + 1, all);
                }
            }
        }
        let mut all = Vec::new();
        gather(self, 0, &mut all);
        all
    }
}
