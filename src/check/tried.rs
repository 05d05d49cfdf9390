//! What a change of the kit gives: a mend is told only after it was tried.
//!
//! A change is made to a copy of the kit, which is sized anew; the places of every rule of
//! strength then tell whether the one in question is spared and no other overloaded.

use super::judged::Judged;
use super::{Outcome, RULES, strength_places, without_meshes};
use crate::kit::Kit;
use crate::layout::{self, Design};
use crate::load::{Bearer, Case, Change, Loading, Stressed, loadings};
use crate::motion::{self, StrokeRates};
use crate::printer::Profile;
use std::mem::discriminant;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

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

/// A case, how it stands before anything is changed, and what every change that was tried gave:
/// each is found out once, and only where something is tried.
pub(super) struct Standing<'a> {
    pub(super) case: &'a Case<'a>,
    places: OnceLock<Vec<Worst>>,
    judged: [OnceLock<Vec<Judged>>; RULES.len()],
    tried: Mutex<Vec<(Change, Arc<Trial>)>>,
}

/// What a change gives; nothing where it cannot be made or sized.
type Trial = OnceLock<Option<After>>;

/// A kit that was changed and sized anew.
struct After {
    kit: Kit,
    profile: Profile,
    design: Design,
    rates: StrokeRates,
    places: OnceLock<Vec<Worst>>,
    /// Whether all else bears it, by how bad what it mends was.
    bears: [OnceLock<bool>; 4],
}

impl After {
    fn of(case: &Case<'_>, change: &Change) -> Option<Self> {
        let kit = change.made(case.kit)?;
        // What is guessed of a printer hangs on the kit's layers and lines.
        let profile = match *case.profile == Profile::untuned_for(case.kit) {
            true => Profile::untuned_for(&kit),
            false => case.profile.clone(),
        };
        Self::made(kit, profile)
    }

    fn made(kit: Kit, profile: Profile) -> Option<Self> {
        let design = layout::design(&kit, &profile).ok()?;
        let rates = motion::solve_stroke(&design.assembly, design.net_lead).ok()?;
        Some(Self {
            kit,
            profile,
            design,
            rates,
            places: OnceLock::new(),
            bears: Default::default(),
        })
    }

    fn case(&self) -> Case<'_> {
        Case {
            kit: &self.kit,
            profile: &self.profile,
            design: &self.design,
            rates: &self.rates,
        }
    }
}

impl<'a> Standing<'a> {
    pub(super) fn of(case: &'a Case<'a>) -> Self {
        Self {
            case,
            places: OnceLock::new(),
            judged: std::array::from_fn(|_| OnceLock::new()),
            tried: Mutex::default(),
        }
    }

    /// What is asked of a case with a change; none where that cannot be sized.
    fn with<T>(&self, change: &Change, ask: impl FnOnce(&Case<'_>, &After) -> T) -> Option<T> {
        let trial = self.trial(change);
        let after = trial
            .get_or_init(|| After::of(self.case, change))
            .as_ref()?;
        Some(ask(&after.case(), after))
    }

    fn trial(&self, change: &Change) -> Arc<Trial> {
        // What another thread left half done is tried again.
        let mut tried = self.tried.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, known)) = tried.iter().find(|(known, _)| known == change) {
            return Arc::clone(known);
        }
        let trial = Arc::default();
        tried.push((change.clone(), Arc::clone(&trial)));
        trial
    }

    /// Whether a change does what is asked, and makes nothing else as bad as what it mends.
    pub(super) fn helps(
        &self,
        change: &Change,
        mends: Outcome,
        does: impl FnOnce(&Case<'_>) -> bool,
    ) -> bool {
        let helps = |case: &Case<'_>, after: &After| does(case) && self.bears(case, after, mends);
        self.with(change, helps).unwrap_or_default()
    }

    /// Whether a kit and a printer that were changed otherwise make nothing fail that did not.
    pub(super) fn bears_kit(&self, kit: &Kit, profile: &Profile) -> bool {
        let after = After::made(kit.clone(), profile.clone());
        after.is_some_and(|after| self.bears(&after.case(), &after, Outcome::Fail))
    }

    /// Whether nothing came to be as bad as what is mended.
    fn bears(&self, case: &Case<'_>, after: &After, mends: Outcome) -> bool {
        // What is only worth knowing keeps nothing from being mended.
        let mends = mends.max(Outcome::Warn);
        let bears = || self.is_strong(case, after) && self.is_no_worse(case, mends);
        *after.bears[mends as usize].get_or_init(bears)
    }

    /// Whether no place fails but those that failed before, and they no worse.
    fn is_strong(&self, case: &Case<'_>, after: &After) -> bool {
        let before = self.places.get_or_init(|| all_places(self.case));
        let known = |worst: &Worst| {
            let mut failed = before.iter().filter(|old| worst.used <= old.used);
            failed.any(|old| old.is(worst.place.bearer, &worst.place.what))
        };
        let mut places = after.places(case).iter();
        places.all(|worst| !failing(worst.used) || known(worst))
    }

    fn is_no_worse(&self, case: &Case<'_>, mends: Outcome) -> bool {
        let mut rules = RULES.iter().zip(&self.judged);
        rules.all(|(rule, before)| {
            let now = without_meshes(rule, case);
            let as_bad = now.iter().filter(|one| one.outcome >= mends);
            let mut as_bad = as_bad.peekable();
            if as_bad.peek().is_none() {
                return true;
            }
            let before = before.get_or_init(|| without_meshes(rule, self.case));
            as_bad.all(|one| one.outcome <= one.among(before))
        })
    }
}

impl After {
    fn places(&self, case: &Case<'_>) -> &[Worst] {
        self.places.get_or_init(|| all_places(case))
    }
}

/// A change that spares a place, as a line to type; none where none does. The first is taken that
/// spares all places of its kind, so that one line clears them; else the first that spares this
/// one; else one that leaves a warning where it failed.
pub(super) fn mend(standing: &Standing<'_>, worst: &Worst) -> Option<String> {
    let (mut alone, mut bearable) = (None, None);
    for change in worst.place.remedy.changes(standing.case.kit) {
        let left = standing.with(&change, |case, after| {
            let left = left(case, after, worst);
            // Only what would be told is tried to the end.
            let better = left.used <= worst.place.near
                || (bearable.is_none() && !failing(left.used) && failing(worst.used));
            (better && standing.bears(case, after, Outcome::Fail)).then_some(left)
        });
        let Some(left) = left.flatten() else {
            continue;
        };
        if left.all_alike {
            return Some(change.told(standing.case.kit));
        }
        if left.used <= worst.place.near {
            alone.get_or_insert(change);
        } else {
            bearable.get_or_insert(change);
        }
    }
    alone
        .or(bearable)
        .map(|change| change.told(standing.case.kit))
}

/// What a change leaves.
struct Left {
    /// What of its limit the place uses; nothing where it is gone.
    used: f64,
    /// Whether all places that the same kind of change may spare stay below their warnings.
    all_alike: bool,
}

/// What a change leaves of a place.
fn left(case: &Case<'_>, after: &After, worst: &Worst) -> Left {
    let places = after.places(case);
    let same = |after: &&Worst| after.is(worst.place.bearer, &worst.place.what);
    let used = places.iter().find(same).map_or(0.0, |after| after.used);
    let kind = discriminant(&worst.place.remedy);
    let alike = |after: &&Worst| discriminant(&after.place.remedy) == kind;
    let mut alike = places.iter().filter(alike);
    Left {
        used,
        all_alike: alike.all(|after| after.used <= after.place.near),
    }
}

/// Written so that what is not a number fails.
fn failing(used: f64) -> bool {
    used.is_nan() || used > 1.0
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
