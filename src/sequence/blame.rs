//! Why a set does not come apart: whose meeting it is that holds everything.
//!
//! Each pair that meets is waived in turn, as if the two could pass through each other, and
//! the verdict is asked for again; a pair without which everything comes apart is a cause. If
//! there is none, two at a time.

use super::greedy::{self, Outlook, Rest};
use super::motion::Move;
use super::obstacles::{Obstacles, Passage};
use super::pieces::Pieces;
use super::table::Table;

/// Pieces that hold each other, and the meetings to blame.
#[derive(Clone, Debug, PartialEq)]
pub struct Stuck {
    /// The pieces, ascending.
    pub pieces: Vec<usize>,
    /// The pose in which the fewest are stuck.
    pub pose: usize,
    /// Whether bodies are known to meet in every motion: without what is only not proved, it
    /// would still be stuck. If false, the answer is "not proved" and no more.
    pub proved: bool,
    /// Whether orders were left that nobody looked at, so that it is not proved for want of work.
    pub cut_short: bool,
    /// Each alone would free everything: one meeting, or two that must both go.
    pub causes: Vec<Vec<Meeting>>,
}

/// Two pieces that meet when one of them moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// The piece that moves.
    pub mover: usize,
    /// The piece that it meets.
    pub other: usize,
    /// The motion that would take it out, were it not for the other.
    pub motion: Move,
}

/// Most pairs that are tried two at a time: 1 225 verdicts. Guess.
const MOST_PAIRS: usize = 50;

/// Says why a rest is left of a set, of which the search for an order has said this much.
pub(super) fn stuck<O: Obstacles>(
    table: &mut Table<'_, O>,
    all: Pieces,
    rest: Rest,
    outlook: Outlook,
) -> Stuck {
    let pairs = meeting_pairs(table, rest);
    let mut causes: Vec<Vec<[usize; 2]>> = Vec::new();
    for pair in &pairs {
        if frees(table, all, &[*pair]) {
            causes.push(vec![*pair]);
        }
    }
    if causes.is_empty() && pairs.len() <= MOST_PAIRS {
        for (index, first) in pairs.iter().enumerate() {
            for second in &pairs[index + 1..] {
                if frees(table, all, &[*first, *second]) {
                    causes.push(vec![*first, *second]);
                }
            }
        }
    }
    let mut told = Vec::new();
    for cause in causes {
        let meetings = cause
            .iter()
            .filter_map(|pair| meeting(table, rest, &cause, *pair));
        told.push(meetings.collect());
    }
    table.waive(&[]);
    let mut sure = without_the_unproved(table, all);
    if sure != Outlook::Stuck {
        table.look_longer(rest.pieces, rest.pose);
        sure = without_the_unproved(table, all);
    }
    let proved = sure == Outlook::Stuck;
    let cut_short = !proved && [outlook, sure].contains(&Outlook::Open);
    Stuck {
        pieces: rest.pieces.each().collect(),
        pose: rest.pose,
        proved,
        cut_short,
        causes: told,
    }
}

/// What comes of it if what is not proved to be in the way is taken to be free.
fn without_the_unproved<O: Obstacles>(table: &mut Table<'_, O>, all: Pieces) -> Outlook {
    table.optimistic(true);
    let outlook = match greedy::rest(table, all).pieces.count() > 1 {
        true => greedy::outlook(table, all),
        false => Outlook::Apart,
    };
    table.optimistic(false);
    outlook
}

/// Pairs of the rest of which one stands in the other's way in any motion.
fn meeting_pairs<O: Obstacles>(table: &mut Table<'_, O>, rest: Rest) -> Vec<[usize; 2]> {
    let mut pairs = Vec::new();
    for a in rest.pieces.each() {
        for b in rest.pieces.each().filter(|b| *b > a) {
            let meet =
                (0..table.moves().len()).any(|motion| table.blockers(a, motion, rest.pose).has(b));
            if meet {
                pairs.push([a, b]);
            }
        }
    }
    pairs
}

/// Whether everything comes apart without some meetings, by taking away whatever can go: a
/// cause may be missed that only another order would show, but none is named wrongly.
fn frees<O: Obstacles>(table: &mut Table<'_, O>, all: Pieces, pairs: &[[usize; 2]]) -> bool {
    table.waive(pairs);
    let rest = greedy::rest(table, all);
    table.waive(&[]);
    rest.pieces.count() <= 1
}

/// The motion to tell of a pair: one that takes either of the two out of the rest once the
/// cause is waived. Of several, those along the thread that the two share come first, for nothing
/// but turning would part them; then proved ones before unproved, those of a piece that is taken
/// away before those of the base, and then that in which the least is in the way.
fn meeting<O: Obstacles>(
    table: &mut Table<'_, O>,
    rest: Rest,
    cause: &[[usize; 2]],
    [a, b]: [usize; 2],
) -> Option<Meeting> {
    let obstacles = table.obstacles();
    let mut best: Option<((bool, bool, bool, f64), Meeting)> = None;
    let turns = |mover, other, motion| obstacles.turns_engaged(mover, other, motion, rest.pose);
    let screwed = table
        .moves()
        .iter()
        .any(|way| turns(a, b, *way).max(turns(b, a, *way)) > 0.0);
    for (mover, other) in [(a, b), (b, a)] {
        for motion in 0..table.moves().len() {
            if !table.blockers(mover, motion, rest.pose).has(other) {
                continue;
            }
            table.waive(cause);
            let group = table.along(rest.pieces, mover, motion, rest.pose);
            table.waive(&[]);
            if group.has(other) {
                continue;
            }
            let way = table.moves()[motion];
            let unproved = obstacles.passage(mover, other, way, rest.pose) == Passage::Unproved;
            let overlap = obstacles.overlap(mover, other, way, rest.pose);
            let stays = mover == obstacles.base();
            let apart_from_thread = screwed && turns(mover, other, way) <= 0.0;
            let rank = (
                apart_from_thread,
                unproved,
                stays,
                overlap.unwrap_or(f64::MAX),
            );
            if best.is_none_or(|(least, _)| rank < least) {
                let meeting = Meeting {
                    mover,
                    other,
                    motion: way,
                };
                best = Some((rank, meeting));
            }
        }
    }
    best.map(|(_, meeting)| meeting)
}
