//! The pieces of an assembly as obstacles: who stands in whose way, by their meshes.
//!
//! The search sees pieces by a number that follows from where they stand, not from the list of
//! the assembly, so that shuffled and renamed kits are planned alike. Poses are whole turns of
//! the drive, so that a piece that turns stands at the same angle in each.

use super::motion::{Direction, Move, same_lead};
use super::obstacles::{Obstacles, Passage};
use super::pieces::Pieces;
use crate::assembly::{Assembly, Course, Fit, InstanceId};
use crate::clearance::{Body, Met, Obstacle, Pair, Standing, Trajectory, make_rings};
use crate::motion::{JointGraph, Link, Rate, StrokeRates};
use crate::solid::Mesh;
use crate::units::Length;
use rayon::prelude::*;
use std::borrow::Borrow;
use std::collections::BTreeMap;
use std::sync::Mutex;

/// Pieces where they stand, and how the mechanism moves them.
pub struct Scene<'a> {
    bodies: Vec<&'a Body>,
    volumes: Vec<f64>,
    /// Index in the caller's list of every piece, in the order of the search.
    order: Vec<usize>,
    base: usize,
    moves: Vec<Move>,
    relieved: Vec<Relieved>,
    drive: Option<Drive>,
    driven: Mutex<BTreeMap<(usize, usize, usize, usize), bool>>,
    standing: Mutex<BTreeMap<Pieces, bool>>,
}

/// Two pieces whose faces may overlap as they are drawn.
struct Relieved {
    between: [usize; 2],
    /// How far they may overlap across a way and still count as free, in mm.
    relief: f64,
    /// Whether they are pressed together, so that friction holds them.
    holds: bool,
}

/// The mechanism's own motion.
struct Drive {
    graph: JointGraph,
    rates: Vec<Rate>,
    /// Turns of the drive in each pose, whole.
    turns: Vec<f64>,
}

impl<'a> Scene<'a> {
    /// Pieces that nothing drives: bodies where they stand, their volumes in mm3 (found from
    /// the meshes), and the index of the one that stays.
    pub fn of_bodies(bodies: &'a [Body], volumes: &[f64], base: usize) -> Self {
        let mut order: Vec<usize> = (0..bodies.len()).collect();
        let key = |piece: &usize| {
            let [low, high] = bodies[*piece].bounds();
            let corners = low.into_iter().chain(high);
            // Rounded, since the same piece computed in another order of sums is off by a last
            // digit.
            corners.map(|at| (at / PLACE).round()).collect::<Vec<f64>>()
        };
        // By place and not by the list: two kits that differ in the order of their pieces alone
        // must be told the same steps.
        order.sort_by(|a, b| {
            let (a, b) = (key(a), key(b));
            let mut differ = a.iter().zip(&b).map(|(a, b)| a.total_cmp(b));
            differ
                .find(|o| o.is_ne())
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        let leads = bodies.iter().flat_map(Body::threads);
        let moves = Move::all(leads.map(|thread| thread.thread.signed_lead().as_mm()));
        Self {
            base: order.iter().position(|piece| *piece == base).unwrap_or(0),
            bodies: order.iter().map(|piece| &bodies[*piece]).collect(),
            volumes: order
                .iter()
                .map(|piece| volumes.get(*piece).copied().unwrap_or(0.0))
                .collect(),
            order,
            moves,
            relieved: Vec::new(),
            drive: None,
            driven: Mutex::default(),
            standing: Mutex::default(),
        }
    }

    /// An assembly with the meshes of its parts, each in its print frame, and the bodies that
    /// they make of its pieces. `tolerance` is the chord tolerance of the meshes.
    pub fn new<M: Borrow<Mesh> + Sync>(
        assembly: &Assembly,
        rates: &StrokeRates,
        course: &Course,
        meshes: &[M],
        bodies: &'a [Body],
        tolerance: Length,
    ) -> Self {
        make_rings(bodies);
        let volume = |mesh: &M| mesh.borrow().volume_mm3();
        let volumes: Vec<f64> = meshes.par_iter().map(volume).collect();
        let of_pieces: Vec<f64> = assembly
            .instances
            .iter()
            .map(|piece| volumes.get(piece.part.0).copied().unwrap_or(0.0))
            .collect();
        let mut scene = Self::of_bodies(bodies, &of_pieces, assembly.frame.0);
        for joint in &assembly.joints {
            let drawn = joint.gap.map_or(Length::ZERO, |gap| gap.drawn);
            let between = joint.between.map(|piece| piece.0);
            // Chords of two curved faces may cross where less than two tolerances lie between.
            let chords = tolerance * 2.0;
            let flat = matches!(joint.fit, Fit::Seat | Fit::Stop | Fit::Thread);
            if joint.fit == Fit::Press {
                let overlap = (Length::ZERO - drawn).max(Length::ZERO);
                // A pressed pin is drawn into its hole: as drawn it could never go in or out, so by
                // so much as the press the two may overlap.
                scene.press(between, (overlap + chords).as_mm());
            } else if !flat && drawn < chords {
                scene.relieve(between, chords.as_mm(), false);
            }
        }
        let turns = [0.0, course.assembly_turn, course.turns.floor()];
        scene.driven_by(&JointGraph::from(assembly), rates.all(), &turns);
        scene
    }

    /// Two pieces, of the caller's list, that are pressed together; `relief` is what their
    /// faces may overlap, in mm.
    pub fn press(&mut self, between: [usize; 2], relief: f64) {
        self.relieve(between, relief, true);
    }

    fn relieve(&mut self, between: [usize; 2], relief: f64, holds: bool) {
        let between = between.map(|piece| self.place(piece));
        self.relieved.push(Relieved {
            between,
            relief,
            holds,
        });
    }

    /// The mechanism's own motion: joints and rates in the order of the caller's list, and the
    /// turns, whole, in which it may be looked at.
    pub fn driven_by(&mut self, graph: &JointGraph, rates: &[Rate], turns: &[f64]) {
        let place = |piece: InstanceId| InstanceId(self.place(piece.0));
        let link = |link: &Link| Link {
            name: link.name.clone(),
            constraint: link.constraint,
            between: link.between.map(place),
        };
        let mut poses: Vec<f64> = vec![0.0];
        for turn in turns {
            // Whole turns only: between them a piece that turns stands at another angle, and every
            // straight way would have to be asked anew.
            let whole = turn.round();
            if !poses.contains(&whole) {
                poses.push(whole);
            }
        }
        self.drive = Some(Drive {
            graph: JointGraph {
                pieces: self
                    .order
                    .iter()
                    .map(|piece| graph.pieces[*piece].clone())
                    .collect(),
                links: graph.links.iter().map(link).collect(),
                frame: place(graph.frame),
                drive: place(graph.drive),
                carriage: place(graph.carriage),
            },
            rates: self.order.iter().map(|piece| rates[*piece]).collect(),
            turns: poses,
        });
    }

    /// Index in the caller's list of a piece of the search.
    pub fn named(&self, piece: usize) -> usize {
        self.order.get(piece).copied().unwrap_or(piece)
    }

    /// Turns of the drive in a pose.
    pub fn turns(&self, pose: usize) -> f64 {
        let turns = self.drive.as_ref().and_then(|drive| drive.turns.get(pose));
        turns.copied().unwrap_or(0.0)
    }

    /// How far a piece has advanced along the axis in a pose, in mm.
    pub fn advance(&self, piece: usize, pose: usize) -> f64 {
        match &self.drive {
            Some(drive) => drive.rates[piece].after(self.turns(pose)).advance.as_mm(),
            None => 0.0,
        }
    }

    /// The piece that is turned, and the one that stays.
    pub(super) fn drive_and_base(&self) -> Option<[usize; 2]> {
        let drive = self.drive.as_ref()?;
        Some([drive.graph.drive.0, self.base])
    }

    /// Advance of the carriage along the axis, in mm a turn of the stroke.
    pub(super) fn drive_advance(&self) -> f64 {
        let rate = self
            .drive
            .as_ref()
            .map(|drive| drive.rates[drive.graph.carriage.0]);
        rate.map_or(0.0, |rate| rate.advance.as_mm())
    }

    /// The drive's own turn in a turn of the stroke: clockwise +1.
    pub(super) fn drive_turn(&self) -> f64 {
        let rate = self
            .drive
            .as_ref()
            .map(|drive| drive.rates[drive.graph.drive.0]);
        rate.map_or(0.0, |rate| rate.turns)
    }

    /// A piece of the search, as at turn 0.
    pub fn body(&self, piece: usize) -> &Body {
        self.bodies[piece]
    }

    /// What of `other` stands in `mover`'s way.
    pub fn obstacle(
        &self,
        mover: usize,
        other: usize,
        motion: Move,
        pose: usize,
    ) -> Option<Obstacle> {
        self.pair(mover, other, pose).obstacle(&of_kernel(motion))
    }

    /// Whether the two are known to meet on a way.
    pub fn met(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Met {
        self.pair(mover, other, pose).meets_on(&of_kernel(motion))
    }

    /// How much narrower a piece would have to be, a side, to pass another, at the least and at
    /// the most; only of motions along the axis. Rings say it for what turns. For a straight way
    /// they know nothing of angles and say too much; what must not count between any two facets
    /// for the way to be free is too little.
    pub fn too_wide(
        &self,
        mover: usize,
        other: usize,
        motion: Move,
        pose: usize,
    ) -> Option<[Length; 2]> {
        let pair = self.pair(mover, other, pose);
        let way = of_kernel(motion);
        let rings = pair.obstacle(&way)?.too_wide?;
        let Move::Straight(_) = motion else {
            return Some([rings; 2]);
        };
        // Rings bound it from above, so the halving has a place to begin; each step is one query of
        // the meshes.
        let (mut low, mut high) = (Length::ZERO, rings);
        for _ in 0..HALVINGS {
            let middle = (low + high) / 2.0;
            if pair.narrowed(middle).blocked(&way) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some([high, rings])
    }

    /// Pairs that overlap where they stand, at turn 0, press faces aside.
    pub fn overlaps(&self) -> Vec<([usize; 2], Standing)> {
        let count = self.bodies.len();
        let pairs: Vec<[usize; 2]> = (0..count)
            .flat_map(|a| (a + 1..count).map(move |b| [a, b]))
            .filter(|[a, b]| self.relieved(*a, *b).is_none())
            .collect();
        let found = pairs.into_par_iter();
        let found = found.filter_map(|[a, b]| Some(([a, b], self.pair(a, b, 0).overlap()?)));
        found.collect()
    }

    fn place(&self, piece: usize) -> usize {
        self.order
            .iter()
            .position(|other| *other == piece)
            .unwrap_or(piece)
    }

    fn pair(&self, mover: usize, other: usize, pose: usize) -> Pair<'_> {
        let advance = self.advance(mover, pose) - self.advance(other, pose);
        let pair = Pair::new(self.bodies[mover], self.bodies[other]);
        let pair = pair.advanced(Length::mm(advance));
        match self.relieved(mover, other) {
            Some(relieved) => pair.relieved(Length::mm(relieved.relief)),
            None => pair,
        }
    }

    fn relieved(&self, a: usize, b: usize) -> Option<&Relieved> {
        let both = |one: &&Relieved| one.between == [a, b] || one.between == [b, a];
        self.relieved.iter().find(both)
    }

    /// Whether the joints between the pieces that are there say how each of them moves.
    fn stands(&self, present: Pieces, drive: &Drive) -> bool {
        let mut known = lock(&self.standing);
        *known
            .entry(present)
            .or_insert_with(|| drive.stands(present))
    }

    fn meets_driven(&self, a: usize, b: usize, from: usize, to: usize, drive: &Drive) -> bool {
        // The lock is not held while a pair is compared: two threads may do one comparison twice,
        // which costs less than that all wait for one.
        if let Some(known) = lock(&self.driven).get(&(a, b, from, to)) {
            return *known;
        }
        let at_rest = Pair::new(self.bodies[a], self.bodies[b]);
        let pair = match self.relieved(a, b) {
            Some(relieved) => at_rest.relieved(Length::mm(relieved.relief)),
            None => at_rest,
        };
        let [from_turn, to_turn] = [from, to].map(|pose| drive.turns[pose]);
        let met = pair.driven(drive.rates[a], drive.rates[b], from_turn, to_turn);
        lock(&self.driven).insert((a, b, from, to), met.is_some());
        met.is_some()
    }
}

/// Corners of boxes are told apart to this, in mm, where pieces are ordered.
const PLACE: f64 = 1e-6;

/// What a lock holds, also after a panic elsewhere: caches hold nothing half done.
fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex
        .lock()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
}

fn of_kernel(motion: Move) -> Trajectory {
    match motion {
        Move::Straight(direction) => Trajectory::away(direction.vector()),
        Move::Helical { lead, positive } => Trajectory::unscrewed(Length::mm(lead), positive),
    }
}

impl Drive {
    /// Whether the joints among some pieces give each of them the rate that it has in the
    /// whole mechanism.
    fn stands(&self, present: Pieces) -> bool {
        let kept: Vec<usize> = present.each().collect();
        let place = |piece: InstanceId| kept.iter().position(|other| *other == piece.0);
        let (Some(frame), Some(turned)) = (place(self.graph.frame), place(self.graph.drive)) else {
            return false;
        };
        let links = self.graph.links.iter().filter_map(|link| {
            let [a, b] = link.between.map(place);
            Some(Link {
                name: String::new(),
                constraint: link.constraint,
                between: [InstanceId(a?), InstanceId(b?)],
            })
        });
        let graph = JointGraph {
            pieces: vec![String::new(); kept.len()],
            links: links.collect(),
            frame: InstanceId(frame),
            drive: InstanceId(turned),
            carriage: InstanceId(frame),
        };
        // Asked of the joints that are left, not of a list of pieces that matter: that would be one
        // more thing for each layout to say, and to say wrong.
        let Ok(rates) = graph.solve() else {
            return false;
        };
        // Rates of the stroke may be those of a turn the other way.
        let way = self.rates[self.graph.drive.0].turns;
        kept.iter().zip(rates.all()).all(|(piece, rate)| {
            let whole = self.rates[*piece];
            (rate.turns * way - whole.turns).abs() < SAME_RATE
                && ((rate.advance * way - whole.advance).as_mm()).abs() < SAME_RATE
        })
    }
}

/// Halvings of a length of centimetres until a hundredth of a millimetre is known. Derived.
const HALVINGS: u32 = 12;

/// Rates that differ by less, in mm or turns each turn, are one: rounding of an elimination.
const SAME_RATE: f64 = 1e-6;

impl Obstacles for Scene<'_> {
    fn pieces(&self) -> usize {
        self.bodies.len()
    }

    fn base(&self) -> usize {
        self.base
    }

    fn moves(&self) -> &[Move] {
        &self.moves
    }

    fn poses(&self) -> usize {
        self.drive.as_ref().map_or(1, |drive| drive.turns.len())
    }

    fn like_pose(&self, a: usize, b: usize, pose: usize) -> usize {
        let apart = |pose| self.advance(a, pose) - self.advance(b, pose);
        let here = apart(pose);
        // Pieces that ride together stand alike in every pose, and so do not have to be compared in
        // each.
        let like = (0..pose).find(|earlier| (apart(*earlier) - here).abs() < SAME_RATE);
        like.unwrap_or(pose)
    }

    fn passage(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Passage {
        let pair = self.pair(mover, other, pose);
        match motion {
            Move::Straight(_) => match pair.blocked(&of_kernel(motion)) {
                true => Passage::Blocked,
                false => Passage::Free,
            },
            Move::Helical { .. } => match pair.obstacle(&of_kernel(motion)) {
                None => Passage::Free,
                // Rings know nothing of angles, so what they call blocked may pass; only meshes
                // that meet prove it.
                Some(obstacle) if obstacle.proven => Passage::Blocked,
                Some(_) => Passage::Unproved,
            },
        }
    }

    fn free_travel(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Option<f64> {
        let obstacle = self.obstacle(mover, other, motion, pose)?;
        Some(obstacle.free_travel.as_mm())
    }

    fn overlap(&self, mover: usize, other: usize, motion: Move, pose: usize) -> Option<f64> {
        let [least, _] = self.too_wide(mover, other, motion, pose)?;
        Some(least.as_mm())
    }

    fn surely_meet(&self, mover: usize, other: usize, motion: Move, pose: usize) -> bool {
        self.met(mover, other, motion, pose) == Met::Surely
    }

    fn turns_engaged(&self, mover: usize, other: usize, motion: Move, pose: usize) -> f64 {
        let Move::Helical { lead, positive } = motion else {
            return 0.0;
        };
        let advance = Length::mm(self.advance(mover, pose) - self.advance(other, pose));
        let mut most = 0.0f64;
        for one in self.bodies[mover].threads() {
            for two in self.bodies[other].threads() {
                let own = same_lead(one.thread.signed_lead().as_mm(), lead);
                if own && one.mates_with(two, advance).is_some() {
                    let [low, high] = one.z.map(|z| z + advance);
                    let way = match positive {
                        true => two.z[1] - low,
                        false => high - two.z[0],
                    };
                    most = most.max(way.as_mm() / lead.abs());
                }
            }
        }
        most
    }

    fn hold(&self, a: usize, b: usize, pose: usize) -> bool {
        self.relieved(a, b).is_some_and(|faces| faces.holds) || self.pair(a, b, pose).engaged()
    }

    fn drive(&self, present: Pieces, from: usize, to: usize) -> Option<Vec<[usize; 2]>> {
        let drive = self.drive.as_ref()?;
        if !self.stands(present, drive) {
            return None;
        }
        if from == to {
            return Some(Vec::new());
        }
        let pairs: Vec<[usize; 2]> = present
            .each()
            .flat_map(|a| present.each().filter(move |b| *b > a).map(move |b| [a, b]))
            .collect();
        let met = pairs.into_par_iter();
        let met = met.filter(|[a, b]| self.meets_driven(*a, *b, from, to, drive));
        Some(met.collect())
    }

    fn meet_driven(&self, a: usize, b: usize, from: usize, to: usize) -> bool {
        let drive = self.drive.as_ref();
        drive.is_some_and(|drive| self.meets_driven(a.min(b), a.max(b), from, to, drive))
    }

    fn drive_turns(&self, from: usize, to: usize) -> f64 {
        (self.turns(to) - self.turns(from)).abs()
    }

    fn volume(&self, piece: usize) -> f64 {
        self.volumes[piece]
    }
}

impl Direction {
    /// The direction of a wanted side of a body's box.
    pub(super) fn side(self, bounds: [[f64; 3]; 2]) -> f64 {
        bounds[usize::from(self.positive)][usize::from(self.axis) % 3]
    }
}
