//! Every key of a printer profile, declared once.
//!
//! The limits keep out slips of the pen (a wrong unit, a lost decimal point), not bad printers.
//! All are guesses, far beyond what a printer that can print these parts does.

use super::profile::{Known, Term};
use crate::assembly::Slender;
use crate::declared::Absent::{Default, Missing};
use crate::declared::{
    Between, FOLDER_NAME, Fault, Form, REMARK, TextRule, Words, from_to, keys, mm,
};
use crate::strength::Material;
use crate::units::Length;
use serde_json::json;

/// Version of the file that is written and read.
pub(super) const SCHEMA_1: &str = "netlead-printer/1";

const SCHEMA_RULE: TextRule = TextRule {
    range: SCHEMA_1,
    example: "\"netlead-printer/1\"",
    check: schema,
    schema: || json!({ "enum": [SCHEMA_1] }),
};
const DATE_RULE: TextRule = TextRule {
    range: "a date such as 2026-03-31, or nothing",
    example: "\"2026-03-31\"",
    check: date,
    schema: || json!({}),
};

const STANDARD_ERROR: &str = "its standard error, in the same unit";
const HOW_KNOWN: &str = "how it came to be known";
/// Where a face may stand.
const FACE: Between<Length> = mm(-1.0, 1.0);
const FACE_ERROR: Between<Length> = mm(0.0, 1.0);
/// A share of a length: 5 % is beyond any shrinkage of filament.
const SCALE: Between<f64> = from_to(-0.05, 0.05);
const SCALE_ERROR: Between<f64> = from_to(0.0, 0.05);
/// In mm2.
const CURVED: Between<f64> = from_to(-2.0, 2.0);
const CURVED_ERROR: Between<f64> = from_to(0.0, 2.0);
const SPREAD: Between<Length> = mm(0.0, 0.5);
/// In MPa: no filament reaches the most, and what bears less than the least is no part.
const STRENGTH: Between<f64> = from_to(0.5, 200.0);
const STRENGTH_ERROR: Between<f64> = from_to(0.0, 100.0);
const ROOT: Between<f64> = from_to(0.5, 10.0);
const ROOT_ERROR: Between<f64> = from_to(0.0, 5.0);
/// One piece alone tells nothing of its error.
const PIECES: Between<u32> = from_to(2, 1000);

/// Bytes of a profile at the most: one that says all has about 4 KiB. Guess.
pub const LONGEST: usize = 64 << 10;

/// The file of a printer profile.
pub(super) const FORM: Form = Form {
    likely: &[],
    what: "printer profile",
    holds: "the printer",
    longest: LONGEST,
    keys: ALL,
    repeated: &[CORRELATION],
    named: &[],
};

/// The rows of correlations.
pub(super) const CORRELATION: &str = "correlation";

keys! {
    SCHEMA: String = "schema", "version of the file", SCHEMA_RULE, Missing("\"netlead-printer/1\"");
    NAME: String = "name", "name of the printer", FOLDER_NAME, Missing("\"garage\"");
    LAYER: Length = "layer", "layer height that was measured", mm(0.04, 0.6), Missing("0.15");
    LINE: Length = "line", "width of a printed line", mm(0.1, 2.0), Missing("0.45");
    WALLS: u32 = "walls", "number of perimeters", from_to(1, 100), Missing("4");
    BED: [Length; 3] = "bed", "room on the printer: x, y, z", mm(50.0, 2000.0),
        Missing("[220, 220, 250]");
    SLENDER: Slender = "slender",
        "whether slender parts are laid together with the others, or apart on beds of their own",
        (), Default("\"together\"");
    MATERIAL: Material = "material", "filament", (), Missing("\"PLA\"");
    DATE: String = "date", "when it was measured", DATE_RULE, Default("\"\"");
    SPOOL: String = "spool", "which spool, in your words", REMARK, Default("\"\"");
    PRINTS: u32 = "prints", "prints that were measured", from_to(0, 1000), Default("0");
    CORRELATION_A: Term = "correlation.a", "one of two terms that were fitted together",
        (), Missing("\"outer_growth\"");
    CORRELATION_B: Term = "correlation.b", "the other term", (), Missing("\"hole_growth\"");
    CORRELATION_VALUE: f64 = "correlation.value", "correlation of their errors",
        from_to(-1.0, 1.0), Missing("0.5");
    CONTOUR: Length = "correction.contour",
        "what the toolpath program moved outer contours inwards by", FACE, Missing("0");
    HOLE: Length = "correction.hole",
        "what the toolpath program widened holes by, radially", FACE, Missing("0");
    FIRST_LAYER: Length = "correction.first_layer",
        "what the toolpath program moved the first layer inwards by", FACE, Missing("0");
    WITHIN: Length = "spread.within", "standard deviation of one printed wall within a print",
        SPREAD, Default("\"0.04 mm\"");
    BETWEEN: Length = "spread.between", "standard deviation of one printed wall from print to print",
        SPREAD, Default("\"0.02 mm\"");
    ACROSS: f64 = "strength.across.value", "strength across the layers, in MPa", STRENGTH, Missing("20");
    ACROSS_ERROR: f64 = "strength.across.error", STANDARD_ERROR, STRENGTH_ERROR, Missing("1");
    ACROSS_PIECES: u32 = "strength.across.pieces", "pieces that were broken", PIECES, Missing("3");
    ROOT_VALUE: f64 = "strength.root.value", "what a pull at a thread's root counts for", ROOT, Missing("2");
    ROOT_VALUE_ERROR: f64 = "strength.root.error", STANDARD_ERROR, ROOT_ERROR, Missing("0.1");
    ROOT_PIECES: u32 = "strength.root.pieces", "necks or bars that were broken, the fewer", PIECES, Missing("3");
    SCALE_X: f64 = "terms.scale_x.value", "lengths along x come out longer by this share", SCALE, Missing("0.001");
    SCALE_X_ERROR: f64 = "terms.scale_x.error", STANDARD_ERROR, SCALE_ERROR, Missing("0.0005");
    SCALE_X_KNOWN: Known = "terms.scale_x.known", HOW_KNOWN, (), Missing("\"guess\"");
    SCALE_Y: f64 = "terms.scale_y.value", "lengths along y come out longer by this share", SCALE, Missing("0.001");
    SCALE_Y_ERROR: f64 = "terms.scale_y.error", STANDARD_ERROR, SCALE_ERROR, Missing("0.0005");
    SCALE_Y_KNOWN: Known = "terms.scale_y.known", HOW_KNOWN, (), Missing("\"guess\"");
    SCALE_Z: f64 = "terms.scale_z.value", "heights come out higher by this share", SCALE, Missing("0.001");
    SCALE_Z_ERROR: f64 = "terms.scale_z.error", STANDARD_ERROR, SCALE_ERROR, Missing("0.0005");
    SCALE_Z_KNOWN: Known = "terms.scale_z.known", HOW_KNOWN, (), Missing("\"guess\"");
    Z_OFFSET: Length = "terms.z_offset.value", "every height comes out higher by this", FACE, Missing("0.03");
    Z_OFFSET_ERROR: Length = "terms.z_offset.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    Z_OFFSET_KNOWN: Known = "terms.z_offset.known", HOW_KNOWN, (), Missing("\"guess\"");
    OUTER_GROWTH: Length = "terms.outer_growth.value", "an outer face stands outside its drawn place", FACE, Missing("0.03");
    OUTER_GROWTH_ERROR: Length = "terms.outer_growth.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    OUTER_GROWTH_KNOWN: Known = "terms.outer_growth.known", HOW_KNOWN, (), Missing("\"guess\"");
    SLOT_GROWTH: Length = "terms.slot_growth.value", "a slot's wall stands inside its drawn place", FACE, Missing("0.03");
    SLOT_GROWTH_ERROR: Length = "terms.slot_growth.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    SLOT_GROWTH_KNOWN: Known = "terms.slot_growth.known", HOW_KNOWN, (), Missing("\"guess\"");
    HOLE_GROWTH: Length = "terms.hole_growth.value", "an upright hole's wall stands inside its drawn place", FACE, Missing("0.03");
    HOLE_GROWTH_ERROR: Length = "terms.hole_growth.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    HOLE_GROWTH_KNOWN: Known = "terms.hole_growth.known", HOW_KNOWN, (), Missing("\"guess\"");
    CURVATURE: f64 = "terms.curvature.value", "a curved wall of radius R mm stands further inside by this / R", CURVED, Missing("0.03");
    CURVATURE_ERROR: f64 = "terms.curvature.error", STANDARD_ERROR, CURVED_ERROR, Missing("0.01");
    CURVATURE_KNOWN: Known = "terms.curvature.known", HOW_KNOWN, (), Missing("\"guess\"");
    LYING_GROWTH: Length = "terms.lying_growth.value", "the wall of a hole printed lying stands inside its place", FACE, Missing("0.03");
    LYING_GROWTH_ERROR: Length = "terms.lying_growth.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    LYING_GROWTH_KNOWN: Known = "terms.lying_growth.known", HOW_KNOWN, (), Missing("\"guess\"");
    LYING_SAG: Length = "terms.lying_sag.value", "the crown of a hole printed lying sags by this", FACE, Missing("0.03");
    LYING_SAG_ERROR: Length = "terms.lying_sag.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    LYING_SAG_KNOWN: Known = "terms.lying_sag.known", HOW_KNOWN, (), Missing("\"guess\"");
    FLANK_EXTRA: Length = "terms.flank_extra.value", "radial gap that thread flanks need beyond the growth", FACE, Missing("0.03");
    FLANK_EXTRA_ERROR: Length = "terms.flank_extra.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    FLANK_EXTRA_KNOWN: Known = "terms.flank_extra.known", HOW_KNOWN, (), Missing("\"guess\"");
    FIRST_LAYER_FLARE: Length = "terms.first_layer_flare.value", "the first layers flare outwards by this, a side", FACE, Missing("0.03");
    FIRST_LAYER_FLARE_ERROR: Length = "terms.first_layer_flare.error", STANDARD_ERROR, FACE_ERROR, Missing("0.01");
    FIRST_LAYER_FLARE_KNOWN: Known = "terms.first_layer_flare.known", HOW_KNOWN, (), Missing("\"guess\"");
}

impl Words for Known {
    const NOUN: &'static str = "way to know a term";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("guess", Self::Guess),
        ("ladder", Self::Ladder),
        ("measured", Self::Measured),
    ];
}

impl Words for Term {
    const NOUN: &'static str = "term";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("scale_x", Self::ScaleX),
        ("scale_y", Self::ScaleY),
        ("scale_z", Self::ScaleZ),
        ("z_offset", Self::ZOffset),
        ("outer_growth", Self::OuterGrowth),
        ("slot_growth", Self::SlotGrowth),
        ("hole_growth", Self::HoleGrowth),
        ("curvature", Self::Curvature),
        ("lying_growth", Self::LyingGrowth),
        ("lying_sag", Self::LyingSag),
        ("flank_extra", Self::FlankExtra),
        ("first_layer_flare", Self::FirstLayerFlare),
    ];
}

fn schema(_: &str, text: &str) -> Result<(), Fault> {
    if text == SCHEMA_1 {
        return Ok(());
    }
    Err(Fault {
        message: format!("is \"{text}\", which this version of netlead does not read"),
        at: 0..text.len(),
        mend: format!("write `schema = \"{SCHEMA_1}\"` if the file has these keys"),
    })
}

/// A calendar date of ISO 8601-1:2019, 5.2.2.1, extended format; or nothing.
fn date(_: &str, text: &str) -> Result<(), Fault> {
    let shape = text.bytes().enumerate().all(|(at, byte)| match at {
        4 | 7 => byte == b'-',
        _ => byte.is_ascii_digit(),
    });
    let number = |at: std::ops::Range<usize>| text.get(at).and_then(|d| d.parse::<u32>().ok());
    let days = |year: u32, month: u32| match month {
        2 if year.is_multiple_of(4) && !year.is_multiple_of(100)
            || month == 2 && year.is_multiple_of(400) =>
        {
            29
        }
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    };
    let valid = match (number(0..4), number(5..7), number(8..10)) {
        (Some(year), Some(month), Some(day)) if shape && text.len() == 10 => {
            (1..=12).contains(&month) && (1..=days(year, month)).contains(&day)
        }
        _ => false,
    };
    if valid || text.is_empty() {
        return Ok(());
    }
    Err(Fault {
        message: format!("is \"{text}\", which is not a date"),
        at: 0..text.len(),
        mend: "write year, month and day, such as `date = \"2026-03-31\"`, or remove it".into(),
    })
}
