//! Numbers as `report.json` holds them: rounded, so that one kit always gives the same text.

use crate::units::{Length, real};

/// Decimals of lengths, turns, forces: a nanometre is far below any printer.
const DECIMALS: i32 = 6;
/// Decimals of poses and rates, which are multiplied by sizes and by many turns.
const FINE_DECIMALS: i32 = 9;

/// Rounded to a number of decimals; nothing for what is not a number. Never negative zero.
fn rounded_to(value: f64, decimals: i32) -> Option<f64> {
    let scale = real::power_of_ten(decimals);
    let rounded = (value * scale).round() / scale + 0.0;
    rounded.is_finite().then_some(rounded)
}

/// To the decimals of most figures.
pub(super) fn rounded(value: f64) -> Option<f64> {
    rounded_to(value, DECIMALS)
}

/// To the decimals of fine figures.
pub(super) fn fine(value: f64) -> Option<f64> {
    rounded_to(value, FINE_DECIMALS)
}

/// A length in mm.
pub(super) fn mm(length: Length) -> Option<f64> {
    rounded(length.as_mm())
}
