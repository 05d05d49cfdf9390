//! Threads, printers and friction as values of a kit file.

use super::Printer;
use super::designation::designation;
use super::text::{PRINTER_RULE, is_path};
use crate::assembly::Perimeters;
use crate::declared::schema::{Kind, either, with_digits, words};
use crate::declared::{Between, Context, Raw, Value};
use crate::diagnostic::Diagnostic;
use crate::strength::Friction;
use crate::thread::Thread;
use serde_json::json;
use toml::de::DeValue;

impl Value for Thread {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), _: Context) -> Result<Self, Diagnostic> {
        let mend = format!(
            "write a designation in quotes, such as `{} = \"M20x2.5\"`",
            raw.leaf()
        );
        let text = raw.string("thread designation", &mend)?;
        designation(text).map_err(|(message, at, better)| {
            Diagnostic::error(format!("`{}`: {message}", raw.path), raw.within(at))
                .label("wrong here")
                .mend(better.unwrap_or(mend))
        })
    }
    fn kind(_: &()) -> String {
        "thread designation".to_owned()
    }
    fn range(_: &()) -> Option<String> {
        None
    }
    fn schema(_: &()) -> Kind {
        Kind::plain(with_digits())
    }
}

impl Value for Printer {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), context: Context) -> Result<Self, Diagnostic> {
        let text = String::read(raw, &PRINTER_RULE, context)?;
        Ok(match is_path(&text) {
            true => Self::File(text),
            false => Self::Named(text),
        })
    }
    fn kind(_: &()) -> String {
        String::kind(&PRINTER_RULE)
    }
    fn range(_: &()) -> Option<String> {
        String::range(&PRINTER_RULE)
    }
    fn schema(_: &()) -> Kind {
        String::schema(&PRINTER_RULE)
    }
}

impl Value for Perimeters {
    type Limits = Between<u32>;

    fn read(raw: Raw<'_>, limits: &Between<u32>, context: Context) -> Result<Self, Diagnostic> {
        let mend = format!("write `{0} = \"solid\"` or `{0} = 6`", raw.leaf());
        match raw.value.get_ref() {
            DeValue::String(text) if text.trim().eq_ignore_ascii_case(SOLID) => Ok(Self::Solid),
            DeValue::String(text) => {
                let message = format!("`{}` is \"{text}\", not \"{SOLID}\"", raw.path);
                let problem = Diagnostic::error(message, raw.within(0..text.len()));
                Err(problem.label("a word or a whole number").mend(mend))
            }
            _ => {
                let lines = u32::read(raw, limits, context).map(Self::Lines);
                lines.map_err(|problem| problem.mend(mend))
            }
        }
    }
    fn kind(_: &Between<u32>) -> String {
        format!("\"{SOLID}\", or whole number")
    }
    fn range(limits: &Between<u32>) -> Option<String> {
        u32::range(limits)
    }
    fn schema(limits: &Between<u32>) -> Kind {
        let solid = words(std::iter::once(SOLID));
        Kind::plain(either(u32::schema(limits).any, solid))
    }
}

/// The word for a part that is filled.
const SOLID: &str = "solid";

impl Value for Friction {
    type Limits = Between<f64>;

    fn read(raw: Raw<'_>, limits: &Between<f64>, context: Context) -> Result<Self, Diagnostic> {
        let DeValue::Array(items) = raw.value.get_ref() else {
            return f64::read(raw, limits, context).map(Self::of);
        };
        let mend = format!("write `{0} = 0.25` or `{0} = [0.12, 0.38]`", raw.leaf());
        let mut numbers = Vec::new();
        for value in items.iter() {
            let number = f64::read(Raw { value, ..raw }, limits, context);
            numbers.push(number.map_err(|problem| problem.mend(mend.clone()))?);
        }
        let message = match numbers[..] {
            [low, high] if low <= high => return Ok(Self { low, high }),
            [low, high] => format!("`{}` goes from {low} down to {high}", raw.path),
            _ => format!("`{}` has {} numbers, not two", raw.path, numbers.len()),
        };
        Err(Diagnostic::error(message, raw.at())
            .label("the least, then the most")
            .mend(mend))
    }
    fn kind(_: &Between<f64>) -> String {
        "number, or a list of two".to_owned()
    }
    fn range(limits: &Between<f64>) -> Option<String> {
        f64::range(limits).map(|range| format!("each {range}"))
    }
    fn schema(limits: &Between<f64>) -> Kind {
        let one = f64::schema(limits).any;
        let two = json!({ "type": "array", "items": one, "minItems": 2, "maxItems": 2 });
        Kind::plain(either(one, two))
    }
}
