//! Fits the terms that a caliper shows, and those of ladders tried beside.

use super::clue::{CaliperSize, FACES_OF_A_READING};
use super::doubt::{self, Doubt};
use super::ends::Belief;
use super::filled::FilledForm;
use super::learnt::{Judged, NextPrint, Tuned, changes, closing, set, variance};
use super::least_squares::{Observation, Solution, Spread, estimate_spread, solve};
use super::observed::{Named, another_print, is_end, prints, rows, shown};
use super::refusal::{OUTLIER, contradiction, inseparable};
use crate::diagnostic::Diagnostic;
use crate::printer::{Known, Profile, Term};
use crate::units::Length;

/// Most of the readings that may be left out, as a share. Guess.
const MOST_OUTLIERS: f64 = 0.1;
/// And at the most so many. Guess.
const MOST_LEFT_OUT: usize = 20;

/// Fits the terms from readings and findings.
///
/// # Errors
/// If the readings do not tell two terms apart, or contradict each other.
pub(super) fn fitted(
    plate: &[(String, CaliperSize)],
    form: &FilledForm,
    observed: &[Named],
    base: Profile,
) -> Result<Tuned, Vec<Diagnostic>> {
    let (ends, inside): (Vec<Named>, Vec<Named>) = observed.iter().cloned().partition(is_end);
    let belief = Spread {
        within: base.within.as_mm(),
        between: base.between.as_mm(),
    };
    let swapped = doubt::swapped(form, &base);
    let sifted = Sifted::of(plate, &inside, belief).map_err(|refused| told(refused, &swapped))?;
    let spread = sifted.spread(belief);
    let kept = &sifted.kept;
    let all: Vec<Named> = kept.iter().chain(&ends).cloned().collect();
    let terms = shown(&all);
    let solution = match spread == belief {
        true => sifted.solution.clone(),
        false => fit(plate, kept, spread)?,
    };
    let mut profile = base.clone();
    profile.within = Length::mm(spread.within);
    profile.between = Length::mm(spread.between);
    let prints = prints(observed);
    profile.prints = u32::try_from(prints).unwrap_or(u32::MAX);
    let with_spread = profile.clone();
    let learn = |inside: &[Named], ends: &[Named], prints: usize| {
        let belief = Belief::from_readings(inside, &terms, prints, &with_spread)?;
        Some(belief.ends(ends, inside, &with_spread).of_terms())
    };
    let (values, covariance) = match ends.is_empty() {
        true => (solution.values.clone(), solution.covariance.clone()),
        false => learn(kept, &ends, prints).ok_or_else(|| vec![unlearnt()])?,
    };
    let pairs: Vec<(Term, f64)> = terms.iter().copied().zip(values).collect();
    set(&mut profile, &pairs, &covariance, Known::Measured)?;
    let by_caliper = shown(&sifted.calipered());
    for term in terms.iter().filter(|term| !by_caliper.contains(term)) {
        profile.mark(*term, Known::Ladder);
    }
    let (more_ends, more): (Vec<Named>, Vec<Named>) =
        another_print(&all).into_iter().partition(is_end);
    let closing = closing(&terms);
    let now = variance(&covariance, &closing);
    let then = learn(&more, &more_ends, prints + 1);
    let then = then.map_or(now, |(_, next)| variance(&next, &closing));
    let mut doubts: Vec<Doubt> = swapped;
    if doubts.is_empty() {
        doubts.extend(doubt::scales_swapped(&base, &profile));
    }
    if doubts.is_empty() {
        doubts.extend(doubt::closing(kept, spread));
    }
    Ok(Tuned {
        changes: changes(&base, &profile, &terms),
        judged: judged(kept, &solution, &sifted.left_out, &ends),
        prints,
        spread_estimated: spread != belief,
        misfit: (solution.freedom > 0).then(|| solution.misfit / solution.freedom as f64),
        next: NextPrint {
            now: now.sqrt(),
            then: then.min(now).sqrt(),
        },
        own_gaps: Vec::new(),
        doubts,
        profile,
    })
}

/// Numbers too far apart to be reckoned with.
fn unlearnt() -> Diagnostic {
    Diagnostic::error("nothing can be learnt from these readings together", 0..0)
        .mend("measure every row of the plate again")
}

/// A refusal, and what is likely behind it.
fn told(mut refused: Vec<Diagnostic>, doubts: &[Doubt]) -> Vec<Diagnostic> {
    let likely = doubts
        .iter()
        .map(|doubt| Diagnostic::error(doubt.message(), doubt.at()).mend(doubt.mend()));
    refused.extend(likely);
    refused
}

fn fit(
    plate: &[(String, CaliperSize)],
    kept: &[Named],
    spread: Spread,
) -> Result<Solution, Vec<Diagnostic>> {
    let terms = shown(kept);
    let rows = rows(kept, &terms, spread.within);
    solve(&rows, terms.len(), spread.between)
        .map_err(|singular| vec![inseparable(plate, &terms, kept, &singular)])
}

/// Observations without outliers, and the fit of what is left.
struct Sifted {
    kept: Vec<Named>,
    /// With residual and studentised residual.
    left_out: Vec<(Named, f64, f64)>,
    solution: Solution,
}

impl Sifted {
    fn of(
        plate: &[(String, CaliperSize)],
        observed: &[Named],
        spread: Spread,
    ) -> Result<Self, Vec<Diagnostic>> {
        let mut kept = observed.to_vec();
        let mut left_out = Vec::new();
        let mut solution = fit(plate, &kept, spread)?;
        let share = (observed.len() as f64 * MOST_OUTLIERS).max(1.0);
        while let Some(worst) = worst(&solution) {
            let numbers = (solution.residuals[worst], solution.studentised[worst]);
            left_out.push((kept.remove(worst), numbers.0, numbers.1));
            if left_out.len() as f64 > share || left_out.len() > MOST_LEFT_OUT {
                return Err(contradiction(&left_out));
            }
            solution = fit(plate, &kept, spread)?;
        }
        Ok(Self {
            kept,
            left_out,
            solution,
        })
    }

    /// What a caliper read.
    fn calipered(&self) -> Vec<Named> {
        let kept = self.kept.iter();
        kept.filter(|one| one.trial.is_none()).cloned().collect()
    }

    /// The spread that the readings show, mixed with the belief.
    fn spread(&self, belief: Spread) -> Spread {
        let terms = shown(&self.kept);
        let all = rows(&self.kept, &terms, belief.within);
        let read = |at: &usize| self.kept[*at].trial.is_none();
        let calipered: Vec<usize> = (0..self.kept.len()).filter(read).collect();
        let readings: Vec<Observation> = calipered.iter().map(|at| all[*at].clone()).collect();
        let residuals: Vec<f64> = calipered
            .iter()
            .map(|at| self.solution.residuals[*at])
            .collect();
        // Readings scatter as the two faces that they lie between.
        let faces = FACES_OF_A_READING.sqrt();
        let of_readings = Spread {
            within: belief.within * faces,
            ..belief
        };
        let unknowns = shown(&self.calipered()).len();
        let shown = estimate_spread(&readings, &residuals, unknowns, of_readings);
        match shown == of_readings {
            true => belief,
            false => Spread {
                within: shown.within / faces,
                ..shown
            },
        }
    }
}

/// The observation with the largest studentised residual, if that is an outlier's.
fn worst(solution: &Solution) -> Option<usize> {
    let sizes = solution.studentised.iter().map(|r| r.abs()).enumerate();
    let largest = sizes.max_by(|a, b| a.1.total_cmp(&b.1))?;
    (largest.1 > OUTLIER).then_some(largest.0)
}

fn judged(
    kept: &[Named],
    solution: &Solution,
    left_out: &[(Named, f64, f64)],
    ends: &[Named],
) -> Vec<Judged> {
    let of = |one: &Named, residual, studentised, outlier| Judged {
        residual: Some(residual),
        studentised: Some(studentised),
        outlier,
        ..Judged::unfitted(one)
    };
    let numbers = solution.residuals.iter().zip(&solution.studentised);
    let mut judged: Vec<Judged> = kept
        .iter()
        .zip(numbers)
        .map(|(one, (residual, studentised))| of(one, *residual, *studentised, false))
        .collect();
    judged.extend(
        left_out
            .iter()
            .map(|(one, residual, r)| of(one, *residual, *r, true)),
    );
    judged.extend(ends.iter().map(Judged::unfitted));
    judged.sort_by_key(|one| (one.at.start, one.print));
    judged
}
