//! What the steps of an instrument alone can do to rows.
//!
//! A reading is rounded to the nearest step, and the errors of rows whose travels end alike are
//! alike: they are no independent noise, and a row of them can look like a slip.

use super::fit::LeadFit;
use super::measured::{Direction, Measured};
use super::predict::Prediction;
use super::rows::State;
use crate::units::{Length, MM_PER_INCH};

/// Standard deviation of a reading by hand beyond the instrument's steps where the repeatability
/// is not stated, in mm: a caliper set down anew, a head turned to its mark by eye. Guess.
pub(super) const BY_HAND: f64 = 0.02;
/// Standard errors of the predicted lead that are allowed for.
const LEAD_ERRORS: f64 = 2.5;
/// Leads that are tried within them, to either side.
const LEADS: i32 = 20;
/// Steps of usual instruments and rules, in mm and in parts of an inch.
const STEPS: [f64; 9] = [0.02, 0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 5.0];
const INCH_STEPS: [f64; 8] = [
    0.001,
    0.005,
    0.01,
    0.02,
    1.0 / 64.0,
    1.0 / 32.0,
    1.0 / 16.0,
    1.0 / 8.0,
];
/// Steps must be so many times those of the form to be called coarser.
const COARSER: f64 = 1.5;

/// Whether the predicted lead with some offset and some lost motion, read in the instrument's
/// steps, can give exactly these rows: on either way, what is left of the lead spans less than
/// one step.
pub(super) fn alone(measured: &Measured, plain: &LeadFit, prediction: &Prediction) -> bool {
    let step = measured.instrument.resolution.as_mm();
    let stated = measured.instrument.repeatability.as_mm();
    let by_hand = if stated > 0.0 {
        stated
    } else {
        BY_HAND.min(step / 2.0)
    };
    let room = step + 2.0 * by_hand;
    let [lead, error] = [prediction.printed_lead(), prediction.printed_lead_error()];
    (-LEADS..=LEADS).any(|part| {
        let errors = LEAD_ERRORS * f64::from(part) / f64::from(LEADS);
        let lead = lead.as_mm() + errors * error.as_mm();
        let spans = [Direction::Forward, Direction::Back];
        spans
            .iter()
            .all(|way| span(measured, plain, *way, lead) <= room)
    })
}

/// From the least to the most that settled rows of one way stand off a lead, in mm.
fn span(measured: &Measured, plain: &LeadFit, way: Direction, lead: f64) -> f64 {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let rows = measured.rows.iter().zip(measured.travels());
    for ((row, travel), state) in rows.zip(&plain.states) {
        if row.direction == way && *state != State::TakingUp {
            let off = travel - lead * row.turns;
            (low, high) = (low.min(off), high.max(off));
        }
    }
    (high - low).max(0.0)
}

/// Steps coarser than those of the form, in mm, of which all readings are whole numbers.
pub(super) fn coarser_steps(measured: &Measured) -> Vec<f64> {
    let own = measured.instrument.resolution.as_mm();
    let inches = INCH_STEPS.map(|step| step * MM_PER_INCH);
    let mut list: Vec<f64> = STEPS.into_iter().chain(inches).collect();
    list.retain(|step| {
        let whole = |reading: Length| {
            let steps = reading.as_mm() / step;
            // A fraction of an inch is written to the form's own steps.
            (steps - steps.round()).abs() * step <= own / 2.0
        };
        *step > COARSER * own && measured.rows.iter().all(|row| whole(row.reading))
    });
    list
}

/// The coarsest usual step that is at most so many mm; the finest where none is.
pub(super) fn usual_step(most: f64) -> f64 {
    let fit = STEPS.iter().rev().find(|step| **step <= most);
    *fit.unwrap_or(&STEPS[0])
}

/// Standard deviation that a reading may have, in mm: the instrument's, and a hand's where the
/// repeatability is not stated.
pub(super) fn deviation(plain: &LeadFit) -> f64 {
    if plain.stated {
        plain.instrument
    } else {
        crate::units::real::hypot(plain.instrument, BY_HAND)
    }
}
