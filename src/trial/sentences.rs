//! The verdict as a sentence, and what to do about it.

use super::fit::{Estimate, LeadFit};
use super::predict::Prediction;
use super::verdict::{Judgement, Left, LostState, Verdict};
use super::{Unit, in_unit};
use crate::units::Length;

/// Most rival explanations that a sentence names. Guess.
const NAMED: usize = 3;

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

/// Puts the judgement into words.
pub(super) fn word(judgement: &mut Judgement, fit: &LeadFit, prediction: &Prediction, left: &Left) {
    let unit = fit.unit;
    let lead = interval(&fit.lead, unit);
    let predicted = length(prediction.printed_lead().as_mm(), 4, unit);
    let [low, _, high] = prediction.lost_motion.map(Length::as_mm);
    let play = between(low, high, 2, unit);
    let missing = length(judgement.missing, 2, unit);
    let (sentence, mend) = match judgement.verdict {
        Verdict::Agrees => (
            format!("The net lead agrees: {lead} measured, {predicted} predicted."),
            match judgement.lost {
                LostState::More => "The screws fit more loosely than the profile says: tune the \
                                    printer's profile, or always approach from one side."
                    .into(),
                LostState::Less => "The screws fit more closely than the profile says: tune the \
                                    printer's profile before the next print."
                    .into(),
                _ => "Use it; approach each setting from the same side, and the lost motion \
                      does not matter."
                    .into(),
            },
        ),
        Verdict::LostMotion if fit.start.is_some() => (
            format!(
                "Lost motion explains the difference: {missing} of travel are missing, the play \
                 predicted is {play}, and turns were counted before it was taken up; from there on \
                 the lead is {lead}, and {predicted} is predicted."
            ),
            "Turn on until the carriage moves, call that turn 0, and measure from there.".into(),
        ),
        Verdict::LostMotion => (
            format!(
                "Lost motion alone can explain the difference, which these few rows cannot \
                 prove: {missing} of travel are missing, and the play predicted is {play}, if turns \
                 were counted before it was taken up."
            ),
            "Turn on until the carriage moves, call that turn 0, and measure from there.".into(),
        ),
        Verdict::PrinterScale => printer_scale(judgement, &lead, &predicted),
        Verdict::WrongThread => wrong_thread(&lead, &predicted, left),
        Verdict::Instrument => (
            format!(
                "The measurement is too coarse to tell: the lead is {lead}, and that leaves {}.",
                open(left, &predicted)
            ),
            "Take the measurement proposed below before anything is printed again.".into(),
        ),
        Verdict::Unexplained => (
            format!(
                "The lead is {lead}, {predicted} is predicted, and neither play nor scale nor \
                 any thread that was tried explains it."
            ),
            "Look at the rows that stand off, count the turns again from a mark on the head, \
             and see that the carriage runs free."
                .into(),
        ),
    };
    (judgement.sentence, judgement.mend) = (sentence, mend);
}

fn printer_scale(judgement: &Judgement, lead: &str, predicted: &str) -> (String, String) {
    let percent = judgement
        .scale
        .map_or((0.0, 0.0), |s| (100.0 * s.value, 100.0 * s.half));
    (
        format!(
            "The printer's scale along z explains the difference: the lead is {lead}, \
             {predicted} is predicted, which is {:+.2} +/- {:.2} %.",
            percent.0, percent.1
        ),
        format!(
            "Measure a tall printed piece; if it is off by the same share, set the profile's z \
             scale s_z to {:.4}.",
            percent.0 / 100.0
        ),
    )
}

fn wrong_thread(lead: &str, predicted: &str, left: &Left) -> (String, String) {
    let what: Vec<&str> = left
        .rivals
        .iter()
        .map(|rival| rival.what.as_str())
        .collect();
    let mend = left.rivals.first().map_or("", |rival| rival.mend.as_str());
    (
        format!(
            "Not the kit's threads: the lead is {lead}, {predicted} is predicted, and this fits: \
             {}.",
            some(&what)
        ),
        format!("{}.", capital(mend)),
    )
}

/// The explanations that are left, in words.
fn open(left: &Left, predicted: &str) -> String {
    let mut words: Vec<String> = Vec::new();
    if left.predicted {
        words.push(format!("the predicted {predicted}"));
    }
    if left.play {
        words.push("lost motion at the start".into());
    }
    if left.scale {
        words.push("the printer's scale".into());
    }
    words.extend(left.rivals.iter().map(|rival| rival.what.clone()));
    if words.is_empty() {
        return "nothing that was tried".into();
    }
    some(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// `a; or b; or 4 more`.
fn some(words: &[&str]) -> String {
    let mut named: Vec<String> = words.iter().take(NAMED).map(|w| (*w).to_owned()).collect();
    if words.len() > NAMED {
        named.push(format!("{} more", words.len() - NAMED));
    }
    named.join("; or ")
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// What the rows say of the lost motion, in a sentence.
pub fn lost_motion(judgement: &Judgement, fit: &LeadFit, prediction: &Prediction) -> String {
    let [low, _, high] = prediction.lost_motion.map(Length::as_mm);
    let predicted = format!("{} are predicted", between(low, high, 2, fit.unit));
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
    /// Chance of the instrument alone below which something else scatters the rows.
    const ELSEWHERE: f64 = 0.01;
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
