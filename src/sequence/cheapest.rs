//! The order that a person would prefer: the cheapest way of taking apart, read backwards.
//!
//! Costs are those of putting together, for that is what people do: a piece that is taken away
//! upwards goes in downwards. A set, the last motion and the pose say all that the rest costs,
//! so each such state is worked out once. Costs are guesses, ordered by what is a nuisance at
//! a bench; ties go to the first motion and the first piece.

use super::motion::{Direction, Move};
use super::obstacles::Obstacles;
use super::pieces::Pieces;
use super::table::Table;
use std::collections::BTreeMap;

/// A piece, or a group, to handle.
const STEP: f64 = 1.0;
/// A turn of a screw.
const TURN: f64 = 0.05;
/// A turn that has to be counted, because nothing touches within one turn of it.
const COUNTED_TURN: f64 = 0.3;
/// A screw whose place nothing tells: its turns are counted from where its thread catches, and
/// nobody knows that to less than half a turn.
const NO_TOUCH: f64 = 3.0;
/// Another piece in the group.
const EXTRA_PART: f64 = 0.1;
/// Another motion than the one before.
const CHANGE: f64 = 0.5;
/// Going in sideways.
const SIDEWAYS: f64 = 0.4;
/// Going in from below.
const UPHILL: f64 = 1.0;
/// What would fall out again if nobody held it.
const HELD: f64 = 0.6;
/// Each piece of a group that friction does not hold to the rest of the group.
const LOOSE_IN_GROUP: f64 = 2.0;
/// Each thing that lies loose while something else goes in.
const LOOSE: f64 = 0.8;
/// Turning the mechanism.
const DRIVING: f64 = 2.0;

/// Sides that may be up: standing either way, lying either way.
pub(super) const UPS: [Direction; 4] = [
    Direction::new(2, true),
    Direction::new(2, false),
    Direction::new(0, true),
    Direction::new(1, true),
];

/// States beyond which the search stops and a coarser one goes on: some 30 MB. Guess.
const MOST_STATES: usize = 200_000;

/// Something that is done in taking apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Act {
    /// A group leaves.
    Leave {
        /// What goes.
        group: Pieces,
        /// Along which motion, an index.
        motion: usize,
    },
    /// The mechanism is turned to another pose.
    Drive {
        /// Which.
        to: usize,
    },
}

/// What has been decided in a state.
#[derive(Clone, Copy, Debug)]
struct Choice {
    cost: f64,
    act: Option<Act>,
}

/// A state of the search: what is still together, the last motion (none: the count of motions,
/// driven: one more), the pose, and which side is up.
type State = (Pieces, usize, usize, usize);

/// The search, with what it has found out.
pub(super) struct Search<'a, 'b, O: Obstacles> {
    table: &'a mut Table<'b, O>,
    known: BTreeMap<State, Choice>,
    bench: BTreeMap<(Pieces, usize), f64>,
    touches: BTreeMap<(Pieces, Pieces, usize, usize), f64>,
    loose: BTreeMap<(Pieces, usize, usize), usize>,
    straight: [usize; 6],
}

/// A way of taking a set apart.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Way {
    /// Which side is up.
    pub(super) up: Direction,
    /// What is done, from the whole set to its base, each with the pose before it.
    pub(super) acts: Vec<(usize, Act)>,
    /// What it costs.
    pub(super) cost: f64,
}

impl<'a, 'b, O: Obstacles> Search<'a, 'b, O> {
    pub(super) fn new(table: &'a mut Table<'b, O>) -> Self {
        let place = |direction: Direction| {
            let mut moves = table.moves().iter();
            moves.position(|m| *m == Move::Straight(direction))
        };
        // Not every scene has all six ways; one that is not there has no number, and nothing falls
        // or slides along it.
        let straight = Direction::ALL.map(|direction| place(direction).unwrap_or(usize::MAX));
        Self {
            table,
            known: BTreeMap::new(),
            bench: BTreeMap::new(),
            touches: BTreeMap::new(),
            loose: BTreeMap::new(),
            straight,
        }
    }

    /// The cheapest way to take a set apart that stands in a pose; `None` if there is none.
    pub(super) fn cheapest(&mut self, set: Pieces, pose: usize) -> Option<Way> {
        let none = self.table.moves().len();
        let mut best: Option<(usize, f64)> = None;
        for up in 0..UPS.len() {
            let cost = self.cost((set, none, pose, up));
            if cost.is_finite() && best.is_none_or(|(_, least)| cost < least - TIE) {
                best = Some((up, cost));
            }
        }
        let (up, cost) = best?;
        let mut acts = Vec::new();
        let mut state = (set, none, pose, up);
        while let Some(act) = self.known.get(&state).and_then(|choice| choice.act) {
            acts.push((state.2, act));
            state = self.after(state, act);
        }
        Some(Way {
            up: UPS[up],
            acts,
            cost,
        })
    }

    /// Who stands in whose way.
    pub(super) fn table(&mut self) -> &mut Table<'b, O> {
        self.table
    }

    /// The piece that a set is built upon: the base, or else the largest.
    pub(super) fn base_of(&self, set: Pieces) -> usize {
        let obstacles = self.table.obstacles();
        let base = obstacles.base();
        if set.has(base) {
            return base;
        }
        let larger = |a: usize, b: usize| {
            if obstacles.volume(b) > obstacles.volume(a) {
                b
            } else {
                a
            }
        };
        set.each().reduce(larger).unwrap_or(base)
    }

    fn after(&self, (set, _, pose, up): State, act: Act) -> State {
        match act {
            Act::Leave { group, motion } => (set.without(group), motion, pose, up),
            Act::Drive { to } => (set, self.table.moves().len() + 1, to, up),
        }
    }

    fn cost(&mut self, state: State) -> f64 {
        if let Some(choice) = self.known.get(&state) {
            return choice.cost;
        }
        let (set, ..) = state;
        let base = self.base_of(set);
        let mut best = Choice {
            cost: f64::INFINITY,
            act: None,
        };
        if set == Pieces::one(base) || set.is_empty() {
            best.cost = 0.0;
        } else {
            // Beyond the bound the first way that works is taken, and the cheapest removals come
            // first: a good order late is worse than a fair one.
            let enough = self.known.len() > MOST_STATES;
            let mut acts = self.acts(state, base);
            acts.extend(self.drives(state));
            for (act, cost) in acts {
                if enough && best.act.is_some() {
                    break;
                }
                // What is known already bounds what is worth looking at.
                if cost >= best.cost - TIE {
                    continue;
                }
                // This ends, though a drive leaves the set as it is: none follows upon a drive, and
                // all else makes the set smaller.
                let whole = cost + self.cost(self.after(state, act));
                if whole < best.cost - TIE {
                    best = Choice {
                        cost: whole,
                        act: Some(act),
                    };
                }
            }
        }
        self.known.insert(state, best);
        best.cost
    }

    /// All that can leave, with what that step costs, the cheapest first.
    fn acts(&mut self, state: State, base: usize) -> Vec<(Act, f64)> {
        let (set, last, pose, up) = state;
        let mut found: Vec<(Act, f64)> = Vec::new();
        for motion in 0..self.table.moves().len() {
            let mut seen: Vec<Pieces> = Vec::new();
            for piece in set.without(Pieces::one(base)).each() {
                // The least group alone: whatever larger group can go that way consists of such,
                // which can go one after the other.
                let group = self.table.along(set, piece, motion, pose);
                if group.has(base) || seen.contains(&group) {
                    continue;
                }
                // Any piece of a group may lead to the same group.
                seen.push(group);
                let cost = self.leaving(set.without(group), group, motion, last, pose, up);
                if cost.is_finite() {
                    found.push((Act::Leave { group, motion }, cost));
                }
            }
        }
        found.sort_by(|a, b| a.1.total_cmp(&b.1));
        found
    }

    fn leaving(
        &mut self,
        rest: Pieces,
        group: Pieces,
        motion: usize,
        last: usize,
        pose: usize,
        up: usize,
    ) -> f64 {
        let way = self.table.moves()[motion];
        let mut cost = STEP + EXTRA_PART * (group.count() - 1) as f64 + self.on_bench(group, pose);
        // A group is carried by its largest piece; what friction does not hold to that has to be
        // held by fingers.
        let core = self.base_of(group);
        let held = self.table.held_to(core, group, pose);
        cost += LOOSE_IN_GROUP * group.without(held).count() as f64;
        cost += LOOSE * self.loose(rest, pose, up) as f64;
        if last != motion && last != self.table.moves().len() {
            cost += CHANGE;
        }
        cost += uphill(way.direction(), UPS[up]);
        if !self.stands(rest, group, pose, up) {
            cost += HELD;
        }
        cost + self.turning(rest, group, motion, pose)
    }

    /// What turning a screw in costs, and counting where nothing touches.
    fn turning(&mut self, rest: Pieces, group: Pieces, motion: usize, pose: usize) -> f64 {
        let way = self.table.moves()[motion];
        if way.clockwise().is_none() {
            return 0.0;
        }
        let place = (rest, group, motion, pose);
        if let Some(known) = self.touches.get(&place) {
            return *known;
        }
        // A screw that touches is turned back from there, so only whole turns of that have to be
        // counted; one that never touches has to be counted all the way in.
        let turns = turns_engaged(self.table.obstacles(), group, rest, way, pose);
        let sought = match touch(self.table.obstacles(), group, rest, way, pose) {
            Some(travel) => COUNTED_TURN * way.turns_over(travel).floor(),
            None => NO_TOUCH + COUNTED_TURN * turns,
        };
        let cost = TURN * turns + sought;
        self.touches.insert(place, cost);
        cost
    }

    /// How many things lie loose in a set, pieces or what friction makes one of several: none
    /// holds them to the base, and nothing keeps them from sliding out, except that gravity keeps
    /// what could leave upwards alone.
    fn loose(&mut self, set: Pieces, pose: usize, up: usize) -> usize {
        if let Some(known) = self.loose.get(&(set, pose, up)) {
            return *known;
        }
        let base = self.base_of(set);
        let mut rest = set.without(self.table.held_to(base, set, pose));
        let mut count = 0;
        while let Some(piece) = rest.each().next() {
            // What friction holds together leaves together or not at all.
            let cluster = self.table.held_to(piece, set, pose);
            let leaves = |motion: &usize| {
                let mut all = cluster.each();
                *motion != usize::MAX
                    && self.table.moves()[*motion].direction() != UPS[up]
                    && all.all(|one| !self.table.along(set, one, *motion, pose).has(base))
            };
            if self.straight.iter().any(leaves) {
                count += 1;
            }
            rest = rest.without(cluster);
        }
        self.loose.insert((set, pose, up), count);
        count
    }

    /// Whether a group stays where it was put: friction or something below holds it.
    fn stands(&mut self, rest: Pieces, group: Pieces, pose: usize, up: usize) -> bool {
        let mut held = Pieces::NONE;
        for piece in group.each() {
            held = held.with(self.table.held_to(piece, rest, pose));
        }
        if !held.without(group).is_empty() {
            return true;
        }
        // Whether a piece falls is asked as whether it could leave downwards: gravity is a motion
        // like others, and costs no query of its own.
        let down = UPS[up].back();
        let at = Direction::ALL.iter().position(|d| *d == down);
        let motion = at.map_or(usize::MAX, |at| self.straight[at]);
        if motion == usize::MAX {
            return true;
        }
        let set = rest.with(group);
        let base = self.base_of(rest);
        let falls = |search: &mut Self, piece| {
            let falling = search.table.along(set, piece, motion, pose);
            !falling.has(base)
        };
        group.each().all(|piece| !falls(self, piece))
    }

    /// What it costs to put a group together on the bench, whichever side is up there.
    fn on_bench(&mut self, group: Pieces, pose: usize) -> f64 {
        if group.count() < 2 {
            return 0.0;
        }
        if let Some(known) = self.bench.get(&(group, pose)) {
            return *known;
        }
        // A group is a set with a base of its own, so the same search does, with the side that is
        // up chosen anew: a group is put together on the bench and then picked up.
        let cost = self
            .cheapest(group, pose)
            .map_or(f64::INFINITY, |way| way.cost);
        self.bench.insert((group, pose), cost);
        cost
    }

    /// To where the mechanism can be turned, if that was not just done, with what it costs.
    fn drives(&mut self, (set, last, pose, up): State) -> Vec<(Act, f64)> {
        // Two drives in a row are one, and a way that may go on driving has no end.
        if last == self.table.moves().len() + 1 {
            return Vec::new();
        }
        let poses = 0..self.table.obstacles().poses();
        poses
            .filter_map(|to| Some((Act::Drive { to }, self.driving(set, pose, to, up)?)))
            .collect()
    }

    fn driving(&mut self, set: Pieces, from: usize, to: usize, up: usize) -> Option<f64> {
        let obstacles = self.table.obstacles();
        if from == to || !set.has(obstacles.base()) {
            return None;
        }
        let met = obstacles.drive(set, from, to)?;
        let free = met.iter().all(|[a, b]| self.table.waives(*a, *b));
        let loose = LOOSE * self.loose(set, from, up) as f64;
        free.then(|| DRIVING + COUNTED_TURN * obstacles.drive_turns(from, to) + loose)
    }
}

/// Sums of costs that differ by less are equal: rounding of doubles.
const TIE: f64 = 1e-9;

/// What it costs to go in against a direction, seen from what is up.
fn uphill(leaving: Direction, up: Direction) -> f64 {
    if leaving.axis != up.axis {
        SIDEWAYS
    } else if leaving.positive == up.positive {
        0.0
    } else {
        UPHILL
    }
}

/// Turns until the threads between a group and the rest are apart.
pub(super) fn turns_engaged<O: Obstacles>(
    obstacles: &O,
    group: Pieces,
    rest: Pieces,
    way: Move,
    pose: usize,
) -> f64 {
    let mut turns = 0.0f64;
    for piece in group.each() {
        for other in rest.each() {
            turns = turns.max(obstacles.turns_engaged(piece, other, way, pose));
        }
    }
    turns
}

/// How far a group that leaves by a thread could go in further, in mm, before a screw touches
/// what it is screwed into; `None` if it never does, or if something else is met before.
pub(super) fn touch<O: Obstacles>(
    obstacles: &O,
    group: Pieces,
    rest: Pieces,
    leaving: Move,
    pose: usize,
) -> Option<f64> {
    let mut touch = f64::INFINITY;
    let mut other_pairs = Vec::new();
    for piece in group.each() {
        for other in rest.each() {
            if obstacles.turns_engaged(piece, other, leaving, pose) > 0.0 {
                let travel = obstacles.free_travel(piece, other, leaving.back(), pose);
                touch = touch.min(travel.unwrap_or(f64::INFINITY));
            } else {
                other_pairs.push((piece, other));
            }
        }
    }
    // Where another face meets first the screw stops there, and its head never tells that it is
    // home.
    let before = |(piece, other): &(usize, usize)| {
        let travel = obstacles.free_travel(*piece, *other, leaving.back(), pose);
        travel.is_some_and(|travel| travel < touch)
    };
    (touch.is_finite() && !other_pairs.iter().any(before)).then_some(touch)
}
