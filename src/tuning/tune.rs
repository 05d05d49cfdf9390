//! From a filled form, or the steps of ladders that fit best, to a profile with its errors.
//!
//! With caliper readings every term that they show is fitted from them alone, together with
//! what ladders found (a ladder's best step is one more observation). Without, ladders only
//! move what was believed before: sums of terms become known, single terms hardly.
//! Nothing is claimed beyond the readings: with fewer than three prints the spread between
//! prints stays what was believed.

use super::clue::{BestStep, CaliperSize, FACES_OF_A_READING};
use super::form::FilledForm;
use super::least_squares::{
    Observation, Singular, Solution, Spread, estimate_spread, solve, told_apart, update,
};
use super::own_gap::{OwnGap, own_gaps};
use crate::diagnostic::Diagnostic;
use crate::printer::{Known, Profile, TERMS, Term};
use crate::units::Length;
use nalgebra::DMatrix;
use std::ops::Range;

/// What was learnt.
#[derive(Clone, Debug)]
pub struct Tuned {
    /// The new profile.
    pub profile: Profile,
    /// Every term that was fitted, in the order of a profile's terms.
    pub changes: Vec<TermChange>,
    /// Every observation, those left out included.
    pub judged: Vec<Judged>,
    /// Prints in the form.
    pub prints: usize,
    /// Whether the spread is estimated from them, not only believed.
    pub spread_estimated: bool,
    /// Scatter of the readings over what was assumed, squared; about 1 where that was right.
    pub misfit: Option<f64>,
    /// What one more print would bring.
    pub next: NextPrint,
    /// Gaps to ask for joints by themselves, where their ladders disagree.
    pub own_gaps: Vec<OwnGap>,
}

/// A term, before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TermChange {
    /// Which.
    pub term: Term,
    /// Value and standard error before.
    pub old: (f64, f64),
    /// Value and standard error after.
    pub new: (f64, f64),
}

/// An observation beside what the fit makes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Name of its row or ladder.
    pub name: String,
    /// Which print, from 0.
    pub print: usize,
    /// Observation less fit, in mm; `None` where nothing was fitted to judge it by.
    pub residual: Option<f64>,
    /// Studentised residual.
    pub studentised: Option<f64>,
    /// Whether it was left out as an outlier.
    pub outlier: bool,
    /// Where its row stands in the form.
    pub at: Range<usize>,
}

/// What one more print would bring to the radial closing: what both walls of a printed joint
/// take from its gap (and its flanks, once a thread ladder was tried).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextPrint {
    /// Standard error now, in mm.
    pub now: f64,
    /// Standard error with one more print like the fullest one, in mm.
    pub then: f64,
}

/// A gain below this is not worth a print, in mm: half the last digit of a caliper.
const WORTH: f64 = 0.005;

impl NextPrint {
    /// Whether it is worth the print.
    pub fn is_worth_it(&self) -> bool {
        self.now - self.then >= WORTH
    }
}

/// Studentised residuals beyond this are outliers (Iglewicz and Hoaglin, How to Detect and
/// Handle Outliers, ASQC 1993, who label scores beyond 3.5; from memory). Of 25 readings
/// without fault one in eighty sets has such a one.
pub const OUTLIER: f64 = 3.5;
/// Most of the readings that may be left out, as a share. Guess.
const MOST_OUTLIERS: f64 = 0.1;
/// And at the most so many. Guess.
const MOST_LEFT_OUT: usize = 20;

/// A shipped guess yields to ladders as if its standard error were so many times as large.
/// Guess: two printers of one maker were found to need 0.2 and 0.5 mm, which lie 2.5 of the
/// shipped errors of a closing to either side of their middle.
const GUESSES_YIELD: f64 = 2.5;

/// An observation with its name.
#[derive(Clone, Debug)]
struct Named {
    name: String,
    at: Range<usize>,
    weights: Vec<(Term, f64)>,
    effect: f64,
    value: f64,
    print: usize,
    /// A ladder's; a caliper reading has none.
    trial: Option<BestStep>,
}

impl Named {
    /// As a row of a model with these columns.
    fn row(&self, terms: &[Term], within: f64) -> Observation {
        let weight = |term: &Term| {
            let found = self.weights.iter().filter(|(known, _)| known == term);
            found.map(|(_, weight)| weight).sum()
        };
        Observation {
            value: self.value,
            weights: terms.iter().map(weight).collect(),
            effect: self.effect,
            variance: match &self.trial {
                None => FACES_OF_A_READING * within * within,
                Some(trial) => trial.variance(Length::mm(within)),
            },
            print: self.print,
        }
    }
}

fn rows(observed: &[Named], terms: &[Term], within: f64) -> Vec<Observation> {
    observed.iter().map(|one| one.row(terms, within)).collect()
}

/// Everything observed, in file order.
fn observations(form: &FilledForm) -> Vec<Named> {
    let mut observed = Vec::new();
    for row in &form.rows {
        for (print, reading) in row.measured.iter().enumerate() {
            let Some(reading) = reading else { continue };
            observed.push(Named {
                name: row.name.clone(),
                at: row.at.clone(),
                weights: row.feature.weights(),
                effect: row.feature.print_effect(),
                value: (*reading - row.feature.drawn).as_mm(),
                print,
                trial: None,
            });
        }
    }
    for ladder in &form.ladders {
        for (print, trial) in ladder.best.iter().enumerate() {
            let Some(trial) = trial else { continue };
            observed.push(tried(&ladder.name, ladder.at.clone(), *trial, print));
        }
    }
    observed
}

fn tried(name: &str, at: Range<usize>, trial: BestStep, print: usize) -> Named {
    Named {
        name: name.into(),
        at,
        weights: trial.weights(),
        effect: trial.print_effect(),
        value: trial.taken(),
        print,
        trial: Some(trial),
    }
}

/// The terms that some observation shows, in the order of a profile's.
fn shown(observed: &[Named]) -> Vec<Term> {
    let shows = |term: &Term| {
        let weights = observed.iter().flat_map(|one| &one.weights);
        weights
            .into_iter()
            .any(|(known, weight)| known == term && *weight != 0.0)
    };
    TERMS.into_iter().filter(|term| shows(term)).collect()
}

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
        fitted(plate, &observed, base)?
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

/// Fits the terms from readings and findings.
fn fitted(
    plate: &[(String, CaliperSize)],
    observed: &[Named],
    base: Profile,
) -> Result<Tuned, Vec<Diagnostic>> {
    let terms = shown(observed);
    let refused =
        |singular: Singular, kept: &[Named]| vec![inseparable(plate, &terms, kept, &singular)];
    let belief = Spread {
        within: base.within.as_mm(),
        between: base.between.as_mm(),
    };
    let fit = |kept: &[Named], spread: Spread| {
        solve(
            &rows(kept, &terms, spread.within),
            terms.len(),
            spread.between,
        )
        .map_err(|singular| refused(singular, kept))
    };
    let mut kept = observed.to_vec();
    let mut left_out = Vec::new();
    let mut solution = fit(&kept, belief)?;
    while let Some(worst) = worst(&solution) {
        let outlier = (
            kept.remove(worst),
            solution.residuals[worst],
            solution.studentised[worst],
        );
        left_out.push(outlier);
        let share = (observed.len() as f64 * MOST_OUTLIERS).max(1.0);
        if left_out.len() as f64 > share || left_out.len() > MOST_LEFT_OUT {
            return Err(contradiction(&left_out));
        }
        solution = fit(&kept, belief)?;
    }
    let calipered: Vec<usize> = (0..kept.len())
        .filter(|at| kept[*at].trial.is_none())
        .collect();
    let all = rows(&kept, &terms, belief.within);
    let readings: Vec<Observation> = calipered.iter().map(|at| all[*at].clone()).collect();
    let residuals: Vec<f64> = calipered.iter().map(|at| solution.residuals[*at]).collect();
    let by_caliper = shown(
        &calipered
            .iter()
            .map(|at| kept[*at].clone())
            .collect::<Vec<_>>(),
    );
    // Readings scatter as the two faces that they lie between.
    let faces = FACES_OF_A_READING.sqrt();
    let of_readings = Spread {
        within: belief.within * faces,
        ..belief
    };
    let shown = estimate_spread(&readings, &residuals, by_caliper.len(), of_readings);
    let spread = if shown == of_readings {
        belief
    } else {
        Spread {
            within: shown.within / faces,
            ..shown
        }
    };
    if spread != belief {
        solution = fit(&kept, spread)?;
    }
    let mut profile = base.clone();
    profile.within = Length::mm(spread.within);
    profile.between = Length::mm(spread.between);
    let prints = prints(observed);
    profile.prints = u32::try_from(prints).unwrap_or(u32::MAX);
    let pairs: Vec<(Term, f64)> = terms.iter().copied().zip(solution.values.clone()).collect();
    set(&mut profile, &pairs, &solution.covariance, Known::Measured)?;
    for term in terms.iter().filter(|term| !by_caliper.contains(term)) {
        profile.mark(*term, Known::Ladder);
    }
    let another = another_print(&kept);
    let closing = closing(&terms);
    let now = variance(&solution.covariance, &closing);
    let then = solve(
        &rows(&another, &terms, spread.within),
        terms.len(),
        spread.between,
    )
    .map_or(now, |next| variance(&next.covariance, &closing));
    Ok(Tuned {
        changes: changes(&base, &profile, &terms),
        judged: judged(&kept, &solution, &left_out),
        prints,
        spread_estimated: spread != belief,
        misfit: (solution.freedom > 0).then(|| solution.misfit / solution.freedom as f64),
        next: NextPrint {
            now: now.sqrt(),
            then: then.sqrt(),
        },
        own_gaps: Vec::new(),
        profile,
    })
}

/// Moves what is believed by what ladders found.
fn believed(observed: &[Named], base: Profile) -> Option<Tuned> {
    let terms = shown(observed);
    if terms.is_empty() {
        return None;
    }
    let covariance = DMatrix::from_fn(terms.len(), terms.len(), |i, j| {
        base.covariance(terms[i], terms[j])
    });
    let values: Vec<f64> = terms.iter().map(|term| base.value(*term)).collect();
    let (within, between) = (base.within.as_mm(), base.between.as_mm());
    let wide = |i: usize| match base.known(terms[i]) {
        Known::Guess => GUESSES_YIELD,
        Known::Ladder | Known::Measured => 1.0,
    };
    let gain_from = DMatrix::from_fn(terms.len(), terms.len(), |i, j| {
        covariance[(i, j)] * wide(i) * wide(j)
    });
    let learn = |observed: &[Named]| {
        let rows = rows(observed, &terms, within);
        update(&values, &covariance, &gain_from, &rows, between)
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
    let judged = observed.iter().map(|one| Judged {
        name: one.name.clone(),
        print: one.print,
        residual: None,
        studentised: None,
        outlier: false,
        at: one.at.clone(),
    });
    Some(Tuned {
        changes: changes(&base, &profile, &terms),
        judged: judged.collect(),
        prints,
        spread_estimated: false,
        misfit: None,
        next: NextPrint {
            now: now.sqrt(),
            then: then.sqrt(),
        },
        own_gaps: Vec::new(),
        profile,
    })
}

fn set(
    profile: &mut Profile,
    pairs: &[(Term, f64)],
    covariance: &DMatrix<f64>,
    known: Known,
) -> Result<(), Vec<Diagnostic>> {
    let matrix: Vec<Vec<f64>> = covariance
        .row_iter()
        .map(|row| row.iter().copied().collect())
        .collect();
    profile.set(pairs, &matrix, known).map_err(|bad| {
        vec![Diagnostic::error(
            format!("no profile comes of it: {bad}"),
            0..0,
        )]
    })
}

fn prints(observed: &[Named]) -> usize {
    observed.iter().map(|one| one.print + 1).max().unwrap_or(0)
}

/// Weights of the radial closing on these terms.
fn closing(terms: &[Term]) -> Vec<f64> {
    let closes = [Term::OuterGrowth, Term::HoleGrowth, Term::FlankExtra];
    terms
        .iter()
        .map(|term| f64::from(u8::from(closes.contains(term))))
        .collect()
}

fn variance(covariance: &DMatrix<f64>, weights: &[f64]) -> f64 {
    let weights = nalgebra::DVector::from_column_slice(weights);
    (weights.transpose() * covariance * &weights)[(0, 0)].max(0.0)
}

/// The observations, and the fullest print's once more as a print of its own.
fn another_print(observed: &[Named]) -> Vec<Named> {
    let count = prints(observed);
    let of = |print: usize| observed.iter().filter(move |one| one.print == print);
    // The first among equals.
    let fullest = (0..count)
        .rev()
        .max_by_key(|print| of(*print).count())
        .unwrap_or(0);
    let more = of(fullest).map(|one| Named {
        print: count,
        ..one.clone()
    });
    observed.iter().cloned().chain(more).collect()
}

fn changes(old: &Profile, new: &Profile, terms: &[Term]) -> Vec<TermChange> {
    let change = |term: &Term| TermChange {
        term: *term,
        old: (old.value(*term), old.error(*term)),
        new: (new.value(*term), new.error(*term)),
    };
    terms.iter().map(change).collect()
}

/// The observation with the largest studentised residual, if that is an outlier's.
fn worst(solution: &Solution) -> Option<usize> {
    let sizes = solution.studentised.iter().map(|r| r.abs()).enumerate();
    let largest = sizes.max_by(|a, b| a.1.total_cmp(&b.1))?;
    (largest.1 > OUTLIER).then_some(largest.0)
}

fn judged(kept: &[Named], solution: &Solution, left_out: &[(Named, f64, f64)]) -> Vec<Judged> {
    let of = |one: &Named, residual, studentised, outlier| Judged {
        name: one.name.clone(),
        print: one.print,
        residual: Some(residual),
        studentised: Some(studentised),
        outlier,
        at: one.at.clone(),
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
    judged.sort_by_key(|one| (one.at.start, one.print));
    judged
}

fn contradiction(left_out: &[(Named, f64, f64)]) -> Vec<Diagnostic> {
    let problem = |(one, residual, studentised): &(Named, f64, f64)| {
        Diagnostic::error(
            format!(
                "`{}` of print {} is off by {residual:+.3} mm from what all others say, \
                 {:.1} standard errors",
                one.name,
                one.print + 1,
                studentised.abs()
            ),
            one.at.clone(),
        )
        .label(format!("at most {OUTLIER}"))
    };
    let mut problems: Vec<Diagnostic> = left_out.iter().map(problem).collect();
    problems.push(
        Diagnostic::error(
            format!(
                "{} readings contradict the others: too many to leave out",
                left_out.len()
            ),
            left_out.first().map_or(0..0, |(one, _, _)| one.at.clone()),
        )
        .mend("measure these rows again; check the unit, and which comb lies along x"),
    );
    problems
}

/// Why readings do not tell terms apart, and which one would.
fn inseparable(
    plate: &[(String, CaliperSize)],
    terms: &[Term],
    kept: &[Named],
    singular: &Singular,
) -> Diagnostic {
    let mixed: Vec<Term> = singular
        .mixed
        .iter()
        .filter_map(|at| terms.get(*at))
        .copied()
        .collect();
    let names: Vec<&str> = mixed.iter().map(|term| term_words(*term)).collect();
    let message = format!(
        "the readings do not tell {} apart",
        if names.is_empty() {
            "the terms".into()
        } else {
            names.join(" and ")
        }
    );
    let touched = kept
        .iter()
        .find(|one| one.weights.iter().any(|(term, _)| mixed.contains(term)));
    let problem = Diagnostic::error(message, touched.map_or(0..0, |one| one.at.clone()));
    match helpful(plate, terms, kept) {
        Some(rows) => problem.mend(format!("measure {} too", rows.join(" and "))),
        None => problem.mend("measure every row of the plate"),
    }
}

/// How many further readings are named at the most. Guess.
const MOST_NAMED: usize = 4;

/// The rows of the plate that tell the terms apart when they are measured too; each is the
/// one that lowers the condition number most.
fn helpful(plate: &[(String, CaliperSize)], terms: &[Term], kept: &[Named]) -> Option<Vec<String>> {
    let mut with = rows(kept, terms, 1.0);
    let mut waiting: Vec<Named> = plate
        .iter()
        .filter(|(name, _)| kept.iter().all(|one| one.name != *name))
        .map(|(name, feature)| Named {
            name: name.clone(),
            at: 0..0,
            weights: feature.weights(),
            effect: feature.print_effect(),
            value: 0.0,
            print: 0,
            trial: None,
        })
        .filter(|one| {
            shown(std::slice::from_ref(one))
                .iter()
                .all(|term| terms.contains(term))
        })
        .collect();
    let mut named = Vec::new();
    for _ in 0..MOST_NAMED {
        let condition = |one: &Named| {
            let mut more = with.clone();
            more.push(one.row(terms, 1.0));
            match told_apart(&more, terms.len()) {
                Ok(condition) => condition,
                Err(singular) => singular.condition,
            }
        };
        let best = waiting
            .iter()
            .map(condition)
            .enumerate()
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(at, _)| at)?;
        let one = waiting.remove(best);
        with.push(one.row(terms, 1.0));
        named.push(format!("`{}`", one.name));
        if told_apart(&with, terms.len()).is_ok() {
            return Some(named);
        }
    }
    None
}

/// A term in words.
pub fn term_words(term: Term) -> &'static str {
    match term {
        Term::ScaleX => "scale along x",
        Term::ScaleY => "scale along y",
        Term::ScaleZ => "scale of heights",
        Term::ZOffset => "offset of heights",
        Term::OuterGrowth => "growth of outer faces",
        Term::SlotGrowth => "growth of slot walls",
        Term::HoleGrowth => "growth of hole walls",
        Term::Curvature => "curvature",
        Term::LyingGrowth => "growth of lying holes' walls",
        Term::LyingSag => "sag of lying holes",
        Term::FlankExtra => "flank extra",
        Term::FirstLayerFlare => "first-layer flare",
    }
}
