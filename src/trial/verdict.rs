//! Fit against prediction: which explanations the rows leave, and the one sentence.
//!
//! An explanation is left when its lead lies in the 95 % interval of the fitted lead, widened
//! by the explanation's own uncertainty (a Wald test; of a linear model it is the likelihood
//! ratio). The verdict names an explanation only where it is the only one left.

use super::fit::{Estimate, LeadFit, NORMAL_QUANTILE};
use super::measured::{Direction, Measured};
use super::predict::{Prediction, Rival};
use crate::units::{Length, real};

/// A lead known no better than to this share says nothing of itself. Guess: the leads of
/// neighbouring pitches differ by a fifth and more.
const WIDEST_AGREEMENT: f64 = 0.05;
/// A printer's scale is off by no more than this share: common practice, lengths of printed
/// parts are off by under 1 %; twice that is allowed.
const WORST_SCALE: f64 = 0.02;

/// What the rows say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The lead is the predicted one.
    Agrees,
    /// Turns were counted before the play was taken up.
    LostMotion,
    /// Too coarse, or too few rows, to tell.
    Instrument,
    /// A thread is not what the kit says, or turns were miscounted.
    WrongThread,
    /// Leads are off by the printer's scale along z.
    PrinterScale,
    /// Nothing that was tried fits.
    Unexplained,
}

impl Verdict {
    /// Its name in a report.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::LostMotion => "lost motion",
            Self::Instrument => "instrument",
            Self::WrongThread => "wrong thread",
            Self::PrinterScale => "printer scale",
            Self::Unexplained => "unexplained",
        }
    }
}

/// An explanation that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// In words.
    pub what: String,
    /// The lead that it predicts, in mm.
    pub lead: f64,
    /// How many standard errors the fitted lead is from it.
    pub deviations: f64,
    /// Whether the rows leave it.
    pub left: bool,
}

/// How the measured lost motion stands to the predicted interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LostState {
    /// The rows do not have both ways.
    NotMeasured,
    /// Intervals overlap.
    Agrees,
    /// Less than predicted.
    Less,
    /// More than predicted.
    More,
}

/// What follows from the rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// In a word.
    pub verdict: Verdict,
    /// In a sentence.
    pub sentence: String,
    /// What to do.
    pub mend: String,
    /// Predicted lead and rivals, the nearest first.
    pub tried: Vec<Tried>,
    /// Of the lost motion.
    pub lost: LostState,
    /// s_z that would make the lead right, as a share, with its interval; only with the
    /// verdict of a printer's scale.
    pub scale: Option<Estimate>,
    /// Travel that is missing over the first run of rows, in mm.
    pub missing: f64,
}

/// Travel of the first run of rows one way, set against the predicted lead.
struct FirstRun {
    /// Predicted less measured, in mm.
    missing: f64,
    /// Its uncertainty for 95 %.
    half: f64,
}

impl FirstRun {
    fn new(measured: &Measured, prediction: &Prediction, instrument: f64) -> Self {
        let rows = &measured.rows;
        let way = rows[0].direction;
        let run = rows.iter().take_while(|row| row.direction == way).count();
        let last = run.max(1) - 1;
        let turns = rows[last].turns - rows[0].turns;
        let travel = measured.travels()[last];
        let sign = if way == Direction::Forward { 1.0 } else { -1.0 };
        let own = prediction.printed_lead_error().as_mm() * turns;
        Self {
            missing: sign * (prediction.printed_lead().as_mm() * turns - travel),
            half: NORMAL_QUANTILE * real::hypot(2f64.sqrt() * instrument, own),
        }
    }
}

/// Whether play explains what is missing. `from_second` is the fit without the first row.
fn play_explains(
    run: &FirstRun,
    from_second: Option<&LeadFit>,
    fit: &LeadFit,
    prediction: &Prediction,
) -> bool {
    let high = prediction.lost_motion[2].as_mm();
    let within = |missing: f64, half: f64| missing > half && missing <= high + half;
    if let Some(start) = fit.start {
        return holds_predicted(fit, prediction) && start.value.abs() <= high + start.half;
    }
    match from_second {
        Some(second) => holds_predicted(second, prediction) && within(run.missing, run.half),
        None => within(run.missing, run.half),
    }
}

fn holds_predicted(fit: &LeadFit, prediction: &Prediction) -> bool {
    let own = NORMAL_QUANTILE * prediction.printed_lead_error().as_mm();
    fit.lead.holds(prediction.printed_lead().as_mm(), own)
}

/// Judges, without words, and says what is left to explain the lead. `from_second` is the fit in which the first row stands before the play is taken
/// up, if the rows allow one.
pub(super) fn judge(
    measured: &Measured,
    fit: &LeadFit,
    from_second: Option<&LeadFit>,
    prediction: &Prediction,
) -> (Judgement, Left) {
    let tried = tried(fit, prediction);
    let run = FirstRun::new(measured, prediction, fit.instrument);
    let (verdict, left) = decide(fit, from_second, prediction, &tried, &run);
    let scale = (verdict == Verdict::PrinterScale).then(|| scale(fit, prediction));
    let judgement = Judgement {
        verdict,
        sentence: String::new(),
        mend: String::new(),
        lost: lost_state(fit, prediction),
        scale,
        missing: run.missing,
        tried,
    };
    (judgement, left)
}

/// What is left to explain a lead that is not the predicted one, or that it cannot be told.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Left {
    pub(super) predicted: bool,
    pub(super) play: bool,
    pub(super) scale: bool,
    pub(super) rivals: Vec<Rival>,
}

fn decide(
    fit: &LeadFit,
    from_second: Option<&LeadFit>,
    prediction: &Prediction,
    tried: &[Tried],
    run: &FirstRun,
) -> (Verdict, Left) {
    let off = fit.lead.value / prediction.net_lead.as_mm() - 1.0;
    let half = fit.lead.half / prediction.net_lead.as_mm();
    let is_left = |rival: &&Rival| tried.iter().any(|t| t.left && t.what == rival.what);
    let predicted = holds_predicted(fit, prediction);
    let left = Left {
        predicted,
        play: play_explains(run, from_second, fit, prediction),
        scale: !predicted && off.abs() - half <= WORST_SCALE,
        rivals: prediction.rivals.iter().filter(is_left).cloned().collect(),
    };
    let verdict = match (&left, left.rivals.is_empty()) {
        _ if half > WIDEST_AGREEMENT => Verdict::Instrument,
        (
            Left {
                predicted: true, ..
            },
            false,
        ) => Verdict::Instrument,
        // The lead was found in spite of a first play that was counted.
        (
            Left {
                predicted: true,
                play: true,
                ..
            },
            true,
        ) if fit.start.is_some() => Verdict::LostMotion,
        // Two rows, or three on two ways, fit any lead and any play.
        (
            Left {
                predicted: true, ..
            },
            true,
        ) if fit.freedom == 0 => Verdict::Instrument,
        (
            Left {
                predicted: true, ..
            },
            true,
        ) => Verdict::Agrees,
        (
            Left {
                play: true,
                scale: false,
                ..
            },
            true,
        ) => Verdict::LostMotion,
        (
            Left {
                play: false,
                scale: true,
                ..
            },
            true,
        ) => Verdict::PrinterScale,
        (
            Left {
                play: false,
                scale: false,
                ..
            },
            false,
        ) => Verdict::WrongThread,
        (
            Left {
                play: false,
                scale: false,
                ..
            },
            true,
        ) => Verdict::Unexplained,
        _ => Verdict::Instrument,
    };
    (verdict, left)
}

fn tried(fit: &LeadFit, prediction: &Prediction) -> Vec<Tried> {
    let one = |what: String, lead: Length| {
        let lead = lead.as_mm() * (1.0 + prediction.scale);
        let own = lead.abs() * prediction.scale_error;
        Tried {
            what,
            lead,
            deviations: (fit.lead.value - lead) / real::hypot(fit.lead.error, own),
            left: fit.lead.holds(lead, NORMAL_QUANTILE * own),
        }
    };
    let mut list = vec![one("the kit as drawn".into(), prediction.net_lead)];
    let rivals = prediction.rivals.iter();
    list.extend(rivals.map(|rival| one(rival.what.clone(), rival.lead)));
    list.sort_by(|a, b| a.deviations.abs().total_cmp(&b.deviations.abs()));
    list
}

fn lost_state(fit: &LeadFit, prediction: &Prediction) -> LostState {
    let [low, _, high] = prediction.lost_motion.map(Length::as_mm);
    match fit.lost {
        None => LostState::NotMeasured,
        Some(lost) if lost.value + lost.half < low => LostState::Less,
        Some(lost) if lost.value - lost.half > high => LostState::More,
        Some(_) => LostState::Agrees,
    }
}

fn scale(fit: &LeadFit, prediction: &Prediction) -> Estimate {
    let net = prediction.net_lead.as_mm();
    Estimate {
        value: fit.lead.value / net - 1.0,
        error: fit.lead.error / net,
        half: fit.lead.half / net,
    }
}
