//! Turns of a row as text: `1.25`, `1/4`, `1 1/2`.

/// How a number of turns may be written.
pub(super) const TURNS_EXAMPLES: &str = "`3`, `0.25`, `\"1/4\"` or `\"2 1/4\"`";

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

    proptest! {
        #[test]
        fn prop_no_text_breaks_the_reader(text in any::<String>()) {
            prop_assert!(number(&text).is_none_or(f64::is_finite));
        }
    }
}
