//! A hand at the stop must not break what it turns, nor may the load that the kit gives.
//!
//! Every pin, core, neck and tube on the load's way is held against the strength of the
//! filament: in shear for pins that lie, across layers for screws that stand.

use super::loads::{self, Borne, Loading, NEAR, Place, Trains};
use super::{Case, Judge, Judgement, Outcome, Rule, force_figures};
use crate::layout::{End, Nested, Tip};
use crate::strength::{LyingPin, Plastic, Round, tension_with_torsion};
use crate::units::{Force, Stress, Torque};

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
    judge: Judge::Design(judge),
};

const THICKER_THREADS: &str = "take thicker threads";
const THICKER_PINS: &str = "take thicker pins (`pins.diameter`) or bought ones (`pins.buy`)";

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    if loads::loadings(case).is_none() {
        return vec![no_load(case)];
    }
    let mut judgements = Vec::from_iter(reach(case));
    judgements.extend(loads::judge(case, places));
    judgements.extend(slippery(case));
    judgements
}

/// What a hand may do on threads as slippery as the filament was measured, where the kit does
/// not say its friction: worth knowing, since the other judgements take the usual one.
fn slippery(case: &Case<'_>) -> Option<Judgement> {
    if case.kit.friction.at.is_some() {
        return None;
    }
    let figures = force_figures(case)?;
    let hand = figures.clamping.first()?;
    let [_, most] = hand.force;
    let told = case.kit.told();
    let breaks = most > figures.breaking;
    Some(Judgement {
        outcome: if breaks { Outcome::Note } else { Outcome::Pass },
        subject: "hand".into(),
        value: most.as_newtons(),
        limit: Some(figures.breaking.as_newtons()),
        unit: "N",
        message: format!(
            "on threads as slippery as was measured, friction {}, a hand's {} at the stop presses \
             with {}; {} breaks at {}",
            figures.friction.low,
            told.torque(*case.kit.hand_torque),
            told.force(most),
            figures.weakest,
            told.force(figures.breaking)
        ),
        mend: Some(format!(
            "turn gently at the stop; `friction = [{}, {}]` judges all by that",
            figures.friction.low, figures.friction.high
        )),
        at: None,
    })
}

/// Cores, tube, neck and pins under a loading.
pub(super) fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    let mut places = match &case.design.sizes.end {
        End::Nested(nested) => nested_screws(case, nested, plastic, loading),
        End::Single(tip) => single_screw(case, tip, plastic, loading),
    };
    places.extend(pins(case, plastic, loading));
    places
}

fn nested_screws(
    case: &Case<'_>,
    nested: &Nested,
    plastic: &Plastic,
    loading: &Loading,
) -> Vec<Place> {
    let sizes = &case.design.sizes;
    let load = loading.either();
    let core = Round::solid(nested.thread.minor_internal());
    let tube = Round {
        outer: sizes.drive.minor_internal(),
        inner: nested.thread.major() + sizes.gaps.thread.drawn * 2.0,
    };
    vec![
        screw(
            "inner",
            "the inner screw's core, across its layers",
            load,
            together(core, load, loading.passed_on),
            plastic,
        ),
        // Within the frame's thread the tube takes part of both; all of both is on the safe side.
        screw(
            "drive",
            "the drive screw's tube, across its layers",
            load,
            together(tube, load, loading.torque),
            plastic,
        ),
    ]
}

fn single_screw(case: &Case<'_>, tip: &Tip, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    let core = Round::solid(case.design.sizes.drive.minor_internal());
    let neck = Round::solid(tip.groove_radius * 2.0);
    let (load, pull) = (loading.either(), loading.pull);
    vec![
        screw(
            "drive",
            "the drive screw's core, across its layers",
            load,
            together(core, load, loading.torque),
            plastic,
        ),
        screw(
            "drive",
            "the drive screw's neck in the swivel, across its layers",
            pull,
            together(neck, pull, loading.passed_on),
            plastic,
        ),
    ]
}

fn together(section: Round, load: Force, torque: Torque) -> Stress {
    tension_with_torsion(section.direct(load), section.torsion(torque))
}

fn screw(
    subject: &str,
    what: &'static str,
    force: Force,
    found: Stress,
    plastic: &Plastic,
) -> Place {
    Place {
        subject: subject.into(),
        what,
        force,
        borne: Borne::Stress {
            found,
            strength: plastic.upright,
        },
        near: NEAR,
        mend: THICKER_THREADS,
    }
}

/// Pins in shear: two sections of one pin share a load, four of two.
fn pins(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    // A bought steel dowel is ten times as strong as the plastic around it.
    if case.kit.pins.buy.is_some() {
        return Vec::new();
    }
    let pin = LyingPin {
        diameter: case.design.sizes.pin_diameter,
    };
    let sheared = |what, force: Force, sections: f64| Place {
        subject: "pin".into(),
        what,
        force,
        borne: Borne::Stress {
            found: pin.shear(force / sections),
            strength: plastic.flat_shear(),
        },
        near: NEAR,
        mend: THICKER_PINS,
    };
    let carriage = match &case.design.sizes.end {
        End::Nested(_) => sheared("the cross pin in shear", loading.either(), 2.0),
        End::Single(_) => sheared("the swivel pins in shear", loading.pull, 4.0),
    };
    let keeper = sheared("the keeper pins in shear", loading.push, 4.0);
    vec![carriage, keeper]
}

/// A load along the axis that the hand's torque does not reach, or does.
fn reach(case: &Case<'_>) -> Option<Judgement> {
    let load = case.kit.load.force.as_ref()?;
    let rough = Trains::of(case, case.kit.friction.high)?;
    let stop = rough.pressed_by(*case.kit.hand_torque, loads::Cause::Stop)?;
    let most = stop.pull.min(stop.push);
    let told = case.kit.told();
    Some(Judgement {
        outcome: if **load > most {
            Outcome::Fail
        } else {
            Outcome::Pass
        },
        subject: "load".into(),
        value: load.as_newtons(),
        limit: Some(most.as_newtons()),
        unit: "N",
        message: format!(
            "the kit's load is {}; the hand's torque of {} moves {} at most",
            told.force(**load),
            told.torque(*case.kit.hand_torque),
            told.force(most)
        ),
        mend: Some("write a smaller `load`, or take a thread with a smaller lead".into()),
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
        subject: "drive".into(),
        value: friction.high,
        limit: None,
        unit: "1",
        message: format!(
            "with a friction of {told} the threads jam, or a hand's torque has no end at the stop"
        ),
        mend: Some("write the friction of printed threads, `friction = 0.25`".into()),
        at: case.kit.friction.at.clone(),
    }
}
