//! The sheet that goes with test pieces: what to print, measure, try and write down.

use super::breaking_sheet;
use super::coupon_form::{FORM_FILE, best};
use super::coupon_product::CouponProduct;
use crate::coupon::{Extent, GapLadder, QUICK_TIME};
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::words::{markdown, material_name};
use crate::tuning::LadderKind;
use crate::units_told::Told;

/// Name of the sheet.
const SHEET: &str = "coupon.md";

/// The format.
pub struct SheetFile;

impl Format<CouponProduct> for SheetFile {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        Ok(vec![OutFile::new(SHEET, sheet(product))])
    }

    fn owns(&self, name: &str) -> bool {
        name == SHEET
    }
}

/// The sheet: what to print, measure, try and write down.
fn sheet(product: &CouponProduct) -> String {
    let mut text = format!("# Test pieces for {}\n\n", markdown(&product.kit.name));
    text += &printing(product);
    if let Some(breaking) = &product.coupon.breaking {
        return text + &breaking_sheet::breaking(breaking) + &telling(product);
    }
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
    let walls = match product.extent {
        Extent::Break => "**solid** (filled whole), cooled as the kit's parts are".into(),
        _ => format!("{} walls", *kit.walls),
    };
    let mass = match product.extent {
        Extent::Break => format!(" and {:.0} g", product.grams),
        _ => String::new(),
    };
    let mut text = format!(
        "## 1. Print\n\n\
         Print each piece once, as it lies, from the filament and with the settings of the kit: \
         layers of {}, lines of {}, {walls}, {}. Switch off every correction of outlines, holes \
         and first layers in the program that makes the toolpaths, or nothing here is true. {bed}\n\n\
         All together take about {}{mass} ({} to {}), by t = sum over layers of max(t_min, V/Q) + \
         moves; the formula is off by -30 to +50 %.",
        Told::Metric.length(*kit.layer, 2),
        Told::Metric.length(*kit.line, 2),
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
         Brush off strings, then try by hand, from the widest step down to the first that does \
         not go, and count the grooves of the one before it: the tightest that goes, though the \
         kit's own parts will have more room.\n\n"
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
                    (LadderKind::Slide | LadderKind::Pocket | LadderKind::BoughtPocket, _) => {
                        "a side"
                    }
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
    let bought = |ladder: &GapLadder| ladder.kind == LadderKind::BoughtPocket;
    if product.coupon.ladders.iter().any(bought) {
        text += "\nMeasure the bought nut too, across each of its three pairs of flats, and write it into \
                 the form: nuts of one size differ by more than a step. The steps are counted from \
                 the widest that shops may sell.\n";
    }
    text + "\nIf even the first step goes, or not even the last, write the number of that one: where it \
            begins to go lies beyond it then.\n\n"
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
        LadderKind::BoughtPinOnRibs | LadderKind::BoughtPinLying => {
            format!("your bought pin in {stem}")
        }
        LadderKind::PinOnRibs | LadderKind::PinLying | LadderKind::PinUpright => {
            format!("pin in {stem}")
        }
        LadderKind::Slide => format!("{stem}-tongue in {stem}-channels"),
        LadderKind::Pocket => format!("{stem}-blank in {stem}-1 and on"),
        LadderKind::BoughtPocket => format!("your bought nut in {stem}-1 and on"),
    }
}

fn telling(product: &CouponProduct) -> String {
    let number = match product.coupon.rows.is_empty() {
        _ if product.extent == Extent::Break => 5,
        true => 3,
        false => 4,
    };
    let mut text = format!(
        "## {number}. Write it down\n\n\
         Fill in {FORM_FILE}, then:\n\n    netlead tune {FORM_FILE}\n"
    );
    if product.extent == Extent::Quick {
        text += "\nOr, without the form, with the counts of the tightest steps that went:\n\n    \
                 netlead tune KIT.toml --thread 3 --pin 3 --slide 3\n";
    }
    text
}
