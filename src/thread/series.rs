//! The standard series, in the order in which the standards list them.
//!
//! Metric sizes and pitches: ISO 261, M3 to M64, first to third choice, from memory.
//! Unified threads: ASME B1.1, UNC No. 10 to 2 inch and UNF No. 10 to 1 1/2 inch; the rows
//! that Machinery's Handbook 31st ed., Tables 4a and 4b (pp. 1978-1979) list are pinned in
//! the tests, the rest are from memory.

use super::{Standard, Thread};
use crate::units::Length;

/// How readily a size is chosen (the three columns of ISO 261).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Choice {
    /// Preferred.
    First,
    /// If no first choice serves.
    Second,
    /// If neither serves.
    Third,
}

/// One nominal size of ISO 261.
#[derive(Debug, PartialEq)]
pub struct MetricSize {
    major_mm: f64,
    choice: Choice,
    coarse_mm: Option<f64>,
    fine_mm: &'static [f64],
}

impl MetricSize {
    /// Basic major diameter.
    pub const fn major(&self) -> Length {
        Length::mm(self.major_mm)
    }

    /// Column of the standard.
    pub const fn choice(&self) -> Choice {
        self.choice
    }

    /// The coarse pitch; some third-choice sizes have none.
    pub fn coarse(&self) -> Option<Length> {
        self.coarse_mm.map(Length::mm)
    }

    /// Every listed pitch, the coarse one first, then falling.
    pub fn pitches(&self) -> impl Iterator<Item = Length> {
        let fine = self.fine_mm.iter().copied();
        self.coarse_mm.into_iter().chain(fine).map(Length::mm)
    }
}

/// Major diameter of No. 12, in inches: the only secondary size from No. 10 on (ASME B1.1, Table 1,
/// from memory).
const NUMBER_TWELVE: f64 = 0.216;

/// One thread of a Unified series.
#[derive(Debug, PartialEq)]
pub struct UnifiedThread {
    size: &'static str,
    major_in: f64,
    per_inch: f64,
    standard: Standard,
}

impl UnifiedThread {
    /// The nominal size as it is written: `#10`, `3/4`, `1 1/4`.
    pub const fn size(&self) -> &'static str {
        self.size
    }

    /// Basic major diameter.
    pub const fn major(&self) -> Length {
        Length::inches(self.major_in)
    }

    /// Basic major diameter in inches, as the standard prints it.
    pub const fn major_inches(&self) -> f64 {
        self.major_in
    }

    /// Number of threads in one inch.
    pub const fn threads_per_inch(&self) -> f64 {
        self.per_inch
    }

    /// One inch over the number of threads.
    pub const fn pitch(&self) -> Length {
        Length::inches(1.0 / self.per_inch)
    }

    /// Primary sizes are a first choice, secondary ones a second.
    pub fn choice(&self) -> Choice {
        match self.major_in == NUMBER_TWELVE {
            true => Choice::Second,
            false => Choice::First,
        }
    }

    /// [`Standard::Unc`] or [`Standard::Unf`].
    pub const fn standard(&self) -> Standard {
        self.standard
    }
}

const fn iso(
    major_mm: f64,
    choice: Choice,
    coarse_mm: Option<f64>,
    fine_mm: &'static [f64],
) -> MetricSize {
    MetricSize {
        major_mm,
        choice,
        coarse_mm,
        fine_mm,
    }
}

use Choice::{First, Second, Third};

/// ISO 261, M3 to M64, from memory. The pitch 3 of M30 and M33 and the spark-plug pitch 1.25 of
/// M14, which the standard sets in brackets, are kept.
static ISO_261: [MetricSize; 44] = [
    iso(3.0, First, Some(0.5), &[0.35]),
    iso(3.5, Second, Some(0.6), &[0.35]),
    iso(4.0, First, Some(0.7), &[0.5]),
    iso(4.5, Second, Some(0.75), &[0.5]),
    iso(5.0, First, Some(0.8), &[0.5]),
    iso(5.5, Third, None, &[0.5]),
    iso(6.0, First, Some(1.0), &[0.75]),
    iso(7.0, Second, Some(1.0), &[0.75]),
    iso(8.0, First, Some(1.25), &[1.0, 0.75]),
    iso(9.0, Third, Some(1.25), &[1.0, 0.75]),
    iso(10.0, First, Some(1.5), &[1.25, 1.0, 0.75]),
    iso(11.0, Third, Some(1.5), &[1.0, 0.75]),
    iso(12.0, First, Some(1.75), &[1.5, 1.25, 1.0]),
    iso(14.0, Second, Some(2.0), &[1.5, 1.25, 1.0]),
    iso(15.0, Third, None, &[1.5, 1.0]),
    iso(16.0, First, Some(2.0), &[1.5, 1.0]),
    iso(17.0, Third, None, &[1.5, 1.0]),
    iso(18.0, Second, Some(2.5), &[2.0, 1.5, 1.0]),
    iso(20.0, First, Some(2.5), &[2.0, 1.5, 1.0]),
    iso(22.0, Second, Some(2.5), &[2.0, 1.5, 1.0]),
    iso(24.0, First, Some(3.0), &[2.0, 1.5, 1.0]),
    iso(25.0, Third, None, &[2.0, 1.5, 1.0]),
    iso(26.0, Third, None, &[1.5]),
    iso(27.0, Second, Some(3.0), &[2.0, 1.5, 1.0]),
    iso(28.0, Third, None, &[2.0, 1.5, 1.0]),
    iso(30.0, First, Some(3.5), &[3.0, 2.0, 1.5, 1.0]),
    iso(32.0, Third, None, &[2.0, 1.5]),
    iso(33.0, Second, Some(3.5), &[3.0, 2.0, 1.5]),
    iso(35.0, Third, None, &[1.5]),
    iso(36.0, First, Some(4.0), &[3.0, 2.0, 1.5]),
    iso(38.0, Third, None, &[1.5]),
    iso(39.0, Second, Some(4.0), &[3.0, 2.0, 1.5]),
    iso(40.0, Third, None, &[3.0, 2.0, 1.5]),
    iso(42.0, First, Some(4.5), &[4.0, 3.0, 2.0, 1.5]),
    iso(45.0, Second, Some(4.5), &[4.0, 3.0, 2.0, 1.5]),
    iso(48.0, First, Some(5.0), &[4.0, 3.0, 2.0, 1.5]),
    iso(50.0, Third, None, &[3.0, 2.0, 1.5]),
    iso(52.0, Second, Some(5.0), &[4.0, 3.0, 2.0, 1.5]),
    iso(55.0, Third, None, &[4.0, 3.0, 2.0, 1.5]),
    iso(56.0, First, Some(5.5), &[4.0, 3.0, 2.0, 1.5]),
    iso(58.0, Third, None, &[4.0, 3.0, 2.0, 1.5]),
    iso(60.0, Second, Some(5.5), &[4.0, 3.0, 2.0, 1.5]),
    iso(62.0, Third, None, &[4.0, 3.0, 2.0, 1.5]),
    iso(64.0, First, Some(6.0), &[4.0, 3.0, 2.0, 1.5]),
];

const fn coarse_row(size: &'static str, major_in: f64, per_inch: f64) -> UnifiedThread {
    UnifiedThread {
        size,
        major_in,
        per_inch,
        standard: Standard::Unc,
    }
}

const fn fine_row(size: &'static str, major_in: f64, per_inch: f64) -> UnifiedThread {
    UnifiedThread {
        standard: Standard::Unf,
        ..coarse_row(size, major_in, per_inch)
    }
}

/// ASME B1.1, UNC.
static UNC: [UnifiedThread; 18] = [
    coarse_row("#10", 0.19, 24.0),
    coarse_row("#12", 0.216, 24.0),
    coarse_row("1/4", 0.25, 20.0),
    coarse_row("5/16", 0.3125, 18.0),
    coarse_row("3/8", 0.375, 16.0),
    coarse_row("7/16", 0.4375, 14.0),
    coarse_row("1/2", 0.5, 13.0),
    coarse_row("9/16", 0.5625, 12.0),
    coarse_row("5/8", 0.625, 11.0),
    coarse_row("3/4", 0.75, 10.0),
    coarse_row("7/8", 0.875, 9.0),
    coarse_row("1", 1.0, 8.0),
    coarse_row("1 1/8", 1.125, 7.0),
    coarse_row("1 1/4", 1.25, 7.0),
    coarse_row("1 3/8", 1.375, 6.0),
    coarse_row("1 1/2", 1.5, 6.0),
    coarse_row("1 3/4", 1.75, 5.0),
    coarse_row("2", 2.0, 4.5),
];

/// ASME B1.1, UNF.
static UNF: [UnifiedThread; 16] = [
    fine_row("#10", 0.19, 32.0),
    fine_row("#12", 0.216, 28.0),
    fine_row("1/4", 0.25, 28.0),
    fine_row("5/16", 0.3125, 24.0),
    fine_row("3/8", 0.375, 24.0),
    fine_row("7/16", 0.4375, 20.0),
    fine_row("1/2", 0.5, 20.0),
    fine_row("9/16", 0.5625, 18.0),
    fine_row("5/8", 0.625, 18.0),
    fine_row("3/4", 0.75, 16.0),
    fine_row("7/8", 0.875, 14.0),
    fine_row("1", 1.0, 12.0),
    fine_row("1 1/8", 1.125, 12.0),
    fine_row("1 1/4", 1.25, 12.0),
    fine_row("1 3/8", 1.375, 12.0),
    fine_row("1 1/2", 1.5, 12.0),
];

/// The sizes of ISO 261, rising.
pub fn metric_sizes() -> impl Iterator<Item = &'static MetricSize> {
    ISO_261.iter()
}

/// The rows of UNC and then of UNF, each rising.
pub fn unified_threads() -> impl Iterator<Item = &'static UnifiedThread> {
    UNC.iter().chain(&UNF)
}

/// Every ISO 261 thread with the coarse pitch, rising, right-hand.
pub fn iso_coarse() -> impl Iterator<Item = Thread> {
    metric_sizes().filter_map(|size| Thread::metric(size, size.coarse()?))
}

/// Every ISO 261 thread with a fine pitch: sizes rising, within a size the pitches falling.
pub fn iso_fine() -> impl Iterator<Item = Thread> {
    metric_sizes().flat_map(|size| {
        let fine = size.pitches().filter(|pitch| size.coarse() != Some(*pitch));
        fine.filter_map(move |pitch| Thread::metric(size, pitch))
    })
}

/// Every thread of UNC, rising, right-hand.
pub fn unc() -> impl Iterator<Item = Thread> {
    UNC.iter().map(Thread::unified)
}

/// Every thread of UNF, rising, right-hand.
pub fn unf() -> impl Iterator<Item = Thread> {
    UNF.iter().map(Thread::unified)
}

/// Every standard thread: ISO coarse, ISO fine, UNC, UNF.
pub fn all() -> impl Iterator<Item = Thread> {
    iso_coarse().chain(iso_fine()).chain(unc()).chain(unf())
}
