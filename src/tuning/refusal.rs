//! Why a form is refused: readings that contradict each other, or do not tell terms apart.

use super::clue::CaliperSize;
use super::least_squares::{Singular, told_apart};
use super::observed::{Named, rows, shown};
use super::words::term_words;
use crate::diagnostic::Diagnostic;
use crate::printer::Term;

/// Studentised residuals beyond this are outliers (Iglewicz and Hoaglin, How to Detect and
/// Handle Outliers, ASQC 1993, who label scores beyond 3.5; from memory). Of 25 readings
/// without fault one in eighty sets has such a one.
pub const OUTLIER: f64 = 3.5;

pub(super) fn contradiction(left_out: &[(Named, f64, f64)]) -> Vec<Diagnostic> {
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
pub(super) fn inseparable(
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
