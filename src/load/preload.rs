//! What a preload spring does: what it presses with, what it has to outdo, what it asks of a hand.
//!
//! It presses the carriage towards the drive head, so that every thread and face between frame and
//! carriage bears on one side. That holds while it presses harder than all that would part them.

use super::case::Case;
use super::trains::Trains;
use crate::layout::Preload;
use crate::units::{Force, Torque};

/// A spring in its mechanism.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PreloadFigures {
    /// What it presses with at turn 0 and at the end of the stroke.
    pub force: [Force; 2],
    /// The same where the carriage has stopped: the most.
    pub most: Force,
    /// What pulls the carriage away from the drive head.
    pub pull: Force,
    /// Friction in the guide, of what lies on it and of a load beside the axis.
    pub friction: Force,
    /// What hangs on it when the drive head is up.
    pub weight: Force,
    /// What it adds to the torque at the head at the greatest friction, at turn 0 and at the end of the
    /// stroke.
    pub torque: [Torque; 2],
}

impl PreloadFigures {
    /// What it has to outdo: the pull, friction and weight.
    pub fn needed(&self) -> Force {
        self.pull + self.friction + self.weight
    }

    /// The least that it presses with, over what it has to outdo.
    pub fn holds(&self) -> f64 {
        let [least, _] = self.force;
        least / self.needed()
    }
}

/// What the spring of a case does; none where there is none, or where a thread jams.
///
/// A load at e beside the axis is held in a guide of length L by 2 W e / L at both its ends together
/// (statics), friction is the greatest.
pub fn preload(case: &Case<'_>) -> Option<PreloadFigures> {
    let spring = case.design.members.preload.as_ref()?;
    let kit = case.kit;
    let friction = kit.friction().high;
    let load = kit
        .load
        .force
        .as_ref()
        .map_or(Force::ZERO, |load| load.value);
    let said = kit.spring.as_ref().and_then(|spring| spring.pull.as_ref());
    let lengths = case.design.members.guides.iter().map(|guide| guide.length);
    let guided = lengths.reduce(|a, b| a.min(b));
    let beside = guided.map_or(Force::ZERO, |length| {
        load * (*kit.load.offset * 2.0 / length)
    });
    let Preload { weight, .. } = *spring;
    let rough = Trains::of(case, friction)?;
    let force = spring.through_the_stroke();
    Some(PreloadFigures {
        force,
        most: spring.most(),
        pull: said.map_or(load, |pull| pull.value),
        friction: (weight + beside) * friction,
        weight,
        torque: force.map(|force| rough.push.torque(force)),
    })
}
