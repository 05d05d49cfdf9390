//! What was measured, as valid values.

use crate::units::Length;
use std::ops::Range;

/// What the instrument reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reading {
    /// The carriage's travel: it rises as the carriage advances.
    Travel,
    /// A depth from the keeper to the carriage, or to its rib in the slot: it falls as the carriage advances.
    Depth,
}

impl Reading {
    /// +1 where the reading rises with the travel, -1 where it falls.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Travel => 1.0,
            Self::Depth => -1.0,
        }
    }

    /// Its name in a file of rows.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Travel => "travel",
            Self::Depth => "depth",
        }
    }

    /// The other one.
    pub const fn other(self) -> Self {
        match self {
            Self::Travel => Self::Depth,
            Self::Depth => Self::Travel,
        }
    }
}

/// The way in which the drive was turned last before a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// The way that carries out the stroke.
    Forward,
    /// Against it.
    Back,
}

impl Direction {
    /// Its name in a file of rows.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Forward => "forward",
            Self::Back => "back",
        }
    }
}

/// The unit of bare numbers in a file of rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Inches.
    Inch,
}

impl Unit {
    /// How it is written.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "in",
        }
    }

    /// A length of so many of it.
    pub const fn of(self, value: f64) -> Length {
        match self {
            Self::Mm => Length::mm(value),
            Self::Inch => Length::inches(value),
        }
    }
}

/// How well the instrument reads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instrument {
    /// Smallest step that it shows.
    pub resolution: Length,
    /// Standard deviation of readings of one and the same thing, if that is known.
    pub repeatability: Length,
}

impl Instrument {
    /// Standard uncertainty of one reading: the resolution's, for a value that lies anywhere
    /// in its step is spread by step / root 12, and the repeatability in quadrature.
    ///
    /// Source: JCGM 100:2008 (GUM), 4.3.7 and F.2.2.1. A step of 0.05 mm gives 0.0144 mm.
    pub fn uncertainty(&self) -> Length {
        let step = self.resolution.as_mm();
        let repeat = self.repeatability.as_mm();
        Length::mm((step * step / 12.0 + repeat * repeat).sqrt())
    }
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Turns of the drive from turn 0, forward counted up.
    pub turns: f64,
    /// What the instrument read.
    pub reading: Length,
    /// The way of the last turn.
    pub direction: Direction,
    /// Bytes of the text it came from.
    pub at: Range<usize>,
}

/// Everything that was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// What the instrument reads.
    pub reading: Reading,
    /// Bytes of the text that say so.
    pub reading_at: Range<usize>,
    /// The unit of bare numbers.
    pub unit: Unit,
    /// How well the instrument reads.
    pub instrument: Instrument,
    /// The readings, in the order in which they were taken.
    pub rows: Vec<Row>,
}

impl Measured {
    /// Travel of each row from the first, towards the end of the stroke, in mm.
    pub fn travels(&self) -> Vec<f64> {
        let Some(first) = self.rows.first() else {
            return Vec::new();
        };
        let sign = self.reading.sign();
        let from_first = |row: &Row| sign * (row.reading - first.reading).as_mm();
        self.rows.iter().map(from_first).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_spread_by_itself_over_root_twelve_as_the_gum_has_it() {
        // JCGM 100:2008, F.2.2.1: a step of 1 gives u = 0.29.
        let instrument = Instrument {
            resolution: Length::mm(1.0),
            repeatability: Length::ZERO,
        };
        approx::assert_abs_diff_eq!(instrument.uncertainty().as_mm(), 0.29, epsilon = 5e-3);
    }
}
