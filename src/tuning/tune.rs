//! From a filled form, or the steps of ladders that fit best, to a profile with its errors.
//!
//! With caliper readings every term that they show is fitted from them alone, together with
//! what ladders found (a ladder's best step is one more observation, and one at its end a bound).
//! Without, ladders only move what was believed before: sums of terms become known, single terms
//! hardly. Nothing is claimed beyond the readings: with fewer than three prints the spread between
//! prints stays what was believed.

use super::clue::CaliperSize;
use super::ends::Belief;
use super::fit::fitted;
use super::form::FilledForm;
use super::ladder::BestStep;
use super::learnt::{changes, closing, set, variance};
use super::observed::{Named, another_print, is_end, observations, prints, shown, tried};
use super::own_gap::own_gaps;
use crate::diagnostic::Diagnostic;
use crate::printer::{Known, Profile, Term};

pub use super::learnt::{Judged, NextPrint, TermChange, Tuned};
pub use super::refusal::OUTLIER;
pub use super::words::term_words;

/// The profile of a printer that a form describes and of which nothing else is known.
pub fn blank(form: &FilledForm) -> Profile {
    let made = &form.made;
    Profile::untuned(made.layer, made.line, made.bed, made.walls, made.material)
}

/// Learns from a form. `old` is what was believed before, and what stays where the form says
/// nothing; `plate` are the sizes that could be measured, of which the helpful ones are named
/// where readings are too few.
///
/// # Errors
/// If the readings do not tell two terms apart, or contradict each other.
pub fn tune(
    form: &FilledForm,
    old: &Profile,
    plate: &[(String, CaliperSize)],
) -> Result<Tuned, Vec<Diagnostic>> {
    let observed = observations(form);
    let mut base = old.clone();
    base.name.clone_from(&form.printer);
    base.date.clone_from(&form.date);
    base.spool.clone_from(&form.spool);
    let made = &form.made;
    (base.layer, base.line, base.walls) = (made.layer, made.line, made.walls);
    (base.bed, base.material) = (made.bed, made.material);
    let measured = observed.iter().any(|one| one.trial.is_none());
    let tuned = if measured {
        fitted(plate, form, &observed, base)?
    } else {
        believed(&observed, base).ok_or_else(|| vec![nothing_learnt()])?
    };
    Ok(Tuned {
        own_gaps: own_gaps(form, &tuned.profile),
        ..tuned
    })
}

/// Learns from the best steps of ladders alone, by name.
///
/// `None` if there are none.
pub fn tune_by_trials(trials: &[(String, BestStep)], old: &Profile) -> Option<Tuned> {
    let all = trials.iter();
    let observed: Vec<Named> = all
        .map(|(name, trial)| tried(name, 0..0, *trial, 0))
        .collect();
    believed(&observed, old.clone())
}

fn nothing_learnt() -> Diagnostic {
    Diagnostic::error("nothing in the form can be learnt from", 0..0)
        .mend("measure the rows of the plate, or try a ladder")
}

/// Moves what is believed by what ladders found.
fn believed(observed: &[Named], base: Profile) -> Option<Tuned> {
    let terms = shown(observed);
    if terms.is_empty() {
        return None;
    }
    let learn = |observed: &[Named]| {
        let (ends, inside): (Vec<Named>, Vec<Named>) = observed.iter().cloned().partition(is_end);
        let belief = Belief::from_ladders(&inside, &terms, prints(observed), &base)?;
        Some(belief.ends(&ends, &inside, &base).of_terms())
    };
    let (new, left) = learn(observed)?;
    let mut profile = base.clone();
    let prints = prints(observed);
    profile.prints = u32::try_from(prints).unwrap_or(u32::MAX);
    let pairs: Vec<(Term, f64)> = terms.iter().copied().zip(new).collect();
    set(&mut profile, &pairs, &left, Known::Ladder).ok()?;
    let closing = closing(&terms);
    let now = variance(&left, &closing);
    let then = learn(&another_print(observed)).map_or(now, |(_, left)| variance(&left, &closing));
    Some(Tuned {
        changes: changes(&base, &profile, &terms),
        judged: observed.iter().map(Judged::unfitted).collect(),
        prints,
        spread_estimated: false,
        misfit: None,
        next: NextPrint {
            now: now.sqrt(),
            then: then.min(now).sqrt(),
        },
        own_gaps: Vec::new(),
        doubts: Vec::new(),
        profile,
    })
}
