//! Single values of a kit as they are typed elsewhere: the same units, limits and messages.

use super::key;
use crate::declared::{Context, Key, Raw, Units, Value};
use crate::diagnostic::Diagnostic;
use crate::units::{Force, Length};
use toml::de::DeValue;

/// The travel in a turn.
///
/// # Errors
/// What is wrong with the text, and what to write instead.
pub fn net_lead(text: &str, inches: bool) -> Result<Length, Diagnostic> {
    read(&key::NET_LEAD, text, inches)
}

/// The travel from end to end.
///
/// # Errors
/// As [`net_lead`].
pub fn stroke(text: &str, inches: bool) -> Result<Length, Diagnostic> {
    read(&key::STROKE, text, inches)
}

/// A load.
///
/// # Errors
/// As [`net_lead`].
pub fn load(text: &str, inches: bool) -> Result<Force, Diagnostic> {
    read(&key::LOAD, text, inches)
}

/// A value as the key of a kit takes it; bare numbers are mm or inches, newtons or pounds-force.
fn read<T: Value>(key: &Key<T>, text: &str, inches: bool) -> Result<T, Diagnostic> {
    let text = text.trim();
    let literal = match text.parse::<f64>() {
        Ok(value) if value.is_finite() => toml_edit::Value::from(value).to_string(),
        _ => toml_edit::Value::from(text).to_string(),
    };
    let context = Context {
        units: if inches { Units::Inch } else { Units::Mm },
        units_known: true,
        inches_likely: false,
    };
    let not_toml = |error: toml::de::Error| Diagnostic::error(error.message(), 0..0);
    let value = DeValue::parse(&literal).map_err(not_toml)?;
    let raw = Raw {
        path: key.path,
        value: &value,
        text: &literal,
    };
    T::read(raw, &key.limits, context)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_typed_as_in_a_kit_and_held_to_its_limits() {
        assert_eq!(stroke("15", false), Ok(Length::mm(15.0)));
        assert_eq!(stroke("1 1/2 in", false), Ok(Length::inches(1.5)));
        assert_eq!(stroke("0.5", true), Ok(Length::inches(0.5)));
        assert_eq!(load("15 N", false), Ok(Force::newtons(15.0)));
        let told = |text| stroke(text, false).expect_err("no stroke").message;
        assert!(told("2000").contains("1000 mm"), "{}", told("2000"));
        assert!(net_lead("0", false).is_err() && net_lead("a hair", false).is_err());
        assert!(net_lead("nan", false).is_err() && net_lead("inf", false).is_err());
    }
}
