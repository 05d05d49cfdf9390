//! Boxes along the axes in two numbers, of which two are held against each other in a few steps.
//!
//! Coordinates are counted in steps from the lowest one, and the three counts of a place share
//! one 64-bit number, each with a bit to spare above it. Counting rounds down, which never turns
//! an order round: boxes that share a point share a step. Boxes a step apart at the most may seem
//! to meet and do not; whoever asks must look closer then.

use nalgebra::Point3;

/// Steps of an axis are below 2 to this power: three counts and three bits to spare fit 64 bits.
/// On a part of 100 mm a step is 0.1 um.
const BITS: u32 = 20;
/// From one count to the next.
const FIELD: u32 = BITS + 1;
/// The lowest bit of every count.
const UNITS: u64 = 1 | 1 << FIELD | 1 << (2 * FIELD);
/// The bits to spare.
const SPARE: u64 = UNITS << BITS;
/// All bits of the counts.
const COUNTS: u64 = SPARE - UNITS;

/// A place as three counts of steps, the first axis lowest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Place(u64);

impl Place {
    /// The higher bits of the counts, so many of each axis.
    pub(super) fn coarse(self, bits: u32) -> [u64; 3] {
        let count = |axis: u32| self.0 >> (axis * FIELD) & ((1 << BITS) - 1);
        [0, 1, 2].map(|axis| count(axis) >> (BITS - bits))
    }

    /// All bits of the counts that are not below the other's; none of the others.
    fn not_below(self, other: Self) -> u64 {
        // A spare bit is borrowed from just where the count under it is the lesser.
        let kept = ((self.0 | SPARE) - other.0) & SPARE;
        kept - (kept >> BITS)
    }

    /// The lower one along each axis.
    fn low(self, other: Self) -> Self {
        let others = self.not_below(other);
        Self(other.0 & others | self.0 & !others)
    }

    /// The higher one along each axis.
    fn high(self, other: Self) -> Self {
        let own = self.not_below(other);
        Self(self.0 & own | other.0 & !own)
    }
}

/// From coordinates in mm to steps.
pub(super) struct Steps {
    low: [f64; 3],
    a_mm: f64,
}

impl Steps {
    /// Steps that reach over all these points, of one size along all axes.
    pub(super) fn over(points: &[Point3<f64>]) -> Self {
        let bound = |axis: usize, pick: fn(f64, f64) -> f64, start: f64| {
            points.iter().map(|point| point[axis]).fold(start, pick)
        };
        let low = [0, 1, 2].map(|axis| bound(axis, f64::min, f64::INFINITY));
        let extent = (0..3).fold(0.0, |widest: f64, axis| {
            widest.max(bound(axis, f64::max, f64::NEG_INFINITY) - low[axis])
        });
        let most = f64::from((1u32 << BITS) - 1);
        // Of points at one place every count is 0.
        let a_mm = if extent > 0.0 { most / extent } else { 0.0 };
        Self { low, a_mm }
    }

    /// Where a point is; it must be one of those that the steps reach over.
    pub(super) fn place(&self, point: &Point3<f64>) -> Place {
        // Subtracting, multiplying and rounding down each keep an order or make the two equal.
        let count = |axis: usize| ((point[axis] - self.low[axis]) * self.a_mm) as u64;
        let within = |axis: usize| count(axis).min((1 << BITS) - 1);
        Place(within(0) | within(1) << FIELD | within(2) << (2 * FIELD))
    }
}

/// A box along the axes, its faces on steps.
#[derive(Clone, Copy, Debug)]
pub(super) struct StepBox {
    low: Place,
    high: Place,
}

impl StepBox {
    /// A box around nothing: what is put together with it stays as it is.
    pub(super) const NOTHING: Self = Self {
        low: Place(COUNTS),
        high: Place(0),
    };

    pub(super) fn around([a, b, c]: [Place; 3]) -> Self {
        Self {
            low: a.low(b).low(c),
            high: a.high(b).high(c),
        }
    }

    pub(super) fn with(&self, other: &Self) -> Self {
        Self {
            low: self.low.low(other.low),
            high: self.high.high(other.high),
        }
    }

    /// Whether they share a step, be it on their faces.
    #[inline]
    pub(super) fn meets(&self, other: &Self) -> bool {
        let reaches = |high: Place, low: Place| (high.0 | SPARE) - low.0;
        reaches(self.high, other.low) & reaches(other.high, self.low) & SPARE == SPARE
    }

    pub(super) fn middle(&self) -> Place {
        Place((self.low.0 + self.high.0) >> 1 & COUNTS)
    }
}
