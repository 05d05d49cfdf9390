//! The forces of a mechanism as figures: what it bears, and what a hand or a tool presses with.
//!
//! Estimates from the places that whoever asks lists. No figure is a rated load: for
//! that, people and things stand under rules and tests of their own.

use super::case::Case;
use super::stressed::{Places, Stressed};
use super::trains::{Cause, Trains};
use crate::motion::{Contact, PowerTrain};
use crate::strength::{Friction, LASTING_SHARE, Plastic, taken_by_guide};
use crate::thread::Thread;
use crate::units::{Force, Length, Torque};

/// What a mechanism bears and gives.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceFigures {
    /// Of what strength.
    pub plastic: Plastic,
    /// Friction in the threads: the kit's where it gives one, else as the filament was measured.
    pub friction: Friction,
    /// Load along the axis at which the weakest place reaches its strength.
    pub breaking: Force,
    /// The same at most and at least friction: more of it twists what is pulled the harder.
    pub breaking_at: [Force; 2],
    /// Torque of a hand at the stop at which the first place reaches its strength: the same two.
    pub breaking_torque_at: [Torque; 2],
    /// That place, in a sentence: `the cross pin in shear`.
    pub weakest: String,
    /// Load for a short time: the breaking one by the kit's reserve, less what a spring presses with.
    pub safe_load: Force,
    /// Load that may stay: [`LASTING_SHARE`] of the breaking one, less what a spring presses with.
    pub lasting_load: Force,
    /// Torque at the head that presses with no more than the safe load, however slippery the
    /// threads.
    pub safe_torque: Torque,
    /// What a hand and two tools press with.
    pub clamping: Vec<Clamping>,
    /// Work at the load over work at the head: at most and at least friction.
    pub efficiency: [f64; 2],
    /// Load over effort at the end of a spanner of [`SPANNER`]: at most and at least friction.
    pub advantage: [f64; 2],
    /// The plain screw of the same drive thread; of a differential only.
    pub plain: Option<Plain>,
    /// What the guide takes of a push; of a kit whose working end is loaded beside the axis.
    pub in_guide: Option<InGuide>,
}

/// Friction in the guide of a carriage that presses beside the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InGuide {
    /// How far beside the axis the working end is loaded.
    pub offset: Length,
    /// Share of what the screw presses with that does not arrive there: at most and at least friction.
    pub taken: [f64; 2],
}

impl ForceFigures {
    /// Torque of a hand at the stop up to which every place holds, at either friction.
    pub fn breaking_torque(&self) -> Torque {
        let [rough, slippery] = self.breaking_torque_at;
        rough.min(slippery)
    }
}

/// A plain screw, without the friction of a swivel: what it would give at best.
#[derive(Clone, Debug, PartialEq)]
pub struct Plain {
    /// Its thread.
    pub thread: String,
    /// As of [`ForceFigures`].
    pub efficiency: [f64; 2],
    /// As of [`ForceFigures`].
    pub advantage: [f64; 2],
}

/// What a torque at the head presses with.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamping {
    /// Who turns.
    pub by: &'static str,
    /// How hard.
    pub torque: Torque,
    /// At most and at least friction.
    pub force: [Force; 2],
    /// The plain screw of the same drive thread: the same.
    pub plain: Option<[Force; 2]>,
}

/// A tool that turns a head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turner {
    /// Its name.
    pub name: &'static str,
    /// Its torque.
    pub torque: Torque,
}

/// Length of a spanner at whose end effort is reckoned. Common practice: a spanner for 16 to
/// 30 mm is 0.15 to 0.3 m long.
pub const SPANNER: Length = Length::mm(150.0);
/// What turns a head besides a hand, whose torque the kit gives.
///
/// Spanner: 100 N at [`SPANNER`] (guess, a firm pull). Drill driver: a small one on its screw
/// gear (common practice: 20 to 60 N m; guess).
pub const TURNERS: [Turner; 2] = [
    Turner {
        name: "wrench",
        torque: Torque::newton_metres(15.0),
    },
    Turner {
        name: "drill driver",
        torque: Torque::newton_metres(30.0),
    },
];

/// The figures of a case made of some plastic, with every list of places that may break; none
/// where a thread jams or a torque has no end.
pub fn figures(case: &Case<'_>, plastic: &Plastic, places: &[Places]) -> Option<ForceFigures> {
    let friction = case.kit.friction();
    let slippery = Trains::of(case, friction.low)?;
    let rough = Trains::of(case, friction.high)?;
    // Stresses go with the load, so one newton tells of all; it is borne at either friction.
    let unit = Force::newtons(1.0);
    let worst_at = |trains: &Trains| {
        let loading = trains.under_all_of(unit);
        worst(places.iter().flat_map(|of| of(case, plastic, &loading)))
    };
    let at_either = [worst_at(&rough)?, worst_at(&slippery)?];
    let breaking_at = at_either
        .each_ref()
        .map(|place| unit / place.borne.utilisation());
    let hand = Torque::newton_metres(1.0);
    let stopped_at = |trains: &Trains| {
        let loading = trains.pressed_by(hand, Cause::Stop)?;
        let place = worst(places.iter().flat_map(|of| of(case, plastic, &loading)))?;
        Some(hand / place.borne.utilisation())
    };
    let breaking_torque_at = [stopped_at(&rough)?, stopped_at(&slippery)?];
    let weakest = worst(at_either.into_iter())?;
    let breaking = unit / weakest.borne.utilisation();
    // The spring takes its share of what a push may be.
    let beside_spring = |load: Force| (load - case.spring_force()).max(Force::ZERO);
    let most = breaking / *case.kit.load.reserve;
    let easiest = |load| slippery.pull.torque(load).min(slippery.push.torque(load));
    let plain = match &case.design.plain {
        Some(thread) => Some((thread, plain_trains(thread, friction)?)),
        None => None,
    };
    let trains = plain.as_ref().map(|(_, trains)| trains);
    Some(ForceFigures {
        plastic: *plastic,
        friction,
        breaking,
        breaking_at,
        breaking_torque_at,
        weakest: weakest.what,
        safe_load: beside_spring(most),
        lasting_load: beside_spring(breaking * LASTING_SHARE),
        safe_torque: easiest(most),
        clamping: clamping(case, [&rough, &slippery], trains)?,
        efficiency: [rough.pull.efficiency()?, slippery.pull.efficiency()?],
        advantage: [
            rough.pull.mechanical_advantage(SPANNER)?,
            slippery.pull.mechanical_advantage(SPANNER)?,
        ],
        plain: match &plain {
            Some((thread, trains)) => Some(Plain {
                thread: thread.designation(),
                efficiency: each(trains, PowerTrain::efficiency)?,
                advantage: each(trains, |train| train.mechanical_advantage(SPANNER))?,
            }),
            None => None,
        },
        in_guide: in_guide(case, friction),
    })
}

/// Of the guide that takes the most; of several carriages each has one.
fn in_guide(case: &Case<'_>, friction: Friction) -> Option<InGuide> {
    let guides = case.design.members.guides.iter();
    let beside = guides.filter(|guide| guide.offset > Length::ZERO);
    let all = beside.map(|guide| InGuide {
        offset: guide.offset,
        taken: [friction.high, friction.low]
            .map(|friction| taken_by_guide(guide.length, guide.offset, friction)),
    });
    all.max_by(|one, other| one.taken[0].total_cmp(&other.taken[0]))
}

/// The place that is nearest to its limit, the first of equals.
fn worst(places: impl Iterator<Item = Stressed>) -> Option<Stressed> {
    let nearer = |one: Stressed, other: Stressed| {
        if other.borne.utilisation() > one.borne.utilisation() {
            other
        } else {
            one
        }
    };
    let worst = places.reduce(nearer)?;
    (worst.borne.utilisation() > 0.0).then_some(worst)
}

/// A thread alone at the most and the least friction.
fn plain_trains(thread: &Thread, friction: Friction) -> Option<[PowerTrain; 2]> {
    let train = |friction| {
        let contact = Contact::raising(thread, friction);
        PowerTrain::new(vec![contact], Vec::new()).ok()
    };
    Some([train(friction.high)?, train(friction.low)?])
}

fn each(trains: &[PowerTrain; 2], of: impl Fn(&PowerTrain) -> Option<f64>) -> Option<[f64; 2]> {
    let [rough, slippery] = trains;
    Some([of(rough)?, of(slippery)?])
}

fn clamping(
    case: &Case<'_>,
    [rough, slippery]: [&Trains; 2],
    plain: Option<&[PowerTrain; 2]>,
) -> Option<Vec<Clamping>> {
    let hand = Turner {
        name: "hand",
        torque: *case.kit.hand_torque,
    };
    let clamped = |Turner { name, torque }: Turner| {
        let pushed = |trains: &Trains| trains.push.load(torque);
        let plain = match plain {
            Some([rough, slippery]) => Some([rough.load(torque)?, slippery.load(torque)?]),
            None => None,
        };
        Some(Clamping {
            by: name,
            torque,
            force: [pushed(rough)?, pushed(slippery)?],
            plain,
        })
    };
    std::iter::once(hand).chain(TURNERS).map(clamped).collect()
}
