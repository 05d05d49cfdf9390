//! Turns a Unified size into the 2A and 2B limits of ASME B1.1.
//!
//! Formulas: ASME B1.1, clause 5.8, partly from memory; TD1 and the rounding from
//! Machinery's Handbook 31st ed., pp. 1994-2007. Everything here is in inches until it leaves
//! as a [`Length`]. Intermediate values are rounded to six decimals, sizes to four, and a
//! final digit of exactly five goes to the even side.

use super::{HalfLimits, Limit, Limits};
use crate::thread::series::UnifiedThread;
use crate::units::{Length, real};

/// Millionths of an inch in one inch: intermediate values have six decimals.
const MILLIONTHS: f64 = 1e6;
/// Millionths in the fourth decimal, to which sizes are given.
const FOURTH_DECIMAL: i64 = 100;
/// Millionths in the third decimal, to which a nut's minor diameter is given.
const THIRD_DECIMAL: i64 = 1000;
/// The allowance of 2A in shares of the pitch diameter tolerance (ASME B1.1, from memory).
const ALLOWANCE_SHARE: f64 = 0.3;
/// The pitch diameter tolerance of 2B in shares of that of 2A (ASME B1.1, from memory).
const INTERNAL_SHARE: f64 = 1.3;
/// Major diameter in inches below which TD1 has a formula of its own (ASME B1.1).
const SMALL_SIZE: f64 = 0.25;
/// Allowances that ASME B1.1 Table 2 prints one digit away from the formula:
/// (major diameter, threads per inch, allowance), inches, from memory. The formula gives
/// 0.001 250 for 7/16-20, which the rounding rule takes down.
const PRINTED_ALLOWANCES: [(f64, f64, f64); 1] = [(0.4375, 20.0, 0.0013)];

/// UNR root: D - d3 = 11/8 H in pitches (ASME B1.1, 2 hs = 1.190 784 93 P).
const UNR_DOUBLE_DEPTH: f64 = 1.190_784_93;
/// UN flat root: D - d1 = 5/4 H in pitches (ASME B1.1, 1.082 531 75 P).
const UN_DOUBLE_DEPTH: f64 = 1.082_531_75;
/// D - D2 = 3/4 H in pitches (ASME B1.1, 0.649 519 05 P).
const DOUBLE_ADDENDUM: f64 = 0.649_519_05;

/// `value` in whole units of `unit` millionths, a five going to the even side.
fn rounded(value: f64, unit: i64) -> f64 {
    // The cast and the product saturate: absurd sizes come out absurd, but come out.
    #[expect(clippy::cast_possible_truncation, reason = "rounded to a whole number")]
    let millionths = (value * MILLIONTHS).round() as i64;
    let (whole, rest) = (millionths.div_euclid(unit), millionths.rem_euclid(unit));
    let up = 2 * rest > unit || (2 * rest == unit && whole % 2 != 0);
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
    let result = (whole + i64::from(up)).saturating_mul(unit) as f64 / MILLIONTHS;
    result
}

fn size(value: f64) -> f64 {
    rounded(value, FOURTH_DECIMAL)
}

fn nut_minor(value: f64) -> f64 {
    rounded(size(value), THIRD_DECIMAL)
}

fn two_thirds_power(value: f64) -> f64 {
    let root = real::cbrt(value);
    root * root
}

/// Sizes of class 2A in inches, rounded as the standard prints them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct External2A {
    /// Gap between the basic size and the largest screw.
    pub allowance: f64,
    /// Largest major diameter.
    pub major_max: f64,
    /// Smallest major diameter.
    pub major_min: f64,
    /// Largest pitch diameter.
    pub pitch_max: f64,
    /// Smallest pitch diameter.
    pub pitch_min: f64,
    /// Largest minor diameter with the rounded UNR root.
    pub minor_unr_max: f64,
    /// Largest minor diameter with the flat UN root.
    pub minor_un_max: f64,
}

/// Td2 of class 2A in inches, to six decimals: 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015
/// P^(2/3), all in inches (ASME B1.1, clause 5.8.1, from memory).
///
/// `engagement` LE is D for UNC and UNF and 9 P for UNEF, UNS and constant-pitch threads.
pub fn pitch_tolerance_2a(major: f64, per_inch: f64, engagement: f64) -> f64 {
    let pitch_part = 0.015 * two_thirds_power(1.0 / per_inch);
    let tolerance = 0.0015 * real::cbrt(major) + 0.0015 * engagement.sqrt() + pitch_part;
    rounded(tolerance, 1)
}

/// Class 2A of a thread of `major` inches; `engagement` as in [`pitch_tolerance_2a`].
pub fn external_2a(major: f64, per_inch: f64, engagement: f64) -> External2A {
    let pitch = 1.0 / per_inch;
    let pitch_tolerance = pitch_tolerance_2a(major, per_inch, engagement);
    let allowance = PRINTED_ALLOWANCES
        .iter()
        .find(|(size, count, _)| *size == major && *count == per_inch)
        .map_or_else(
            || size(ALLOWANCE_SHARE * pitch_tolerance),
            |(_, _, printed)| *printed,
        );
    let major_tolerance = size(0.06 * two_thirds_power(pitch));
    let major_max = size(major - allowance);
    let pitch_max = size(size(major - DOUBLE_ADDENDUM * pitch) - allowance);
    External2A {
        allowance,
        major_max,
        major_min: size(major_max - major_tolerance),
        pitch_max,
        pitch_min: size(pitch_max - pitch_tolerance),
        minor_unr_max: size(major_max - UNR_DOUBLE_DEPTH * pitch),
        minor_un_max: size(major_max - UN_DOUBLE_DEPTH * pitch),
    }
}

/// Sizes of class 2B in inches, rounded as the standard prints them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Internal2B {
    /// Smallest minor diameter.
    pub minor_min: f64,
    /// Largest minor diameter.
    pub minor_max: f64,
    /// Smallest pitch diameter.
    pub pitch_min: f64,
    /// Largest pitch diameter.
    pub pitch_max: f64,
}

/// TD1 of class 2B in inches: 0.25 P - 0.40 P^2 (Machinery's Handbook 31st ed., p. 2006);
/// below 1/4 inch 0.05 P^(2/3) + 0.03 P / D - 0.002, kept between that and 0.394 P
/// (ASME B1.1, from memory).
fn minor_tolerance_2b(major: f64, per_inch: f64) -> f64 {
    let pitch = 1.0 / per_inch;
    let large = 0.25 * pitch - 0.4 * pitch * pitch;
    if major >= SMALL_SIZE {
        return large;
    }
    let small = 0.05 * two_thirds_power(pitch) + 0.03 * pitch / major - 0.002;
    small.min(0.394 * pitch).max(large)
}

/// Class 2B of a thread of `major` inches; `engagement` as in [`pitch_tolerance_2a`].
pub fn internal_2b(major: f64, per_inch: f64, engagement: f64) -> Internal2B {
    let pitch = 1.0 / per_inch;
    let pitch_min = size(major - DOUBLE_ADDENDUM * pitch);
    let pitch_tolerance = INTERNAL_SHARE * pitch_tolerance_2a(major, per_inch, engagement);
    let minor = size(major - UN_DOUBLE_DEPTH * pitch);
    Internal2B {
        minor_min: nut_minor(minor),
        minor_max: nut_minor(minor + size(minor_tolerance_2b(major, per_inch))),
        pitch_min,
        pitch_max: size(pitch_min + pitch_tolerance),
    }
}

pub(super) fn limits(row: &UnifiedThread) -> Limits {
    let (major, per_inch) = (row.major_inches(), row.threads_per_inch());
    let screw = external_2a(major, per_inch, major);
    let nut = internal_2b(major, per_inch, major);
    let between = |min, max| Limit::between(Length::inches(min), Length::inches(max));
    let external = HalfLimits {
        class: "2A",
        major: between(screw.major_min, screw.major_max),
        pitch: between(screw.pitch_min, screw.pitch_max),
        minor: Limit {
            min: None,
            max: Some(Length::inches(screw.minor_unr_max)),
        },
    };
    let internal = HalfLimits {
        class: "2B",
        major: Limit {
            min: Some(Length::inches(major)),
            max: None,
        },
        pitch: between(nut.pitch_min, nut.pitch_max),
        minor: between(nut.minor_min, nut.minor_max),
    };
    Limits { external, internal }
}
