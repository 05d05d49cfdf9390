//! The form that goes with test pieces, to be filled in: `tune` reads it.

use super::coupon_product::CouponProduct;
use crate::assembly::Source;
use crate::coupon::GapLadder;
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::words::material_name;
use crate::printer::Felt;
use crate::tuning::breaking::BrokenKind;
use crate::tuning::form::FORM;
use crate::units::Length;
use crate::units_told::number;
use std::fmt::Write as _;

/// Name of the form.
pub(crate) const FORM_FILE: &str = "form.toml";

/// The format.
pub(crate) struct FormFile;

impl Format<CouponProduct> for FormFile {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        Ok(vec![OutFile::new(FORM_FILE, form(product))])
    }

    fn owns(&self, name: &str) -> bool {
        name == FORM_FILE
    }

    fn is_to_be_filled(&self) -> bool {
        true
    }
}

/// Text in quotes as TOML has it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(letter);
            }
            letter if letter.is_control() => {
                let escaped = write!(quoted, "\\u{:04X}", letter as u32);
                debug_assert!(escaped.is_ok(), "writing to a string never fails");
            }
            letter => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

/// Decimals of a size in a form: beyond any caliper, enough to name a layer.
const DECIMALS: usize = 4;
/// Decimals of what a caliper reads.
const BAR_DECIMALS: usize = 2;

/// The form to fill in.
pub(super) fn form(product: &CouponProduct) -> String {
    let kit = &product.kit;
    let bed = kit
        .bed
        .value
        .map(|side| number(side.as_mm(), DECIMALS))
        .join(", ");
    let mut lines = vec!["# Fill in, then: netlead tune form.toml".to_owned()];
    if product.coupon.breaking.is_none() {
        lines.extend([
            "# One number between the brackets for each print, in the same order everywhere:"
                .into(),
            "# [62.07] after one print, [62.07, 62.03] after two; \"\" where a print has none."
                .into(),
        ]);
    }
    lines.extend([
        String::new(),
        format!("form    = {}", quoted(FORM)),
        format!("kit     = {}", quoted(&kit.name.value)),
        "printer = \"my-printer\"   # name of the profile".into(),
        "date    = \"\"             # of the first print, as 2026-11-20".into(),
        "spool   = \"\"             # in your words".into(),
    ]);
    if product.coupon.breaking.is_none() {
        let units = "units   = \"mm\"           # of `measured`; \"inch\" for an inch caliper";
        lines.push(units.into());
    }
    lines.push(format!(
        "made    = {{ layer = {}, line = {}, walls = {}, bed = [{bed}], material = {} }}",
        number(kit.layer.as_mm(), DECIMALS),
        number(kit.line.as_mm(), DECIMALS),
        *kit.walls,
        quoted(material_name(*kit.material)),
    ));
    for row in &product.coupon.rows {
        lines.extend([
            String::new(),
            "[[row]]".into(),
            format!("name     = {}", quoted(&row.name)),
            format!("drawn    = {}", number(row.feature.drawn.as_mm(), DECIMALS)),
            format!("measured = []   # {}", row.place),
        ]);
    }
    for ladder in &product.coupon.ladders {
        let gaps: Vec<String> = ladder
            .gaps
            .iter()
            .map(|gap| number(gap.as_mm(), DECIMALS))
            .collect();
        lines.extend([
            String::new(),
            "[[ladder]]".into(),
            format!("name   = {}", quoted(&ladder.name)),
            format!("kind   = {}", quoted(ladder.kind.word())),
        ]);
        lines.extend(ladder.wanted.map(|wanted| {
            let wanted = number(wanted.as_mm(), DECIMALS);
            format!("wanted = {wanted}   # by the kit; what is learnt does not hang on it")
        }));
        lines.extend(ladder.flats.iter().flat_map(|flats| across(ladder, *flats)));
        lines.extend([
            format!(
                "gaps   = [{}]   # of one groove, of two, ...",
                gaps.join(", ")
            ),
            format!("radius = {}", number(ladder.radius.as_mm(), DECIMALS)),
            format!("best   = []   # {}", best(ladder)),
        ]);
    }
    let breaking = product.coupon.breaking.iter();
    for row in breaking.flat_map(|set| &set.rows) {
        let place = match row.kind {
            BrokenKind::Neck => "in mm, as drawn; write what the bars have",
            BrokenKind::Bar => "in mm, as drawn; write what a caliper reads",
        };
        lines.extend([
            String::new(),
            "[[break]]".into(),
            format!("piece    = {}", quoted(&row.name)),
            format!(
                "diameter = {}   # {place}",
                number(row.diameter.as_mm(), BAR_DECIMALS)
            ),
            "arm      = \"\"   # from the break to the hook, in mm".into(),
            "load     = \"\"   # with its unit, as \"1.6 kg\", \"15.7 N\" or \"3.5 lb\"".into(),
        ]);
    }
    lines.join("\n") + "\n"
}

/// How wide a bought nut is, which its standard leaves open; what is printed is as drawn.
fn across(ladder: &GapLadder, flats: Length) -> Vec<String> {
    match ladder.kind.male() {
        Source::Printed => Vec::new(),
        Source::Bought => vec![
            format!(
                "drawn  = {}   # across flats, in mm: the widest nut that shops may sell",
                number(flats.as_mm(), DECIMALS)
            ),
            "measured = []   # yours, over each of its three pairs of flats".into(),
        ],
    }
}

/// Which step is the best one: the tightest in which is felt what begins at the gap that the kind of
/// ladder names.
pub(super) fn best(ladder: &GapLadder) -> &'static str {
    match ladder.kind.felt() {
        Felt::Runs => "grooves of the tightest ring that the plug runs through by fingers",
        Felt::PastRibs => {
            "grooves of the tightest hole that takes the pin whole by the push of a thumb"
        }
        Felt::IntoWall => {
            "grooves of the tightest hole that takes the pin whole when pressed, uncracked"
        }
        Felt::Slides => "grooves of the tightest channel in which the tongue slides by its weight",
        Felt::PushedIn => {
            "grooves of the tightest pocket down to whose V a hand pushes it, two flats upright"
        }
    }
}
