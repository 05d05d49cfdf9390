//! Whether a set comes apart, by taking away whatever can go.
//!
//! In one pose this is complete: taking pieces away adds no obstacle, so whatever could go
//! before still can, and what is left in the end does not depend on the order. A piece that
//! could have gone in some other order would have had no more around it then than now.
//!
//! The mechanism's own motion needs its joints, and those can be taken away. So pieces whose
//! going leaves the motion as it was go first, in every pose that can be reached, until none
//! is left; only then is a pose chosen and the rest taken apart in it. That finds most orders
//! but not all: a piece stays whose going alone ends the motion, even where the next one's
//! going would bring it back, and one goes that some later motion would have needed. So what
//! is stuck by this counts as stuck only if [`outlook`], which tries every order, says so.

use super::obstacles::Obstacles;
use super::pieces::Pieces;
use super::table::Table;
use std::collections::BTreeSet;

/// What is left when nothing can be taken away any more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rest {
    /// The pieces that hold each other; the base alone if all comes apart.
    pub(super) pieces: Pieces,
    /// The pose in which they stand.
    pub(super) pose: usize,
}

/// What a look at every order has shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outlook {
    /// Some order takes everything apart.
    Apart,
    /// None does.
    Stuck,
    /// Too many states to look at all of them, and none so far came apart.
    Open,
}

/// States beyond which no further orders are tried: some seconds. Guess.
pub(super) const MOST_STATES: usize = 50_000;

/// Tries every order of a set, begun in pose 0, the mechanism driven wherever it can be.
pub(super) fn outlook<O: Obstacles>(table: &mut Table<'_, O>, all: Pieces) -> Outlook {
    outlook_within(table, all, MOST_STATES)
}

/// The same, cut short beyond a number of states.
pub(super) fn outlook_within<O: Obstacles>(
    table: &mut Table<'_, O>,
    all: Pieces,
    most: usize,
) -> Outlook {
    let base = table.obstacles().base();
    // A bound that is quick: who is stuck with every pose for the asking is stuck in any order, and
    // the states need not be tried.
    if in_any_pose(table, all).count() > 1 {
        return Outlook::Stuck;
    }
    let mut waiting = vec![(all, 0)];
    let mut seen = BTreeSet::from([(all, 0)]);
    while let Some((set, pose)) = waiting.pop() {
        // In one pose taking away whatever can go is complete, so many states are settled here
        // without a branch.
        if taken_apart(table, set, base, pose, false).count() <= 1 {
            return Outlook::Apart;
        }
        for next in after(table, set, pose) {
            if seen.insert(next) {
                waiting.push(next);
            }
        }
        if seen.len() > most {
            return Outlook::Open;
        }
    }
    Outlook::Stuck
}

/// What is left if every pose could always be reached. No order leaves less.
fn in_any_pose<O: Obstacles>(table: &mut Table<'_, O>, all: Pieces) -> Pieces {
    let base = table.obstacles().base();
    let mut set = all;
    loop {
        let before = set;
        for pose in 0..table.obstacles().poses() {
            set = taken_apart(table, set, base, pose, false);
        }
        if set == before {
            return set;
        }
    }
}

/// All states that one removal or one drive leads to.
fn after<O: Obstacles>(table: &mut Table<'_, O>, set: Pieces, pose: usize) -> Vec<(Pieces, usize)> {
    let obstacles = table.obstacles();
    let base = obstacles.base();
    let mut states = Vec::new();
    for piece in set.without(Pieces::one(base)).each() {
        for motion in 0..table.moves().len() {
            let group = table.along(set, piece, motion, pose);
            if !group.has(base) && comes_apart(table, group, pose) {
                states.push((set.without(group), pose));
            }
        }
    }
    let reached = (0..obstacles.poses()).filter(|to| opens(table, set, pose, *to));
    states.extend(reached.map(|to| (set, to)));
    states
}

/// Whether the mechanism can be driven from one pose to another with what is there.
fn opens<O: Obstacles>(table: &Table<'_, O>, set: Pieces, from: usize, to: usize) -> bool {
    let met = table.obstacles().drive(set, from, to);
    met.is_some_and(|met| met.iter().all(|[a, b]| table.waives(*a, *b)))
}

/// The least that can be left of a set, begun in pose 0; of equal ones in the first pose.
pub(super) fn rest<O: Obstacles>(table: &mut Table<'_, O>, all: Pieces) -> Rest {
    let obstacles = table.obstacles();
    let base = obstacles.base();
    let mut set = all;
    let mut reached = vec![0];
    loop {
        let before = (set, reached.len());
        for pose in reached.clone() {
            set = taken_apart(table, set, base, pose, true);
            for to in 0..obstacles.poses() {
                if !reached.contains(&to) && opens(table, set, pose, to) {
                    reached.push(to);
                }
            }
        }
        if before == (set, reached.len()) {
            break;
        }
    }
    reached.sort_unstable();
    let rests = reached.into_iter().map(|pose| Rest {
        pieces: taken_apart(table, set, base, pose, false),
        pose,
    });
    let fewest = |a: Rest, b: Rest| {
        if b.pieces.count() < a.pieces.count() {
            b
        } else {
            a
        }
    };
    let start = Rest {
        pieces: all,
        pose: 0,
    };
    let Rest { pieces, pose } = rests.fold(start, fewest);
    Rest {
        pieces: core(table, pieces, pose),
        pose,
    }
}

/// Of a stuck set, the pieces that hold each other: a group that could leave it as a whole is
/// stuck in itself, and the rest has no part in that.
fn core<O: Obstacles>(table: &mut Table<'_, O>, set: Pieces, pose: usize) -> Pieces {
    let base = table.obstacles().base();
    let mut set = set;
    'narrower: loop {
        let base = if set.has(base) {
            Some(base)
        } else {
            set.each().next()
        };
        let Some(base) = base else { return set };
        for piece in set.without(Pieces::one(base)).each() {
            for motion in 0..table.moves().len() {
                let group = table.along(set, piece, motion, pose);
                if !group.has(base) {
                    let Some(first) = group.each().next() else {
                        continue;
                    };
                    // The group leaves as one and is not apart, or it would have gone before: so
                    // the trouble is inside it, and the search narrows to it.
                    set = taken_apart(table, group, first, pose, false);
                    continue 'narrower;
                }
            }
        }
        return set;
    }
}

/// The set without all that can go in one pose, groups included. `driven`: only what leaves
/// the mechanism's own motion as it was.
fn taken_apart<O: Obstacles>(
    table: &mut Table<'_, O>,
    mut set: Pieces,
    base: usize,
    pose: usize,
    driven: bool,
) -> Pieces {
    let moves = table.moves().len();
    loop {
        let before = set;
        for piece in set.without(Pieces::one(base)).each() {
            for motion in 0..moves {
                if !set.has(piece) {
                    break;
                }
                let group = table.along(set, piece, motion, pose);
                // A piece without which the mechanism no longer moves stays, for as long as other
                // poses may yet be of use.
                let stays = driven && drives(table, set) && !drives(table, set.without(group));
                if !group.has(base) && !stays && comes_apart(table, group, pose) {
                    set = set.without(group);
                }
            }
        }
        if set == before {
            return set;
        }
    }
}

/// Whether the joints of a set say how it moves.
fn drives<O: Obstacles>(table: &Table<'_, O>, set: Pieces) -> bool {
    table.obstacles().drive(set, 0, 0).is_some()
}

/// Whether a group that has left comes apart on the bench. Any subset of what comes apart
/// does, so it matters not on which of its pieces it is built; the first will do.
fn comes_apart<O: Obstacles>(table: &mut Table<'_, O>, group: Pieces, pose: usize) -> bool {
    let Some(base) = group.each().next() else {
        return true;
    };
    group.count() == 1 || taken_apart(table, group, base, pose, false).count() == 1
}
