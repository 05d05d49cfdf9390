//! Lengths, torques, forces and rates of springs as a maker writes them: from text to a number with its unit.
//!
//! A number is a decimal (`12.5`), a fraction (`3/8`) or a mixed number (`1 5/16`,
//! `1-5/16`); a unit may follow, with or without a space. Text without a unit is read like
//! a bare number.

use super::Units;
use super::words::closest;
use crate::units::{Force, Length, MM_PER_INCH, NEWTON_PER_POUND_FORCE, SpringRate, Torque};
use std::ops::Range;

/// Newtons in one kilogram-force, exactly (CGPM 1901, resolution 2: standard gravity).
const NEWTON_PER_KILOGRAM_FORCE: f64 = 9.806_65;
/// Newton metres in one pound-force inch, exactly.
const NEWTON_METRE_PER_POUND_INCH: f64 = NEWTON_PER_POUND_FORCE * MM_PER_INCH / 1000.0;
/// Inches in one foot.
const INCHES_PER_FOOT: f64 = 12.0;

/// A unit that may be written behind a number.
pub(crate) struct Unit {
    /// How it is written; the first is shown to people. Compared in lower case, without
    /// blanks and signs of multiplication.
    spellings: &'static [&'static str],
    /// Size in the unit in which the quantity is kept.
    size: f64,
}

const fn unit(spellings: &'static [&'static str], size: f64) -> Unit {
    Unit { spellings, size }
}

/// A quantity that a kit file can hold.
pub(crate) trait Quantity: Copy + PartialOrd + 'static {
    /// What it is called.
    const NOUN: &'static str;
    /// Its units; the first is that of a bare number.
    const UNITS: &'static [Unit];
    /// How a value may be written.
    const EXAMPLES: &'static str;

    /// From a number in the first unit.
    fn of(value: f64) -> Self;
    /// As a number in the first unit.
    fn value(self) -> f64;
    /// How many of the first unit a bare number counts.
    fn bare(_units: Units) -> f64 {
        1.0
    }
    /// For people.
    fn show(self, _units: Units) -> String {
        format!("{} {}", plain(self.value()), Self::UNITS[0].spellings[0])
    }
    /// As it may stand behind `=`.
    fn literal(self, _units: Units) -> String {
        plain(self.value())
    }
}

impl Quantity for Length {
    const NOUN: &'static str = "length";
    const UNITS: &'static [Unit] = &[
        unit(
            &[
                "mm",
                "millimetre",
                "millimetres",
                "millimeter",
                "millimeters",
            ],
            1.0,
        ),
        unit(
            &[
                "cm",
                "centimetre",
                "centimetres",
                "centimeter",
                "centimeters",
            ],
            10.0,
        ),
        unit(
            &["in", "inch", "inches", "\"", "\u{2033}", "''", "\u{201d}"],
            MM_PER_INCH,
        ),
    ];
    const EXAMPLES: &'static str = "`12.5`, `\"12.5 mm\"` or `\"1 5/16 in\"`";

    fn of(value: f64) -> Self {
        Self::mm(value)
    }
    fn value(self) -> f64 {
        self.as_mm()
    }
    fn bare(units: Units) -> f64 {
        match units {
            Units::Mm => 1.0,
            Units::Inch => MM_PER_INCH,
        }
    }
    fn show(self, units: Units) -> String {
        let mm = plain(self.as_mm());
        match units {
            Units::Mm => format!("{mm} mm"),
            Units::Inch => format!("{} in ({mm} mm)", plain(self.as_inches())),
        }
    }
    fn literal(self, units: Units) -> String {
        let mm = plain(self.as_mm());
        match units {
            Units::Mm => mm,
            Units::Inch => format!("\"{mm} mm\""),
        }
    }
}

impl Quantity for Torque {
    const NOUN: &'static str = "torque";
    const UNITS: &'static [Unit] = &[
        unit(&["N m", "newtonmetre", "newtonmeter"], 1.0),
        unit(&["N cm"], 0.01),
        unit(&["N mm"], 0.001),
        unit(
            &["lbf in", "inlbf", "lbin", "inlb"],
            NEWTON_METRE_PER_POUND_INCH,
        ),
        unit(
            &["lbf ft", "ftlbf", "lbft", "ftlb"],
            NEWTON_METRE_PER_POUND_INCH * INCHES_PER_FOOT,
        ),
        unit(&["kgf cm", "kgcm"], NEWTON_PER_KILOGRAM_FORCE / 100.0),
    ];
    const EXAMPLES: &'static str = "`2` (N m), `\"2 N m\"` or `\"18 lbf in\"`";

    fn of(value: f64) -> Self {
        Self::newton_metres(value)
    }
    fn value(self) -> f64 {
        self.as_newton_metres()
    }
}

impl Quantity for Force {
    const NOUN: &'static str = "force";
    const UNITS: &'static [Unit] = &[
        unit(&["N", "newton", "newtons"], 1.0),
        unit(&["kN"], 1000.0),
        unit(&["lbf", "lb", "lbs"], NEWTON_PER_POUND_FORCE),
        unit(&["kgf"], NEWTON_PER_KILOGRAM_FORCE),
    ];
    const EXAMPLES: &'static str = "`50` (N), `\"50 N\"` or `\"10 lbf\"`";

    fn of(value: f64) -> Self {
        Self::newtons(value)
    }
    fn value(self) -> f64 {
        self.as_newtons()
    }
}

impl Quantity for SpringRate {
    const NOUN: &'static str = "spring rate";
    const UNITS: &'static [Unit] = &[
        unit(&["N/mm"], 1.0),
        unit(&["N/cm"], 0.1),
        unit(&["N/m"], 0.001),
        unit(
            &["lbf/in", "lb/in", "lbs/in"],
            NEWTON_PER_POUND_FORCE / MM_PER_INCH,
        ),
    ];
    const EXAMPLES: &'static str = "`0.6` (N/mm), `\"0.6 N/mm\"` or `\"3.4 lbf/in\"`";

    fn of(value: f64) -> Self {
        Self::newtons_per_mm(value)
    }
    fn value(self) -> f64 {
        self.as_newtons_per_mm()
    }
}

/// What is wrong with a text, where in it, and what to write.
#[derive(Debug, PartialEq)]
pub(crate) struct Fault {
    /// What is wrong.
    pub(crate) message: String,
    /// Bytes of the text.
    pub(crate) at: Range<usize>,
    /// What to write instead.
    pub(crate) mend: String,
}

/// A quantity and whether its unit was written out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Written<Q> {
    pub(crate) value: Q,
    pub(crate) with_unit: bool,
}

/// Reads `text` as a quantity; bare numbers are in `units`.
pub(crate) fn parse<Q: Quantity>(text: &str, units: Units) -> Result<Written<Q>, Fault> {
    let (number, rest) = number(text).map_err(|fault| fault.or_examples::<Q>())?;
    let written = text[rest..].trim();
    if written.is_empty() {
        let value = Q::of(number * Q::bare(units));
        return Ok(Written {
            value,
            with_unit: false,
        });
    }
    let wanted = folded(written);
    let unit = Q::UNITS.iter().find(|unit| {
        unit.spellings
            .iter()
            .any(|spelling| folded(spelling) == wanted)
    });
    match unit {
        Some(unit) => Ok(Written {
            value: Q::of(number * unit.size),
            with_unit: true,
        }),
        None => Err(unknown_unit::<Q>(text, rest, written)),
    }
}

/// The quantity that a number without a unit stands for.
pub(crate) fn bare<Q: Quantity>(number: f64, units: Units) -> Written<Q> {
    Written {
        value: Q::of(number * Q::bare(units)),
        with_unit: false,
    }
}

/// A number for people and for kit files: up to four decimals, no trailing zeros.
///
/// What four decimals cannot show, or what is too long to read, has an exponent.
pub(crate) fn plain(value: f64) -> String {
    // Guesses: a size in mm never needs more than four decimals or nine digits before them.
    const SMALLEST: f64 = 1e-4;
    const LARGEST: f64 = 1e9;
    let size = value.abs();
    if size != 0.0 && size.is_finite() && !(SMALLEST..LARGEST).contains(&size) {
        return format!("{value:e}");
    }
    let fixed = format!("{value:.4}");
    match fixed.contains('.') {
        true => fixed.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => fixed,
    }
}

impl Fault {
    /// With the ways to write a `Q` where there is no better mend.
    fn or_examples<Q: Quantity>(mut self) -> Self {
        if self.mend.is_empty() {
            self.mend = format!("write a {} such as {}", Q::NOUN, Q::EXAMPLES);
        }
        self
    }
}

fn unknown_unit<Q: Quantity>(text: &str, rest: usize, written: &str) -> Fault {
    let names: Vec<&str> = Q::UNITS.iter().map(|unit| unit.spellings[0]).collect();
    let start = rest + (text[rest..].len() - text[rest..].trim_start().len());
    // Short units are all near each other, so only words are compared.
    const SHORTEST_WORD: usize = 4;
    let near = Q::UNITS.iter().find(|unit| {
        let words = unit.spellings.iter().copied();
        let words = words.filter(|word| word.len() >= SHORTEST_WORD);
        written.len() >= SHORTEST_WORD && closest(written, words).is_some()
    });
    let mend = match near {
        Some(unit) => format!("write `{} {}`", text[..rest].trim(), unit.spellings[0]),
        None => format!("units of {} are {}", Q::NOUN, names.join(", ")),
    };
    Fault {
        message: format!(
            "`{written}` is not a unit of {} that is known here",
            Q::NOUN
        ),
        at: start..start + written.len(),
        mend,
    }
}

/// A unit as it is compared: lower case, without blanks, full stops and multiplication signs.
fn folded(unit: &str) -> String {
    unit.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '-' | '*' | '\u{b7}' | '\u{22c5}'))
        .flat_map(char::to_lowercase)
        .collect()
}

/// The number at the start of `text`, and the byte at which the rest begins.
fn number(text: &str) -> Result<(f64, usize), Fault> {
    let start = text.len() - text.trim_start().len();
    let (sign, start) = match text.as_bytes().get(start) {
        Some(b'-') => (-1.0, start + 1),
        Some(b'+') => (1.0, start + 1),
        _ => (1.0, start),
    };
    let first = run(text, start);
    if let Some((value, end)) = fraction(text, first.clone())? {
        return Ok((sign * value, end));
    }
    let whole = decimal(text, first.clone())?;
    // The blank or hyphen of a mixed number; behind it must stand a whole fraction.
    let gap = text[first.end..].len() - text[first.end..].trim_start_matches([' ', '-']).len();
    let second = run(text, first.end + gap);
    if gap == 0 || second.is_empty() {
        return Ok((sign * whole, first.end));
    }
    match fraction(text, second.clone())? {
        Some((part, end)) if part < 1.0 && is_whole(&text[first.clone()]) => {
            Ok((sign * (whole + part), end))
        }
        read => {
            let at = first.start..read.map_or(second.end, |(_, end)| end);
            Err(Fault {
                message: format!("`{}` is not a number", &text[at.clone()]),
                at,
                mend: String::new(),
            })
        }
    }
}

/// The longest run of digits, points and commas from `start`.
fn run(text: &str, start: usize) -> Range<usize> {
    let length = text[start..]
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
        .unwrap_or(text.len() - start);
    start..start + length
}

fn is_whole(digits: &str) -> bool {
    !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
}

/// The fraction whose numerator is `numerator`, if a stroke follows it, and where it ends.
fn fraction(text: &str, numerator: Range<usize>) -> Result<Option<(f64, usize)>, Fault> {
    if !text[numerator.end..].starts_with('/') {
        return Ok(None);
    }
    let denominator = run(text, numerator.end + 1);
    let all = numerator.start..denominator.end;
    let fault = |message: String| Fault {
        message,
        at: all.clone(),
        mend: String::new(),
    };
    let written = &text[all.clone()];
    if !is_whole(&text[numerator.clone()]) || !is_whole(&text[denominator.clone()]) {
        return Err(fault(format!(
            "`{written}` is not a fraction of whole numbers"
        )));
    }
    let over = decimal(text, numerator)?;
    let under = decimal(text, denominator)?;
    if under == 0.0 {
        return Err(fault(format!("`{written}` divides by zero")));
    }
    Ok(Some((over / under, all.end)))
}

fn decimal(text: &str, at: Range<usize>) -> Result<f64, Fault> {
    let digits = &text[at.clone()];
    if digits.is_empty() {
        let rest = text[at.start..].chars().next().map_or(0, char::len_utf8);
        return Err(Fault {
            message: format!("`{text}` does not start with a number"),
            at: at.start..at.start + rest,
            mend: String::new(),
        });
    }
    match digits.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ if digits.matches(',').count() == 1 && !digits.contains('.') => Err(Fault {
            message: format!("`{digits}` has a comma for its decimal point"),
            mend: format!("write `{}`", digits.replace(',', ".")),
            at,
        }),
        _ => Err(Fault {
            message: format!("`{digits}` is not a number"),
            at,
            mend: String::new(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    fn mm(text: &str) -> f64 {
        parse::<Length>(text, Units::Mm).unwrap().value.as_mm()
    }

    #[test]
    fn lengths_are_read_as_makers_write_them() {
        for (text, wanted) in [
            ("12", 12.0),
            ("12 mm", 12.0),
            ("12mm", 12.0),
            ("1.5 cm", 15.0),
            ("-0.02", -0.02),
            ("3/8 in", 9.525),
            ("1 1/8 in", 28.575),
            ("1-1/8 in", 28.575),
            ("1-1/8\"", 28.575),
            ("0.5\"", 12.7),
            ("0.5 Inch", 12.7),
        ] {
            assert_abs_diff_eq!(mm(text), wanted, epsilon = 1e-12);
        }
    }

    #[test]
    fn text_without_a_unit_is_in_the_units_of_the_kit() {
        let read = parse::<Length>("1 5/16", Units::Inch).unwrap();
        assert_abs_diff_eq!(read.value.as_mm(), 33.3375, epsilon = 1e-12);
        assert!(!read.with_unit);
    }

    #[test]
    fn torques_and_forces_match_the_factors_of_nist_sp_811() {
        // NIST SP 811 (2008), appendix B.8: lbf in 0.112 984 8, lbf ft 1.355 818 N m,
        // kgf 9.806 65 N, lbf 4.448 222 N.
        let torque = |text| {
            parse::<Torque>(text, Units::Mm)
                .unwrap()
                .value
                .as_newton_metres()
        };
        assert_abs_diff_eq!(torque("18 lbf in"), 18.0 * 0.112_984_8, epsilon = 1e-6);
        assert_abs_diff_eq!(torque("18 in-lbf"), torque("18 lbf in"));
        assert_abs_diff_eq!(torque("1.5 ft lbf"), 1.5 * 1.355_818, epsilon = 1e-6);
        assert_abs_diff_eq!(torque("20 N cm"), 0.2, epsilon = 1e-12);
        assert_abs_diff_eq!(torque("2 Nm"), 2.0);
        let force = |text| parse::<Force>(text, Units::Mm).unwrap().value.as_newtons();
        assert_abs_diff_eq!(force("10 lbf"), 44.482_22, epsilon = 1e-5);
        assert_abs_diff_eq!(force("5 kgf"), 49.033_25, epsilon = 1e-9);
        assert_abs_diff_eq!(force("50 N"), 50.0);
    }

    #[test]
    fn what_is_not_a_length_is_marked_where_it_goes_wrong() {
        for (text, at) in [
            ("12 miles", 3..8),
            ("12,5", 0..4),
            ("3/0 in", 0..3),
            ("1.5/2", 0..5),
            ("1 9/8 in", 0..5),
            ("1.5 1/8", 0..7),
            ("1 2", 0..3),
            ("wide", 0..1),
            ("", 0..0),
            ("1.2.3", 0..5),
        ] {
            let fault = parse::<Length>(text, Units::Mm).unwrap_err();
            assert_eq!(fault.at, at, "{text}: {}", fault.message);
            assert!(!fault.mend.is_empty());
        }
    }

    #[test]
    fn a_decimal_comma_is_mended_to_a_point() {
        let fault = parse::<Length>("12,5 mm", Units::Mm).unwrap_err();
        assert_eq!(fault.mend, "write `12.5`");
    }

    proptest! {
        #[test]
        fn prop_a_length_reads_the_same_in_mm_and_in_inches(sixteenths in 1u32..1000) {
            let inches = f64::from(sixteenths) / 16.0;
            let fraction = format!("{} {}/16 in", sixteenths / 16, sixteenths % 16);
            prop_assert!((mm(&fraction) - inches * 25.4).abs() < 1e-9);
            let metric = format!("{} mm", inches * 25.4);
            prop_assert!((mm(&metric) - mm(&fraction)).abs() < 1e-9);
            let bare = parse::<Length>(&inches.to_string(), Units::Inch).unwrap().value;
            prop_assert!((bare.as_mm() - mm(&fraction)).abs() < 1e-9);
        }

        #[test]
        fn prop_any_text_is_a_length_or_marked_inside_itself(text in "[0-9/ .,\\-+a-zµ″\"]{0,12}") {
            if let Err(fault) = parse::<Length>(&text, Units::Mm) {
                prop_assert!(text.get(fault.at.clone()).is_some(), "{fault:?}");
            }
        }

        #[test]
        fn prop_a_shown_length_reads_back(mm_value in -1e4f64..1e4) {
            let shown = Length::mm(mm_value).show(Units::Mm);
            prop_assert!((mm(&shown) - mm_value).abs() <= 0.5001e-4 || mm_value.abs() < 1e-4);
        }
    }
}
