//! Measured rows against a kit: fitted net lead and lost motion, a verdict, what to do, and
//! what to measure next.
//!
//! [`read`] and [`read_arguments`] turn what a maker wrote into [`Measured`] rows,
//! [`Prediction`] says what the kit should do, [`judge`] sets one against the other. Lengths
//! are travels of the carriage towards the end of its stroke; turns are those of the drive in
//! the direction that carries out the stroke. It knows nothing of files, pages or meshes.

mod belief;
mod cause;
mod columns;
mod evidence;
mod fit;
mod form;
mod lost;
mod measured;
mod next;
mod number;
mod plan;
mod predict;
mod rounding;
mod rows;
pub mod sentences;
mod verdict;
mod weigh;
mod words;

pub use crate::printer::student;

pub use cause::Cause;
pub use fit::{Beyond, CONFIDENCE, Estimate, LeadFit, Ripple, fit};
pub use form::{LONGEST, MOST_ROWS, Settings, arguments_text, read, read_arguments};
pub use measured::{Direction, Instrument, Measured, Reading, Row, Unit};
pub use next::Proposal;
pub use plan::{Planned, plan};
pub use predict::{Prediction, Rival};
pub use rows::State;
pub use verdict::{Doubt, Judgement, LostState, Tried, Verdict};

use crate::diagnostic::Diagnostic;
use crate::units::Length;

/// A trial, worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What was measured.
    pub measured: Measured,
    /// What the kit should do.
    pub prediction: Prediction,
    /// What the rows give.
    pub fit: LeadFit,
    /// What follows.
    pub judgement: Judgement,
    /// What to measure next.
    pub next: Proposal,
}

/// Sets rows against a prediction.
///
/// # Errors
/// Every row that cannot be believed, with its place in the text of the rows.
pub fn judge(measured: Measured, prediction: Prediction) -> Result<Trial, Vec<Diagnostic>> {
    let complaints = belief::complaints(&measured, &prediction);
    if !complaints.is_empty() {
        return Err(complaints);
    }
    let Some(fit) = fit(&measured) else {
        let at = measured.rows.last().map_or(0..0, |row| row.at.clone());
        return Err(vec![
            Diagnostic::error("these rows give no lead: too few of them are settled", at)
                .mend("measure at two turns or more on one way"),
        ]);
    };
    let weighed = weigh::weigh(&measured, &fit, &prediction);
    let (cause, ..) = verdict::likeliest(&weighed);
    let correction = cause.correction(measured.rows.len());
    // Too few rows to put anything right of leave the fit as it was.
    let mut fit = fit::fit_put_right(&measured, &correction).unwrap_or(fit);
    lost::put_right(&mut fit, &measured, cause, &prediction);
    let mut judgement = verdict::judge(&measured, &fit, &weighed, &prediction);
    words::word(&mut judgement, &measured, &fit, &prediction);
    let next = next::propose(&measured, &fit, &judgement, &prediction);
    Ok(Trial {
        measured,
        prediction,
        fit,
        judgement,
        next,
    })
}

/// A number of a length's unit, as a maker measures in it.
pub fn in_unit(length: Length, unit: Unit) -> f64 {
    match unit {
        Unit::Mm => length.as_mm(),
        Unit::Inch => length.as_inches(),
    }
}
