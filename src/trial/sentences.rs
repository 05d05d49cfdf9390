//! Lengths with their intervals as text, and what the rows say beside the verdict.

use super::fit::{ELSEWHERE, Estimate, LeadFit};
use super::predict::Prediction;
use super::verdict::{Judgement, LostState};
use super::{Unit, in_unit};
use crate::units::Length;

/// Lengths in mm, written one by one with so many decimals by `write`, in the rows' unit first:
/// `0.75 mm`, `0.030 in (0.75 mm)`. An inch has one decimal more.
fn told(unit: Unit, decimals: usize, write: impl Fn(&dyn Fn(f64) -> String) -> String) -> String {
    let metric = write(&|mm| format!("{mm:.decimals$}"));
    match unit {
        Unit::Mm => format!("{metric} mm"),
        Unit::Inch => {
            let fine = decimals + 1;
            let inches = write(&|mm| format!("{:.fine$}", in_unit(Length::mm(mm), unit)));
            format!("{inches} in ({metric} mm)")
        }
    }
}

/// A length in mm, in the rows' unit first.
pub fn length(mm: f64, decimals: usize, unit: Unit) -> String {
    told(unit, decimals, |number| number(mm))
}

/// From one length in mm to another, in the rows' unit first.
pub fn between(low: f64, high: f64, decimals: usize, unit: Unit) -> String {
    told(unit, decimals, |number| {
        format!("{} to {}", number(low), number(high))
    })
}

/// A length in mm with the half width of its interval, in the rows' unit first.
pub fn around(mm: f64, half: f64, decimals: usize, unit: Unit) -> String {
    told(unit, decimals, |number| {
        format!("{} +/- {}", number(mm), number(half))
    })
}

/// A value with its interval, to as many decimals as the interval is worth in mm.
pub fn interval(estimate: &Estimate, unit: Unit) -> String {
    let decimals = decimals(estimate.half);
    around(estimate.value, estimate.half, decimals, unit)
}

/// Decimals that show two digits of a half width: 3 for 0.011, 2 for 0.24; at most 5.
pub fn decimals(half: f64) -> usize {
    const MOST: usize = 5;
    let mut step = 1.0;
    for decimals in 0..MOST {
        if half >= 10.0 * step {
            return decimals;
        }
        step /= 10.0;
    }
    MOST
}

/// What the rows say of the lost motion, in a sentence.
pub fn lost_motion(judgement: &Judgement, fit: &LeadFit, prediction: &Prediction) -> String {
    let [low, _, high] = prediction.lost_motion.map(Length::as_mm);
    let predicted = format!("{} are predicted", between(low, high, 2, fit.unit));
    if let Some(beyond) = &fit.lost_beyond {
        return format!(
            "The lost motion is beyond such an instrument: its steps leave +/- {}, and {predicted}; \
             steps of {} or finer would show it.",
            length(beyond.half, 2, fit.unit),
            length(beyond.step, 2, fit.unit)
        );
    }
    let Some(lost) = &fit.lost else {
        return format!("The lost motion was not measured (no rows both ways); {predicted}.");
    };
    let how = match judgement.lost {
        LostState::Less => "less than predicted",
        LostState::More => "more than predicted",
        _ => "as predicted",
    };
    format!(
        "The lost motion is {} at the carriage, {:.2} turns, {how}: {predicted}.",
        interval(lost, fit.unit),
        lost.value / fit.lead.value
    )
}

/// What the rows say of the error within a turn, in a sentence.
pub fn ripple(fit: &LeadFit) -> String {
    /// Chance of noise alone below which an error within a turn is called real.
    const REAL: f64 = 0.05;
    match &fit.ripple {
        None => "The rows cannot tell an error within a turn: readings at quarter turns over \
                 one turn or more would."
            .into(),
        Some(ripple) if ripple.chance < REAL => format!(
            "Within a turn the carriage runs ahead and behind by {} (runout or a drunken \
             thread).",
            interval(&ripple.amplitude, fit.unit)
        ),
        Some(ripple) => format!(
            "No error within a turn can be seen: {} is no more than noise.",
            interval(&ripple.amplitude, fit.unit)
        ),
    }
}

/// How the scatter stands to the instrument, in a sentence.
pub fn scatter(fit: &LeadFit) -> String {
    let Some(deviation) = fit.deviation else {
        return "There are no rows to spare, so nothing is known of their scatter.".into();
    };
    let [deviation, own] = [deviation, fit.instrument].map(|mm| length(mm, 3, fit.unit));
    if fit.noise_chance().is_some_and(|chance| chance < ELSEWHERE) {
        format!(
            "The rows scatter by {deviation}, more than the instrument's {own}: \
             turns that were set by eye, or a carriage that tilts."
        )
    } else {
        format!("The rows scatter by {deviation}, as the instrument's {own} allow.")
    }
}
