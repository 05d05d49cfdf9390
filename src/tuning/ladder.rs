//! What the answer to a ladder of test pieces says about the terms of a profile.
//!
//! From the widest step down a maker finds the last that still goes as the form asks. So what a hand
//! feels begins between that step and the next tighter one, wherever the kit would have the gap:
//!
//! ```text
//! drawn - step - taken  <  felt from  <=  drawn - taken
//! ```
//!
//! Half-way, the printer takes `drawn - step / 2 - felt from`, to half a step either way, and to what
//! faces and hand scatter. At the first step there is only the right-hand side, at the last only the
//! left-hand one. [`LadderKind::felt`] says what is felt, [`Felt::from`] from which gap on.

use crate::assembly::{Fit, Mates, Source};
use crate::printer::{FACE_SHARE, Felt, Profile, Term};
use crate::units::Length;

/// A kind of ladder of test pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LadderKind {
    /// Tapped rings on one plug.
    Thread,
    /// Holes with ribs that were printed lying, and one printed pin.
    PinOnRibs,
    /// Holes with ribs that were printed lying, and one bought pin.
    BoughtPinOnRibs,
    /// Holes with a whole wall that were printed lying, and one printed pin.
    PinLying,
    /// Holes with a whole wall that were printed lying, and one bought pin.
    BoughtPinLying,
    /// Upright holes with a whole wall, and one printed pin.
    PinUpright,
    /// Channels, and one tongue.
    Slide,
    /// Pockets between upright walls, and one printed blank of a nut.
    Pocket,
    /// Pockets between upright walls, and one bought nut.
    BoughtPocket,
}

/// All kinds of ladders, with the word by which a form names them.
const LADDERS: [(LadderKind, &str); 9] = [
    (LadderKind::Thread, "thread"),
    (LadderKind::PinOnRibs, "pin-on-ribs"),
    (LadderKind::BoughtPinOnRibs, "bought-pin-on-ribs"),
    (LadderKind::PinLying, "pin-lying"),
    (LadderKind::BoughtPinLying, "bought-pin-lying"),
    (LadderKind::PinUpright, "pin-upright"),
    (LadderKind::Slide, "slide"),
    (LadderKind::Pocket, "pocket"),
    (LadderKind::BoughtPocket, "bought-pocket"),
];

impl LadderKind {
    /// The word by which a form names it.
    pub fn word(self) -> &'static str {
        let found = LADDERS.iter().find(|(kind, _)| *kind == self);
        found.map_or("", |(_, word)| word)
    }

    /// The kind that a form names.
    pub fn of_word(word: &str) -> Option<Self> {
        let found = LADDERS.iter().find(|(_, known)| *known == word);
        found.map(|(kind, _)| *kind)
    }

    /// All words, for messages.
    pub fn words() -> Vec<&'static str> {
        LADDERS.iter().map(|(_, word)| *word).collect()
    }

    /// The fit that is tried, and which of its faces are printed.
    pub fn fit(self) -> (Fit, Mates) {
        match self {
            Self::Thread => (Fit::Thread, Mates::PRINTED),
            Self::PinOnRibs | Self::PinLying => (Fit::Press, Mates::LYING),
            Self::BoughtPinOnRibs | Self::BoughtPinLying => (Fit::Press, Mates::BOUGHT_IN_LYING),
            Self::PinUpright => (Fit::Press, Mates::PRINTED),
            Self::Slide => (Fit::Slide, Mates::PRINTED),
            Self::Pocket => (Fit::Locate, Mates::BETWEEN_WALLS),
            Self::BoughtPocket => (Fit::Locate, Mates::BOUGHT_BETWEEN_WALLS),
        }
    }

    /// Where what goes in comes from.
    pub fn male(self) -> Source {
        self.fit().1.male
    }

    /// What is felt in the step that a form asks for and in every wider one.
    pub fn felt(self) -> Felt {
        match self {
            Self::Thread => Felt::Runs,
            Self::PinOnRibs | Self::BoughtPinOnRibs => Felt::PastRibs,
            Self::PinLying | Self::BoughtPinLying | Self::PinUpright => Felt::IntoWall,
            Self::Slide => Felt::Slides,
            Self::Pocket | Self::BoughtPocket => Felt::PushedIn,
        }
    }
}

/// The last step of a ladder, from the widest down, that goes as its form asks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestStep {
    /// Which ladder.
    pub kind: LadderKind,
    /// The gap of this step, as drawn, radial or a side.
    pub drawn: Length,
    /// From one step to the next.
    pub step: Length,
    /// Radius of the mating faces; zero for flat ones.
    pub radius: Length,
    /// The end of the ladder that this step is; none inside.
    pub end: Option<End>,
}

/// An end of a ladder: what is felt may begin beyond, so what the printer takes is bounded, not found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The narrowest step.
    First,
    /// The widest.
    Last,
}

impl End {
    /// The end that the step of so many grooves is, of a ladder of so many steps.
    pub fn of(grooves: usize, steps: usize) -> Option<Self> {
        match grooves {
            1 => Some(Self::First),
            _ if grooves == steps => Some(Self::Last),
            _ => None,
        }
    }
}

/// Variance of what lies evenly within a step of one: 1/12 (the uniform distribution's).
const UNIFORM: f64 = 1.0 / 12.0;
/// Standard deviation of the gap at which a hand says that something goes, from one trial to the next.
/// Guess: half of the dents that a push leaves in high spots.
const OF_HAND: Length = Length::mm(0.01);

impl BestStep {
    /// What the printer took from the gap, in mm: half-way between what this step and the next tighter
    /// one would leave room for. Each piece of a ladder scatters by itself, which moves the last step
    /// that goes by less than 0.03 of a step while pieces scatter by less than half of one (reckoned).
    pub fn taken(&self) -> f64 {
        (self.drawn - self.step / 2.0 - self.kind.felt().from()).as_mm()
    }

    /// For a step at an end: what the sum of [`weights`](Self::weights) lies beyond, in mm, and
    /// whether above.
    pub fn bound(&self) -> Option<(f64, bool)> {
        let half = self.step.as_mm() / 2.0;
        self.end.map(|end| match end {
            End::First => (self.taken() + half, false),
            End::Last => (self.taken() - half, true),
        })
    }

    /// Variance of a bound about what was taken, in mm2: the hand's, and that of each printed face;
    /// `within` is the standard deviation of single places of one. A face meets another at its high
    /// spots, which scatter less than its single places do ([`FACE_SHARE`]).
    pub fn bound_variance(&self, within: Length) -> f64 {
        let (face, hand) = (FACE_SHARE * within.as_mm(), OF_HAND.as_mm());
        self.print_effect() * face * face + hand * hand
    }

    /// What was taken, as weights of the terms: the same as [`Profile::gap`] adds.
    pub fn weights(&self) -> Vec<(Term, f64)> {
        let (fit, mates) = self.kind.fit();
        Profile::taken(fit, mates, self.radius)
    }

    /// Weight of the print's own effect b: one for each printed face.
    pub fn print_effect(&self) -> f64 {
        self.kind.fit().1.printed_faces()
    }

    /// Variance of the finding within its print, in mm2: the step's, and that of a bound.
    pub fn variance(&self, within: Length) -> f64 {
        let step = self.step.as_mm();
        UNIFORM * step * step + self.bound_variance(within)
    }
}
