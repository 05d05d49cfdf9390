//! Widths across flats of spanners, and widths that lie between those of millimetres and of inches.

use crate::declared::{Quantity, Said, Units};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use crate::units_told::number;

/// Across flats of metric spanners (ISO 272, from memory, and common practice for the larger), in
/// mm.
pub(crate) const METRIC_FLATS: [f64; 20] = [
    16.0, 18.0, 21.0, 24.0, 27.0, 30.0, 34.0, 36.0, 41.0, 46.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0,
    80.0, 85.0, 90.0, 95.0,
];

/// Smaller ones, which no head is given by itself (ISO 272, from memory), in mm.
const SMALL_METRIC_FLATS: [f64; 6] = [5.5, 7.0, 8.0, 10.0, 13.0, 100.0];

/// Across flats of inch spanners (ASME B18.2.1 widths, the larger from memory), in inches.
pub(crate) const INCH_FLATS: [f64; 17] = [
    0.4375, 0.5, 0.5625, 0.625, 0.75, 0.8125, 0.875, 0.9375, 1.125, 1.3125, 1.5, 1.6875, 1.875,
    2.0625, 2.25, 2.625, 3.0,
];

/// Widths that differ by less are one. Guess: far below what spanners leave room for.
const ONE: Length = Length::mm(0.005);

/// A width nearer than this to a spanner's looks like it in a drawer. Guess: the room of a spanner on
/// its nut, and a little.
const NEARLY: Length = Length::mm(0.3);

/// Decimals that tell every width in inches: sixteenths.
const INCH_DECIMALS: usize = 4;

/// Every width, with the system that it is of.
fn all() -> Vec<(Length, Units)> {
    let metric = METRIC_FLATS.iter().chain(&SMALL_METRIC_FLATS);
    let metric = metric.map(|size| (Length::mm(*size), Units::Mm));
    let inch = INCH_FLATS.iter();
    metric
        .chain(inch.map(|size| (Length::inches(*size), Units::Inch)))
        .collect()
}

/// A warning of a width that is nearly that of a spanner, but neither that nor another's.
pub(super) fn between_systems(said: &Said<Length>, units: Units) -> Option<Diagnostic> {
    let width = said.value;
    let sizes = all();
    let off = |(size, _): &(Length, Units)| (*size - width).abs();
    if sizes.iter().any(|size| off(size) <= ONE) {
        return None;
    }
    let near = sizes.iter().filter(|size| off(size) < NEARLY);
    let (size, system) = near.min_by(|a, b| off(a).as_mm().total_cmp(&off(b).as_mm()))?;
    let own = match system {
        Units::Mm => format!("{} mm", number(size.as_mm(), INCH_DECIMALS)),
        Units::Inch => format!("{} in", number(size.as_inches(), INCH_DECIMALS)),
    };
    let message = format!(
        "`head.across_flats` is {}, nearly a spanner's {} but not it",
        width.show(units),
        size.show(*system)
    );
    Some(
        Diagnostic::warning(message, said.place())
            .label("spanners of millimetres and of inches differ")
            .mend(format!("write `across_flats = \"{own}\"` for that spanner")),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn warned(width: Length) -> bool {
        let said = Said {
            value: width,
            at: Some(0..1),
        };
        between_systems(&said, Units::Mm).is_some()
    }

    #[test]
    fn nineteen_millimetres_is_not_three_quarters_of_an_inch() {
        assert!(warned(Length::mm(19.0)));
        assert!(!warned(Length::inches(0.75)));
    }

    #[test]
    fn a_width_of_either_standard_is_not_warned_of_and_one_of_neither_only_near_one() {
        // 16 mm is no 5/8 in (15.875), but a width of its own.
        assert!(!warned(Length::mm(16.0)));
        assert!(!warned(Length::inches(0.625)));
        assert!(warned(Length::mm(23.9)));
        assert!(!warned(Length::mm(32.0)));
    }
}
