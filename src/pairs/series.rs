//! The series of which a wish tries the threads.

use crate::thread::{Standard, Thread, series};

/// A series of threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Series {
    /// ISO 261, coarse pitches.
    IsoCoarse,
    /// ISO 261, fine pitches.
    IsoFine,
    /// ASME B1.1, Unified coarse.
    Unc,
    /// ASME B1.1, Unified fine.
    Unf,
}

impl Series {
    /// All, in the order in which they are tried.
    pub const ALL: [Self; 4] = [Self::IsoCoarse, Self::IsoFine, Self::Unc, Self::Unf];

    /// Its threads, right-hand, of one start.
    pub fn threads(self) -> Vec<Thread> {
        match self {
            Self::IsoCoarse => series::iso_coarse().collect(),
            Self::IsoFine => series::iso_fine().collect(),
            Self::Unc => series::unc().collect(),
            Self::Unf => series::unf().collect(),
        }
    }

    /// Whether its sizes are laid down in inches.
    pub const fn in_inches(self) -> bool {
        match self {
            Self::IsoCoarse | Self::IsoFine => false,
            Self::Unc | Self::Unf => true,
        }
    }

    /// The word by which it is asked for.
    pub const fn word(self) -> &'static str {
        match self {
            Self::IsoCoarse => "iso-coarse",
            Self::IsoFine => "iso-fine",
            Self::Unc => "unc",
            Self::Unf => "unf",
        }
    }

    /// Its name for people.
    pub const fn name(self) -> &'static str {
        match self {
            Self::IsoCoarse => Standard::IsoCoarse.name(),
            Self::IsoFine => Standard::IsoFine.name(),
            Self::Unc => Standard::Unc.name(),
            Self::Unf => Standard::Unf.name(),
        }
    }
}
