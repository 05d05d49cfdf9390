//! The next best measurement: the few readings that narrow the deciding interval most.
//!
//! Added readings add their outer products to the information matrix X'X; the interval that
//! they would leave follows before they are taken (design of experiments, c-optimality; the
//! noise is taken to stay as it is).

use super::fit::{LeadFit, NORMAL_QUANTILE};
use super::measured::Direction;
use super::predict::Prediction;
use super::sentences::{decimals, length};
use super::verdict::{Judgement, Verdict};

/// Most repeats that are asked of a maker. Guess.
const MOST_REPEATS: usize = 5;
/// An interval is worth narrowing to this share of itself. Guess.
const NARROWED: f64 = 0.5;
/// A lost motion is known well enough within this share of its predicted most. Guess.
const LOST_WELL: f64 = 0.25;

/// What to measure next.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// What it decides: `net lead`, `lost motion`, `error within a turn`.
    pub decides: &'static str,
    /// Turns at which to read; empty if nothing is worth it.
    pub turns: Vec<f64>,
    /// The way to come there.
    pub direction: Direction,
    /// Readings at each.
    pub repeats: usize,
    /// Half width of the interval now and afterwards, in mm; `None` where there is none yet.
    pub half: Option<[f64; 2]>,
    /// In a sentence.
    pub sentence: String,
}

/// Proposes.
pub(super) fn propose(fit: &LeadFit, judgement: &Judgement, prediction: &Prediction) -> Proposal {
    // A lead that was found in spite of a first play is as good as one without.
    let found = judgement.verdict == Verdict::LostMotion && fit.start.is_some();
    if judgement.verdict == Verdict::LostMotion && !found {
        return for_start(prediction);
    }
    if judgement.verdict != Verdict::Agrees && !found {
        return for_lead(fit, judgement, prediction);
    }
    let enough = LOST_WELL * prediction.lost_motion[2].as_mm();
    match (&fit.lost, &fit.ripple) {
        (None, _) => for_lost(fit, prediction),
        (Some(lost), _) if lost.half > enough => for_lost(fit, prediction),
        (_, None) => for_ripple(fit, prediction),
        _ => Proposal {
            decides: "nothing",
            turns: Vec::new(),
            direction: Direction::Forward,
            repeats: 0,
            half: Some([fit.lead.half; 2]),
            sentence: "Nothing more needs measuring.".into(),
        },
    }
}

/// Whole turns that lie in the stroke.
fn far(prediction: &Prediction) -> f64 {
    prediction.turns.floor().max(1.0)
}

fn for_lead(fit: &LeadFit, judgement: &Judgement, prediction: &Prediction) -> Proposal {
    let target = target(fit, judgement);
    let ends = [0.0, far(prediction)];
    let sets = [vec![ends[1]], vec![ends[0]], ends.to_vec()];
    let mut best: Option<(f64, &Vec<f64>, usize)> = None;
    'found: for repeats in 1..=MOST_REPEATS {
        for turns in &sets {
            let half = with_readings(fit, turns, repeats);
            if best.is_none_or(|(least, ..)| half < least) {
                best = Some((half, turns, repeats));
            }
        }
        if best.is_some_and(|(half, ..)| half <= target) {
            break 'found;
        }
    }
    let (after, turns, repeats) = best.unwrap_or((fit.lead.half, &sets[2], MOST_REPEATS));
    let at = turns
        .iter()
        .map(|n| format!("{n}"))
        .collect::<Vec<_>>()
        .join(" and ");
    let (before, places) = (fit.lead.half, decimals(after));
    Proposal {
        decides: "net lead",
        turns: turns.clone(),
        direction: Direction::Forward,
        repeats,
        half: Some([before, after]),
        sentence: format!(
            "Read at turn {at}, {}, coming forward each time with the play taken up: that \
             narrows the net lead from +/- {} to about +/- {}.{}",
            times(repeats),
            length(before, places, fit.unit),
            length(after, places, fit.unit),
            if after > target {
                " That may not be enough: take an instrument with a finer step as well."
            } else {
                ""
            }
        ),
    }
}

/// Places past the play, so that the lead shows without it.
fn for_start(prediction: &Prediction) -> Proposal {
    let most = prediction.lost_motion[2] / prediction.net_lead;
    let (first, last) = (most.ceil(), far(prediction));
    let turns = vec![first, (f64::midpoint(first, last)).floor(), last];
    Proposal {
        decides: "net lead",
        direction: Direction::Forward,
        repeats: 2,
        half: None,
        sentence: format!(
            "Read at turn {}, {} and {}, twice, coming forward from turn 0: the play is taken \
             up by then, so these rows give the lead without it.",
            turns[0], turns[1], turns[2]
        ),
        turns,
    }
}

/// Half width of the lead that tells the nearest explanations apart.
fn target(fit: &LeadFit, judgement: &Judgement) -> f64 {
    let leads: Vec<f64> = judgement
        .tried
        .iter()
        .filter(|t| t.left)
        .map(|t| t.lead)
        .collect();
    let mut least = NARROWED * fit.lead.half;
    for (index, a) in leads.iter().enumerate() {
        for b in leads.iter().skip(index + 1) {
            // Each of the two must fall out of the interval of the other's half.
            least = least.min(NARROWED * (a - b).abs());
        }
    }
    least
}

/// Half width of the lead after `repeats` more readings at each of `turns`.
fn with_readings(fit: &LeadFit, turns: &[f64], repeats: usize) -> f64 {
    let Some(mut information) = fit.covariance.clone().try_inverse() else {
        return fit.lead.half;
    };
    for turns in turns {
        let row = fit.columns().settled(*turns, Direction::Forward);
        let row = nalgebra::DVector::from_vec(row);
        information += repeats as f64 * &row * row.transpose();
    }
    let column = fit.lead_column();
    information
        .try_inverse()
        .map_or(fit.lead.half, |covariance| {
            noise(fit) * covariance[(column, column)].max(0.0).sqrt() * NORMAL_QUANTILE
        })
}

/// Standard deviation that a further reading is expected to have, in mm.
fn noise(fit: &LeadFit) -> f64 {
    fit.deviation.unwrap_or_default().max(fit.instrument)
}

fn for_lost(fit: &LeadFit, prediction: &Prediction) -> Proposal {
    let most = prediction.lost_motion[2] / prediction.net_lead;
    // Far enough behind the end that the play is surely taken up.
    let past = (most + 0.5).ceil();
    let turn = (far(prediction) / 2.0)
        .floor()
        .min(far(prediction) - past)
        .max(0.0);
    let row = nalgebra::DVector::from_vec(fit.columns().settled(turn, Direction::Forward));
    let line = (row.transpose() * &fit.covariance * &row)[(0, 0)].max(0.0);
    let after =
        |repeats: usize| NORMAL_QUANTILE * noise(fit) * (line + 1.0 / repeats as f64).sqrt();
    let enough = LOST_WELL * prediction.lost_motion[2].as_mm();
    let repeats = (1..=MOST_REPEATS).find(|r| after(*r) <= enough);
    let repeats = repeats.unwrap_or(MOST_REPEATS).max(2);
    Proposal {
        decides: "lost motion",
        turns: vec![turn],
        direction: Direction::Back,
        repeats,
        half: fit.lost.map(|lost| [lost.half, after(repeats)]),
        sentence: format!(
            "Go forward to turn {}, come back to turn {turn}, and read there, {}: the play is \
             taken up by then, and the lost motion is known to about +/- {}.",
            turn + past,
            times(repeats),
            length(after(repeats), 2, fit.unit)
        ),
    }
}

fn for_ripple(fit: &LeadFit, prediction: &Prediction) -> Proposal {
    let from = (far(prediction) / 2.0).floor();
    let turns: Vec<f64> = [0.0, 0.25, 0.5, 0.75]
        .iter()
        .map(|part| from + part)
        .collect();
    // Four equal steps give sine and cosine a variance of 2/(4 r) each.
    let after = NORMAL_QUANTILE * noise(fit) / 2f64.sqrt().sqrt();
    Proposal {
        decides: "error within a turn",
        turns,
        direction: Direction::Forward,
        repeats: 2,
        half: None,
        sentence: format!(
            "Read at turn {from} and each quarter turn after it up to {}, twice, coming \
             forward: that shows an error within a turn above about {}.",
            from + 0.75,
            length(after, 2, fit.unit)
        ),
    }
}

fn times(repeats: usize) -> String {
    match repeats {
        1 => "once".into(),
        2 => "twice".into(),
        more => format!("{more} times"),
    }
}
