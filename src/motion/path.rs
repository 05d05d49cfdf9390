//! The load's way through the joints, and the power train that lies on it.
//!
//! A push between two pieces goes through joints that stop motion along the axis: threads,
//! swivels and rigid joints. The shortest such chain carries it. Along the chain each thread
//! gives its share of the travel; the shares add up to the whole (they telescope), so no
//! layout needs a formula of its own.

use super::forces::{Collar, Contact, ForceError, PowerTrain, friction_angle};
use super::linear::RANK_TOLERANCE;
use super::solve::{JointGraph, StrokeRates};
use crate::assembly::{Assembly, Constraint, InstanceId, JointId};
use crate::units::{Angle, Length};
use std::collections::VecDeque;

/// A joint on the load's way, with the end that is nearer to where the push is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PathJoint {
    /// Index of the joint.
    pub joint: usize,
    /// The piece on the side of the start (the frame).
    pub near: InstanceId,
    /// The piece on the side of the end (the carriage).
    pub far: InstanceId,
}

/// The shortest chain of joints that carries a push along the axis from one piece to
/// another; of equally short ones that with the earlier joints. `None` when there is none.
pub fn load_path(graph: &JointGraph, from: InstanceId, to: InstanceId) -> Option<Vec<PathJoint>> {
    let mut reached: Vec<Option<PathJoint>> = vec![None; graph.pieces.len()];
    let mut waiting = VecDeque::from([from]);
    while let Some(piece) = waiting.pop_front() {
        for (joint, link) in graph.links.iter().enumerate() {
            let far = match link.between {
                [near, far] | [far, near] if near == piece => far,
                _ => continue,
            };
            let carries = !matches!(link.constraint, Constraint::NoTurn | Constraint::Free);
            let new = far != from && reached.get(far.0).is_some_and(Option::is_none);
            if carries && new {
                reached[far.0] = Some(PathJoint {
                    joint,
                    near: piece,
                    far,
                });
                waiting.push_back(far);
            }
        }
    }
    let mut path = Vec::new();
    let mut piece = to;
    while piece != from {
        let step = reached.get(piece.0).copied().flatten()?;
        path.push(step);
        piece = step.near;
    }
    path.reverse();
    Some(path)
}

/// Joints on the way of other carriages than one, and not on its own: what play they have is none of
/// that carriage's.
pub fn beside(assembly: &Assembly, carriage: InstanceId) -> Vec<JointId> {
    let graph = JointGraph::from(assembly);
    let way = |carriage| {
        let path = load_path(&graph, assembly.frame, carriage);
        path.unwrap_or_default()
    };
    let own = way(carriage);
    let on_own = |joint: usize| own.iter().any(|step| step.joint == joint);
    let others = assembly.carriages.all().filter(|other| *other != carriage);
    let mut beside: Vec<JointId> = others
        .flat_map(way)
        .filter(|step| !on_own(step.joint))
        .map(|step| JointId(step.joint))
        .collect();
    beside.sort_unstable();
    beside.dedup();
    beside
}

/// The power train between the frame and the carriage of an assembly, per turn of the stroke,
/// for one coefficient of friction in all threads. The collars are the caller's, for their
/// radii are no matter of joints.
///
/// # Errors
/// When no thread on the load's way turns, or one of them jams.
pub fn power_train(
    assembly: &Assembly,
    rates: &StrokeRates,
    friction: f64,
    collars: Vec<Collar>,
) -> Result<PowerTrain, ForceError> {
    ThreadsOnWay::of(assembly, rates).train(friction, collars)
}

/// The threads on a load's way between the frame and the carriage, whatever their friction: found once
/// for many of it.
#[derive(Clone, Debug)]
pub struct ThreadsOnWay {
    threads: Vec<OnWay>,
}

/// One of them.
#[derive(Clone, Copy, Debug)]
struct OnWay {
    radius: Length,
    lead: Length,
    flank: Angle,
    turns: f64,
}

impl ThreadsOnWay {
    /// Of an assembly, per turn of the stroke.
    pub fn of(assembly: &Assembly, rates: &StrokeRates) -> Self {
        let graph = JointGraph::from(assembly);
        // Several carriages share what lies on the way of each; a joint is counted once.
        // A load is against the motion of each carriage, whichever way that goes.
        let mut path: Vec<(PathJoint, f64)> = Vec::new();
        for carriage in assembly.carriages.all() {
            let way = match rates.of(carriage).advance < Length::ZERO {
                true => -1.0,
                false => 1.0,
            };
            for step in load_path(&graph, assembly.frame, carriage).unwrap_or_default() {
                if !path.iter().any(|(known, _)| known.joint == step.joint) {
                    path.push((step, way));
                }
            }
        }
        let on_way = |(step, way): &(PathJoint, f64)| {
            let thread = &assembly.joints[step.joint].thread.as_ref()?.thread;
            let (near, far) = (rates.of(step.near), rates.of(step.far));
            let turns = (far.turns - near.turns).abs();
            // A thread that does not turn is a fixed joint to the load.
            (turns > RANK_TOLERANCE).then(|| OnWay {
                radius: thread.pitch_diameter() / 2.0,
                lead: (far.advance - near.advance) * *way / turns,
                flank: thread.form().flank_angle(),
                turns,
            })
        };
        Self {
            threads: path.iter().filter_map(on_way).collect(),
        }
    }

    /// The power train for one coefficient of friction in all of them.
    ///
    /// # Errors
    /// As [`power_train`].
    pub fn train(&self, friction: f64, collars: Vec<Collar>) -> Result<PowerTrain, ForceError> {
        let contact = |on_way: &OnWay| Contact {
            radius: on_way.radius,
            lead: on_way.lead,
            friction: friction_angle(friction, on_way.flank),
            turns: on_way.turns,
        };
        PowerTrain::new(self.threads.iter().map(contact).collect(), collars)
    }
}
