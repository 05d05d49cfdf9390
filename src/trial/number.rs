//! Numbers and lengths of a row as text: `1.25`, `1/4`, `1 1/2`, `12.5 mm`, `0.5 in`.

use super::measured::Unit;
use crate::units::Length;

/// How a number of turns may be written.
pub(super) const TURNS_EXAMPLES: &str = "`3`, `0.25`, `\"1/4\"` or `\"2 1/4\"`";
/// How a length may be written.
pub(super) const LENGTH_EXAMPLES: &str = "`41.2`, `\"41.2 mm\"` or `\"1.622 in\"`";

/// A number: decimal, fraction or mixed number; `None` if it is none.
pub(super) fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let value = match digits.split_once([' ', '-']) {
        Some((whole, part)) => decimal(whole)? + fraction(part.trim_start())?,
        None if digits.contains('/') => fraction(digits)?,
        None => decimal(digits)?,
    };
    Some(sign * value).filter(|value| value.is_finite())
}

/// Digits with at most one point (or decimal comma); no sign, no exponent, no words.
fn decimal(text: &str) -> Option<f64> {
    let text = text.replace(',', ".");
    let plain = text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if plain { text.parse().ok() } else { None }
}

fn fraction(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    Some(decimal(above.trim())? / decimal(below.trim())?)
}

/// A length, bare numbers in `unit`; `None` if it is none.
pub(super) fn length(text: &str, unit: Unit) -> Option<Length> {
    let text = text.trim();
    let split = text.find(|c: char| c.is_alphabetic() || "\"\u{2033}".contains(c));
    let (digits, name) = text.split_at(split.unwrap_or(text.len()));
    let value = number(digits)?;
    let length = match name.trim().to_lowercase().as_str() {
        "" => unit.of(value),
        "mm" => Length::mm(value),
        "cm" => Length::mm(10.0 * value),
        "in" | "inch" | "inches" | "\"" | "\u{2033}" => Length::inches(value),
        _ => return None,
    };
    length.as_mm().is_finite().then_some(length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn fractions_mixed_numbers_and_decimal_commas_are_numbers() {
        for (text, value) in [
            ("1/4", 0.25),
            ("2 1/4", 2.25),
            ("2-1/4", 2.25),
            ("-1/2", -0.5),
            ("1,5", 1.5),
            (" 12 ", 12.0),
        ] {
            assert_eq!(number(text), Some(value), "{text}");
        }
        for text in [
            "", "-", "1/0", "1/", "nan", "inf", "1e3", "1 2", "twelve", "1.2.3",
        ] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    #[test]
    fn a_unit_of_its_own_beats_that_of_the_file() {
        assert_eq!(length("0.5 in", Unit::Mm), Some(Length::mm(12.7)));
        assert_eq!(length("12.7", Unit::Inch), Some(Length::inches(12.7)));
        assert_eq!(length("1 5/16\"", Unit::Mm), Some(Length::inches(1.3125)));
        assert_eq!(length("3 furlongs", Unit::Mm), None);
    }

    proptest! {
        #[test]
        fn prop_no_text_breaks_the_reader(text in any::<String>()) {
            let read = (number(&text), length(&text, Unit::Mm));
            prop_assert!(read.0.is_none_or(f64::is_finite));
        }

        #[test]
        fn prop_a_length_in_either_unit_is_the_same(mm in -1e3f64..1e3) {
            let inches = Length::mm(mm).as_inches();
            let read = length(&format!("{inches:.12} in"), Unit::Mm);
            prop_assert!((read.expect("a length") - Length::mm(mm)).abs().as_mm() < 1e-9);
        }
    }
}
