//! How the rules of strength hold their places against what presses.
//!
//! A rule lists what one [`Loading`] stresses; [`judge`] asks it for each, at the least friction
//! and at the most, and tells of every place what comes nearest to its limit.

use super::eased;
use super::finding::Outcome;
use super::mend::{Mend, NOTHING_HELPS};
use super::rule::Judgement;
use super::tried::{self, Standing, Worst, worst_of};
use crate::load::{Borne, Case, Cause, Loading, Places};
use crate::units::Force;
use crate::units_told::number;

/// From this share of a strength a stress is worth a warning. Guess.
pub(super) const NEAR: f64 = 0.9;

/// Judges the places of a rule, each under what comes nearest to its limit.
///
/// Says nothing where a torque has no end: `stop-load` says so once for all.
pub(super) fn judge(case: &Case<'_>, places: Places) -> Vec<Judgement> {
    let worst = worst_of(case, places).into_iter();
    worst.map(|worst| judgement(case, worst)).collect()
}

fn judgement(case: &Case<'_>, worst: Worst) -> Judgement {
    let plastic = case.plastic();
    let told = case.kit.told();
    let Worst {
        used,
        loading,
        place,
    } = &worst;
    let share = loading.share();
    let (value, limit, unit, found, most) = match place.borne {
        Borne::Stress { found, strength } => (
            found.as_megapascals(),
            strength.as_megapascals() * share,
            "MPa",
            format!("stresses {}: {}", place.what, told.stress(found)),
            match plastic.is_of_print(strength) {
                true => format!("{} of your print", told.stress(strength * share)),
                false => told.stress(strength * share),
            },
        ),
        Borne::Push { found, most } => (
            found.as_newtons(),
            most.as_newtons() * share,
            "N",
            format!("pushes {}: {}", place.what, told.force(found)),
            told.force(most * share),
        ),
    };
    let lasting = match loading.lasting {
        true => ", a fifth of what it bears for a short time",
        false => "",
    };
    // Written so that what is not a number fails.
    let outcome = if *used <= place.near {
        Outcome::Pass
    } else if *used <= 1.0 {
        Outcome::Warn
    } else {
        Outcome::Fail
    };
    Judgement {
        outcome,
        subject: place.bearer.into(),
        value,
        limit: Some(limit),
        unit,
        message: match used.is_finite() {
            true => format!(
                "{} {found}, at most {most}{lasting}",
                pressing(case, loading, place.force)
            ),
            // A thread of which nothing is engaged, a section of which nothing is left.
            false => format!(
                "nothing is there to bear it: {} falls on {}",
                told.force(place.force),
                place.what
            ),
        },
        at: loading.at.clone(),
        mend: Some(Mend::sought(move |standing| mend(standing, &worst))),
    }
}

/// A stronger part first, what whoever turns promises last; each was tried.
fn mend(standing: &Standing<'_>, worst: &Worst) -> String {
    let eased = match worst.used.is_finite() {
        true => eased::mend(standing.case, &worst.place.what),
        false => None,
    };
    let ways: Vec<String> = tried::mend(standing, worst)
        .into_iter()
        .chain(eased)
        .collect();
    match ways.is_empty() {
        true => NOTHING_HELPS.into(),
        false => ways.join(", or "),
    }
}

/// Who presses, up to the verb that follows.
fn pressing(case: &Case<'_>, loading: &Loading, on_it: Force) -> String {
    let told = case.kit.told();
    let (torque, force) = (told.torque(loading.torque), told.force(on_it));
    let friction = number(loading.friction, 3);
    let stays = if loading.lasting { "lasting " } else { "" };
    let load = case.kit.load.force.as_ref();
    let pushed = load.is_some_and(|load| on_it > load.value);
    match loading.cause {
        Cause::Stop => format!(
            "a hand's {torque} at the stop presses with {force} at a friction of {friction} and"
        ),
        Cause::Torque => format!(
            "the kit's {stays}torque of {torque} presses with {force} at a friction of {friction} \
             and"
        ),
        Cause::Load if pushed => format!(
            "the kit's {stays}load and the spring, {force} in all, at a friction of {friction},"
        ),
        Cause::Load => format!("the kit's {stays}load of {force}, at a friction of {friction},"),
        Cause::Spring => format!(
            "the spring, which stays on, presses with {force} at a friction of {friction} and"
        ),
    }
}
