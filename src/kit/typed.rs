//! Single values of a kit as they are typed elsewhere: the same units, limits and messages.

use super::key;
use crate::declared::{Context, Key, Raw, Units, Value};
use crate::diagnostic::Diagnostic;
use crate::units::{Force, Length};
use toml::de::DeValue;

/// The travel in a turn, or anything as short; `option` is how it was asked for, `--net-lead`.
///
/// # Errors
/// What is wrong with the text, and what to write instead.
pub(crate) fn net_lead(
    option: &'static str,
    text: &str,
    inches: bool,
) -> Result<Length, Diagnostic> {
    read(&key::NET_LEAD, option, text, inches)
}

/// The travel from end to end.
///
/// # Errors
/// As [`net_lead`].
pub(crate) fn stroke(option: &'static str, text: &str, inches: bool) -> Result<Length, Diagnostic> {
    read(&key::STROKE, option, text, inches)
}

/// A side of the whole: as any size of a printed part.
///
/// # Errors
/// As [`net_lead`].
pub(crate) fn side(option: &'static str, text: &str, inches: bool) -> Result<Length, Diagnostic> {
    read(&key::FRAME_SIDE, option, text, inches)
}

/// A load; none for nothing.
///
/// # Errors
/// As [`net_lead`].
pub(crate) fn load(
    option: &'static str,
    text: &str,
    inches: bool,
) -> Result<Option<Force>, Diagnostic> {
    match text.trim().parse::<f64>() {
        Ok(0.0) => Ok(None),
        _ => read(&key::LOAD, option, text, inches).map(Some),
    }
}

/// Ticks around a head.
///
/// # Errors
/// As [`net_lead`].
pub(crate) fn ticks(option: &'static str, text: &str) -> Result<u32, Diagnostic> {
    read(&key::DIAL, option, text, false)
}

/// A value as the key of a kit takes it; bare numbers are mm or inches, newtons or pounds-force.
fn read<T: Value>(
    key: &Key<T>,
    option: &'static str,
    text: &str,
    inches: bool,
) -> Result<T, Diagnostic> {
    let text = text.trim();
    let whole = text.parse::<i64>().map(|whole| whole.to_string());
    let literal = match (whole, text.parse::<f64>()) {
        (Ok(whole), _) => whole,
        (_, Ok(value)) if value.is_finite() => toml_edit::Value::from(value).to_string(),
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
        path: option,
        value: &value,
        text: &literal,
    };
    T::read(raw, &key.limits, context).map_err(|problem| Diagnostic {
        // A line of a kit becomes words of a command.
        mend: problem
            .mend
            .map(|mend| mend.replace(&format!("{option} = "), &format!("{option} "))),
        ..problem
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_typed_as_in_a_kit_and_held_to_its_limits() {
        assert_eq!(stroke("--stroke", "15", false), Ok(Length::mm(15.0)));
        assert_eq!(
            stroke("--stroke", "1 1/2 in", false),
            Ok(Length::inches(1.5))
        );
        assert_eq!(stroke("--stroke", "0.5", true), Ok(Length::inches(0.5)));
        assert_eq!(
            load("--load", "15 N", false),
            Ok(Some(Force::newtons(15.0)))
        );
        let told = |text| {
            stroke("--stroke", text, false)
                .expect_err("no stroke")
                .message
        };
        assert!(told("2000").contains("1000 mm"), "{}", told("2000"));
        assert!(
            net_lead("--net-lead", "0", false).is_err()
                && net_lead("--net-lead", "a hair", false).is_err()
        );
        assert_eq!(load("--load", "0", false), Ok(None));
        assert_eq!(ticks("--ticks", "50"), Ok(50));
        assert!(ticks("--ticks", "0").is_err() && ticks("--ticks", "2.5").is_err());
        let problem = net_lead("--travel", "0", false).expect_err("no travel");
        assert!(
            problem.message.contains("`--travel`"),
            "{}",
            problem.message
        );
        assert!(!problem.mend.unwrap_or_default().contains(" = "));
        assert!(
            net_lead("--net-lead", "nan", false).is_err()
                && net_lead("--net-lead", "inf", false).is_err()
        );
    }
}
