//! The verdict as a sentence, and what to do about it.

use super::fit::{Estimate, Fit};
use super::predict::Prediction;
use super::verdict::{Judgement, Left, LostState, Verdict};

/// Most rival explanations that a sentence names. Guess.
const NAMED: usize = 3;

/// A value with its interval, in mm, to as many decimals as the interval is worth.
pub fn interval(estimate: &Estimate) -> String {
    let decimals = decimals(estimate.half);
    format!(
        "{:.decimals$} +/- {:.decimals$} mm",
        estimate.value, estimate.half
    )
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
pub(super) fn word(judgement: &mut Judgement, fit: &Fit, prediction: &Prediction, left: &Left) {
    let lead = interval(&fit.lead);
    let predicted = format!("{:.4} mm", prediction.printed_lead().as_mm());
    let [low, _, high] = prediction.lost_motion.map(crate::units::Length::as_mm);
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
                "Lost motion explains the difference: {:.2} mm of travel are missing, the play \
                 predicted is {low:.2} to {high:.2} mm, and turns were counted before it was \
                 taken up; from there on the lead is {lead}, and {predicted} is predicted.",
                judgement.missing
            ),
            "Turn on until the carriage moves, call that turn 0, and measure from there.".into(),
        ),
        Verdict::LostMotion => (
            format!(
                "Lost motion alone can explain the difference, which these few rows cannot \
                 prove: {:.2} mm of travel are missing, and the play predicted is {low:.2} to \
                 {high:.2} mm, if turns were counted before it was taken up.",
                judgement.missing
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
pub fn lost_motion(judgement: &Judgement, fit: &Fit, prediction: &Prediction) -> String {
    let [low, _, high] = prediction.lost_motion.map(crate::units::Length::as_mm);
    let predicted = format!("{low:.2} to {high:.2} mm are predicted");
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
        interval(lost),
        lost.value / fit.lead.value
    )
}

/// What the rows say of the error within a turn, in a sentence.
pub fn ripple(fit: &Fit) -> String {
    /// Chance of noise alone below which an error within a turn is called real.
    const REAL: f64 = 0.05;
    match &fit.ripple {
        None => "The rows cannot tell an error within a turn: readings at quarter turns over \
                 one turn or more would."
            .into(),
        Some(ripple) if ripple.chance < REAL => format!(
            "Within a turn the carriage runs ahead and behind by {} (runout or a drunken \
             thread).",
            interval(&ripple.amplitude)
        ),
        Some(ripple) => format!(
            "No error within a turn can be seen: {} is no more than noise.",
            interval(&ripple.amplitude)
        ),
    }
}

/// How the scatter stands to the instrument, in a sentence.
pub fn scatter(fit: &Fit) -> String {
    /// Chance of the instrument alone below which something else scatters the rows.
    const ELSEWHERE: f64 = 0.01;
    let Some(deviation) = fit.deviation else {
        return "There are no rows to spare, so nothing is known of their scatter.".into();
    };
    let own = fit.instrument;
    if fit.noise_chance().is_some_and(|chance| chance < ELSEWHERE) {
        format!(
            "The rows scatter by {deviation:.3} mm, more than the instrument's {own:.3} mm: \
             turns that were set by eye, or a carriage that tilts."
        )
    } else {
        format!("The rows scatter by {deviation:.3} mm, as the instrument's {own:.3} mm allow.")
    }
}
