//! The threads on the load's way, and what presses through them.

use super::case::Case;
use crate::kit::{Said, key};
use crate::layout::{Twist, Way};
use crate::motion::{Collar, ForceError, PowerTrain, ThreadsOnWay};
use crate::strength::LASTING_SHARE;
use crate::units::{Force, Torque};
use std::ops::Range;

/// The threads on the load's way, the carriage pulled and pushed, at one friction.
#[derive(Clone, Debug)]
pub struct Trains {
    /// Its coefficient.
    pub friction: f64,
    /// The carriage is pulled towards the head.
    pub pull: PowerTrain,
    /// It is pushed away from it.
    pub push: PowerTrain,
    /// What a preload spring adds to what is pushed.
    spring: Force,
}

/// What presses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// The hand at the stop.
    Stop,
    /// The torque that the kit gives.
    Torque,
    /// The load that the kit gives, and the spring that it is pushed against.
    Load,
    /// The preload spring alone, which stays on.
    Spring,
}

/// What presses, and with what.
#[derive(Clone, Debug)]
pub struct Loading {
    /// On a carriage that is pulled towards the head.
    pub pull: Force,
    /// On a carriage that is pushed away from it.
    pub push: Force,
    /// At the drive's head.
    pub torque: Torque,
    /// What of it goes on behind the drive's thread: to the inner screw, or to the swivel.
    pub passed_on: Torque,
    /// What presses.
    pub cause: Cause,
    /// Coefficient of friction at which it does.
    pub friction: f64,
    /// Whether it stays for hours.
    pub lasting: bool,
    /// Bytes of the kit file that ask for it.
    pub at: Option<Range<usize>>,
}

impl Trains {
    /// At a coefficient of friction; none where a thread jams.
    pub fn of(case: &Case<'_>, friction: f64) -> Option<Self> {
        Self::at(case, friction).ok()
    }

    /// At a coefficient of friction.
    ///
    /// # Errors
    /// Why the threads carry no load at all.
    pub fn at(case: &Case<'_>, friction: f64) -> Result<Self, ForceError> {
        Self::along(
            &ThreadsOnWay::of(&case.design.assembly, case.rates),
            case,
            friction,
        )
    }

    /// The same where the threads on the load's way are known already.
    ///
    /// # Errors
    /// As [`Self::at`].
    pub fn along(
        threads: &ThreadsOnWay,
        case: &Case<'_>,
        friction: f64,
    ) -> Result<Self, ForceError> {
        let train = |way: Way| {
            let rubs = case.design.members.collars.iter();
            let collars = rubs
                .filter(|rub| rub.way == way || rub.way == Way::Either)
                .map(|rub| Collar {
                    friction,
                    radius: rub.radius,
                });
            let collars = collars.collect();
            threads.train(friction, collars)
        };
        Ok(Self {
            friction,
            pull: train(Way::Pull)?,
            push: train(Way::Push)?,
            spring: case.spring_force(),
        })
    }

    /// The one of the two that asks for more torque.
    pub fn harder(self) -> PowerTrain {
        if self.push.torque_arm() > self.pull.torque_arm() {
            self.push
        } else {
            self.pull
        }
    }

    /// What a torque at the head presses with; none where it has no end.
    pub fn pressed_by(&self, torque: Torque, cause: Cause) -> Option<Loading> {
        let pull = self.pull.load(torque)?;
        Some(Loading {
            pull,
            push: self.push.load(torque)?,
            torque,
            passed_on: self.pull.passed_on(pull),
            cause,
            friction: self.friction,
            lasting: false,
            at: None,
        })
    }

    /// What a load asks of the head, either way; pushed, the carriage goes against the spring too.
    pub fn under(&self, load: Force) -> Loading {
        self.bearing([load, load + self.spring], Cause::Load)
    }

    /// The same of a load without the spring.
    pub fn under_all_of(&self, load: Force) -> Loading {
        self.bearing([load, load], Cause::Load)
    }

    /// What the spring asks of the head by itself.
    fn under_spring(&self) -> Loading {
        Loading {
            lasting: true,
            ..self.bearing([Force::ZERO, self.spring], Cause::Spring)
        }
    }

    fn bearing(&self, [pull, push]: [Force; 2], cause: Cause) -> Loading {
        Loading {
            pull,
            push,
            torque: self.pull.torque(pull).max(self.push.torque(push)),
            passed_on: self.pull.passed_on(pull.max(push)),
            cause,
            friction: self.friction,
            lasting: false,
            at: None,
        }
    }
}

/// What presses on a case, at the least friction and at the most: the hand at the stop first;
/// none where a torque has no end.
///
/// A torque presses hardest where friction is least, a load asks for the most torque where it is
/// most; which end is worse for a place, whoever judges it finds by trying both.
pub fn loadings(case: &Case<'_>) -> Option<Vec<Loading>> {
    let friction = case.kit.friction();
    let mut loadings = at_friction(case, friction.low)?;
    if !friction.is_single() {
        loadings.extend(at_friction(case, friction.high)?);
    }
    Some(loadings)
}

fn at_friction(case: &Case<'_>, friction: f64) -> Option<Vec<Loading>> {
    let kit = case.kit;
    let trains = Trains::of(case, friction)?;
    let hand = trains.pressed_by(*kit.hand_torque, Cause::Stop)?;
    let mut loadings = vec![Loading {
        at: kit.hand_torque.at.clone().or_else(|| case.first_thread()),
        ..hand
    }];
    let lasting = *kit.load.lasting;
    if let Some(Said { value, at }) = &kit.load.torque {
        let pressed = trains.pressed_by(*value, Cause::Torque)?;
        loadings.push(Loading {
            lasting,
            at: at.clone(),
            ..pressed
        });
    }
    if let Some(Said { value, at }) = &kit.load.force {
        loadings.push(Loading {
            lasting,
            at: at.clone(),
            ..trains.under(*value)
        });
    }
    if trains.spring > Force::ZERO {
        loadings.push(Loading {
            at: kit.place_of(&[key::SPRING_FREE.name()]),
            ..trains.under_spring()
        });
    }
    Some(loadings)
}

impl Loading {
    /// The larger of pull and push.
    pub fn either(&self) -> Force {
        self.pull.max(self.push)
    }

    /// What of it falls on a member.
    pub fn on(&self, way: Way) -> Force {
        match way {
            Way::Pull => self.pull,
            Way::Push => self.push,
            Way::Either => self.either(),
        }
    }

    /// What of the torque twists a rod.
    pub fn twisting(&self, twist: Twist) -> Torque {
        match twist {
            Twist::AtHead => self.torque,
            Twist::PassedOn => self.passed_on,
        }
    }

    /// What of a short-term strength counts.
    pub fn share(&self) -> f64 {
        if self.lasting { LASTING_SHARE } else { 1.0 }
    }
}
