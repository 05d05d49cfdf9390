//! What goes with test pieces: the sheet that says what to do, the form to fill in, and the
//! list by which the folder is known as ours.

use crate::coupon::{Coupon, Extent, GapLadder, Piece, QUICK_TIME};
use crate::kit::Kit;
use crate::output::file::OutFile;
use crate::output::formats::{Format, FormatError, Listing};
use crate::output::part::files::path;
use crate::output::words::{markdown, material_name};
use crate::printer::Profile;
use crate::printing_time::{Body, PrintEstimate, fits_on};
use crate::solid::Written;
use crate::tuning::LadderKind;
use crate::tuning::form::FORM;
use crate::units_told::{Told, number};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Name of the list.
pub const LIST: &str = "coupon.json";
/// How the schema of every version of it begins.
pub const LIST_FAMILY: &str = "netlead-coupon/";
/// Schema of the list that is written.
const SCHEMA: &str = "netlead-coupon/1";
/// Name of the sheet.
const SHEET: &str = "coupon.md";
/// Name of the form.
pub const FORM_FILE: &str = "form.toml";

/// Test pieces, meshed, with what else the outputs say of them.
#[derive(Clone, Debug)]
pub struct CouponProduct {
    /// The kit they are for.
    pub kit: Kit,
    /// The pieces.
    pub coupon: Coupon,
    /// What was asked for.
    pub extent: Extent,
    /// The file of each piece, in their order.
    pub written: Vec<Written>,
    /// What the print takes.
    pub estimate: PrintEstimate,
    /// Whether all pieces fit on one bed.
    pub one_bed: bool,
}

impl CouponProduct {
    /// Puts it together, with what the print takes on a printer. `written` are the files of the
    /// pieces, in their order.
    pub fn new(
        kit: Kit,
        coupon: Coupon,
        extent: Extent,
        written: Vec<Written>,
        profile: &Profile,
    ) -> Self {
        let body = |written: &Written| Body::of(&written.mesh);
        let bodies: Vec<Body> = written.iter().map(body).collect();
        Self {
            kit,
            coupon,
            extent,
            written,
            estimate: PrintEstimate::new(&bodies, profile),
            one_bed: fits_on(&bodies, profile.bed),
        }
    }
}

/// The format of the sheet.
pub struct SheetFile;

impl Format<CouponProduct> for SheetFile {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        Ok(vec![OutFile::new(SHEET, sheet(product))])
    }
}

/// The format of the form.
pub struct FormFile;

impl Format<CouponProduct> for FormFile {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        Ok(vec![OutFile::new(FORM_FILE, form(product))])
    }
}

/// The format of the list.
pub struct ListFile;

impl Listing<CouponProduct> for ListFile {
    fn path(&self) -> &'static str {
        LIST
    }

    fn bytes(&self, product: &CouponProduct, files: &[String]) -> Result<Vec<u8>, FormatError> {
        let list = list(product, files);
        let mut text = serde_json::to_string_pretty(&list).map_err(FormatError::of("the list"))?;
        text.push('\n');
        Ok(text.into_bytes())
    }
}

#[derive(Serialize)]
struct List<'a> {
    schema: &'static str,
    kit: &'a str,
    estimate_min: Span,
    one_bed: bool,
    pieces: Vec<Entry<'a>>,
    files: &'a [String],
    as_written: BTreeMap<&'static str, String>,
}

#[derive(Serialize)]
struct Span {
    low: f64,
    nominal: f64,
    high: f64,
}

#[derive(Serialize)]
struct Entry<'a> {
    name: &'a str,
    file: String,
    triangles: usize,
    volume_mm3: f64,
    size_mm: [f64; 3],
    genus: usize,
}

/// Rounded to a tenth: more would be pretence.
fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

fn list<'a>(product: &'a CouponProduct, files: &'a [String]) -> List<'a> {
    let entry = |(piece, written): (&'a Piece, &Written)| Entry {
        name: &piece.name,
        file: path(&piece.name),
        triangles: written.triangles,
        volume_mm3: written.volume_mm3,
        size_mm: written.size_mm,
        genus: piece.shape.genus,
    };
    let estimate = product.estimate;
    List {
        schema: SCHEMA,
        kit: &product.kit.name.value,
        estimate_min: Span {
            low: tenth(estimate.least.0),
            nominal: tenth(estimate.time.0),
            high: tenth(estimate.most.0),
        },
        one_bed: product.one_bed,
        pieces: product
            .coupon
            .pieces
            .iter()
            .zip(&product.written)
            .map(entry)
            .collect(),
        files,
        as_written: [(FORM_FILE, form(product))].into(),
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
fn form(product: &CouponProduct) -> String {
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
fn best(ladder: &GapLadder) -> &'static str {
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

/// The sheet: what to print, measure, try and write down.
fn sheet(product: &CouponProduct) -> String {
    let mut text = format!("# Test pieces for {}\n\n", markdown(&product.kit.name));
    text += &printing(product);
    if !product.coupon.rows.is_empty() {
        text += &measuring(product);
    }
    text += &trying(product);
    text += &telling(product);
    text
}

fn printing(product: &CouponProduct) -> String {
    let (kit, estimate) = (&product.kit, product.estimate);
    let bed = if product.one_bed {
        "They fit on one bed."
    } else {
        "They need more than one bed; take the pieces of a ladder together."
    };
    let mut text = format!(
        "## 1. Print\n\n\
         Print each piece once, as it lies, from the filament and with the settings of the kit: \
         layers of {}, lines of {}, {} walls, {}. Switch off every correction of outlines, holes \
         and first layers in the program that makes the toolpaths, or nothing here is true. {bed}\n\n\
         All together take about {} ({} to {}), by t = sum over layers of max(t_min, V/Q) + \
         moves; the formula is off by -30 to +50 %.",
        Told::Metric.length(*kit.layer, 2),
        Told::Metric.length(*kit.line, 2),
        *kit.walls,
        material_name(*kit.material),
        estimate.time,
        estimate.least,
        estimate.most,
    );
    if product.extent == Extent::Quick && estimate.time > QUICK_TIME {
        text += " For threads as large as these that is more than a quick print should take.";
    }
    text += "\n\n| piece | lies | marked by |\n|---|---|---|\n";
    for piece in &product.coupon.pieces {
        text += &format!("| {} | {} | {} |\n", piece.name, piece.note, piece.mark);
    }
    text + "\n"
}

fn measuring(product: &CouponProduct) -> String {
    let mut text = String::from(
        "## 2. Measure the plate\n\n\
         With a caliper that reads to 0.01 mm (0.0005 in), when the plate is cold. Keep the jaws \
         off the lowest millimetre, where the first layers flare, and off seams. Check the \
         caliper first: outside and inside jaws must read the same on a drill's shank and in a \
         ring gauge, or the difference ends up in the profile.\n\n\
         | no. | row | drawn | where |\n|---|---|---|---|\n",
    );
    for (index, row) in product.coupon.rows.iter().enumerate() {
        let drawn = Told::Metric.length(row.feature.drawn, 2);
        text += &format!(
            "| {} | {} | {drawn} | {} |\n",
            index + 1,
            row.name,
            row.place
        );
    }
    text += "\nThree prints are worth the plastic: what differs from print to print can only be \
             seen on several. Write each print's readings in the same order into every row.\n\n";
    text
}

fn trying(product: &CouponProduct) -> String {
    let number = if product.coupon.rows.is_empty() { 2 } else { 3 };
    let mut text = format!(
        "## {number}. Try the ladders\n\n\
         Brush off strings, then try by hand, from the widest step down. Count the grooves of \
         the step that fits best.\n\n"
    );
    for ladder in &product.coupon.ladders {
        text += &format!(
            "- **{}** ({}): {}. ",
            title(ladder),
            pieces(ladder),
            best(ladder)
        );
        let (first, last) = (ladder.gaps.first(), ladder.gaps.last());
        if let (Some(first), Some(last)) = (first, last) {
            text += &format!(
                "Gaps of {} to {} {}, in steps of {}.\n",
                crate::units_told::number(first.as_mm(), 3),
                crate::units_told::number(last.as_mm(), 3),
                match (ladder.kind, ladder.ribs) {
                    (LadderKind::Slide, _) => "a side",
                    (_, None) => "radial",
                    (_, Some(_)) => "radial at the tips of the ribs",
                },
                crate::units_told::number(ladder.step.as_mm(), 3)
            );
        }
    }
    if product
        .coupon
        .ladders
        .iter()
        .any(|ladder| ladder.ribs.is_some())
    {
        text += "\nThe kit's own pins are pressed: their ribs stand further in than those of the \
                 hole that a thumb can fill.\n";
    }
    text + "\nIf the first or the last step is the best one, the right gap may lie beyond it.\n\n"
}

fn title(ladder: &GapLadder) -> String {
    match &ladder.thread {
        Some(thread) => format!("thread {}, {}", ladder.name, thread.designation()),
        None => ladder.name.clone(),
    }
}

fn pieces(ladder: &GapLadder) -> String {
    let stem = ladder.stem();
    match ladder.kind {
        LadderKind::Thread => format!("{stem}-plug in {stem}-ring-1 and on"),
        LadderKind::BoughtPinLying => format!("your bought pin in {stem}"),
        LadderKind::PinLying | LadderKind::PinUpright => format!("pin in {stem}"),
        LadderKind::Slide => format!("{stem}-tongue in {stem}-channels"),
    }
}

fn telling(product: &CouponProduct) -> String {
    let number = if product.coupon.rows.is_empty() { 3 } else { 4 };
    let mut text = format!(
        "## {number}. Write it down\n\n\
         Fill in {FORM_FILE}, then:\n\n    netlead tune {FORM_FILE}\n"
    );
    if product.extent == Extent::Quick {
        text += "\nOr, without the form, with the counts of the steps that fitted best:\n\n    \
                 netlead tune KIT.toml --thread 3 --pin 3 --slide 3\n";
    }
    text
}
