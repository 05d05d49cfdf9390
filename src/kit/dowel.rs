//! Pins to buy: from `3/16 dowel` to the diameter of a stock dowel pin.

use crate::declared::schema::{Kind, with_digits};
use crate::declared::{Context, Fault, Raw, Units, Value, parse};
use crate::diagnostic::Diagnostic;
use crate::units::Length;

/// A bought dowel pin.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Dowel {
    /// As it was written.
    pub(crate) written: String,
    /// Nominal diameter.
    pub(crate) diameter: Length,
}

/// Stock diameters that suit these kits. Metric: ISO 2338:1997, table 1; inch: ASME B18.8.2
/// (from memory).
const STOCK: [(&str, Length); 7] = [
    ("3 mm", Length::mm(3.0)),
    ("4 mm", Length::mm(4.0)),
    ("5 mm", Length::mm(5.0)),
    ("6 mm", Length::mm(6.0)),
    ("1/8 in", Length::inches(0.125)),
    ("3/16 in", Length::inches(0.1875)),
    ("1/4 in", Length::inches(0.25)),
];
/// Two diameters nearer than this are the same size written twice: `4.7625 mm` is `3/16 in`.
/// Guess, far below what a pin is ground to.
const SAME_DIAMETER: Length = Length::mm(1e-4);
/// What may stand behind the diameter.
const NOUNS: [&str; 6] = ["dowel pins", "dowel pin", "dowels", "dowel", "pins", "pin"];

impl Value for Dowel {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), _: Context) -> Result<Self, Diagnostic> {
        let mend = format!(
            "write `{} = \"3/16 dowel\"` or another of {}",
            raw.leaf(),
            stock()
        );
        let written = raw.string("dowel pin", &mend)?;
        let diameter = diameter(written).map_err(|fault| raw.fault("stock dowel pin", fault))?;
        Ok(Self {
            written: written.to_owned(),
            diameter,
        })
    }
    fn kind(_: &()) -> String {
        "dowel pin".to_owned()
    }
    fn range(_: &()) -> Option<String> {
        Some(stock())
    }
    fn schema(_: &()) -> Kind {
        Kind::plain(with_digits())
    }
}

/// Stock pins of either system: how a kit asks for them, and their diameters.
pub(super) fn of_system(inches: bool) -> impl Iterator<Item = (&'static str, Length)> {
    let stock = STOCK.into_iter();
    stock.filter(move |(size, _)| size.ends_with("in") == inches)
}

/// Whether two diameters are one size.
pub(super) fn same_diameter(one: Length, other: Length) -> bool {
    (one - other).abs() < SAME_DIAMETER
}

fn stock() -> String {
    let sizes: Vec<&str> = STOCK.iter().map(|(size, _)| *size).collect();
    sizes.join(", ")
}

/// The stock diameter that `text` asks for.
///
/// A bare number needs no unit, whatever the units of the kit: no size is stock in both.
fn diameter(text: &str) -> Result<Length, Fault> {
    let lower = text.to_ascii_lowercase();
    let size = NOUNS
        .iter()
        .find_map(|noun| lower.trim_end().strip_suffix(noun))
        .map_or(text, |size| &text[..size.len()]);
    let offer = |fault: Fault| Fault {
        message: format!("`{text}` is not a stock dowel pin"),
        mend: format!("write the diameter and `dowel`, one of {}", stock()),
        ..fault
    };
    let in_mm = parse::<Length>(size, Units::Mm).map_err(offer)?;
    let in_inches = parse::<Length>(size, Units::Inch).map_err(offer)?;
    STOCK
        .iter()
        .map(|(_, stock)| *stock)
        .find(|stock| same_diameter(*stock, in_mm.value) || same_diameter(*stock, in_inches.value))
        .ok_or_else(|| {
            offer(Fault {
                message: String::new(),
                at: 0..text.len(),
                mend: String::new(),
            })
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stock_pins_are_understood_with_and_without_units() {
        for (text, mm) in [
            ("3/16 dowel", 4.7625),
            ("1/4 in dowel", 6.35),
            ("0.125\" dowel pins", 3.175),
            ("5 mm dowel", 5.0),
            ("6 dowel", 6.0),
            ("6mm pin", 6.0),
            ("4", 4.0),
        ] {
            let read = diameter(text).unwrap().as_mm();
            approx::assert_abs_diff_eq!(read, mm, epsilon = 1e-9);
        }
    }

    #[test]
    fn a_pin_that_no_shop_stocks_is_refused_with_the_list() {
        for text in [
            "7 mm dowel",
            "5/32 dowel",
            "nail",
            "dowel",
            "",
            "\u{212a} dowel",
        ] {
            let fault = diameter(text).unwrap_err();
            assert!(fault.mend.contains("3/16 in"), "{text}: {}", fault.mend);
        }
    }
}
