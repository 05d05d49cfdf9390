//! What presses on a mechanism, and how the rules of strength hold their places against it.
//!
//! Three things may press: a hand at the stop, the torque that the kit gives, and the load that
//! it gives. A rule lists [`Place`]s under one [`Loading`]; [`judge`] asks it for each, and tells
//! of every place what comes nearest to its limit.

use super::{Case, Judgement, Outcome};
use crate::kit::{Said, key};
use crate::layout::End;
use crate::motion::{Collar, PowerTrain, power_train};
use crate::strength::{LASTING_SHARE, Plastic};
use crate::units::{Force, Length, Stress, Torque};
use crate::units_told::number;
use std::ops::Range;

/// From this share of a strength a stress is worth a warning. Guess.
pub(super) const NEAR: f64 = 0.9;

/// The threads on the load's way, the carriage pulled and pushed, at one friction.
pub(super) struct Trains {
    pub(super) pull: PowerTrain,
    pub(super) push: PowerTrain,
}

/// What presses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cause {
    /// The hand at the stop.
    Stop,
    /// The torque that the kit gives.
    Torque,
    /// The load that the kit gives.
    Load,
}

/// What presses, and with what.
#[derive(Clone, Debug)]
pub(super) struct Loading {
    /// On a carriage that is pulled towards the head.
    pub(super) pull: Force,
    /// On a carriage that is pushed away from it.
    pub(super) push: Force,
    /// At the drive's head.
    pub(super) torque: Torque,
    /// What of it goes on behind the drive's thread: to the inner screw, or to the swivel.
    pub(super) passed_on: Torque,
    pub(super) cause: Cause,
    /// Whether it stays for hours.
    pub(super) lasting: bool,
    at: Option<Range<usize>>,
}

/// Something held against its limit, both for a short time.
pub(super) enum Borne {
    Stress { found: Stress, strength: Stress },
    Push { found: Force, most: Force },
}

/// A place that a loading stresses.
pub(super) struct Place {
    /// The part, or joint.
    pub(super) subject: String,
    /// In a sentence: `the cross pin in shear`.
    pub(super) what: &'static str,
    /// Axial force behind it.
    pub(super) force: Force,
    pub(super) borne: Borne,
    /// Share of the limit from which it is worth a warning.
    pub(super) near: f64,
    /// What to change: `take thicker pins (...)`.
    pub(super) mend: &'static str,
}

impl Trains {
    /// At a coefficient of friction; none where a thread jams.
    pub(super) fn of(case: &Case<'_>, friction: f64) -> Option<Self> {
        let train = |radius: Option<Length>| {
            let collars = radius.map(|radius| Collar { friction, radius });
            let collars = collars.into_iter().collect();
            power_train(&case.design.assembly, case.rates, friction, collars).ok()
        };
        let [pull, push] = match &case.design.sizes.end {
            End::Nested(_) => [None, None],
            // Pulled, the carriage hangs on the groove's flank; pushed, on the pip.
            End::Single(tip) => [Some(tip.pull_radius()), Some(tip.push_radius())],
        };
        Some(Self {
            pull: train(pull)?,
            push: train(push)?,
        })
    }

    /// What a torque at the head presses with; none where it has no end.
    pub(super) fn pressed_by(&self, torque: Torque, cause: Cause) -> Option<Loading> {
        let pull = self.pull.load(torque)?;
        Some(Loading {
            pull,
            push: self.push.load(torque)?,
            torque,
            passed_on: self.pull.passed_on(pull),
            cause,
            lasting: false,
            at: None,
        })
    }

    /// What a load asks of the head, either way.
    pub(super) fn under(&self, load: Force) -> Loading {
        Loading {
            pull: load,
            push: load,
            torque: self.pull.torque(load).max(self.push.torque(load)),
            passed_on: self.pull.passed_on(load),
            cause: Cause::Load,
            lasting: false,
            at: None,
        }
    }
}

/// What presses on a case: the hand at the stop first; none where a torque has no end.
///
/// A torque presses hardest where friction is least, a load asks for the most torque where it is
/// most.
pub(super) fn loadings(case: &Case<'_>) -> Option<Vec<Loading>> {
    let (kit, friction) = (case.kit, *case.kit.friction);
    let slippery = Trains::of(case, friction.low)?;
    let rough = Trains::of(case, friction.high)?;
    let hand = slippery.pressed_by(*kit.hand_torque, Cause::Stop)?;
    let mut loadings = vec![Loading {
        at: kit
            .hand_torque
            .at
            .clone()
            .or_else(|| kit.place_of(&[key::DRIVE.name()])),
        ..hand
    }];
    let lasting = *kit.load.lasting;
    if let Some(Said { value, at }) = &kit.load.torque {
        let pressed = slippery.pressed_by(*value, Cause::Torque)?;
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
            ..rough.under(*value)
        });
    }
    Some(loadings)
}

impl Loading {
    /// The larger of pull and push.
    pub(super) fn either(&self) -> Force {
        self.pull.max(self.push)
    }

    /// What of a short-term strength counts.
    fn share(&self) -> f64 {
        if self.lasting { LASTING_SHARE } else { 1.0 }
    }
}

impl Borne {
    /// Found over most, for a short time.
    pub(super) fn utilisation(&self) -> f64 {
        match self {
            Self::Stress { found, strength } => *found / *strength,
            Self::Push { found, most } => *found / *most,
        }
    }
}

/// Judges the places of a rule, each under what comes nearest to its limit.
///
/// Says nothing where a torque has no end: `stop-load` says so once for all.
pub(super) fn judge(
    case: &Case<'_>,
    places: impl Fn(&Case<'_>, &Plastic, &Loading) -> Vec<Place>,
) -> Vec<Judgement> {
    let plastic = Plastic::of(*case.kit.material);
    let mut worst: Vec<(f64, Loading, Place)> = Vec::new();
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

fn judgement(case: &Case<'_>, used: f64, loading: &Loading, place: Place) -> Judgement {
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
        subject: place.subject,
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
            false => place.mend.into(),
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
    match loading.cause {
        Cause::Stop => format!(
            "turn less hard at the stop and write `hand_torque = \"{} N m\"`",
            rounded_down(loading.torque.as_newton_metres() * share)
        ),
        Cause::Torque => format!(
            "write `torque = \"{} N m\"` in `load`",
            rounded_down(loading.torque.as_newton_metres() * share)
        ),
        Cause::Load => format!(
            "write a load of {} N or less",
            rounded_down(loading.either().as_newtons() * share)
        ),
    }
}

/// A number with two digits that count, never more than it is.
fn rounded_down(value: f64) -> String {
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
