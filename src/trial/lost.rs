//! The interval of a lost motion where the instrument's steps, not its scatter, limit it.
//!
//! Errors of rounding repeat with net lead times turns, so more rows do not narrow the interval
//! by their root. Instead every place that the carriage can have had is weighed by how likely
//! it gives just these readings: with steps q, noise s, offset o of one way and net lead L,
//!
//! ```text
//! p(x | o, L) = Phi((x + q/2 - o - L n) / s) - Phi((x - q/2 - o - L n) / s)
//! ```
//!
//! for each row, all rows multiplied, summed over L and s (likelihood of grouped data; Heitjan,
//! Inference from grouped continuous data, Statistical Science 4, 1989; from memory). The
//! lost motion is the offset back less that forward; what is shown holds 95 % of its weight.

use super::cause::Cause;
use super::fit::{Beyond, CONFIDENCE, ELSEWHERE, Estimate, LeadFit, NORMAL_QUANTILE};
use super::measured::{Direction, Measured};
use super::predict::Prediction;
use super::rounding::usual_step;
use super::rows::{Correction, Data, State};
use crate::units::real::{self, exp};

/// Scatter from this share of a step on makes errors of rounding independent: then the least
/// squares tell (dither; Vanderkooy & Lipshitz, Journal of the Audio Engineering Society 32,
/// 1984: a half step of noise leaves the error's mean and spread almost free of the signal; from
/// memory).
const DITHERED: f64 = 0.5;
/// Noises that are tried where the repeatability is not stated, as shares of a step; steps alone
/// count twice, for most hands are steadier than a coarse step. Guess.
const NOISES: [f64; 6] = [0.03, 0.03, 0.06, 0.12, 0.25, 0.5];
/// Noises that are tried where it is, as multiples of it, with their weights. Guess.
const STATED: [(f64, f64); 2] = [(1.0, 0.9), (2.0, 0.1)];
/// The least noise that is reckoned with, as a share of a step: the sums below need some.
const LEAST_NOISE: f64 = 0.03;
/// Noises beyond the feasible offsets that are summed, to either side.
const TAIL: f64 = 4.0;
/// Offsets of each way, leads, and classes of lost motion in the sums.
const OFFSETS: usize = 40;
const LEADS: usize = 21;
const CLASSES: usize = 400;
/// Standard errors of the lead to either side that are summed.
const LEAD_ERRORS: f64 = 2.5;
/// A lost motion known no better than to this share of the most that is predicted is not
/// known. Guess.
const WIDEST: f64 = 0.4;
/// Steps beyond this share of the most that is predicted tell apart no more than two plays, and
/// an interval holds what is put in more or less often by where it lies. Guess.
const COARSEST: f64 = 0.5;
/// An instrument would do that halves what may be, at least. Guess.
const NARROWED: f64 = 0.5;

/// Readings that tell the offset of one way: turns and travel.
type Way = Vec<(f64, f64)>;

/// Puts the interval of the lost motion right where rounding limits it, or takes it away where
/// the instrument cannot show it.
pub(super) fn put_right(
    fit: &mut LeadFit,
    measured: &Measured,
    cause: Cause,
    prediction: &Prediction,
) {
    let Some(plain) = fit.lost else { return };
    let step = measured.instrument.resolution.as_mm();
    if scatter(fit, measured) >= DITHERED * step {
        return;
    }
    let ways = ways(fit, measured, cause);
    let Some(rounded) = weighed(&ways, fit, measured, &plain, &leads(fit, cause, prediction))
    else {
        return;
    };
    fit.rounded = true;
    let predicted = prediction.lost_motion[2].as_mm();
    // Under a spring next to nothing is predicted: play that is surely more is told all the same.
    let high = match prediction.sprung {
        true => predicted.max(rounded.value - rounded.half),
        false => predicted,
    };
    let most = WIDEST * high;
    if rounded.half > most || step > COARSEST * high {
        let narrowed = (most / rounded.half).min(1.0);
        let step = usual_step(NARROWED * step.min(high) * narrowed);
        fit.lost_beyond = Some(Beyond {
            half: rounded.half,
            step,
        });
        fit.lost = None;
    } else {
        fit.lost = Some(rounded);
    }
}

/// Standard deviation of the readings beyond their rounding, in mm.
fn scatter(fit: &LeadFit, measured: &Measured) -> f64 {
    let step = measured.instrument.resolution.as_mm();
    let own = fit.deviation.unwrap_or_default();
    let beyond = (own * own - step * step / 12.0).max(0.0).sqrt();
    if fit.stated && fit.noise_chance().is_none_or(|chance| chance >= ELSEWHERE) {
        measured.instrument.repeatability.as_mm()
    } else {
        beyond
    }
}

/// Leads with their weights.
fn leads(fit: &LeadFit, cause: Cause, prediction: &Prediction) -> Vec<(f64, f64)> {
    let keeps = cause.keeps_lead();
    let (middle, error) = if keeps {
        let [lead, error] = [prediction.printed_lead(), prediction.printed_lead_error()];
        (lead.as_mm(), error.as_mm())
    } else {
        (fit.lead.value, fit.lead.error)
    };
    let each = |index: usize| {
        let deviations = LEAD_ERRORS * (2.0 * index as f64 / (LEADS - 1) as f64 - 1.0);
        let weight = if keeps {
            exp(-deviations * deviations / 2.0)
        } else {
            1.0
        };
        (middle + deviations * error, weight)
    };
    (0..LEADS).map(each).collect()
}

/// Rows of both ways that share one offset each, with what the fit knows taken off.
fn ways(fit: &LeadFit, measured: &Measured, cause: Cause) -> [Way; 2] {
    let data = Data::new(measured, &cause.correction(measured.rows.len()));
    let shifted = match cause.correction(measured.rows.len()) {
        // Of rows before and behind a move of unknown length, those tell that have both ways.
        Correction::Shift(rows) => {
            let outside = |way| {
                let mut before = data.directions[..rows.start].iter();
                before.any(|one| *one == way)
            };
            if outside(Direction::Forward) && outside(Direction::Back) || rows.len() == 1 {
                rows
            } else {
                0..rows.start
            }
        }
        _ => 0..0,
    };
    let mut ways = [Vec::new(), Vec::new()];
    let mut last: Option<(usize, f64)> = None;
    for (index, state) in fit.states.iter().enumerate() {
        let back = usize::from(data.directions[index] == Direction::Back);
        let own = match state {
            State::Settled => Some((back, data.turns[index])),
            State::TakingUp => last,
            State::Start => None,
        };
        last = own;
        if let Some((way, turns)) = own
            && !shifted.contains(&index)
        {
            ways[way].push((turns, data.travel[index] - within_turn(fit, turns)));
        }
    }
    ways
}

/// What the error within a turn adds, where it is more than noise.
fn within_turn(fit: &LeadFit, turns: f64) -> f64 {
    const REAL: f64 = 0.01;
    let real = fit.ripple.filter(|ripple| ripple.chance < REAL);
    real.map_or(0.0, |ripple| {
        let (sine, cosine) = crate::units::Angle::turns(turns - turns.floor()).sin_cos();
        ripple.sine * sine + ripple.cosine * cosine
    })
}

/// The middle 95 % of the lost motion's weight.
fn weighed(
    ways: &[Way; 2],
    fit: &LeadFit,
    measured: &Measured,
    plain: &Estimate,
    leads: &[(f64, f64)],
) -> Option<Estimate> {
    let step = measured.instrument.resolution.as_mm();
    let stated = measured.instrument.repeatability.as_mm();
    let noises: Vec<(f64, f64)> = if fit.stated {
        let own = |(ratio, weight): (f64, f64)| ((ratio * stated).max(LEAST_NOISE * step), weight);
        STATED.map(own).into()
    } else {
        NOISES.map(|share| (share * step, 1.0)).into()
    };
    let reach = 2.0 * step + 2.0 * TAIL * noises.last()?.0 + LEAD_ERRORS * plain.error;
    let mut classes = Classes::new(plain.value - reach, plain.value + reach);
    for (lead, of_lead) in leads {
        for (noise, of_noise) in &noises {
            let forward = offsets(&ways[0], *lead, step, *noise);
            let back = offsets(&ways[1], *lead, step, *noise);
            let (Some(forward), Some(back)) = (forward, back) else {
                continue;
            };
            for (a, of_a) in &forward {
                for (b, of_b) in &back {
                    classes.add(b - a, of_lead * of_noise * of_a * of_b);
                }
            }
        }
    }
    let tail = (1.0 - CONFIDENCE) / 2.0;
    let [low, high] = [classes.below(tail)?, classes.below(1.0 - tail)?];
    let half = (high - low) / 2.0;
    Some(Estimate {
        value: f64::midpoint(low, high),
        error: half / NORMAL_QUANTILE,
        half,
    })
}

/// Offsets of one way with their weights; `None` where no offset gives its rows.
fn offsets(way: &Way, lead: f64, step: f64, noise: f64) -> Option<Vec<(f64, f64)>> {
    let off: Vec<f64> = way
        .iter()
        .map(|(turns, travel)| travel - lead * turns)
        .collect();
    let most = off.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = off.iter().copied().fold(f64::INFINITY, f64::min);
    let [low, high] = [
        most - step / 2.0 - TAIL * noise,
        least + step / 2.0 + TAIL * noise,
    ];
    if low >= high || !(high - low).is_finite() {
        return None;
    }
    let width = (high - low) / OFFSETS as f64;
    let below = |value: f64| 0.5 * real::erfc(-value / (noise * 2f64.sqrt()));
    let each = |index: usize| {
        let offset = low + width * (index as f64 + 0.5);
        let chance = |off: &f64| {
            let off = off - offset;
            below(off + step / 2.0) - below(off - step / 2.0)
        };
        (offset, width * off.iter().map(chance).product::<f64>())
    };
    Some((0..OFFSETS).map(each).collect())
}

/// Weight by classes of one width.
struct Classes {
    low: f64,
    width: f64,
    weights: Vec<f64>,
}

impl Classes {
    fn new(low: f64, high: f64) -> Self {
        Self {
            low,
            width: (high - low) / CLASSES as f64,
            weights: vec![0.0; CLASSES],
        }
    }

    fn add(&mut self, value: f64, weight: f64) {
        let index = ((value - self.low) / self.width).max(0.0) as usize;
        self.weights[index.min(CLASSES - 1)] += weight;
    }

    /// The value that this share of the weight is below; `None` without weight.
    fn below(&self, share: f64) -> Option<f64> {
        let all: f64 = self.weights.iter().sum();
        let mut left = share * all;
        for (index, weight) in self.weights.iter().enumerate() {
            if *weight > 0.0 && *weight >= left {
                let at = index as f64 + left / weight;
                return Some(self.low + at * self.width);
            }
            left -= weight;
        }
        None
    }
}
