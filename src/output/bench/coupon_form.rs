//! The form that goes with test pieces, to be filled in: `tune` reads it.

use super::coupon_product::CouponProduct;
use crate::coupon::GapLadder;
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::words::material_name;
use crate::tuning::LadderKind;
use crate::tuning::form::FORM;
use crate::units_told::number;
use std::fmt::Write as _;

/// Name of the form.
pub const FORM_FILE: &str = "form.toml";

/// The format.
pub struct FormFile;

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

/// The form to fill in.
pub(super) fn form(product: &CouponProduct) -> String {
    let kit = &product.kit;
    let bed = kit
        .bed
        .value
        .map(|side| number(side.as_mm(), DECIMALS))
        .join(", ");
    let mut lines = vec![
        "# Fill in, then: netlead tune form.toml".to_owned(),
        "# One number between the brackets for each print, in the same order everywhere:".into(),
        "# [62.07] after one print, [62.07, 62.03] after two; \"\" where a print has none.".into(),
        String::new(),
        format!("form    = {}", quoted(FORM)),
        format!("kit     = {}", quoted(&kit.name.value)),
        "printer = \"my-printer\"   # name of the profile".into(),
        "date    = \"\"             # of the first print, as 2026-11-20".into(),
        "spool   = \"\"             # in your words".into(),
        "units   = \"mm\"           # of `measured`; \"inch\" for an inch caliper".into(),
        format!(
            "made    = {{ layer = {}, line = {}, walls = {}, bed = [{bed}], material = {} }}",
            number(kit.layer.as_mm(), DECIMALS),
            number(kit.line.as_mm(), DECIMALS),
            *kit.walls,
            quoted(material_name(*kit.material)),
        ),
    ];
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
            format!("wanted = {}", number(ladder.wanted.as_mm(), DECIMALS)),
            format!(
                "gaps   = [{}]   # of one groove, of two, ...",
                gaps.join(", ")
            ),
            format!("radius = {}", number(ladder.radius.as_mm(), DECIMALS)),
            format!("best   = []   # {}", best(ladder)),
        ]);
    }
    lines.join("\n") + "\n"
}

/// Which step is the best one.
pub(super) fn best(ladder: &GapLadder) -> &'static str {
    match ladder.kind {
        _ if ladder.ribs.is_some() => {
            "grooves of the tightest hole that takes the pin whole by the push of a thumb"
        }
        LadderKind::Thread => "grooves of the tightest ring that the plug runs through by fingers",
        LadderKind::PinLying | LadderKind::BoughtPinLying | LadderKind::PinUpright => {
            "grooves of the tightest hole that takes the pin whole when pressed, uncracked"
        }
        LadderKind::Slide => {
            "grooves of the tightest channel in which the tongue slides by its weight"
        }
    }
}
