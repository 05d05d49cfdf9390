//! A hand at the stop must not break what it turns, nor may the load that the kit gives.
//!
//! Every pin, core, neck and tube on the load's way is held against the strength of the
//! filament: in shear for pins that lie, across layers for screws that stand.

use super::finding::{Outcome, Subject};
use super::mend::{Mend, Proposal};
use super::rule::{Judge, Judgement, Rule, Strength};
use super::strength::NEAR;
use super::tried::Standing;
use super::{eased, safe_load};
use crate::kit::key;
use crate::layout::{Pin, Rod};
use crate::load::{Bearer, Borne, Case, Cause, Change, Loading, Remedy, Stressed, loadings};
use crate::strength::{LyingPin, Plastic};
use crate::units::Force;
use crate::units_told::number;

/// Rule: stresses at the stop under the hand's torque.
pub(super) const RULE: Rule = Rule {
    id: "stop-load",
    about: "a hand at the stop overloads a pin, a screw or a wall",
    why: "At the end of the stroke a hand goes on turning. What it presses with then goes through \
          every pin, core and wall on its way. So does the load that the kit gives, for hours if \
          it says so.",
    formula: "W = T / [(d2 of the drive / 2) tan(phi + lambda1) + (d2 of the inner or thin thread / 2) \
              tan(phi - lambda2)], or with the swivel's friction in a single; phi = atan(mu / cos 30 deg), \
              at the least friction and at the most, whichever is worse for a place. Cores, tube \
              and neck: what the walls leave of the section, with a notch at its root: sqrt((2 \
              W/A)^2 + 3 (1.5 T/Z)^2), T the head's torque in the drive, what its thread passes on \
              in the inner screw, the neck and the thin end. Pins, solid: W over two sections (four where there \
              are two pins; of a swivel's, whose groove bears on them at 45 degrees, W / (4 cos 45 \
              deg) a section). Fails above the strength (a fifth of it for a lasting load), warns \
              from 0.9 of it. Fails too where the hand cannot move the kit's load at the greatest \
              friction.",
    source: "power screw formula (Shigley, 9th ed., sect. 8-2), eqs. 3-37 and 5-15; walls and \
             notch: own finite elements, Hetenyi 1943 in Peterson (from memory); printed \
             strengths: low end of data sheets and papers, 0.55 in shear; lasting share: common \
             practice",
    mend: "take thicker threads or pins, print screws solid, or turn with less than the full torque \
           of a hand (`hand_torque`)",
    judge: Judge::Strength(Strength {
        places,
        before: reach,
        after: |_, _| Vec::new(),
    }),
};

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
    Stressed {
        bearer: Bearer::Part(rod.part),
        what: rod.what.into(),
        force,
        borne: Borne::Stress {
            found: rod
                .section
                .at_notch(force, loading.twisting(rod.twist), plastic.root),
            strength: plastic.upright,
        },
        near: NEAR,
        remedy: Remedy::Screws,
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
            found: lying.shear(pin.shear(force, loading.passed_on)),
            strength: plastic.flat_shear(),
        },
        near: NEAR,
        remedy: Remedy::Pins(pin.diameter),
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
    let most = eased::moved(case, *case.kit.hand_torque)?;
    let told = case.kit.told();
    let fails = **load > most;
    Some(Judgement {
        outcome: if fails { Outcome::Fail } else { Outcome::Pass },
        subject: Subject::Load,
        value: load.as_newtons(),
        limit: Some(most.as_newtons()),
        unit: "N",
        message: format!(
            "the kit's load is {}; the hand's torque of {} moves {} at most, at a friction of {}",
            told.force(**load),
            told.torque(*case.kit.hand_torque),
            told.force(most),
            number(case.kit.friction().high, 3)
        ),
        mend: Some(Mend::sought(move |standing| to_reach(standing, most))),
        at: load.at.clone(),
    })
}

/// What moves the load: a hand that may turn harder, grease, else a smaller load.
fn to_reach(standing: &Standing<'_>, most: Force) -> String {
    let case = standing.case;
    let told = case.kit.told();
    let mut ways = Vec::new();
    let needed = safe_load::needed(case).map(|torque| eased::up_torque(told, torque));
    let borne = eased::torque(case, Cause::Stop);
    if let (Some(needed), Some(borne)) = (needed, borne)
        && needed <= borne
    {
        let torque = format!("\"{}\"", told.typed_torque(needed));
        let typed = key::HAND_TORQUE.name().typed(torque);
        ways.push(format!("turn harder and write {typed}"));
    }
    let greased = |after: &Case<'_>| {
        let moved = eased::moved(after, *after.kit.hand_torque);
        let load = after.kit.load.force.as_ref();
        moved
            .zip(load)
            .is_some_and(|(most, load)| load.value <= most)
    };
    ways.extend(safe_load::grease(standing, greased));
    let least = eased::load(case).map_or(most, |least| most.min(least));
    let least = eased::down_force(told, least);
    ways.push(format!(
        "write a load of {} or less",
        told.typed_force(least)
    ));
    ways.join(", or ")
}

/// The hand's torque finds no resistance to press against.
fn no_load(case: &Case<'_>) -> Judgement {
    let friction = case.kit.friction();
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
        mend: Some(
            Proposal::first_of([Change::LeaveOut(vec![key::FRICTION.name()])])
                .beside("take threads with a smaller lead")
                .into(),
        ),
        at: case.kit.place_of(&[key::FRICTION.name()]),
    }
}
