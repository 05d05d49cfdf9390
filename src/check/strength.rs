//! A hand at the stop must not break what it turns.
//!
//! The stop load is what the kit's hand torque presses the carriage onto its stop with. Every
//! pin, core, neck and wall on its way is held against the strength of the filament: in shear
//! for pins that lie, across layers for screws that stand.

use super::{Case, Judge, Judgement, Outcome, Rule};
use crate::kit::Material;
use crate::layout::{End, Nested, Sizes, Tip};
use crate::motion::{Collar, power_train};
use crate::units::{Force, Length, Stress};
use std::f64::consts::PI;

/// Rule: stresses at the stop under the hand's torque.
pub(super) const RULE: Rule = Rule {
    id: "stop-load",
    about: "a hand at the stop overloads a pin, a screw or a wall",
    why: "At the end of the stroke a hand goes on turning. What it presses with then goes through \
          every pin, core and wall on its way.",
    formula: "W = T / [(d2 of the drive / 2) tan(phi + lambda1) + (d2 of the inner / 2) tan(phi - \
              lambda2)], or with the swivel's friction in a single; phi = atan(mu / cos 30 deg). \
              Stresses: W over the sections of pins and cores; tension and torsion of the tube \
              after von Mises. Fails above the strength, warns from 0.9 of it.",
    source: "power screw formula (Shigley, 9th ed., sect. 8-2); printed strengths: low end of \
             data sheets, half across layers, 0.55 in shear",
    mend: "take thicker threads or pins, or turn with less than the full torque of a hand \
           (`hand_torque`)",
    judge: Judge::Design(judge),
};

/// Strength across layers as a share of that in the plane (data sheets and a paper: 0.52 and
/// 0.53; hobby tests 0.2 to 0.6).
const ACROSS_LAYERS: f64 = 0.5;
/// Shear strength as a share of tensile strength (from memory).
const SHEAR: f64 = 0.55;
/// From this share of a limit a stress is worth a warning. Guess.
const NEAR: f64 = 0.9;
/// Cross-section of a round pin with one flat of 0.707 diameters, in squared diameters:
/// pi/4 less the segment beyond the flat, (pi/2 - 1)/8.
const PIN_SECTION: f64 = PI / 4.0 - (PI / 2.0 - 1.0) / 8.0;

/// Tensile strength of printed filament in the plane of its layers: low end of what data
/// sheets and papers report.
fn flat_strength(material: Material) -> Stress {
    Stress::megapascals(match material {
        Material::Pla => 40.0,
        Material::Petg => 44.0,
        Material::Abs | Material::Asa => 38.0,
    })
}

/// A place that the stop load stresses.
struct Place {
    part: &'static str,
    what: &'static str,
    stress: Stress,
    limit: Stress,
}

fn judge(case: &Case<'_>) -> Vec<Judgement> {
    let sizes = &case.design.sizes;
    let flat = flat_strength(*case.kit.material);
    let (shear, upright) = (flat * SHEAR, flat * ACROSS_LAYERS);
    let collars = |radius: Option<Length>| {
        radius
            .map(|radius| Collar {
                friction: case.kit.friction.low,
                radius,
            })
            .into_iter()
            .collect()
    };
    let load = |radius: Option<Length>| {
        let (design, friction) = (case.design, case.kit.friction.low);
        let train = power_train(&design.assembly, case.rates, friction, collars(radius)).ok()?;
        train.load(*case.kit.hand_torque)
    };
    let mut judgements = Vec::new();
    match &sizes.end {
        End::Nested(nested) => {
            let Some(load) = load(None) else {
                return vec![no_load(case)];
            };
            judgements.extend(reach(case, load));
            let places = nested_places(case, sizes, nested, load, shear, upright);
            judgements.extend(places.into_iter().map(|place| judgement(case, load, place)));
        }
        End::Single(tip) => {
            // Pulled, the carriage hangs on the groove's flank; pushed, on the pip.
            let pull = load(Some(tip.pull_radius()));
            let push = load(Some(tip.push_radius()));
            let (Some(pull), Some(push)) = (pull, push) else {
                return vec![no_load(case)];
            };
            judgements.extend(reach(case, pull.min(push)));
            let places = single_places(case, sizes, tip, [pull, push], shear, upright);
            judgements.extend(
                places
                    .into_iter()
                    .map(|(load, place)| judgement(case, load, place)),
            );
        }
    }
    judgements
}

/// A load along the axis that the hand's torque does not reach, or does.
fn reach(case: &Case<'_>, stop: Force) -> Option<Judgement> {
    let load = case.kit.load.force.as_ref()?;
    let told = case.kit.told();
    Some(Judgement {
        outcome: if **load > stop {
            Outcome::Fail
        } else {
            Outcome::Pass
        },
        subject: "load".into(),
        value: load.as_newtons(),
        limit: Some(stop.as_newtons()),
        unit: "N",
        message: format!(
            "the kit's load is {}; the hand's torque of {} moves {} at most",
            told.force(**load),
            told.torque(*case.kit.hand_torque),
            told.force(stop)
        ),
        mend: Some("write a smaller `load`, or take a thread with a smaller lead".into()),
        at: load.at.clone(),
    })
}

fn stress(load: Force, area: Length2) -> Stress {
    Stress::megapascals(load.as_newtons() / area.0)
}

/// An area in square millimetres.
#[derive(Clone, Copy)]
struct Length2(f64);

fn disc(radius: Length) -> Length2 {
    Length2(PI * radius.as_mm() * radius.as_mm())
}

fn pin_area(diameter: Length) -> Length2 {
    Length2(PIN_SECTION * diameter.as_mm() * diameter.as_mm())
}

/// Sections of pins that share a load: two for one pin, four for two.
fn pins(
    case: &Case<'_>,
    sizes: &Sizes,
    load: Force,
    sections: f64,
    limit: Stress,
    what: &'static str,
) -> Option<Place> {
    // A bought steel dowel is ten times as strong as the plastic around it.
    case.kit.pins.buy.is_none().then(|| {
        let stress = stress(load / sections, pin_area(sizes.pin_diameter));
        Place {
            part: "pin",
            what,
            stress,
            limit,
        }
    })
}

fn nested_places(
    case: &Case<'_>,
    sizes: &Sizes,
    nested: &Nested,
    load: Force,
    shear: Stress,
    upright: Stress,
) -> Vec<Place> {
    let core = stress(load, disc(nested.thread.minor_internal() / 2.0));
    let mut places = vec![
        Place {
            part: "inner",
            what: "the inner screw's core, across its layers",
            stress: core,
            limit: upright,
        },
        Place {
            part: "drive",
            what: "the drive screw's tube, across its layers",
            stress: tube(case, sizes, nested, load),
            limit: upright,
        },
    ];
    places.extend(pins(
        case,
        sizes,
        load,
        2.0,
        shear,
        "the cross pin in shear",
    ));
    places.extend(pins(
        case,
        sizes,
        load,
        4.0,
        shear,
        "the keeper pins in shear",
    ));
    places
}

/// Tension and torsion of the tube around the bore together, after von Mises.
fn tube(case: &Case<'_>, sizes: &Sizes, nested: &Nested, load: Force) -> Stress {
    let outer = (sizes.drive.minor_internal() / 2.0).as_mm();
    let inner = (nested.thread.major() / 2.0 + sizes.gaps.thread.drawn).as_mm();
    let tension = load.as_newtons() / (PI * (outer * outer - inner * inner));
    let polar = PI / 2.0 * (outer * outer * outer * outer - inner * inner * inner * inner);
    let torque = case.kit.hand_torque.as_newton_metres() * 1000.0;
    let torsion = torque * outer / polar;
    Stress::megapascals((tension * tension + 3.0 * torsion * torsion).sqrt())
}

fn single_places(
    case: &Case<'_>,
    sizes: &Sizes,
    tip: &Tip,
    [pull, push]: [Force; 2],
    shear: Stress,
    upright: Stress,
) -> Vec<(Force, Place)> {
    let neck = stress(pull, disc(tip.groove_radius));
    let what = "the drive screw's neck in the swivel, across its layers";
    let mut places = vec![(
        pull,
        Place {
            part: "drive",
            what,
            stress: neck,
            limit: upright,
        },
    )];
    let swivel = pins(case, sizes, pull, 4.0, shear, "the swivel pins in shear");
    let keeper = pins(case, sizes, push, 4.0, shear, "the keeper pins in shear");
    places.extend(swivel.map(|place| (pull, place)));
    places.extend(keeper.map(|place| (push, place)));
    places
}

fn judgement(case: &Case<'_>, load: Force, place: Place) -> Judgement {
    let Place {
        part,
        what,
        stress,
        limit,
    } = place;
    let outcome = if stress > limit {
        Outcome::Fail
    } else if stress > limit * NEAR {
        Outcome::Warn
    } else {
        Outcome::Pass
    };
    Judgement {
        outcome,
        subject: part.into(),
        value: stress.as_megapascals(),
        limit: Some(limit.as_megapascals()),
        unit: "MPa",
        message: format!(
            "a hand's {} at the stop presses with {} and stresses {what}: {stress:.1}, at most \
             {limit:.1}",
            case.kit.told().torque(*case.kit.hand_torque),
            case.kit.told().force(load)
        ),
        mend: Some("take thicker threads or pins, or turn with less than the hand's full torque (`hand_torque`)".into()),
        at: case.kit.hand_torque.at.clone().or_else(|| case.kit.drive.at.clone()),
    }
}

/// The hand's torque finds no resistance to press against.
fn no_load(case: &Case<'_>) -> Judgement {
    Judgement {
        outcome: Outcome::Fail,
        subject: "drive".into(),
        value: case.kit.friction.low,
        limit: None,
        unit: "1",
        message: format!(
            "with a friction of {} the threads jam, or a hand's torque has no end at the stop",
            case.kit.friction.low
        ),
        mend: Some("write the friction of printed threads, `friction = 0.25`".into()),
        at: case.kit.friction.at.clone(),
    }
}
