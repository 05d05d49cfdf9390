//! What was found out about an assembly, in its own pieces: the order, or what is in the way.

use super::blame;
use super::motion::{Direction, Move};
use super::obstacles::Obstacles as _;
use super::pieces::Pieces;
use super::plan::{Answer, Deed, Plan, Removal, plan};
use super::scene::Scene;
use crate::assembly::{Assembly, Axis, Course, InstanceId, Motion, MotionKind};
use crate::clearance::{Body, Feature, Met, Standing};
use crate::motion::StrokeRates;
use crate::solid::Mesh;
use crate::units::Length;
use std::borrow::Borrow;

/// Whether and how an assembly comes apart.
#[derive(Clone, Debug, PartialEq)]
pub enum Order {
    /// It does. Read backwards, it is put together.
    Apart {
        /// Which side had best be up.
        up: Direction,
        /// What is taken away, in that order.
        removals: Vec<Removed>,
    },
    /// It does not.
    Stuck(Jam),
    /// Pieces overlap where they stand together, so that no way out says anything.
    Overlapping(Vec<([InstanceId; 2], Standing)>),
    /// It has more pieces than a plan can hold.
    TooMany(usize),
}

/// Something that is taken away, or the mechanism turned on the way.
#[derive(Clone, Debug, PartialEq)]
pub struct Removed {
    /// Index of the removal whose group it is taken from, on the bench.
    pub group: Option<usize>,
    /// What moves.
    pub pieces: Vec<InstanceId>,
    /// What stays, of what had not been taken away; empty where the mechanism is turned.
    pub rest: Vec<InstanceId>,
    /// How it leaves. The distance of a straight way ends where it is clear of the rest.
    pub motion: Motion,
    /// The mechanism's turn when it begins, counted in the direction of the stroke.
    pub turn: f64,
    /// The same when it ends.
    pub turn_after: f64,
    /// What it would touch first if it went the other way, further in; where the mechanism is
    /// turned, what the drive would touch, screwed in from the turn at which it begins.
    pub touch: Option<Touch>,
    /// What had to be taken away before.
    pub waits: Vec<Waited>,
}

/// What stops a piece that goes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch {
    /// The piece that moves, of the group.
    pub piece: InstanceId,
    /// What it touches.
    pub other: InstanceId,
    /// After how much further travel along the motion.
    pub travel: Length,
    /// Where, at the mechanism's turn, in the assembly frame.
    pub point: [f64; 3],
}

/// A removal that cleared the way of another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Waited {
    /// Index of the earlier removal.
    pub removal: usize,
    /// The piece that was in the way.
    pub blocker: InstanceId,
    /// The piece whose way it was.
    pub blocked: InstanceId,
}

/// Pieces that hold each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Jam {
    /// The pieces.
    pub pieces: Vec<InstanceId>,
    /// Whether they surely meet whichever way they go; if not, the answer is "not proved".
    pub proved: bool,
    /// Whether orders were left that nobody looked at, so that it is not proved for want of work.
    pub cut_short: bool,
    /// Each alone would free everything: one meeting, or two that must both go.
    pub causes: Vec<Vec<Clash>>,
}

/// Two pieces that meet where one of them would leave.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    /// The piece that moves.
    pub mover: InstanceId,
    /// The piece that it meets.
    pub other: InstanceId,
    /// How it would leave; the distance is what it goes before they meet.
    pub motion: Motion,
    /// What of the two meets.
    pub features: [Feature; 2],
    /// Where, in the assembly frame.
    pub point: [f64; 3],
    /// How much too wide the one is to pass, a side, at the least and at the most; only of
    /// motions along the axis.
    pub too_wide: Option<[Length; 2]>,
    /// Radius of what would pass there, as far as rings tell; only of motions along the axis.
    pub passes: Option<Length>,
    /// Whether it is known that they meet.
    pub proved: bool,
    /// Whether that was looked for and given up before all angles had been.
    pub cut_short: bool,
}

/// Finds out how an assembly comes apart. `meshes` are those of the parts, in their order, each
/// in its print frame, `bodies` what they make of the pieces; `tolerance` is their chord
/// tolerance.
pub fn find<M: Borrow<Mesh> + Sync>(
    assembly: &Assembly,
    rates: &StrokeRates,
    course: &Course,
    meshes: &[M],
    bodies: &[Body],
    tolerance: Length,
) -> Order {
    let scene = Scene::new(assembly, rates, course, meshes, bodies, tolerance);
    order(&scene)
}

/// The same of any pieces; an [`InstanceId`] is then an index into the scene's list.
pub fn order(scene: &Scene<'_>) -> Order {
    let overlaps = scene.overlaps();
    if !overlaps.is_empty() {
        let told = |(pair, standing): ([usize; 2], Standing)| {
            (pair.map(|piece| named(scene, piece)), standing)
        };
        return Order::Overlapping(overlaps.into_iter().map(told).collect());
    }
    match plan(scene) {
        Answer::Apart(plan) => {
            let mut all = Vec::new();
            gather(scene, &plan, None, &mut all);
            Order::Apart {
                up: plan.up,
                removals: all,
            }
        }
        Answer::Stuck(stuck) => Order::Stuck(jam(scene, &stuck)),
        Answer::TooMany { pieces } => Order::TooMany(pieces),
    }
}

fn gather(scene: &Scene<'_>, plan: &Plan, group: Option<usize>, all: &mut Vec<Removed>) {
    // Places in the flat list of the removals of this level.
    let mut places: Vec<usize> = Vec::new();
    for removal in &plan.removals {
        let place = all.len();
        let waits = removal.waits.iter().filter_map(|wait| {
            Some(Waited {
                removal: *places.get(wait.removal)?,
                blocker: named(scene, wait.blocker),
                blocked: named(scene, wait.blocked),
            })
        });
        let waits = waits.collect();
        places.push(place);
        all.push(removed(scene, removal, group, waits));
        if let Some(bench) = &removal.bench {
            gather(scene, bench, Some(place), all);
        }
    }
}

fn named(scene: &Scene<'_>, piece: usize) -> InstanceId {
    InstanceId(scene.named(piece))
}

fn removed(
    scene: &Scene<'_>,
    removal: &Removal,
    group: Option<usize>,
    waits: Vec<Waited>,
) -> Removed {
    let turn = scene.turns(removal.pose);
    let pieces: Pieces = removal.pieces.iter().copied().collect();
    let rest: Pieces = removal.rest.iter().copied().collect();
    let (motion, turn_after, touch) = match removal.deed {
        Deed::Leave {
            motion,
            turns,
            back,
        } => {
            let away = way_out(scene, pieces, rest, motion, removal.pose, turns);
            let touch = back.and_then(|_| first_touch(scene, pieces, rest, motion, removal.pose));
            (away, turn, touch)
        }
        Deed::Drive { to, .. } => {
            let touch = scene.drive_and_base().and_then(|pieces| {
                let [drive, base] = pieces.map(Pieces::one);
                let ways = scene.moves().iter();
                ways.filter_map(|way| first_touch(scene, drive, base, *way, removal.pose))
                    .reduce(|a, b| if b.travel < a.travel { b } else { a })
            });
            (scene.driven(removal.pose, to), scene.turns(to), touch)
        }
    };
    Removed {
        group,
        pieces: pieces.each().map(|piece| named(scene, piece)).collect(),
        rest: rest.each().map(|piece| named(scene, piece)).collect(),
        motion,
        turn,
        turn_after,
        touch,
        waits,
    }
}

/// Turns in which threads come apart of which only chamfers and countersinks overlap. Guess.
const HOOKED: f64 = 0.5;

/// A motion, as far as it takes to be clear of the rest; of a thread, until it is out of it.
fn way_out(
    scene: &Scene<'_>,
    pieces: Pieces,
    rest: Pieces,
    motion: Move,
    pose: usize,
    turns: f64,
) -> Motion {
    let direction = motion.direction();
    let sign = direction.sign();
    match motion {
        Move::Helical { lead, .. } => {
            // Where no full profile is engaged, the ends of the threads hook into each other.
            let turns = turns.max(HOOKED);
            Motion {
                kind: MotionKind::Helical,
                axis: Axis::Z,
                distance: Length::mm(turns * lead.abs() * sign),
                turns: turns * sign * lead.signum(),
            }
        }
        Move::Straight(_) => {
            let side = |set: Pieces, direction: Direction| {
                let sides = set.each().map(|piece| {
                    let along = if direction.axis == 2 {
                        scene.advance(piece, pose)
                    } else {
                        0.0
                    };
                    (direction.side(scene.body(piece).bounds()) + along) * sign
                });
                sides.collect::<Vec<f64>>()
            };
            let front = side(rest, direction)
                .into_iter()
                .fold(f64::NEG_INFINITY, f64::max);
            let back = side(pieces, direction.back())
                .into_iter()
                .fold(f64::INFINITY, f64::min);
            Motion {
                kind: MotionKind::Straight,
                axis: axis(direction.axis),
                distance: Length::mm((front - back).max(0.0) * sign),
                turns: 0.0,
            }
        }
    }
}

fn axis(number: u8) -> Axis {
    match number {
        0 => Axis::X,
        1 => Axis::Y,
        _ => Axis::Z,
    }
}

/// Which screw of a group that leaves by a thread would touch what it is screwed into first, if
/// it were screwed in further.
fn first_touch(
    scene: &Scene<'_>,
    pieces: Pieces,
    rest: Pieces,
    leaving: Move,
    pose: usize,
) -> Option<Touch> {
    let pairs = pieces.each().flat_map(|a| rest.each().map(move |b| (a, b)));
    let touches = pairs
        .filter(|(a, b)| scene.turns_engaged(*a, *b, leaving, pose) > 0.0)
        .filter_map(|(a, b)| Some((a, b, scene.obstacle(a, b, leaving.back(), pose)?)));
    let (piece, other, obstacle) = touches.reduce(|a, b| {
        if b.2.free_travel < a.2.free_travel {
            b
        } else {
            a
        }
    })?;
    Some(Touch {
        piece: named(scene, piece),
        other: named(scene, other),
        travel: obstacle.free_travel,
        point: at_turn(scene, obstacle.point, other, pose),
    })
}

/// A point on a piece as it stands at turn 0, where it is in a pose.
fn at_turn(scene: &Scene<'_>, [x, y, z]: [f64; 3], on: usize, pose: usize) -> [f64; 3] {
    [x, y, z + scene.advance(on, pose)]
}

fn jam(scene: &Scene<'_>, stuck: &blame::Stuck) -> Jam {
    let clash = |meeting: &blame::Meeting| {
        let blame::Meeting {
            mover,
            other,
            motion,
        } = *meeting;
        let obstacle = scene.obstacle(mover, other, motion, stuck.pose)?;
        let met = match obstacle.proven {
            true => Met::Surely,
            false => scene.met(mover, other, motion, stuck.pose),
        };
        let direction = motion.direction();
        let travel = obstacle.free_travel * direction.sign();
        let (kind, turns) = match motion {
            Move::Straight(_) => (MotionKind::Straight, 0.0),
            Move::Helical { lead, .. } => (MotionKind::Helical, travel.as_mm() / lead),
        };
        Some(Clash {
            mover: named(scene, mover),
            other: named(scene, other),
            motion: Motion {
                kind,
                axis: axis(direction.axis),
                distance: travel,
                turns,
            },
            features: obstacle.features,
            point: at_turn(scene, obstacle.point, other, stuck.pose),
            too_wide: scene.too_wide(mover, other, motion, stuck.pose),
            passes: obstacle.passes,
            proved: met == Met::Surely,
            cut_short: met == Met::LeftOpen,
        })
    };
    let causes = stuck.causes.iter();
    Jam {
        pieces: stuck
            .pieces
            .iter()
            .map(|piece| named(scene, *piece))
            .collect(),
        proved: stuck.proved,
        cut_short: stuck.cut_short,
        causes: causes
            .map(|cause| cause.iter().filter_map(clash).collect())
            .collect(),
    }
}

impl Scene<'_> {
    /// The mechanism's own motion from one pose to another: the carriage's advance and the
    /// drive's turns.
    fn driven(&self, from: usize, to: usize) -> Motion {
        let by = self.turns(to) - self.turns(from);
        Motion {
            kind: MotionKind::Driven,
            axis: Axis::Z,
            distance: Length::mm(self.drive_advance() * by),
            turns: self.drive_turn() * by,
        }
    }
}

impl Order {
    /// What is taken away, if it comes apart.
    pub fn removals(&self) -> &[Removed] {
        match self {
            Self::Apart { removals, .. } => removals,
            _ => &[],
        }
    }
}

impl Removed {
    /// Whether it is the mechanism that is turned, and nothing taken away.
    pub fn is_driven(&self) -> bool {
        self.motion.kind == MotionKind::Driven
    }
}
