//! Forms made up from known parameters.

use crate::support::normal::Normal;
use netlead::coupon::plate_rows;
use netlead::printer::Term;
use netlead::units::Length;
use std::fmt::Write as _;

/// Parameters of a made-up printer, in the units of the terms.
pub(crate) const TRUTH: [(Term, f64); 10] = [
    (Term::ScaleX, -0.002),
    (Term::ScaleY, 0.001),
    (Term::ScaleZ, 0.003),
    (Term::ZOffset, 0.05),
    (Term::OuterGrowth, 0.06),
    (Term::SlotGrowth, 0.02),
    (Term::HoleGrowth, 0.11),
    (Term::Curvature, 0.09),
    (Term::LyingGrowth, 0.13),
    (Term::FlankExtra, 0.12),
];

pub(crate) fn truth(term: Term) -> f64 {
    let found = TRUTH.iter().find(|(known, _)| *known == term);
    found.map_or(0.0, |(_, value)| *value)
}

/// What a caliper would read without noise.
pub(crate) fn sum(weights: &[(Term, f64)]) -> f64 {
    weights
        .iter()
        .map(|(term, weight)| weight * truth(*term))
        .sum()
}

/// The head of a form.
pub(crate) const HEAD: &str = "form = \"netlead-form/1\"\nprinter = \"made up\"\n\
    date = \"2026-11-20\"\nunits = \"mm\"\n\
    made = { layer = 0.2, line = 0.45, walls = 4, bed = [220, 220, 250], material = \"PLA\" }\n";

/// Readings of all rows of the plate in so many prints; `within` is the scatter of one wall.
pub(crate) fn plate(prints: usize, within: f64, between: f64, seed: u64) -> String {
    plate_of(prints, within, between, seed, |_| true)
}

/// The same, of some rows only.
pub(crate) fn plate_of(
    prints: usize,
    within: f64,
    between: f64,
    seed: u64,
    wanted: impl Fn(&str) -> bool,
) -> String {
    let mut normal = Normal::seeded(seed);
    let effects: Vec<f64> = (0..prints).map(|_| normal.of(between)).collect();
    let mut text = String::from(HEAD);
    for row in plate_rows(Length::mm(0.2)) {
        let drawn = row.feature.drawn.as_mm();
        let mut reading = |effect: &f64| {
            let read = drawn + sum(&row.feature.weights()) + effect * row.feature.print_effect();
            // From one wall to another, each with its own scatter.
            format!("{:.6}", read + normal.of(within) + normal.of(within))
        };
        let readings: Vec<String> = effects.iter().map(&mut reading).collect();
        if wanted(&row.name) {
            let name = &row.name;
            write!(
                text,
                "[[row]]\nname = \"{name}\"\ndrawn = {drawn}\nmeasured = [{}]\n",
                readings.join(", ")
            )
            .expect("writing to a string never fails");
        }
    }
    text
}
