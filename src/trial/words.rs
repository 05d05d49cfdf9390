//! The verdict in sentences: what was found, how sure that is, what to do.
//!
//! Rows are told by their number on the page, from 1, and by their turn.

use super::cause::Cause;
use super::fit::LeadFit;
use super::measured::{Direction, Measured};
use super::predict::Prediction;
use super::rounding::BY_HAND;
use super::sentences::{between, interval, length};
use super::verdict::{Doubt, Judgement, LostState, Verdict};
use crate::units::Length;
use crate::units_told::number;

/// Most explanations that a sentence names. Guess.
const NAMED: usize = 3;
/// Chance from which an explanation that is not the likeliest is named in a sentence. Guess.
const OPEN: f64 = 0.03;
/// Decimals of lengths that are told of slips.
const SLIP_DECIMALS: usize = 2;

/// What the sentences are about.
struct About<'a> {
    measured: &'a Measured,
    fit: &'a LeadFit,
    prediction: &'a Prediction,
}

/// Puts the judgement into words.
pub(super) fn word(
    judgement: &mut Judgement,
    measured: &Measured,
    fit: &LeadFit,
    prediction: &Prediction,
) {
    let about = About {
        measured,
        fit,
        prediction,
    };
    for tried in &mut judgement.tried {
        tried.what = about.cause(tried.cause);
    }
    judgement.sure = sure(judgement);
    (judgement.sentence, judgement.mend) = match judgement.verdict {
        Verdict::Agrees => about.agrees(judgement),
        Verdict::LostMotion => about.start(),
        Verdict::MorePlay => about.more_play(),
        Verdict::Miscount | Verdict::ZeroMoved | Verdict::Misread => about.slip(judgement.cause),
        Verdict::CoarseRule => about.coarse_rule(judgement.cause),
        Verdict::WrongThread => about.wrong_thread(judgement.cause),
        Verdict::PrinterScale => about.printer_scale(judgement),
        Verdict::WithinTurn => about.within_turn(),
        Verdict::Undecided => about.undecided(judgement),
        Verdict::Unexplained => (
            format!(
                "The net lead is {}, {} is predicted, and neither play nor scale nor a slip nor \
                 any thread that was tried explains it.",
                about.lead(),
                about.predicted()
            ),
            "Count the turns again from a mark on the head, and see that the carriage runs free."
                .into(),
        ),
    };
}

/// How sure, in a sentence.
fn sure(judgement: &Judgement) -> String {
    let chances = 100.0 * judgement.chance;
    let share = match chances {
        c if c >= 99.5 => "more than 99 in 100".into(),
        c => format!("about {c:.0} in 100"),
    };
    match judgement.verdict {
        Verdict::Undecided => "These rows do not decide it.".into(),
        _ => format!("How sure: {share}."),
    }
}

impl About<'_> {
    fn lead(&self) -> String {
        interval(&self.fit.lead, self.fit.unit)
    }

    fn predicted(&self) -> String {
        length(self.prediction.printed_lead().as_mm(), 4, self.fit.unit)
    }

    fn play(&self) -> String {
        let [low, _, high] = self.prediction.lost_motion.map(Length::as_mm);
        between(low, high, SLIP_DECIMALS, self.fit.unit)
    }

    /// A row by its number and turn.
    fn row(&self, row: usize) -> String {
        let turns = self.measured.rows.get(row).map_or(0.0, |row| row.turns);
        format!("row {} (turn {})", row + 1, number(turns, 3))
    }

    /// An explanation in words, within a sentence.
    fn cause(&self, cause: Cause) -> String {
        match cause {
            Cause::AsPredicted => "the screws do what the kit says".into(),
            Cause::StartPlay { rows: 1 } => {
                "the first row was read before the play was taken up".into()
            }
            Cause::StartPlay { rows } => {
                format!("the first {rows} rows were read before the play was taken up")
            }
            Cause::Miscount { row, turns, alone } => self.miscount(row, turns, alone),
            Cause::ZeroMoved { row } => {
                format!(
                    "the zero moved between {} and {}",
                    self.row(row - 1),
                    self.row(row)
                )
            }
            Cause::Misread { row } => format!("{} was misread", self.row(row)),
            Cause::CoarseRule { step } => format!(
                "the instrument reads in steps of {}, not of {}",
                self.step(step),
                self.step(self.measured.instrument.resolution.as_mm())
            ),
            Cause::OtherLead { rival } => {
                let rival = self.prediction.rivals.get(rival);
                rival.map_or_else(String::new, |rival| rival.what.clone())
            }
            Cause::PrinterScale => "the printer's scale along z is off".into(),
            Cause::WithinTurn => "the carriage runs ahead and behind within each turn".into(),
            Cause::Unexplained => "a net lead that nothing gives".into(),
        }
    }

    /// A turn too many or too few, as it was turned.
    fn miscount(&self, row: usize, turns: f64, alone: bool) -> String {
        let way = self.measured.rows.get(row).map(|row| row.direction);
        let (more, back) = match way {
            Some(Direction::Back) => (turns < 0.0, " back"),
            _ => (turns > 0.0, ""),
        };
        let slip = if more { "more" } else { "fewer" };
        if alone {
            format!(
                "at {} alone one turn{back} {slip} was made than is written",
                self.row(row)
            )
        } else {
            format!(
                "from {} on one turn{back} {slip} had been made than is written",
                self.row(row)
            )
        }
    }

    fn step(&self, mm: f64) -> String {
        const DECIMALS: usize = 4;
        let unit = self.fit.unit;
        let value = super::in_unit(Length::mm(mm), unit);
        format!("{} {}", number(value, DECIMALS), unit.word())
    }

    fn agrees(&self, judgement: &Judgement) -> (String, String) {
        let mend = match judgement.lost {
            LostState::Less => {
                "The screws fit more closely than the profile says: tune the printer's profile \
                 before the next print."
            }
            _ => {
                "Use it; approach each setting from the same side, and the lost motion does not \
                 matter."
            }
        };
        let sentence = format!(
            "The net lead agrees: {} measured, {} predicted.",
            self.lead(),
            self.predicted()
        );
        (sentence, mend.into())
    }

    fn start(&self) -> (String, String) {
        let ahead = self.fit.start.map_or(0.0, |start| start.value.abs());
        (
            format!(
                "Lost motion at the start: {} of play was not taken up at turn {} ({} is \
                 predicted). From there on the net lead is {}, and {} is predicted.",
                length(ahead, SLIP_DECIMALS, self.fit.unit),
                number(self.measured.rows.first().map_or(0.0, |row| row.turns), 3),
                self.play(),
                self.lead(),
                self.predicted()
            ),
            "Turn on until the carriage moves, call that turn 0, and measure from there.".into(),
        )
    }

    fn more_play(&self) -> (String, String) {
        let lost = self.fit.lost.as_ref();
        let lost = lost.map_or_else(String::new, |lost| interval(lost, self.fit.unit));
        (
            format!(
                "The screws have more play than the kit predicts: coming back, the carriage \
                 stands {lost} further on, and {} is predicted. The net lead agrees.",
                self.play()
            ),
            match self.prediction.sprung {
                true => "Look at the spring first: one that is missing, weak or of another rate lets \
                         the play back, and so does what pulls the carriage harder than the kit says."
                    .into(),
                false => "Approach each setting from the same side, and the play does not matter; to \
                          print it away, tune the printer's profile first."
                    .into(),
            },
        )
    }

    fn slip(&self, cause: Cause) -> (String, String) {
        let by = self.fit.shift.map_or(0.0, |shift| shift.value);
        let by = length(by.abs(), SLIP_DECIMALS, self.fit.unit);
        let (found, mend) = match cause {
            Cause::ZeroMoved { row } => (
                format!("{}, by {by}", self.cause(cause)),
                format!(
                    "Zero the instrument, and read the rows from {} on again without taking it \
                     off.",
                    self.row(row)
                ),
            ),
            Cause::Misread { row } => (
                format!("{}, by {by}", self.cause(cause)),
                format!(
                    "Read it again at turn {}, coming the same way, or leave the row out.",
                    number(self.measured.rows[row].turns, 3)
                ),
            ),
            Cause::Miscount {
                row, alone: true, ..
            } => (
                self.cause(cause),
                format!(
                    "Leave {} out, or set it again and read again.",
                    self.row(row)
                ),
            ),
            _ => (
                self.cause(cause),
                "Mark the head, count again from the mark, and measure again; or put the turns of \
                 those rows right."
                    .into(),
            ),
        };
        (
            format!(
                "{}. With that put right the net lead is {}, and {} is predicted.",
                capital(&found),
                self.lead(),
                self.predicted()
            ),
            mend,
        )
    }

    fn coarse_rule(&self, cause: Cause) -> (String, String) {
        let step = match cause {
            Cause::CoarseRule { step } => step,
            _ => self.measured.instrument.resolution.as_mm(),
        };
        let told = self.step(step);
        let value = told.split(' ').next().unwrap_or_default().to_owned();
        (
            format!(
                "The rule is coarser than the form says: every reading is a whole number of {told}, \
                 and the rows scatter as such steps do."
            ),
            format!(
                "Say `resolution = {value}` in the form (`--resolution {value}`), or measure with \
                 a finer instrument."
            ),
        )
    }

    fn wrong_thread(&self, cause: Cause) -> (String, String) {
        let rival = match cause {
            Cause::OtherLead { rival } => self.prediction.rivals.get(rival),
            _ => None,
        };
        let mend = rival.map_or("", |rival| rival.mend.as_str());
        (
            format!(
                "Not the kit's net lead: it is {}, {} is predicted, and this fits: {}.",
                self.lead(),
                self.predicted(),
                self.cause(cause)
            ),
            format!("{}.", capital(mend)),
        )
    }

    fn printer_scale(&self, judgement: &Judgement) -> (String, String) {
        let scale = judgement.scale.map_or((0.0, 0.0), |s| (s.value, s.half));
        let longer = if scale.0 >= self.prediction.scale {
            "longer"
        } else {
            "shorter"
        };
        (
            format!(
                "The printer's scale along z: the net lead is {}, {} is predicted, and all rows \
                 lie on one line. Heights come out {longer} than the profile says: by {:.2} +/- \
                 {:.2} % of what is drawn.",
                self.lead(),
                self.predicted(),
                100.0 * (scale.0 - self.prediction.scale).abs(),
                100.0 * scale.1
            ),
            format!(
                "Measure a tall printed piece; if it is off by the same share, set the profile's z \
                 scale s_z to {:.4}.",
                scale.0
            ),
        )
    }

    fn within_turn(&self) -> (String, String) {
        let size = self.fit.ripple.map(|ripple| ripple.amplitude);
        let size = size.map_or_else(String::new, |size| interval(&size, self.fit.unit));
        (
            format!(
                "Within each turn the carriage runs ahead and behind by {size}: a bent screw, a \
                 head that tilts, or a thread that is not true. Over whole turns the net lead \
                 agrees: {} measured, {} predicted.",
                self.lead(),
                self.predicted()
            ),
            "Set by whole turns from one mark, and it does not matter; else roll the drive screw \
             on a flat plate, and print it again if it wobbles."
                .into(),
        )
    }

    fn undecided(&self, judgement: &Judgement) -> (String, String) {
        let deviation = self.fit.deviation.unwrap_or_default();
        let sentence = match judgement.doubt {
            Doubt::FewRows => format!(
                "Cannot be told: so few rows fit any lead. They leave {}.",
                self.open(judgement)
            ),
            Doubt::Coarse => format!(
                "Cannot be told: the measurement is too coarse, the net lead is {}, and {} is \
                 predicted.",
                self.lead(),
                self.predicted()
            ),
            Doubt::Scatter => format!(
                "Cannot be told: the rows scatter by {}, more than {}, and nothing that was \
                 tried makes them fit.",
                length(deviation, 3, self.fit.unit),
                self.allowed()
            ),
            Doubt::TurnRound => format!(
                "Cannot be told: coming back, the carriage stands further on than the {} of play \
                 that are predicted. The screws have more play, or one turn was miscounted where \
                 the drive was turned round.",
                self.play()
            ),
            Doubt::None | Doubt::Several => {
                format!("Cannot be told: these rows leave {}.", self.open(judgement))
            }
        };
        (
            sentence,
            "Take the measurement proposed below before anything is printed again.".into(),
        )
    }

    /// The scatter that rows may have, in words.
    fn allowed(&self) -> String {
        let own = length(self.fit.instrument, 3, self.fit.unit);
        if self.fit.stated {
            format!("the {own} of the instrument as stated")
        } else {
            format!(
                "the instrument's {own} and the {} of a careful hand",
                length(BY_HAND, 3, self.fit.unit)
            )
        }
    }

    /// The explanations that are left, in words.
    fn open(&self, judgement: &Judgement) -> String {
        let mut left = judgement.tried.iter().enumerate();
        let words: Vec<&str> = left
            .by_ref()
            .filter(|(index, one)| *index == 0 || one.chance >= OPEN)
            .map(|(_, one)| one.what.as_str())
            .collect();
        let mut named: Vec<String> = words.iter().take(NAMED).map(|w| (*w).to_owned()).collect();
        if words.len() > NAMED {
            named.push(format!("{} more", words.len() - NAMED));
        }
        named.join("; or ")
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
