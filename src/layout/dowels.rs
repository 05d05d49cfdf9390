//! Dowel pins to buy: from a diameter and the room for it to what to ask for in a shop, by its
//! standard.
//!
//! ISO 2338 has parallel pins of soft steel, ISO 8734 the same hardened, ASME B18.8.2 hardened and
//! ground ones in inches. A pin that is longer than its standard goes is cut from ground bar.

use crate::units::Length;
use crate::units_told::{fraction, number};

/// Pins of a diameter as a standard has them.
struct Stock {
    /// Nominal diameter.
    diameter: Length,
    /// The longest.
    longest: Length,
    /// Limits of its diameter, least and most.
    limits: [Length; 2],
}

const fn metric(diameter: f64, longest: f64, m6_um: [f64; 2]) -> Stock {
    const UM: f64 = 1e-3;
    Stock {
        diameter: Length::mm(diameter),
        longest: Length::mm(longest),
        limits: [
            Length::mm(diameter + m6_um[0] * UM),
            Length::mm(diameter + m6_um[1] * UM),
        ],
    }
}

const fn inch(diameter: f64, longest: f64) -> Stock {
    // Standard series: from 0.0001 to 0.0003 in above the nominal size.
    Stock {
        diameter: Length::inches(diameter),
        longest: Length::inches(longest),
        limits: [
            Length::inches(diameter + 0.0001),
            Length::inches(diameter + 0.0003),
        ],
    }
}

/// Diameter and longest length in mm, m6 in micrometres: ISO 2338 and ISO 8734, whose longest are the
/// same (from memory), m6 of ISO 286-2.
const METRIC: [Stock; 4] = [
    metric(3.0, 30.0, [2.0, 8.0]),
    metric(4.0, 40.0, [4.0, 12.0]),
    metric(5.0, 50.0, [4.0, 12.0]),
    metric(6.0, 60.0, [4.0, 12.0]),
];

/// Diameter and longest length in inches: ASME B18.8.2, hardened ground machine dowel pins, standard
/// series (from memory).
const INCH: [Stock; 3] = [inch(0.125, 2.0), inch(0.1875, 2.0), inch(0.25, 2.5)];

/// Lengths in which metric dowels are sold, in mm (ISO 2338, preferred lengths, from memory).
const METRIC_LENGTHS: [f64; 26] = [
    10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0, 26.0, 28.0, 30.0, 32.0, 35.0, 40.0, 45.0, 50.0,
    55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 85.0, 90.0, 95.0, 100.0,
];

/// Inch dowels are sold in quarter inches (common practice).
const INCH_STEP: Length = Length::inches(0.25);
/// Two diameters nearer than this are one size. Guess, far below what a pin is ground to.
const SAME: Length = Length::mm(1e-4);

/// What to ask for to fill a room of this length, no longer than it: of an inch size if the diameter is
/// one.
pub(super) fn shop_words(diameter: Length, room: Length) -> String {
    let quarters = room.down_to(INCH_STEP);
    match (fraction(diameter), fraction(quarters)) {
        (Some(across), Some(long)) => in_inches(diameter, quarters, [&across, &long]),
        _ => in_mm(diameter, room),
    }
}

fn of(stock: &[Stock], diameter: Length) -> Option<&Stock> {
    let mut stock = stock.iter();
    stock.find(|one| (one.diameter - diameter).abs() < SAME)
}

fn in_inches(diameter: Length, long: Length, [across, length]: [&str; 2]) -> String {
    let mm = [diameter, long].map(|size| number(size.as_mm(), 2));
    let sizes = format!("{across} in x {length} in ({} x {} mm)", mm[0], mm[1]);
    match of(&INCH, diameter) {
        Some(stock) if long <= stock.longest + SAME => {
            let limits = stock
                .limits
                .map(|limit| format!("{:.4}", limit.as_inches()));
            format!(
                "dowel pin {sizes}, ASME B18.8.2, hardened and ground, {} to {} in across",
                limits[0], limits[1]
            )
        }
        _ => format!(
            "pin cut from ground steel bar, {sizes}, its ends broken: ASME B18.8.2 has none so long"
        ),
    }
}

fn in_mm(diameter: Length, room: Length) -> String {
    let fits = |length: &&f64| **length <= room.as_mm();
    let long = METRIC_LENGTHS.iter().rev().find(fits);
    let long = *long.unwrap_or(&METRIC_LENGTHS[0]);
    let (across, length) = (number(diameter.as_mm(), 2), number(long, 0));
    match of(&METRIC, diameter) {
        Some(stock) if long <= stock.longest.as_mm() => {
            let [least, most] = stock.limits.map(|limit| number(limit.as_mm(), 3));
            format!(
                "dowel pin ISO 2338 - {across} m6 x {length} - St, {least} to {most} mm across; hardened: \
                 ISO 8734 - {across} x {length} - A - St"
            )
        }
        _ => format!(
            "pin cut from ground steel bar, {across} h8 x {length} mm, its ends broken: ISO 2338 has none \
             so long"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pin_is_named_by_its_standard_as_far_as_that_goes() {
        let told = |diameter: f64, room: f64| shop_words(Length::mm(diameter), Length::mm(room));
        assert_eq!(
            told(5.0, 41.9),
            "dowel pin ISO 2338 - 5 m6 x 40 - St, 5.004 to 5.012 mm across; hardened: ISO 8734 - 5 x 40 \
             - A - St"
        );
        for (diameter, longest) in [(3.0, 30.0), (4.0, 40.0), (5.0, 50.0), (6.0, 60.0)] {
            assert!(told(diameter, longest + 1.9).contains("ISO 2338 - "));
            let cut = told(diameter, longest + 5.0);
            assert!(cut.starts_with("pin cut from ground steel bar"), "{cut}");
        }
        let inches = shop_words(Length::inches(0.1875), Length::inches(1.6));
        assert_eq!(
            inches,
            "dowel pin 3/16 in x 1 1/2 in (4.76 x 38.1 mm), ASME B18.8.2, hardened and ground, 0.1876 to \
             0.1878 in across"
        );
        let long = shop_words(Length::inches(0.125), Length::inches(2.3));
        assert!(
            long.starts_with("pin cut from ground steel bar, 1/8 in x 2 1/4 in"),
            "{long}"
        );
    }
}
