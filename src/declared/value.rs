//! From one TOML value to one valid quantity, number, word or text, or to what is wrong.

use super::Units;
use super::path::leaf;
use super::quantity::{self, Fault, Quantity, Written, plain};
use super::schema::{self, Kind, either};
use super::text::TextRule;
use super::words::{Words, closest, listed};
use crate::diagnostic::Diagnostic;
use crate::units::{Force, Length, SpringRate, Torque};
use serde_json::{Value as Json, json};
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// What the reading of a value depends on besides the value.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Context {
    /// What bare numbers are.
    pub(crate) units: Units,
    /// Whether `units` holds; not where the file says something of units that is not understood.
    /// Bare lengths are then not held against their limits.
    pub(crate) units_known: bool,
    /// The file says no units, but what else it says is in inches.
    pub(crate) inches_likely: bool,
}

/// One value as it stands in the text.
#[derive(Clone, Copy)]
pub(crate) struct Raw<'a> {
    /// The key after its table, for messages: `head.across_flats`.
    pub(crate) path: &'a str,
    pub(crate) value: &'a Spanned<DeValue<'a>>,
    pub(crate) text: &'a str,
}

/// The least and the most that a value may be.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Between<T> {
    pub(crate) least: T,
    pub(crate) most: T,
}

impl<T: PartialOrd> Between<T> {
    /// Whether a value lies within, bounds included.
    pub(crate) fn holds(&self, value: T) -> bool {
        self.least <= value && value <= self.most
    }
}

/// A type that a key can have.
pub(crate) trait Value: Sized + 'static {
    /// What bounds its values.
    type Limits: 'static;

    /// Reads it.
    fn read(raw: Raw<'_>, limits: &Self::Limits, context: Context) -> Result<Self, Diagnostic>;
    /// What it is: `length`.
    fn kind(limits: &Self::Limits) -> String;
    /// The values it may have: `from 0.5 mm to 1000 mm`.
    fn range(limits: &Self::Limits) -> Option<String>;
    /// The same for what edits a file; it refuses nothing that is read.
    fn schema(limits: &Self::Limits) -> Kind;
}

impl<'a> Raw<'a> {
    /// The key without its table, as it is typed: `across_flats`.
    pub(crate) fn leaf(&self) -> &'a str {
        leaf(self.path)
    }

    /// Bytes of the whole value.
    pub(crate) fn at(&self) -> Range<usize> {
        self.value.span()
    }

    /// Bytes of a `part` of a string value; the whole value where the string is written with
    /// escapes, so that its bytes are not those of the file, or where the part is empty.
    pub(crate) fn within(&self, part: Range<usize>) -> Range<usize> {
        let at = self.at();
        let Some(content) = self.value.get_ref().as_str() else {
            return at;
        };
        let written = self.text.get(at.clone()).unwrap_or_default();
        let long = written.len() >= 6 && ["\"\"\"", "'''"].iter().any(|q| written.starts_with(q));
        let quote = if long { 3 } else { 1 };
        let inside = written.get(quote..written.len().saturating_sub(quote));
        let start = at.start + quote;
        match inside == Some(content) && !part.is_empty() {
            true => start + part.start..start + part.end,
            false => at,
        }
    }

    /// The text of a string value, or the complaint that it is none.
    pub(crate) fn string(&self, kind: &str, mend: &str) -> Result<&'a str, Diagnostic> {
        match self.value.get_ref() {
            DeValue::String(text) => Ok(text),
            _ => Err(self.wrong_type(kind, mend)),
        }
    }

    pub(crate) fn wrong_type(&self, kind: &str, mend: &str) -> Diagnostic {
        let found = type_name(self.value.get_ref());
        Diagnostic::error(
            format!("`{}` wants {}, not {found}", self.path, with_article(kind)),
            self.at(),
        )
        .label(format!("this is {found}"))
        .mend(mend)
    }

    /// A fault of the string value.
    pub(crate) fn fault(&self, kind: &str, fault: Fault) -> Diagnostic {
        Diagnostic::error(
            format!("`{}`: {}", self.path, fault.message),
            self.within(fault.at),
        )
        .label(format!("not {}", with_article(kind)))
        .mend(fault.mend)
    }

    /// The number of an integer or float, infinite where it does not fit.
    fn number(&self) -> Option<f64> {
        match self.value.get_ref() {
            DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
            DeValue::Integer(integer) => Some(
                i64::from_str_radix(integer.as_str(), integer.radix())
                    .map_or(f64::INFINITY, |value| value as f64),
            ),
            DeValue::Float(float) => float.as_str().parse().ok(),
            _ => None,
        }
    }

    /// Whether it is a number, or text without a unit.
    pub(crate) fn is_bare(&self) -> bool {
        match self.value.get_ref() {
            DeValue::String(text) => {
                quantity::parse::<Length>(text, Units::Mm).is_ok_and(|read| !read.with_unit)
            }
            _ => self.number().is_some(),
        }
    }
}

/// What people call a TOML value.
pub(crate) fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

fn with_article(noun: &str) -> String {
    match noun {
        "text" | "true or false" => noun.to_owned(),
        _ if noun.starts_with(['a', 'e', 'i', 'o']) => format!("an {noun}"),
        _ => format!("a {noun}"),
    }
}

fn read_quantity<Q: Quantity>(
    raw: Raw<'_>,
    limits: &Between<Q>,
    context: Context,
) -> Result<Q, Diagnostic> {
    let written = match (raw.value.get_ref(), raw.number()) {
        (DeValue::String(text), _) => {
            quantity::parse::<Q>(text, context.units).map_err(|fault| raw.fault(Q::NOUN, fault))?
        }
        (_, Some(number)) => quantity::bare(number, context.units),
        _ => {
            let mend = format!("write a {} such as {}", Q::NOUN, Q::EXAMPLES);
            return Err(raw.wrong_type(Q::NOUN, &mend));
        }
    };
    in_range(raw, written, limits, context)
}

/// The value, or the complaint that it is beyond a limit or no number at all.
fn in_range<Q: Quantity>(
    raw: Raw<'_>,
    written: Written<Q>,
    limits: &Between<Q>,
    context: Context,
) -> Result<Q, Diagnostic> {
    let (value, units) = (written.value, context.units);
    let in_doubt = !context.units_known
        && !written.with_unit
        && Q::bare(Units::Mm) != Q::bare(Units::Inch)
        && value.value().is_finite();
    if in_doubt || value >= limits.least && value <= limits.most {
        return Ok(value);
    }
    let (path, name) = (raw.path, raw.leaf());
    if !value.value().is_finite() {
        let limit = format!(
            "from {} to {}",
            limits.least.show(units),
            limits.most.show(units)
        );
        return Err(
            Diagnostic::error(format!("`{path}` is not a finite number"), raw.at())
                .label(limit.clone())
                .mend(format!("write a {} {limit}", Q::NOUN)),
        );
    }
    let (limit, side, more) = match value < limits.least {
        true => (limits.least, "less than the limit of", "more"),
        false => (limits.most, "more than the limit of", "less"),
    };
    let mend = other_unit(raw, written, limits, context)
        .unwrap_or_else(|| format!("write `{name} = {}` or {more}", limit.literal(units)));
    let message = format!(
        "`{path}` is {}, {side} {}",
        value.show(units),
        limit.show(units)
    );
    let label = format!("{} or {more}", limit.show(units));
    Err(Diagnostic::error(message, raw.at()).label(label).mend(mend))
}

/// The mend where a bare number is beyond its limits only because of the unit it is read in.
fn other_unit<Q: Quantity>(
    raw: Raw<'_>,
    written: Written<Q>,
    limits: &Between<Q>,
    context: Context,
) -> Option<String> {
    let (mm, inch) = (Q::bare(Units::Mm), Q::bare(Units::Inch));
    if written.with_unit || mm == inch {
        return None;
    }
    let number = written.value.value() / Q::bare(context.units);
    let fits = |size: f64| {
        let value = Q::of(number * size);
        value >= limits.least && value <= limits.most
    };
    let (name, number_text) = (raw.leaf(), plain(number));
    match context.units {
        Units::Mm if context.inches_likely && fits(inch) => Some(format!(
            "write `units = \"inch\"` if bare numbers are inches, or `{name} = \"{number_text} in\"`"
        )),
        Units::Inch if fits(mm) => Some(format!("write `{name} = \"{number_text} mm\"`")),
        _ => None,
    }
}

/// Steps in which a bound in inches is told: wider than the bound by less than one, never narrower.
const INCH_STEPS: f64 = 1e6;

/// A number in some units, or text with one in it.
fn quantity_schema<Q: Quantity>(limits: &Between<Q>) -> Kind {
    let (least, most) = (limits.least.value(), limits.most.value());
    let bounds = |least: f64, most: f64| json!({ "minimum": least, "maximum": most });
    let number = json!({ "type": "number" });
    let [mm, inch] = [Units::Mm, Units::Inch].map(Q::bare);
    if mm == inch {
        return Kind::plain(either(schema::number(least, most), schema::with_digits()));
    }
    let low = (least / inch * INCH_STEPS - 0.5).floor() / INCH_STEPS;
    let high = (most / inch * INCH_STEPS + 0.5).ceil() / INCH_STEPS;
    Kind {
        any: either(number, schema::with_digits()),
        bare: Some([bounds(least, most), bounds(low, high)]),
    }
}

macro_rules! quantity_value {
    ($($quantity:ty),*) => {$(
        impl Value for $quantity {
            type Limits = Between<Self>;
            fn read(raw: Raw<'_>, limits: &Between<Self>, context: Context)
                -> Result<Self, Diagnostic> {
                read_quantity(raw, limits, context)
            }
            fn kind(_: &Between<Self>) -> String {
                <Self as Quantity>::NOUN.to_owned()
            }
            fn range(limits: &Between<Self>) -> Option<String> {
                let (least, most) = (limits.least.show(Units::Mm), limits.most.show(Units::Mm));
                Some(format!("{least} to {most}"))
            }
            fn schema(limits: &Between<Self>) -> Kind {
                quantity_schema(limits)
            }
        }
    )*};
}
quantity_value!(Length, Torque, Force, SpringRate);

impl Value for f64 {
    type Limits = Between<f64>;

    fn read(raw: Raw<'_>, limits: &Between<f64>, _: Context) -> Result<f64, Diagnostic> {
        let range = format!("from {} to {}", plain(limits.least), plain(limits.most));
        let mend = format!("write a number {range}");
        let number = raw
            .number()
            .ok_or_else(|| raw.wrong_type("number", &mend))?;
        if number >= limits.least && number <= limits.most {
            return Ok(number);
        }
        let message = match number.is_finite() {
            true => format!("`{}` is {}, not {range}", raw.path, plain(number)),
            false => format!("`{}` is not a finite number", raw.path),
        };
        Err(Diagnostic::error(message, raw.at()).label(range).mend(mend))
    }
    fn kind(_: &Between<f64>) -> String {
        "number".to_owned()
    }
    fn range(limits: &Between<f64>) -> Option<String> {
        Some(format!("{} to {}", plain(limits.least), plain(limits.most)))
    }
    fn schema(limits: &Between<f64>) -> Kind {
        Kind::plain(schema::number(limits.least, limits.most))
    }
}

impl Value for bool {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), _: Context) -> Result<Self, Diagnostic> {
        let mend = format!("write `{0} = true` or `{0} = false`", raw.leaf());
        match raw.value.get_ref() {
            DeValue::Boolean(value) => Ok(*value),
            _ => Err(raw.wrong_type("true or false", &mend)),
        }
    }
    fn kind(_: &()) -> String {
        "true or false".to_owned()
    }
    fn range(_: &()) -> Option<String> {
        None
    }
    fn schema(_: &()) -> Kind {
        Kind::plain(json!({ "type": "boolean" }))
    }
}

impl Value for u32 {
    type Limits = Between<u32>;

    fn read(raw: Raw<'_>, limits: &Between<u32>, _: Context) -> Result<u32, Diagnostic> {
        let range = format!("from {} to {}", limits.least, limits.most);
        let mend = format!("write a whole number {range}");
        let number = raw
            .number()
            .ok_or_else(|| raw.wrong_type("whole number", &mend))?;
        let whole = (limits.least..=limits.most).find(|whole| f64::from(*whole) == number);
        whole.ok_or_else(|| {
            let message = format!(
                "`{}` is {}, not a whole number {range}",
                raw.path,
                plain(number)
            );
            Diagnostic::error(message, raw.at()).label(range).mend(mend)
        })
    }
    fn kind(_: &Between<u32>) -> String {
        "whole number".to_owned()
    }
    fn range(limits: &Between<u32>) -> Option<String> {
        Some(format!("{} to {}", limits.least, limits.most))
    }
    fn schema(limits: &Between<u32>) -> Kind {
        let Between { least, most } = limits;
        Kind::plain(json!({ "type": "integer", "minimum": least, "maximum": most }))
    }
}

impl Value for [Length; 3] {
    type Limits = Between<Length>;

    fn read(raw: Raw<'_>, limits: &Self::Limits, context: Context) -> Result<Self, Diagnostic> {
        let mend = format!(
            "write three lengths, such as `{} = [220, 220, 250]`",
            raw.leaf()
        );
        let DeValue::Array(items) = raw.value.get_ref() else {
            return Err(raw.wrong_type("list of three lengths", &mend));
        };
        if items.len() != 3 {
            let message = format!("`{}` has {} lengths, not three", raw.path, items.len());
            return Err(Diagnostic::error(message, raw.at())
                .label("x, y and z")
                .mend(mend));
        }
        let mut lengths = [Length::ZERO; 3];
        for (length, value) in lengths.iter_mut().zip(items.iter()) {
            // The mend for a list names the item, since `bed = 50` would not be a list.
            *length = Length::read(Raw { value, ..raw }, limits, context)
                .map_err(|problem| problem.mend(mend.clone()))?;
        }
        Ok(lengths)
    }
    fn kind(_: &Self::Limits) -> String {
        "list of three lengths".to_owned()
    }
    fn range(limits: &Self::Limits) -> Option<String> {
        Length::range(limits).map(|range| format!("each {range}"))
    }
    fn schema(limits: &Self::Limits) -> Kind {
        let Kind { any, bare } = Length::schema(limits);
        Kind {
            any: json!({ "type": "array", "items": any, "minItems": 3, "maxItems": 3 }),
            bare: bare.map(|each| each.map(|one| json!({ "items": one }))),
        }
    }
}

impl Value for String {
    type Limits = TextRule;

    fn read(raw: Raw<'_>, rule: &TextRule, _: Context) -> Result<Self, Diagnostic> {
        let mend = format!(
            "write it in quotes, such as `{} = {}`",
            raw.leaf(),
            rule.example
        );
        let text = raw.string("text", &mend)?;
        (rule.check)(raw.leaf(), text).map_err(|fault| {
            Diagnostic::error(
                format!("`{}` {}", raw.path, fault.message),
                raw.within(fault.at),
            )
            .label(rule.range)
            .mend(fault.mend)
        })?;
        Ok(text.to_owned())
    }
    fn kind(_: &TextRule) -> String {
        "text".to_owned()
    }
    fn range(rule: &TextRule) -> Option<String> {
        Some(rule.range.to_owned())
    }
    fn schema(rule: &TextRule) -> Kind {
        let mut any = (rule.schema)();
        if let Json::Object(fields) = &mut any {
            fields.insert("type".into(), "string".into());
        }
        Kind::plain(any)
    }
}

fn read_word<W: Words>(raw: Raw<'_>) -> Result<W, Diagnostic> {
    let known = W::KNOWN.iter().map(|(word, _)| *word);
    let choice = format!("write {}", listed(known.clone()));
    let text = raw.string(W::NOUN, &choice)?;
    let word = text.trim();
    let found = W::KNOWN
        .iter()
        .find(|(known, _)| known.eq_ignore_ascii_case(word));
    if let Some((_, value)) = found {
        return Ok(*value);
    }
    let later = W::LATER
        .iter()
        .any(|later| later.eq_ignore_ascii_case(word));
    let message = match later {
        true => format!("the {} \"{word}\" is not available yet", W::NOUN),
        false => format!(
            "`{}` is \"{text}\", which is not a {} known here",
            raw.path,
            W::NOUN
        ),
    };
    let mend = match closest(word, known) {
        Some(near) if !later => format!("write `{} = \"{near}\"`", raw.leaf()),
        _ => choice,
    };
    let label = match later {
        true => "not available yet".to_owned(),
        false => format!("not a known {}", W::NOUN),
    };
    let at = raw.within(0..text.len());
    Err(Diagnostic::error(message, at).label(label).mend(mend))
}

impl<W: Words> Value for W {
    type Limits = ();

    fn read(raw: Raw<'_>, _: &(), _: Context) -> Result<Self, Diagnostic> {
        read_word(raw)
    }
    fn kind(_: &()) -> String {
        W::NOUN.to_owned()
    }
    fn range(_: &()) -> Option<String> {
        Some(listed(W::KNOWN.iter().map(|(word, _)| *word)))
    }
    fn schema(_: &()) -> Kind {
        Kind::plain(schema::words(W::KNOWN.iter().map(|(word, _)| *word)))
    }
}

/// A value that may be left open: `""` stands for one that is not known yet.
impl<T: Value> Value for Option<T> {
    type Limits = T::Limits;

    fn read(raw: Raw<'_>, limits: &T::Limits, context: Context) -> Result<Self, Diagnostic> {
        match raw.value.get_ref() {
            DeValue::String(text) if text.trim().is_empty() => Ok(None),
            _ => T::read(raw, limits, context).map(Some),
        }
    }
    fn kind(limits: &T::Limits) -> String {
        format!("{}, or \"\"", T::kind(limits))
    }
    fn range(limits: &T::Limits) -> Option<String> {
        T::range(limits)
    }
    fn schema(limits: &T::Limits) -> Kind {
        let open = json!({ "type": "string", "pattern": r"^[\s\u0085]*$" });
        let Kind { any, bare } = T::schema(limits);
        Kind {
            any: either(any, open),
            bare,
        }
    }
}
