//! How much less may press so that every place of every rule bears it, with room to its warning:
//! one value for all messages, so that typing it once clears them all.

use super::{force_figures, strength_places};
use crate::kit::{KeyPath, key};
use crate::load::{Case, Cause, ForceFigures, Loading, Trains, loadings};
use crate::units::{Force, Torque};
use crate::units_told::{Told, number};

/// The least that a kit may give as a torque; what is smaller helps nobody.
const LEAST_TORQUE: Torque = Torque::newton_metres(0.01);
/// The least that a kit may give as a load.
const LEAST_LOAD: Force = Force::newtons(0.1);
/// Share of the safe load from which a load is worth a warning. Guess.
pub(super) const NEAR_SAFE: f64 = 0.9;

/// Share of what presses that every place bears without a warning, at either friction.
fn share(case: &Case<'_>, cause: Cause) -> Option<f64> {
    let plastic = case.plastic();
    let places = strength_places();
    let pressing = loadings(case)?.into_iter();
    let of = |loading: &Loading| {
        let all = places.iter().flat_map(|of| of(case, &plastic, loading));
        let shares = all.map(|place| place.near * loading.share() / place.borne.utilisation());
        shares.fold(f64::INFINITY, f64::min)
    };
    let each = pressing
        .filter(|loading| loading.cause == cause)
        .map(|loading| of(&loading));
    each.reduce(f64::min).filter(|share| *share > 0.0)
}

/// The torque at the head that every place bears, rounded down to two digits of the kit's unit.
pub(super) fn torque(case: &Case<'_>, cause: Cause) -> Option<Torque> {
    let given = match cause {
        Cause::Stop => *case.kit.hand_torque,
        Cause::Torque => case.kit.load.torque.as_ref()?.value,
        Cause::Load | Cause::Spring => return None,
    };
    let most = down_torque(case.kit.told(), given * share(case, cause)?);
    (most >= LEAST_TORQUE).then_some(most)
}

/// The load that every place bears and the safe load allows, rounded down to two digits of the kit's unit.
pub(super) fn load(case: &Case<'_>) -> Option<Force> {
    let given = case.kit.load.force.as_ref()?.value;
    // The spring goes with the load that is pushed against it, and stays as it is.
    let spring = case.spring_force();
    let most = (given + spring) * share(case, Cause::Load)? - spring;
    let safe = most_safe(case).map(|safe| safe * NEAR_SAFE);
    let most = down_force(case.kit.told(), safe.map_or(most, |safe| most.min(safe)));
    (most >= LEAST_LOAD).then_some(most)
}

/// The load that the weakest place bears with the kit's reserve; none without a load or where a
/// thread jams. Its own reserve or a fifth, whichever is less, where the load stays.
fn most_safe(case: &Case<'_>) -> Option<Force> {
    case.kit.load.force.as_ref()?;
    Some(allowed(case, &force_figures(case)?))
}

/// The safe load, of one that stays a fifth of the breaking one if that is less.
pub(super) fn allowed(case: &Case<'_>, figures: &ForceFigures) -> Force {
    match *case.kit.load.lasting {
        true => figures.safe_load.min(figures.lasting_load),
        false => figures.safe_load,
    }
}

/// What to type so that little enough presses on every place, of all that the kit gives; none
/// where no values do.
pub(super) fn mend(case: &Case<'_>, place: &str) -> Option<String> {
    let hand = lowered(case, Cause::Stop)?;
    let work = lowered(case, Cause::Torque)?;
    let (load, moves) = lowered_load(case, [hand, work])?;
    let told = case.kit.told();
    let load = load.map(|load| format!("a load of {} or less", told.typed_force(load)));
    let work = work.map(|torque| typed(told, Cause::Torque, torque));
    let hand_typed = hand.map(|torque| typed(told, Cause::Stop, torque));
    let typed = [load, work, hand_typed];
    let typed: Vec<String> = typed.into_iter().flatten().collect();
    let how = match hand {
        _ if !moves => stuck(case, place),
        Some(torque) if torque <= key::FINGERS => "turn with two fingers only and ".into(),
        Some(_) => "turn less hard at the stop and ".into(),
        None => String::new(),
    };
    (!typed.is_empty()).then(|| format!("{how}write {}", typed.join(" and ")))
}

/// The torque to give in place of the kit's where that presses too hard; an outer none where no torque
/// is small enough.
fn lowered(case: &Case<'_>, cause: Cause) -> Option<Option<Torque>> {
    match share(case, cause) {
        Some(share) if share < 1.0 => torque(case, cause).map(Some),
        _ => Some(None),
    }
}

/// The load to give in place of the kit's, where that is too much or is no longer moved by lower
/// torques, and whether they do move it; an outer none where no load is small enough.
fn lowered_load(case: &Case<'_>, torques: [Option<Torque>; 2]) -> Option<(Option<Force>, bool)> {
    let Some(given) = case.kit.load.force.as_ref().map(|force| force.value) else {
        return Some((None, true));
    };
    let borne = load(case)?.min(given);
    let torques = torques.into_iter().flatten();
    let moved = torques.map(|torque| moved(case, torque).unwrap_or(Force::ZERO));
    let moved = moved.reduce(Force::min);
    let most = match moved {
        Some(moved) if moved < borne => down_force(case.kit.told(), moved),
        _ => borne,
    };
    let lower = (most < given).then_some(most);
    let moves = moved.is_none_or(|moved| moved >= given);
    (most >= LEAST_LOAD).then_some((lower, moves))
}

/// That a load is too much for any torque that spares a place.
fn stuck(case: &Case<'_>, place: &str) -> String {
    let load = case.kit.load.force.as_ref();
    let load = load.map_or(Force::ZERO, |load| load.value);
    // Without where in the part it is.
    let place = place.split(',').next().unwrap_or(place);
    format!(
        "no torque both moves the load of {} and spares {place}: ",
        case.kit.told().force(load)
    )
}

/// What a torque moves where friction is greatest.
pub(super) fn moved(case: &Case<'_>, torque: Torque) -> Option<Force> {
    let rough = Trains::of(case, case.kit.friction().high)?;
    let pressed = rough.pressed_by(torque, Cause::Stop)?;
    let beside_spring = (pressed.push - case.spring_force()).max(Force::ZERO);
    Some(pressed.pull.min(beside_spring))
}

fn typed(told: Told, cause: Cause, most: Torque) -> String {
    let value = format!("\"{}\"", told.typed_torque(most));
    let path: KeyPath = match cause {
        Cause::Stop => return key::HAND_TORQUE.name().typed(value),
        Cause::Torque | Cause::Load | Cause::Spring => key::LOAD_TORQUE.name(),
    };
    path.typed(value)
}

/// A force with two digits that count in the unit in which a kit's maker types it, never more than it is.
pub(super) fn down_force(told: Told, force: Force) -> Force {
    match told {
        Told::Metric => Force::newtons(down(force.as_newtons())),
        Told::Inch => Force::pounds(down(force.as_pounds())),
    }
}

fn down_torque(told: Told, torque: Torque) -> Torque {
    match told {
        Told::Metric => Torque::newton_metres(down(torque.as_newton_metres())),
        Told::Inch => Torque::pound_inches(down(torque.as_pound_inches())),
    }
}

/// A torque in the same way, never less than it is.
pub(super) fn up_torque(told: Told, torque: Torque) -> Torque {
    match told {
        Told::Metric => Torque::newton_metres(up(torque.as_newton_metres())),
        Told::Inch => Torque::pound_inches(up(torque.as_pound_inches())),
    }
}

/// A number with two digits that count, never more than it is.
fn down(value: f64) -> f64 {
    let step = step(value);
    // Of decimal steps, so that what is told is what is meant.
    let text = number((value / step).floor() * step, 3);
    text.parse().unwrap_or(0.0)
}

/// The same, never less than it is.
fn up(value: f64) -> f64 {
    let step = step(value);
    let text = number((value / step).ceil() * step, 3);
    text.parse().unwrap_or(value)
}

fn step(value: f64) -> f64 {
    let mut step = 1e-3;
    while value.is_finite() && value / step >= 100.0 {
        step *= 10.0;
    }
    step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_mend_says_to_type_is_never_more_than_what_passes() {
        for (value, less, more) in [
            (1.999, 1.9, 2.0),
            (0.0456, 0.045, 0.046),
            (123.4, 120.0, 130.0),
            (99.95, 99.0, 100.0),
            (20_000.0, 20_000.0, 20_000.0),
        ] {
            assert_eq!([down(value), up(value)], [less, more]);
        }
    }
}
