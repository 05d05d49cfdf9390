//! What a change of the kit gives: a mend is told only after it was tried.
//!
//! A change is made to a copy of the kit, which is sized anew; the places of every rule of
//! strength then tell whether the one in question is spared and no other overloaded.

use super::rule::{Judge, Rule};
use super::typed::{line, under_table};
use super::{asserted, engagement, keeper_bore, press_stress, stops, strength_places, wall};
use crate::check::Outcome;
use crate::layout;
use crate::load::{Bearer, Case, Change, Loading, Stressed, loadings};
use crate::motion;
use std::mem::discriminant;

/// A place under what comes nearest to its limit.
pub(super) struct Worst {
    /// Found over most.
    pub(super) used: f64,
    /// What presses.
    pub(super) loading: Loading,
    /// The place.
    pub(super) place: Stressed,
}

impl Worst {
    fn is(&self, bearer: Bearer, what: &str) -> bool {
        self.place.bearer == bearer && self.place.what == what
    }
}

/// Rules of sizes that a change may break; none of them tries anything.
const OF_SIZES: [&Rule; 6] = [
    &asserted::NET_LEAD,
    &wall::RULE,
    &engagement::RULE,
    &stops::RULE,
    &press_stress::RULE,
    &keeper_bore::RULE,
];

/// A change that spares a place, as a line to type; none where none does. The first is taken that
/// spares all places of its kind, so that one line clears them; else the first that spares this
/// one; else one that leaves a warning where it failed.
pub(super) fn mend(case: &Case<'_>, worst: &Worst) -> Option<String> {
    let (mut alone, mut bearable) = (None, None);
    for change in worst.place.remedy.changes(case.kit) {
        let Some(left) = left(case, worst, &change) else {
            continue;
        };
        if left.all_alike {
            return Some(told(&change));
        }
        if left.used <= worst.place.near {
            alone.get_or_insert(change);
        } else if !failing(left.used) && failing(worst.used) {
            bearable.get_or_insert(change);
        }
    }
    alone.or(bearable).map(|change| told(&change))
}

/// What a change leaves.
struct Left {
    /// What of its limit the place uses; nothing where it is gone.
    used: f64,
    /// Whether all places that the same kind of change may spare stay below their warnings.
    all_alike: bool,
}

/// A change as what to do and what to type.
pub(super) fn told(change: &Change) -> String {
    let (key, value) = (change.key(), change.value());
    let typed = match key.as_str().contains('.') {
        true => under_table(key, value),
        false => line(key, value),
    };
    format!("{} ({typed})", change.words())
}

/// What a change leaves of a place; none where it cannot be made or makes fail what passed.
fn left(case: &Case<'_>, worst: &Worst, change: &Change) -> Option<Left> {
    with(case, change, |changed| {
        let all = all_places(changed);
        let same = |after: &&Worst| after.is(worst.place.bearer, &worst.place.what);
        let used = all.iter().find(same).map_or(0.0, |after| after.used);
        let kind = discriminant(&worst.place.remedy);
        let mut alike = all
            .iter()
            .filter(|after| discriminant(&after.place.remedy) == kind);
        let all_alike = alike.all(|after| after.used <= after.place.near);
        breaks_nothing(case, changed).then_some(Left { used, all_alike })
    })
    .flatten()
}

/// Whether nothing fails after a change that did not before.
pub(super) fn breaks_nothing(before: &Case<'_>, after: &Case<'_>) -> bool {
    let failed: Vec<Worst> = all_places(before)
        .into_iter()
        .filter(|worst| failing(worst.used))
        .collect();
    let known = |worst: &Worst| {
        let mut failed = failed.iter();
        failed.any(|old| old.is(worst.place.bearer, &worst.place.what))
    };
    let strong = all_places(after)
        .iter()
        .all(|worst| !failing(worst.used) || known(worst));
    let fails = |case: &Case<'_>, rule: &Rule| match rule.judge {
        Judge::Design(judge) => judge(case).iter().any(|j| j.outcome == Outcome::Fail),
        Judge::Bodies(_) | Judge::Strength(_) => false,
    };
    let sized = |rule: &&Rule| fails(before, rule) || !fails(after, rule);
    strong && OF_SIZES.iter().all(sized)
}

/// Written so that what is not a number fails.
fn failing(used: f64) -> bool {
    used.is_nan() || used > 1.0
}

/// What a case with a change says; none where it cannot be sized.
pub(super) fn with<T>(
    case: &Case<'_>,
    change: &Change,
    ask: impl FnOnce(&Case<'_>) -> T,
) -> Option<T> {
    let kit = change.made(case.kit);
    let design = layout::design(&kit, case.profile).ok()?;
    let rates = motion::solve_stroke(&design.assembly, design.net_lead).ok()?;
    Some(ask(&Case {
        kit: &kit,
        profile: case.profile,
        design: &design,
        rates: &rates,
    }))
}

/// Every place of every rule of strength, each under what comes nearest to its limit.
fn all_places(case: &Case<'_>) -> Vec<Worst> {
    let places = strength_places();
    places
        .into_iter()
        .flat_map(|places| worst_of(case, places))
        .collect()
}

/// The places of a rule, each under what comes nearest to its limit.
pub(super) fn worst_of(case: &Case<'_>, places: crate::load::Places) -> Vec<Worst> {
    let plastic = case.plastic();
    let mut worst: Vec<Worst> = Vec::new();
    for loading in loadings(case).unwrap_or_default() {
        // The places are the same, in the same order, whatever presses.
        for (index, place) in places(case, &plastic, &loading).into_iter().enumerate() {
            let used = place.borne.utilisation() / loading.share();
            let found = Worst {
                used,
                loading: loading.clone(),
                place,
            };
            match worst.get_mut(index) {
                Some(known) if known.used >= used => {}
                Some(known) => *known = found,
                None => worst.push(found),
            }
        }
    }
    worst
}
