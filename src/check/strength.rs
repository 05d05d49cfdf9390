//! How the rules of strength hold their places against what presses.
//!
//! A rule lists what one [`Loading`] stresses; [`judge`] asks it for each, and tells of every
//! place what comes nearest to its limit.

use super::finding::Outcome;
use super::rule::Judgement;
use super::typed::{line, under_table};
use crate::kit::key;
use crate::load::{Borne, Case, Cause, Loading, Places, Stressed, loadings};
use crate::strength::Plastic;
use crate::units::{Force, Torque};
use crate::units_told::number;

/// From this share of a strength a stress is worth a warning. Guess.
pub(super) const NEAR: f64 = 0.9;

/// Judges the places of a rule, each under what comes nearest to its limit.
///
/// Says nothing where a torque has no end: `stop-load` says so once for all.
pub(super) fn judge(case: &Case<'_>, places: Places) -> Vec<Judgement> {
    let plastic = Plastic::of(*case.kit.material);
    let mut worst: Vec<(f64, Loading, Stressed)> = Vec::new();
    for loading in loadings(case).unwrap_or_default() {
        // The places are the same, in the same order, whatever presses.
        for (index, place) in places(case, &plastic, &loading).into_iter().enumerate() {
            let used = place.borne.utilisation() / loading.share();
            match worst.get_mut(index) {
                Some(known) if known.0 >= used => {}
                Some(known) => *known = (used, loading.clone(), place),
                None => worst.push((used, loading.clone(), place)),
            }
        }
    }
    let judged = worst.into_iter();
    judged
        .map(|(used, loading, place)| judgement(case, used, &loading, place))
        .collect()
}

fn judgement(case: &Case<'_>, used: f64, loading: &Loading, place: Stressed) -> Judgement {
    let told = case.kit.told();
    let share = loading.share();
    let (value, limit, unit, found, most) = match place.borne {
        Borne::Stress { found, strength } => (
            found.as_megapascals(),
            strength.as_megapascals() * share,
            "MPa",
            format!("stresses {}: {}", place.what, told.stress(found)),
            told.stress(strength * share),
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
    let outcome = if used <= place.near {
        Outcome::Pass
    } else if used <= 1.0 {
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
        mend: Some(match used.is_finite() {
            true => format!("{}, or {}", less(loading, place.near / used), place.mend),
            false => place.mend,
        }),
        at: loading.at.clone(),
    }
}

/// Who presses, up to the verb that follows.
fn pressing(case: &Case<'_>, loading: &Loading, force: Force) -> String {
    let told = case.kit.told();
    let (torque, force) = (told.torque(loading.torque), told.force(force));
    let stays = if loading.lasting { "lasting " } else { "" };
    match loading.cause {
        Cause::Stop => format!("a hand's {torque} at the stop presses with {force} and"),
        Cause::Torque => format!("the kit's {stays}torque of {torque} presses with {force} and"),
        Cause::Load => format!("the kit's {stays}load of {force}"),
    }
}

/// What to type so that less presses: all stresses go with torque and load.
fn less(loading: &Loading, share: f64) -> String {
    let torque = |torque: Torque| {
        let rounded = rounded_down(torque.as_newton_metres() * share);
        format!("\"{rounded} N m\"")
    };
    match loading.cause {
        Cause::Stop => format!(
            "turn less hard at the stop and write {}",
            line(key::HAND_TORQUE.name(), torque(loading.torque))
        ),
        Cause::Torque => format!(
            "write {}",
            under_table(key::LOAD_TORQUE.name(), torque(loading.torque))
        ),
        Cause::Load => format!(
            "write a load of {} N or less",
            rounded_down(loading.either().as_newtons() * share)
        ),
    }
}

/// A number with two digits that count, never more than it is.
pub(super) fn rounded_down(value: f64) -> String {
    let mut step = 1e-3;
    while value.is_finite() && value / step >= 100.0 {
        step *= 10.0;
    }
    number((value / step).floor() * step, 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_mend_says_to_type_is_never_more_than_what_passes() {
        for (value, text) in [
            (1.999, "1.9"),
            (0.0456, "0.045"),
            (123.4, "120"),
            (99.9, "99"),
            (20_000.0, "20000"),
        ] {
            assert_eq!(rounded_down(value), text);
        }
    }
}
