//! From the chances of all explanations, and how well the likeliest fits, to one verdict.
//!
//! An explanation is named only where it has nine chances in ten, and where the rows then scatter
//! no more than the instrument and a hand allow. What is less sure is told as open, with
//! what would decide it.

use super::cause::{Cause, KINDS, Kind};
use super::fit::{ELSEWHERE, Estimate, LeadFit};
use super::measured::{Direction, Measured};
use super::predict::Prediction;
use super::rounding;
use crate::units::Length;

/// A lead known no better than to this share says nothing of itself. Guess: the leads of
/// neighbouring pitches differ by a fifth and more.
const WIDEST_AGREEMENT: f64 = 0.05;
/// A printer's scale is off by no more than this share: common practice, lengths of printed
/// parts are off by under 1 %; twice that is allowed.
const WORST_SCALE: f64 = 0.02;
/// Chance from which a fault is named, and from which a screw is called sound. Guesses: an
/// accusation costs a reprint, a sound screw's fault shows when it is used.
const ACCUSED: f64 = 0.9;
const SOUND: f64 = 0.7;
/// Share of a kind's chance that its likeliest place must have to be named. Guess.
const PLACED: f64 = 0.5;
/// How much less likely a miscount at the turn-round may be than a larger play to leave it open.
/// Guess.
const TURN_ROUND: f64 = 0.05;
/// Chance of the instrument and a hand alone below which rows that agree with the kit are not believed.
/// Guess.
const SCATTERED: f64 = 0.001;
/// Explanations below this chance are not told. Guess.
const TOLD: f64 = 0.005;

/// What the rows say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The screws do what the kit says.
    Agrees,
    /// The first rows were read before the play was taken up.
    LostMotion,
    /// The two ways differ by more than the kit's play.
    MorePlay,
    /// A turn was counted wrongly.
    Miscount,
    /// The instrument's zero moved.
    ZeroMoved,
    /// One reading is wrong.
    Misread,
    /// The instrument is coarser than the form says.
    CoarseRule,
    /// A thread is not what the kit says, or turns were not counted as turns.
    WrongThread,
    /// Leads are off by the printer's scale along z.
    PrinterScale,
    /// The carriage runs ahead and behind within each turn.
    WithinTurn,
    /// These rows leave it open.
    Undecided,
    /// Nothing that was tried fits.
    Unexplained,
}

impl Verdict {
    /// Its name in a report.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::LostMotion => "lost motion at the start",
            Self::MorePlay => "more play",
            Self::Miscount => "turn miscounted",
            Self::ZeroMoved => "zero moved",
            Self::Misread => "row misread",
            Self::CoarseRule => "coarse rule",
            Self::WrongThread => "wrong thread",
            Self::PrinterScale => "printer scale",
            Self::WithinTurn => "error within a turn",
            Self::Undecided => "cannot be told",
            Self::Unexplained => "unexplained",
        }
    }
}

/// Why rows leave it open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// They do not.
    None,
    /// There are no rows to spare.
    FewRows,
    /// The lead is not known well enough.
    Coarse,
    /// The rows scatter more than the instrument and a hand allow.
    Scatter,
    /// More play, or a turn miscounted where the drive was turned round.
    TurnRound,
    /// More than one explanation is left.
    Several,
}

impl Doubt {
    /// Its name in a report; `None` without one.
    pub const fn word(self) -> Option<&'static str> {
        match self {
            Self::None => None,
            Self::FewRows => Some("few rows"),
            Self::Coarse => Some("coarse"),
            Self::Scatter => Some("scatter"),
            Self::TurnRound => Some("turn-round"),
            Self::Several => Some("several explanations"),
        }
    }
}

/// An explanation that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Which.
    pub cause: Cause,
    /// Its chance, given the rows.
    pub chance: f64,
    /// In words.
    pub what: String,
}

/// How the measured lost motion stands to the predicted interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LostState {
    /// The rows do not have both ways, or the instrument cannot show it.
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
    /// The likeliest explanation.
    pub cause: Cause,
    /// The chance of its kind, given the rows.
    pub chance: f64,
    /// Why it is not named, where it is not.
    pub doubt: Doubt,
    /// What was found, in a sentence.
    pub sentence: String,
    /// How sure that is.
    pub sure: String,
    /// What to do.
    pub mend: String,
    /// Every explanation that has a chance, the likeliest first.
    pub tried: Vec<Tried>,
    /// Of the lost motion.
    pub lost: LostState,
    /// s_z that would make the lead right, as a share, with its interval; only with the
    /// verdict of a printer's scale.
    pub scale: Option<Estimate>,
}

impl Judgement {
    /// The row that the verdict blames, from 0; `None` where it blames none.
    pub fn named_row(&self) -> Option<usize> {
        self.cause
            .row()
            .filter(|_| self.verdict != Verdict::Undecided)
    }
}

/// The likeliest kind with its chance, and its likeliest cause with its share of that.
pub(super) fn likeliest(weighed: &[(Cause, f64)]) -> (Cause, f64, f64) {
    let of = |kind: Kind| -> f64 {
        let own = weighed.iter().filter(|(cause, _)| cause.kind() == kind);
        own.map(|(_, chance)| chance).sum()
    };
    let (mut kind, mut chance) = (Kind::AsPredicted, of(Kind::AsPredicted));
    for (other, _) in KINDS {
        if of(other) > chance {
            (kind, chance) = (other, of(other));
        }
    }
    let best = weighed.iter().find(|(cause, _)| cause.kind() == kind);
    let (cause, own) = best.copied().unwrap_or((Cause::AsPredicted, chance));
    (cause, chance, own / chance.max(f64::MIN_POSITIVE))
}

/// Judges, without words. `fit` is of the rows with the likeliest cause put right.
pub(super) fn judge(
    measured: &Measured,
    fit: &LeadFit,
    weighed: &[(Cause, f64)],
    prediction: &Prediction,
) -> Judgement {
    let (cause, chance, share) = likeliest(weighed);
    let lost = lost_state(fit, prediction);
    let (verdict, doubt) = if cause == Cause::AsPredicted {
        let more = lost == LostState::More;
        let open = if more && turn_round(measured, weighed) {
            Doubt::TurnRound
        } else if more && coarse(weighed) {
            Doubt::Several
        } else {
            Doubt::None
        };
        sound(fit, prediction, chance, lost, open)
    } else if chance < ACCUSED || share < PLACED {
        (Verdict::Undecided, Doubt::Several)
    } else {
        accused(fit, prediction, cause)
    };
    let told = weighed.iter().filter(|(_, chance)| *chance >= TOLD);
    Judgement {
        verdict,
        cause,
        chance,
        doubt,
        sentence: String::new(),
        sure: String::new(),
        mend: String::new(),
        tried: told
            .map(|(cause, chance)| Tried {
                cause: *cause,
                chance: *chance,
                what: String::new(),
            })
            .collect(),
        lost,
        scale: (verdict == Verdict::PrinterScale).then(|| scale(fit, prediction)),
    }
}

fn sound(
    fit: &LeadFit,
    prediction: &Prediction,
    chance: f64,
    lost: LostState,
    open: Doubt,
) -> (Verdict, Doubt) {
    let half = fit.lead.half / prediction.net_lead.as_mm();
    let doubt = if fit.freedom == 0 {
        Doubt::FewRows
    } else if half > WIDEST_AGREEMENT {
        Doubt::Coarse
    } else if chance < SOUND {
        Doubt::Several
    } else if scattered(fit, SCATTERED) {
        Doubt::Scatter
    } else {
        open
    };
    match (doubt, lost) {
        (Doubt::None, LostState::More) => (Verdict::MorePlay, doubt),
        (Doubt::None, _) => (Verdict::Agrees, doubt),
        _ => (Verdict::Undecided, doubt),
    }
}

fn accused(fit: &LeadFit, prediction: &Prediction, cause: Cause) -> (Verdict, Doubt) {
    // Rows without one to spare fit whatever is put right of them.
    if fit.freedom == 0 {
        return (Verdict::Undecided, Doubt::FewRows);
    }
    let off = scale(fit, prediction);
    let verdict = match cause.kind() {
        Kind::AsPredicted => Verdict::Agrees,
        Kind::StartPlay => Verdict::LostMotion,
        Kind::Miscount => Verdict::Miscount,
        Kind::ZeroMoved => Verdict::ZeroMoved,
        Kind::Misread => Verdict::Misread,
        Kind::CoarseRule => Verdict::CoarseRule,
        Kind::OtherLead => Verdict::WrongThread,
        Kind::WithinTurn => Verdict::WithinTurn,
        // A share of the lead is believed only of rows that lie on a line.
        Kind::PrinterScale | Kind::Unexplained if scattered(fit, ELSEWHERE) => {
            return (Verdict::Undecided, Doubt::Scatter);
        }
        Kind::PrinterScale if off.value.abs() - off.half <= WORST_SCALE => Verdict::PrinterScale,
        Kind::PrinterScale | Kind::Unexplained => Verdict::Unexplained,
    };
    (verdict, Doubt::None)
}

/// Whether the rows scatter more than the instrument and a hand make likely.
fn scattered(fit: &LeadFit, chance: f64) -> bool {
    let own = fit.chance_within(rounding::deviation(fit));
    own.is_some_and(|own| own < chance)
}

/// Whether a rule with coarser steps than stated could give these rows: then the lost motion is
/// known less well than it seems.
fn coarse(weighed: &[(Cause, f64)]) -> bool {
    let own = weighed
        .iter()
        .filter(|(cause, _)| cause.kind() == Kind::CoarseRule);
    own.map(|(_, chance)| chance).sum::<f64>() >= TOLD
}

/// Whether a turn miscounted where the drive was first turned round would give these rows about
/// as well as a larger play.
fn turn_round(measured: &Measured, weighed: &[(Cause, f64)]) -> bool {
    let rows = &measured.rows;
    let way = rows.first().map_or(Direction::Forward, |row| row.direction);
    let Some(first) = rows.iter().position(|row| row.direction != way) else {
        return false;
    };
    let own = |kind: Kind| {
        let prior = KINDS.iter().find(|(one, _)| *one == kind);
        let places = weighed.iter().filter(|(cause, _)| cause.kind() == kind);
        prior.map_or(1.0, |(_, prior)| *prior) / places.count().max(1) as f64
    };
    let best = weighed.iter().filter(
        |(cause, _)| matches!(cause, Cause::Miscount { row, alone: false, .. } if *row == first),
    );
    let slip = best.map(|(_, chance)| *chance).fold(0.0, f64::max) / own(Kind::Miscount);
    let sound = weighed
        .iter()
        .find(|(cause, _)| *cause == Cause::AsPredicted)
        .map_or(0.0, |(_, chance)| *chance);
    slip > TURN_ROUND * sound / own(Kind::AsPredicted)
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
