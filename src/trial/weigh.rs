//! Every explanation against every other: the chance of each, given the rows.
//!
//! Each explanation is a linear model ([`Evidence`]) of offset, net lead and lost motion, with
//! what it adds. How far the rows scatter beyond the instrument, and how many rows were taking up
//! play, is not known; all values are allowed for. What a lost motion must be for the rows that
//! were taking it up is part of the model, so a reversal says something of slips too.

use super::cause::{Cause, KINDS, Kind};
use super::evidence::{Evidence, Known};
use super::fit::LeadFit;
use super::measured::{Direction, Measured};
use super::predict::Prediction;
use super::rounding;
use super::rows::{Correction, Data, State};
use crate::units::real::{exp, ln};
use crate::units::{Angle, Length, real};
use nalgebra::{DMatrix, DVector};

/// Spread of the offset, in mm: anything on a bench.
const OFFSET: f64 = 100.0;
/// How far slips of a reading or a zero reach, in mm: a step of the instrument, a digit, a
/// tool that was set down elsewhere. Guess.
const SLIPS: [f64; 3] = [0.1, 1.0, 10.0];
/// How far a carriage runs ahead and behind within a turn, in mm. Guess.
const WITHIN_TURN: [f64; 2] = [0.03, 0.15];
/// Spread of a printer's scale that the profile does not know, as a share: common practice,
/// lengths of printed parts are off by under 1 %.
const SCALE: f64 = 0.01;
/// Spread of the length of a whole turn beyond that of the lead, as a share of it. Guess.
const WHOLE_TURN: f64 = 0.003;
/// Chances that so many rows at the start stand before the play is taken up, if any do. Guess:
/// whoever reads at turn 0 mostly goes on by more than the play.
const AT_START: [f64; 4] = [0.7, 0.2, 0.07, 0.03];
/// Ratio of one noise that is tried to the next.
const NOISE_STEP: f64 = std::f64::consts::SQRT_2;
/// Chance of each noise to that of the one below it, and of the instrument's own where its
/// repeatability was stated. Guesses.
const NOISE_FALLS: f64 = 0.75;
const NOISE_STATED: f64 = 0.8;
/// Noises are tried up to so many times the instrument's, and the rows' own scatter.
const NOISIEST: [f64; 2] = [4.0, 2.0];
/// Lost motion that is thought of, as a multiple of the most that is predicted. Guess.
const LOOSEST: f64 = 3.0;
/// Chance that is left to the screw as predicted where the instrument's steps alone can make
/// the rows what they are.
const ROUNDED: f64 = 0.9;

/// A model's unknowns before the rows are seen.
#[derive(Clone, Copy)]
struct Model {
    lead: Known,
    at_start: usize,
    within_turn: Option<f64>,
}

/// Rows that were taking up play, with what the lost motion is then.
struct TakeUp {
    turns: f64,
    lost: Known,
    log: f64,
}

/// Everything that is held against the rows.
struct Scale<'a> {
    data: Data,
    travel: DVector<f64>,
    prediction: &'a Prediction,
    noises: Vec<(f64, f64)>,
    take_ups: Vec<TakeUp>,
    /// Explanations with the logarithm of their weight.
    weights: Vec<(Cause, f64)>,
}

/// Explanations with their chances, the likeliest first. `plain` is the fit of the rows as
/// they are.
pub(super) fn weigh(
    measured: &Measured,
    plain: &LeadFit,
    prediction: &Prediction,
) -> Vec<(Cause, f64)> {
    let mut scale = Scale::new(measured, plain, prediction);
    scale.as_predicted();
    scale.at_start();
    scale.other_leads();
    scale.within_turn();
    scale.coarse_rule(measured);
    let (sound, others): (Vec<_>, Vec<_>) = scale
        .weights
        .into_iter()
        .partition(|(cause, _)| *cause == Cause::AsPredicted);
    let mut sound = sound
        .iter()
        .fold(f64::NEG_INFINITY, |a, (_, b)| both(a, *b));
    let other = others
        .iter()
        .fold(f64::NEG_INFINITY, |a, (_, b)| both(a, *b));
    if rounding::alone(measured, plain, prediction) {
        sound = sound.max(other + ln(ROUNDED / (1.0 - ROUNDED)));
    }
    let all = both(sound, other);
    let mut list: Vec<(Cause, f64)> = std::iter::once((Cause::AsPredicted, sound))
        .chain(others)
        .map(|(cause, log)| (cause, exp(log - all)))
        .collect();
    list.sort_by(|a, b| b.1.total_cmp(&a.1));
    list
}

/// ln(e^a + e^b).
fn both(a: f64, b: f64) -> f64 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if low == f64::NEG_INFINITY {
        return high;
    }
    high + ln(1.0 + exp(low - high))
}

fn prior(kind: Kind) -> f64 {
    let chance = KINDS.iter().find(|(one, _)| *one == kind);
    ln(chance.map_or(f64::MIN_POSITIVE, |(_, chance)| *chance))
}

impl<'a> Scale<'a> {
    fn new(measured: &Measured, plain: &LeadFit, prediction: &'a Prediction) -> Self {
        let data = Data::new(measured, &Correction::None);
        Self {
            travel: DVector::from_column_slice(&data.travel),
            noises: noises(&data, plain),
            take_ups: take_ups(&data, prediction),
            data,
            prediction,
            weights: Vec::new(),
        }
    }

    fn lead(&self) -> Known {
        let lead = self.prediction.printed_lead().as_mm();
        // A profile may know its scale to nothing; a turn is never set so well.
        let least = real::hypot(self.prediction.printed_lead_error().as_mm(), 1e-4 * lead);
        Known::new(lead, least)
    }

    fn model(&self) -> Model {
        Model {
            lead: self.lead(),
            at_start: 0,
            within_turn: None,
        }
    }

    fn add(&mut self, cause: Cause, log: f64) {
        self.weights.push((cause, log + prior(cause.kind())));
    }

    /// Every noise and take-up of a model: the model at each, its columns and its weight.
    fn each(&self, model: Model, mut take: impl FnMut(&Evidence, &DMatrix<f64>, f64)) {
        for take_up in &self.take_ups {
            let design = self.design(take_up.turns, model);
            let high = self.prediction.lost_motion[2].as_mm();
            let ahead = match self.data.directions.first() {
                Some(Direction::Back) => -0.5 * high,
                _ => 0.5 * high,
            };
            let mut known = vec![Known::new(0.0, OFFSET), model.lead, take_up.lost];
            if model.at_start > 0 {
                known.push(Known::new(ahead, (0.5 * high).max(f64::MIN_POSITIVE)));
            }
            if let Some(spread) = model.within_turn {
                known.extend([Known::new(0.0, spread); 2]);
            }
            for (noise, log) in &self.noises {
                if let Some(evidence) = Evidence::new(&design, &self.travel, &known, *noise) {
                    take(&evidence, &design, log + take_up.log);
                }
            }
        }
    }

    fn whole(&self, model: Model) -> f64 {
        let mut sum = f64::NEG_INFINITY;
        self.each(model, |evidence, _, log| {
            sum = both(sum, evidence.log + log)
        });
        sum
    }

    fn design(&self, take_up: f64, model: Model) -> DMatrix<f64> {
        let data = &self.data;
        let states = data.states(take_up, model.at_start);
        let start = usize::from(model.at_start > 0);
        let width = 3 + start + if model.within_turn.is_some() { 2 } else { 0 };
        let mut design = DMatrix::zeros(data.len(), width);
        for (index, state) in states.iter().enumerate() {
            if *state == State::TakingUp && index > 0 {
                let before = design.row(index - 1).into_owned();
                design.set_row(index, &before);
                continue;
            }
            let at = if *state == State::Start { 0 } else { index };
            design[(index, 0)] = 1.0;
            design[(index, 1)] = data.turns[at] - data.centre;
            design[(index, 2)] = f64::from(data.directions[at] == Direction::Back);
            if *state == State::Start {
                design[(index, 3)] = 1.0;
            }
            if model.within_turn.is_some() {
                let (sine, cosine) =
                    Angle::turns(data.turns[at] - data.turns[at].floor()).sin_cos();
                design[(index, 3 + start)] = sine;
                design[(index, 4 + start)] = cosine;
            }
        }
        design
    }

    /// The screw as it should be, and every slip of one row or from one row on.
    fn as_predicted(&mut self) {
        let count = self.data.len();
        let turn = self.lead().mean;
        let slips = slips(count, turn);
        let mut sums = vec![f64::NEG_INFINITY; slips.len()];
        let mut sound = f64::NEG_INFINITY;
        self.each(self.model(), |evidence, design, log| {
            sound = both(sound, evidence.log + log);
            let columns = [evidence.single_rows(design), evidence.rows_onwards(design)];
            for (slip, sum) in slips.iter().zip(&mut sums) {
                let column = &columns[usize::from(slip.onwards)][slip.row];
                for known in &slip.known {
                    let share = ln(slip.known.len() as f64);
                    *sum = both(*sum, evidence.with(column, *known) + log - share);
                }
            }
        });
        self.add(Cause::AsPredicted, sound);
        for (slip, sum) in slips.iter().zip(sums) {
            let same = |other: &&Slip| other.cause.kind() == slip.cause.kind();
            let places = slips.iter().filter(same).count();
            self.add(slip.cause, sum - ln(places as f64));
        }
    }

    fn at_start(&mut self) {
        let most = self.data.len() - 1;
        for (rows, chance) in (1..=most).zip(AT_START) {
            let model = Model {
                at_start: rows,
                ..self.model()
            };
            let log = self.whole(model) + ln(chance);
            self.add(Cause::StartPlay { rows }, log);
        }
    }

    fn other_leads(&mut self) {
        let own = self.lead();
        let with = |scale: &Self, lead: Known| {
            let model = scale.model();
            scale.whole(Model { lead, ..model })
        };
        let scaled = with(self, Known::new(own.mean, SCALE * own.mean));
        self.add(Cause::PrinterScale, scaled);
        let any = with(self, Known::new(own.mean, own.mean));
        self.add(Cause::Unexplained, any);
        let rivals = &self.prediction.rivals;
        let share = ln(rivals.len().max(1) as f64);
        for (rival, other) in rivals.iter().enumerate() {
            let ratio = other.lead.as_mm() / self.prediction.net_lead.as_mm();
            let lead = Known::new(own.mean * ratio, own.spread * ratio.abs());
            let log = with(self, lead) - share;
            self.add(Cause::OtherLead { rival }, log);
        }
    }

    fn within_turn(&mut self) {
        let mut sum = f64::NEG_INFINITY;
        for spread in WITHIN_TURN {
            let model = Model {
                within_turn: Some(spread),
                ..self.model()
            };
            sum = both(sum, self.whole(model));
        }
        self.add(Cause::WithinTurn, sum - ln(WITHIN_TURN.len() as f64));
    }

    /// An instrument with coarser steps than its form says: all readings are whole steps, which
    /// finer ones would seldom be.
    fn coarse_rule(&mut self, measured: &Measured) {
        let steps = rounding::coarser_steps(measured);
        let share = ln(steps.len().max(1) as f64);
        for step in steps {
            let mut coarse = measured.instrument;
            coarse.resolution = Length::mm(step);
            let noise = coarse.uncertainty().as_mm();
            let seldom = ln(step / measured.instrument.resolution.as_mm());
            let whole = std::mem::replace(&mut self.noises, vec![(noise, 0.0)]);
            let log = self.whole(self.model()) + self.data.len() as f64 * seldom - share;
            self.noises = whole;
            self.add(Cause::CoarseRule { step }, log);
        }
    }
}

/// A slip of one row, or from one row on.
struct Slip {
    cause: Cause,
    row: usize,
    onwards: bool,
    known: Vec<Known>,
}

/// Every slip. The last row alone is the same as from the last row on, and the first alone as
/// all others: each is tried once. A zero that moved has two rows on either side, since one row
/// is rather misread.
fn slips(count: usize, turn: f64) -> Vec<Slip> {
    let any = || SLIPS.map(|spread| Known::new(0.0, spread)).to_vec();
    let mut list = Vec::new();
    for row in 0..count {
        list.push(Slip {
            cause: Cause::Misread { row },
            row,
            onwards: false,
            known: any(),
        });
        if row >= 2 && row + 2 <= count {
            list.push(Slip {
                cause: Cause::ZeroMoved { row },
                row,
                onwards: true,
                known: any(),
            });
        }
        for (turns, alone) in [(1.0, false), (-1.0, false), (1.0, true), (-1.0, true)] {
            let once = row > 0 && (!alone || row + 1 < count);
            if once {
                list.push(Slip {
                    cause: Cause::Miscount { row, turns, alone },
                    row,
                    onwards: !alone,
                    known: vec![Known::new(turns * turn, WHOLE_TURN * turn)],
                });
            }
        }
    }
    list
}

/// Standard deviations of a reading with the logarithm of their chances.
fn noises(data: &Data, plain: &LeadFit) -> Vec<(f64, f64)> {
    let own = data.sigma;
    let most = (NOISIEST[0] * own).max(NOISIEST[1] * plain.deviation.unwrap_or_default());
    let mut list = Vec::new();
    let (mut noise, mut chance) = (own, 1.0);
    while noise <= most * NOISE_STEP {
        list.push((noise, chance));
        noise *= NOISE_STEP;
        chance *= NOISE_FALLS;
    }
    if data.stated {
        let rest: f64 = list.iter().skip(1).map(|(_, chance)| chance).sum();
        let share = (1.0 - NOISE_STATED) / rest.max(f64::MIN_POSITIVE);
        for (index, (_, chance)) in list.iter_mut().enumerate() {
            *chance = if index == 0 {
                NOISE_STATED
            } else {
                *chance * share
            };
        }
    }
    let all: f64 = list.iter().map(|(_, chance)| chance).sum();
    let log = |(noise, chance): (f64, f64)| (noise, ln(chance / all));
    list.into_iter().map(log).collect()
}

/// Every count of rows that were taking up, with the lost motion that it means: more than the
/// last of them turned back, less than the next.
fn take_ups(data: &Data, prediction: &Prediction) -> Vec<TakeUp> {
    let lead = prediction.printed_lead().as_mm();
    let high = prediction.lost_motion[2].as_mm();
    let most = LOOSEST * high + data.sigma;
    let since = || data.since.iter().flatten();
    let mut list: Vec<TakeUp> = Vec::new();
    for turns in data.take_ups() {
        let taken = since().filter(|since| **since < turns);
        let low = lead * taken.fold(0.0, |a: f64, b| a.max(*b));
        let left = since().filter(|since| **since >= turns);
        let next = lead * left.fold(f64::INFINITY, |a, b| a.min(*b));
        if low > most && !list.is_empty() {
            break;
        }
        let width = (next.min(most) - low).max(data.sigma);
        list.push(TakeUp {
            turns,
            lost: Known::new(low + width / 2.0, width / 2.0),
            log: ln(width / most),
        });
    }
    list
}
