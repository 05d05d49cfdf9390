//! Turns a standard thread into its limits of size: ISO 965-1 6g/6H, ASME B1.1 2A/2B.
//!
//! A diameter for which the standard gives no limit stays `None`, and so do all of them for a
//! free thread, whatever its form, and for several starts, which neither standard's tables cover.

pub mod iso965;
pub mod unified;

use super::{Origin, Thread};
use crate::units::Length;

/// Smallest and largest allowed size of one diameter, each where the standard gives one.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limit {
    /// Smallest.
    pub min: Option<Length>,
    /// Largest.
    pub max: Option<Length>,
}

impl Limit {
    pub(super) const fn between(min: Length, max: Length) -> Self {
        Self {
            min: Some(min),
            max: Some(max),
        }
    }
}

/// Limits of one half of a pair: a screw or a nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfLimits {
    /// Tolerance class, as the standard writes it.
    pub class: &'static str,
    /// Major diameter.
    pub major: Limit,
    /// Pitch diameter.
    pub pitch: Limit,
    /// Minor diameter.
    pub minor: Limit,
}

/// Limits of a screw and of its nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// The screw: 6g or 2A.
    ///
    /// Its minor diameter is given as the published tables give it. 6g: the largest is d1, to
    /// the basic flat (D1 less the fundamental deviation), the smallest is d3, to the rounded
    /// root. 2A: the largest is that of the UNR root, and there is no smallest.
    pub external: HalfLimits,
    /// The nut: 6H or 2B. Its major diameter has a smallest size only.
    pub internal: HalfLimits,
}

impl Thread {
    /// Limits of size of a standard thread with one start, either hand.
    ///
    /// `None` for free threads, for several starts, and for a pitch that ISO 965-1 does not
    /// list in the diameter range.
    pub fn limits(&self) -> Option<Limits> {
        if self.starts() != 1 {
            return None;
        }
        match self.origin {
            Origin::Metric(_) => iso965::limits(self),
            Origin::Unified(row) => Some(unified::limits(row)),
            Origin::Free(_) => None,
        }
    }
}
