//! Screw threads: from a designation to every size that follows from it.
//!
//! Turns text such as `M20x2.5` or `3/4-10 UNC` into a [`Thread`], which knows the basic
//! profile of its [`Form`] (ISO 68-1, ASME B1.1), the standard series and the tolerance
//! limits. It knows nothing of printers, clearances or parts.

mod designation;
mod form;
pub mod limits;
mod profile;
pub mod series;
mod start_ladder;

pub use designation::ThreadError;
pub use form::Form;
pub use profile::Area;
pub use start_ladder::StartLadder;

use crate::units::Length;
use series::{Choice, MetricSize, UnifiedThread};

/// Which way a thread winds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Turned clockwise it moves away from the one who turns.
    Right,
    /// Turned clockwise it moves towards the one who turns.
    Left,
}

impl Hand {
    /// +1 for right, -1 for left: the sign of a lead.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }

    /// The opposite one.
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}

/// Where the size and the pitch of a thread are laid down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standard {
    /// ISO 261, the coarse pitch of the size.
    IsoCoarse,
    /// ISO 261, a fine pitch of the size.
    IsoFine,
    /// ASME B1.1, Unified coarse.
    Unc,
    /// ASME B1.1, Unified fine.
    Unf,
    /// No standard: major diameter and pitch are as the maker chose them.
    Free,
}

impl Standard {
    /// Its name in words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::IsoCoarse => "ISO metric coarse",
            Self::IsoFine => "ISO metric fine",
            Self::Unc => "UNC",
            Self::Unf => "UNF",
            Self::Free => "free",
        }
    }
}

/// The most starts a thread may have. Guess: more than this print no better, since each goes in
/// in one more way of which all but one are wrong, and quarters of a turn are the least that a hand
/// tells apart.
pub const MAX_STARTS: u8 = 4;

/// The row of a series a thread was taken from. Its standard gives a listed thread its form;
/// only a free one may have another, and so no tolerance table is ever asked for it.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Origin {
    Metric(&'static MetricSize),
    Unified(&'static UnifiedThread),
    Free(Form),
}

/// A screw thread. Every designation that is read gives one of the 60 degree form.
#[derive(Clone, Debug, PartialEq)]
pub struct Thread {
    major: Length,
    pitch: Length,
    starts: u8,
    hand: Hand,
    origin: Origin,
}

impl Thread {
    /// A thread of free sizes (single start), of the metric form. The sizes are taken as they
    /// are; text from a maker goes through [`str::parse`], which refuses what cannot be cut.
    pub const fn free(major: Length, pitch: Length, hand: Hand) -> Self {
        Self::of_form(Form::ISO, major, pitch, hand)
    }

    /// A thread of free sizes (single start) of any form. No designation names its form.
    pub const fn of_form(form: Form, major: Length, pitch: Length, hand: Hand) -> Self {
        Self {
            major,
            pitch,
            starts: 1,
            hand,
            origin: Origin::Free(form),
        }
    }

    /// The right-hand thread of an ISO 261 size, if the standard lists `pitch` for it.
    pub fn metric(size: &'static MetricSize, pitch: Length) -> Option<Self> {
        size.pitches().any(|listed| listed == pitch).then(|| Self {
            origin: Origin::Metric(size),
            ..Self::free(size.major(), pitch, Hand::Right)
        })
    }

    /// The right-hand thread of a row of a Unified series.
    pub fn unified(row: &'static UnifiedThread) -> Self {
        Self {
            origin: Origin::Unified(row),
            ..Self::free(row.major(), row.pitch(), Hand::Right)
        }
    }

    /// The same thread wound the given way.
    #[must_use]
    pub fn with_hand(self, hand: Hand) -> Self {
        Self { hand, ..self }
    }

    /// The same thread with so many ridges side by side: its lead grows, its pitch stays. A count
    /// outside of one to [`MAX_STARTS`] becomes the nearest of them.
    #[must_use]
    pub fn with_starts(self, starts: u8) -> Self {
        let starts = starts.clamp(1, MAX_STARTS);
        Self { starts, ..self }
    }

    /// A thread of another diameter with the same pitch, hand and form: of no standard.
    #[must_use]
    pub fn with_major(&self, major: Length) -> Self {
        Self::of_form(self.form(), major, self.pitch, self.hand).with_starts(self.starts)
    }

    /// Flank angle, flats and rounding of its ridges.
    pub const fn form(&self) -> Form {
        match self.origin {
            Origin::Metric(_) => Form::ISO,
            Origin::Unified(_) => Form::UNIFIED,
            Origin::Free(form) => form,
        }
    }

    /// Basic major diameter d = D.
    pub const fn major(&self) -> Length {
        self.major
    }

    /// Distance along the axis between neighbouring ridges.
    pub const fn pitch(&self) -> Length {
        self.pitch
    }

    /// Travel in one turn, without sign: starts x pitch.
    pub fn lead(&self) -> Length {
        self.pitch * f64::from(self.starts)
    }

    /// The lead, negative for a left-hand thread.
    pub fn signed_lead(&self) -> Length {
        self.lead() * self.hand.sign()
    }

    /// Number of ridges that wind side by side.
    pub const fn starts(&self) -> u8 {
        self.starts
    }

    /// Which way it winds.
    pub const fn hand(&self) -> Hand {
        self.hand
    }

    /// Where its size and pitch are laid down.
    pub fn standard(&self) -> Standard {
        match self.origin {
            Origin::Metric(size) if size.coarse() == Some(self.pitch) => Standard::IsoCoarse,
            Origin::Metric(_) => Standard::IsoFine,
            Origin::Unified(row) => row.standard(),
            Origin::Free(_) => Standard::Free,
        }
    }

    /// How readily its size is chosen: its column in ISO 261. ASME B1.1 marks its secondary sizes, of
    /// which the series here have No. 12 alone (from memory). A free thread has no size of a standard.
    pub fn choice(&self) -> Option<Choice> {
        match self.origin {
            Origin::Metric(size) => Some(size.choice()),
            Origin::Unified(row) => Some(row.choice()),
            Origin::Free(_) => None,
        }
    }

    /// Threads per inch, for a thread that is laid down in inches.
    pub const fn threads_per_inch(&self) -> Option<f64> {
        match self.origin {
            Origin::Unified(row) => Some(row.threads_per_inch()),
            Origin::Metric(_) | Origin::Free(_) => None,
        }
    }
}

#[cfg(test)]
mod tests;
