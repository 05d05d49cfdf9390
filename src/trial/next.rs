//! The next best measurement: the few readings that narrow the deciding interval most.
//!
//! Added readings add their outer products to the information matrix X'X; the interval that
//! they would leave follows before they are taken (design of experiments, c-optimality; the
//! noise is taken to stay as it is).

use super::cause::Cause;
use super::fit::{LeadFit, NORMAL_QUANTILE};
use super::measured::Direction;
use super::measured::Measured;
use super::plan;
use super::predict::Prediction;
use super::rounding;
use super::sentences::{decimals, length};
use super::verdict::{Doubt, Judgement, Verdict};
use crate::units_told::number;

/// Most repeats that are asked of a maker. Guess.
const MOST_REPEATS: usize = 5;
/// An interval is worth narrowing to this share of itself. Guess.
const NARROWED: f64 = 0.5;
/// A lost motion is known well enough within this share of its predicted most. Guess.
const LOST_WELL: f64 = 0.25;

/// Explanations of which the likeliest slip is looked into first. Guess.
const OPEN: usize = 3;

/// What to measure next.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// What it decides: `net lead`, `lost motion`, `error within a turn`, `slip`,
    /// `repeatability`, `nothing`.
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
pub(super) fn propose(
    measured: &Measured,
    fit: &LeadFit,
    judgement: &Judgement,
    prediction: &Prediction,
) -> Proposal {
    match judgement.verdict {
        Verdict::Undecided => for_doubt(measured, fit, judgement, prediction),
        Verdict::Miscount | Verdict::ZeroMoved | Verdict::Misread => {
            let row = judgement.cause.row().unwrap_or_default();
            for_slip(measured, row)
        }
        Verdict::CoarseRule
        | Verdict::WrongThread
        | Verdict::PrinterScale
        | Verdict::Unexplained => for_lead(fit, judgement, prediction),
        Verdict::Agrees | Verdict::LostMotion | Verdict::MorePlay | Verdict::WithinTurn => {
            for_more(fit, prediction)
        }
    }
}

/// What decides between the explanations that are left.
fn for_doubt(
    measured: &Measured,
    fit: &LeadFit,
    judgement: &Judgement,
    prediction: &Prediction,
) -> Proposal {
    let mut left = judgement.tried.iter();
    let mut open = left.by_ref().take(OPEN).map(|tried| tried.cause);
    match judgement.doubt {
        Doubt::Scatter => return for_scatter(prediction),
        Doubt::TurnRound => return for_lost(fit, prediction),
        Doubt::None | Doubt::Several => {}
        Doubt::FewRows | Doubt::Coarse => return for_lead(fit, judgement, prediction),
    }
    let slip = |cause: &Cause| cause.row().is_some() || matches!(cause, Cause::StartPlay { .. });
    let causes: Vec<Cause> = open.by_ref().collect();
    if let Some(cause) = causes.iter().find(|cause| slip(cause)) {
        return for_slip(measured, cause.row().unwrap_or_default());
    }
    if causes.contains(&Cause::WithinTurn) {
        return for_ripple(fit, prediction);
    }
    for_lead(fit, judgement, prediction)
}

/// What would tell more of a screw whose lead is known.
fn for_more(fit: &LeadFit, prediction: &Prediction) -> Proposal {
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

/// A row that is to blame, and the first row again: it reads as it did unless the zero or the
/// count moved since.
fn for_slip(measured: &Measured, row: usize) -> Proposal {
    let way = |row: usize| measured.rows[row].direction;
    let turn = |row: usize| measured.rows[row].turns;
    let row = row.min(measured.rows.len() - 1);
    let come = |row: usize| match way(row) {
        Direction::Forward => "coming forward with the play taken up",
        Direction::Back => "coming back with the play taken up",
    };
    let first = format!(
        "go to turn {}, {}: if it reads as row 1 does, neither the zero nor the count moved \
         since; if not, what it is off by is what moved",
        number(turn(0), 3),
        come(0)
    );
    let (turns, sentence) = if row == 0 {
        (
            vec![turn(0)],
            format!("Without zeroing anew, {first} before it was read, or row 1 was wrong."),
        )
    } else {
        (
            vec![turn(row), turn(0)],
            format!(
                "Without zeroing anew, read again at turn {} (row {}), {}; then {first}.",
                number(turn(row), 3),
                row + 1,
                come(row)
            ),
        )
    };
    Proposal {
        decides: "slip",
        turns,
        direction: way(row),
        repeats: 1,
        half: None,
        sentence,
    }
}

/// How much readings of one place differ.
fn for_scatter(prediction: &Prediction) -> Proposal {
    let turn = (far(prediction) / 2.0).floor();
    Proposal {
        decides: "repeatability",
        turns: vec![turn],
        direction: Direction::Forward,
        repeats: MOST_REPEATS,
        half: None,
        sentence: format!(
            "Come to turn {turn} {MOST_REPEATS} times, each time forward from two turns before, \
             and read: if the readings differ as these rows scatter, write their standard deviation \
             as `repeatability` in the form (`--repeatability`); if not, read every row again."
        ),
    }
}

/// Whole turns that lie in the stroke.
fn far(prediction: &Prediction) -> f64 {
    prediction.turns.floor().max(1.0)
}

fn for_lead(fit: &LeadFit, judgement: &Judgement, prediction: &Prediction) -> Proposal {
    let target = target(fit, judgement, prediction);
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

/// Half width of the lead that tells the nearest explanations apart.
fn target(fit: &LeadFit, judgement: &Judgement, prediction: &Prediction) -> f64 {
    let lead = |cause: Cause| match cause {
        Cause::OtherLead { rival } => prediction.rivals.get(rival).map(|one| one.lead.as_mm()),
        cause if cause.keeps_lead() => Some(prediction.printed_lead().as_mm()),
        _ => None,
    };
    let leads: Vec<f64> = judgement
        .tried
        .iter()
        .filter_map(|one| lead(one.cause))
        .collect();
    let mut least = NARROWED * fit.lead.half;
    for (index, a) in leads.iter().enumerate() {
        let others = leads.iter().skip(index + 1).filter(|b| *b != a);
        for b in others {
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
    let past = plan::past(most);
    let turn = (far(prediction) / 2.0)
        .floor()
        .min(far(prediction) - past)
        .max(0.0);
    let row = nalgebra::DVector::from_vec(fit.columns().settled(turn, Direction::Forward));
    let line = (row.transpose() * &fit.covariance * &row)[(0, 0)].max(0.0);
    let after =
        |repeats: usize| NORMAL_QUANTILE * noise(fit) * (line + 1.0 / repeats as f64).sqrt();
    let enough = LOST_WELL * prediction.lost_motion[2].as_mm();
    if fit.rounded || fit.lost_beyond.is_some() {
        return finer(fit, prediction, [turn, turn + past]);
    }
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

/// The lost motion with a finer instrument: more readings do not narrow what steps leave open.
fn finer(fit: &LeadFit, prediction: &Prediction, [turn, end]: [f64; 2]) -> Proposal {
    let step = fit.lost_beyond.map_or_else(
        || rounding::usual_step(LOST_WELL * prediction.lost_motion[2].as_mm()),
        |beyond| beyond.step,
    );
    Proposal {
        decides: "lost motion",
        turns: vec![turn],
        direction: Direction::Back,
        repeats: 1,
        half: None,
        sentence: format!(
            "Take an instrument with steps of {} or finer, go forward to turn {end} and read, come \
             back to turn {turn} and read, then forward to turn {turn} and read: with these steps \
             more readings do not tell the lost motion better.",
            length(step, 2, fit.unit)
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
