//! A hand at the stop must not break what it turns, nor may the load that the kit gives.
//!
//! Every pin, core, neck and tube on the load's way is held against the strength of the
//! filament: in shear for pins that lie, across layers for screws that stand.

use super::finding::{Outcome, Subject};
use super::rule::{Judge, Judgement, Rule, Strength};
use super::strength::NEAR;
use super::typed::{line, thicker_pins};
use crate::kit::key;
use crate::layout::{Pin, Rod};
use crate::load::{Bearer, Borne, Case, Cause, ForceFigures, Loading, Stressed, Trains, loadings};
use crate::strength::{LyingPin, Plastic, tension_with_torsion};

/// Rule: stresses at the stop under the hand's torque.
pub(super) const RULE: Rule = Rule {
    id: "stop-load",
    about: "a hand at the stop overloads a pin, a screw or a wall",
    why: "At the end of the stroke a hand goes on turning. What it presses with then goes through \
          every pin, core and wall on its way. So does the load that the kit gives, for hours if \
          it says so.",
    formula: "W = T / [(d2 of the drive / 2) tan(phi + lambda1) + (d2 of the inner / 2) tan(phi - \
              lambda2)], or with the swivel's friction in a single; phi = atan(mu / cos 30 deg), \
              at the least friction. Cores, tube and neck: tension W/A and torsion 16 T D / (pi \
              (D^4 - d^4)) after von Mises, of the head's torque in the drive, of what its thread \
              passes on in the inner screw and the neck. Pins: W over two sections (four where \
              there are two pins). Fails above the strength (a fifth of it for a lasting load), \
              warns from 0.9 of it; notes what happens at the least friction that was measured, where \
              the kit does not say its own. Fails too where the hand cannot move the kit's load at the \
              greatest friction.",
    source: "power screw formula (Shigley, 9th ed., sect. 8-2), eqs. 3-37 and 5-15; printed \
             strengths: low end of data sheets, half across layers, 0.55 in shear; lasting share: \
             common practice",
    mend: "take thicker threads or pins, or turn with less than the full torque of a hand \
           (`hand_torque`)",
    judge: Judge::Strength(Strength {
        places,
        before: reach,
        after: slippery,
    }),
};

/// What a hand may do on threads as slippery as the filament was measured, where the kit does
/// not say its friction: worth knowing, since the other judgements take the usual one.
fn slippery(case: &Case<'_>, figures: &ForceFigures) -> Vec<Judgement> {
    let Some(hand) = figures.clamping.first() else {
        return Vec::new();
    };
    // Where the usual friction gives a torque no end, that is told, and nothing else.
    if case.kit.friction.at.is_some() || loadings(case).is_none() {
        return Vec::new();
    }
    let [_, most] = hand.force;
    let told = case.kit.told();
    let breaks = most > figures.breaking;
    let friction = figures.friction;
    let both = format!("[{}, {}]", friction.low, friction.high);
    vec![Judgement {
        outcome: if breaks { Outcome::Note } else { Outcome::Pass },
        subject: Subject::Hand,
        value: most.as_newtons(),
        limit: Some(figures.breaking.as_newtons()),
        unit: "N",
        message: format!(
            "on threads as slippery as was measured, friction {}, a hand's {} at the stop presses \
             with {}; the weakest place, {}, gives way at {}",
            friction.low,
            told.torque(*case.kit.hand_torque),
            told.force(most),
            figures.weakest,
            told.force(figures.breaking)
        ),
        mend: Some(format!(
            "turn gently at the stop; {} judges all by that",
            line(key::FRICTION.name(), both)
        )),
        at: None,
    }]
}

/// Cores, tubes, necks and pins under a loading.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let members = &case.design.members;
    let rods = members
        .rods
        .iter()
        .map(|rod| twisted(rod, plastic, loading));
    // A bought steel dowel is ten times as strong as the plastic around it.
    let printed = members.pins.iter().filter(|pin| !pin.bought);
    rods.chain(printed.map(|pin| sheared(pin, plastic, loading)))
        .collect()
}

/// A rod in tension and torsion together.
fn twisted(rod: &Rod, plastic: &Plastic, loading: &Loading) -> Stressed {
    let force = loading.on(rod.way);
    let tension = rod.section.direct(force);
    let torsion = rod.section.torsion(loading.twisting(rod.twist));
    Stressed {
        bearer: Bearer::Part(rod.part),
        what: rod.what.into(),
        force,
        borne: Borne::Stress {
            found: tension_with_torsion(tension, torsion),
            strength: plastic.upright,
        },
        near: NEAR,
        mend: "take thicker threads".into(),
    }
}

/// Pins in shear: two sections of one pin share a load, four of two.
fn sheared(pin: &Pin, plastic: &Plastic, loading: &Loading) -> Stressed {
    let lying = LyingPin {
        diameter: pin.diameter,
    };
    let force = loading.on(pin.way);
    Stressed {
        bearer: Bearer::Part(pin.part),
        what: format!("{} in shear", pin.called),
        force,
        borne: Borne::Stress {
            found: lying.shear(force / f64::from(pin.sections)),
            strength: plastic.flat_shear(),
        },
        near: NEAR,
        mend: thicker_pins(),
    }
}

/// Whether the hand's torque finds something to press against, and reaches the kit's load.
fn reach(case: &Case<'_>) -> Vec<Judgement> {
    match loadings(case) {
        Some(_) => Vec::from_iter(moved(case)),
        None => vec![no_load(case)],
    }
}

/// A load along the axis that the hand's torque does not reach, or does.
fn moved(case: &Case<'_>) -> Option<Judgement> {
    let load = case.kit.load.force.as_ref()?;
    let rough = Trains::of(case, case.kit.friction.high)?;
    let stop = rough.pressed_by(*case.kit.hand_torque, Cause::Stop)?;
    let most = stop.pull.min(stop.push);
    let told = case.kit.told();
    Some(Judgement {
        outcome: if **load > most {
            Outcome::Fail
        } else {
            Outcome::Pass
        },
        subject: Subject::Load,
        value: load.as_newtons(),
        limit: Some(most.as_newtons()),
        unit: "N",
        message: format!(
            "the kit's load is {}; the hand's torque of {} moves {} at most",
            told.force(**load),
            told.torque(*case.kit.hand_torque),
            told.force(most)
        ),
        mend: Some(format!(
            "write a smaller {}, or take a thread with a smaller lead",
            key::LOAD.name()
        )),
        at: load.at.clone(),
    })
}

/// The hand's torque finds no resistance to press against.
fn no_load(case: &Case<'_>) -> Judgement {
    let friction = *case.kit.friction;
    let told = match friction.is_single() {
        true => friction.low.to_string(),
        false => format!("{} to {}", friction.low, friction.high),
    };
    Judgement {
        outcome: Outcome::Fail,
        subject: Subject::Piece(case.design.assembly.drive),
        value: friction.high,
        limit: None,
        unit: "1",
        message: format!(
            "with a friction of {told} the threads jam, or a hand's torque has no end at the stop"
        ),
        mend: Some(format!(
            "write the friction of printed threads, {}",
            line(key::FRICTION.name(), "0.25")
        )),
        at: case.kit.friction.at.clone(),
    }
}
