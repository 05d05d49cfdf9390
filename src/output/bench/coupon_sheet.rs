//! The sheet that goes with test pieces: what to print, measure, try and write down; as Markdown and as
//! a page, from one source of words.

use super::breaking_sheet;
use super::coupon_form::{FORM_FILE, best};
use super::coupon_product::CouponProduct;
use crate::coupon::{Extent, GapLadder, QUICK_TIME};
use crate::output::album::body_on_bed;
use crate::output::document::{Block, Cell, Document, Section, Table, Text, markdown, page};
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::part;
use crate::output::words::material_name;
use crate::picture::Picture;
use crate::tuning::LadderKind;
use crate::units_told::{Told, number};
use rayon::prelude::*;

/// Name of the sheet as Markdown.
const SHEET: &str = "coupon.md";
/// Name of the sheet as a page.
const PAGE: &str = "coupon.html";

/// Where a ladder's grooves look: they begin at +y and go on towards -x.
const GROOVED: [f64; 2] = [-0.7, 0.4];

/// The format of the sheet as Markdown.
pub(crate) struct SheetFile;

impl Format<CouponProduct> for SheetFile {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        let text = markdown::written(&sheet(product, &[]));
        Ok(vec![OutFile::new(SHEET, text)])
    }

    fn owns(&self, name: &str) -> bool {
        name == SHEET
    }
}

/// The format of the sheet as a page.
pub(crate) struct SheetPage;

impl Format<CouponProduct> for SheetPage {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        let pieces = product.coupon.pieces.par_iter().zip(&product.written);
        let pictures: Vec<Picture> = pieces
            .map(|(piece, written)| body_on_bed(&written.mesh, &piece.name, GROOVED))
            .collect::<Result<_, _>>()
            .map_err(FormatError::of("a picture of a test piece"))?;
        let page = page::written(&sheet(product, &pictures));
        Ok(vec![OutFile::new(PAGE, page)])
    }

    fn owns(&self, name: &str) -> bool {
        name == PAGE
    }
}

/// What to print, measure, try and write down. `pictures` are those of the pieces in their order, or none.
fn sheet(product: &CouponProduct, pictures: &[Picture]) -> Document {
    let rest = match &product.coupon.breaking {
        Some(breaking) => breaking_sheet::breaking(breaking),
        None => {
            let measured = (!product.coupon.rows.is_empty()).then(|| measuring(product));
            measured.into_iter().chain([trying(product)]).collect()
        }
    };
    let mut sections = vec![printing(product, pictures)];
    sections.extend(rest);
    sections.push(telling(product, sections.len() + 1));
    Document {
        title: Text::plain(&format!("Test pieces for {}", *product.kit.name)),
        opening: Vec::new(),
        sections,
    }
}

fn paragraph(words: &str) -> Block {
    Block::Paragraph(Text::coded(words))
}

/// A table of words.
fn table(caption: &str, titles: &[&str], rows: Vec<Vec<Cell>>, named: usize) -> Block {
    Block::Table(Table {
        caption: Text::plain(caption),
        columns: titles.iter().map(|title| Text::plain(title)).collect(),
        rows,
        named,
        stands: false,
    })
}

fn cell(words: &str) -> Cell {
    Cell::Text(Text::plain(words))
}

fn printing(product: &CouponProduct, pictures: &[Picture]) -> Section {
    let (kit, estimate) = (&product.kit, product.estimate);
    let last = part::bed_path(product.beds.len());
    let bed = match product.beds.len() {
        1 if product.one_bed => format!("They fit on one bed, as `{last}` has them."),
        1 => "They do not fit the bed.".into(),
        beds => format!(
            "They fill {beds} beds, as `{}` to `{last}` have them; pieces that are tried together lie on one.",
            part::bed_path(1)
        ),
    };
    let walls = match product.extent {
        Extent::Break => {
            let cooled = Text::mark(" (filled whole), cooled as the kit's parts are");
            Text::strong("solid").then(cooled)
        }
        _ => Text::plain(&format!("{} walls", *kit.walls)),
    };
    let mass = match product.extent {
        Extent::Break => format!(" and {:.0} g", product.grams),
        _ => String::new(),
    };
    let print = Text::plain(&format!(
        "Print each piece once, as it lies, from the filament and with the settings of the kit: layers of {}, \
         lines of {},",
        Told::Metric.length(*kit.layer, 2),
        Told::Metric.length(*kit.line, 2),
    ));
    let print = print
        .then(Text::mark(" "))
        .then(walls)
        .then(Text::mark(", "));
    let print = print.then(Text::plain(&format!(
        "{}. Switch off every correction of outlines, holes and first layers in the program that makes the \
         toolpaths, or nothing here is true.",
        material_name(*kit.material)
    )));
    let print = print.then(Text::mark(" ")).then(Text::coded(&bed));
    let mut takes = format!(
        "All together take about {}{mass} ({} to {}), by t = sum over layers of max(t_min, V/Q) + moves; the \
         formula is off by -30 to +50 %.",
        estimate.time, estimate.least, estimate.most,
    );
    if product.extent == Extent::Quick && estimate.time > QUICK_TIME {
        takes += " For threads as large as these that is more than a quick print should take.";
    }
    let pieces = pieces_to_print(product, pictures);
    let blocks = vec![Block::Paragraph(print), paragraph(&takes), pieces];
    Section::new("print", "1. Print", blocks)
}

/// The pieces, with their pictures where there are some.
fn pieces_to_print(product: &CouponProduct, pictures: &[Picture]) -> Block {
    let words = ["piece", "lies", "marked by"];
    let caption = "Pieces to print";
    let pieces = product.coupon.pieces.iter();
    let told = pieces.map(|piece| [&piece.name, &piece.note, &piece.mark].map(|words| cell(words)));
    if pictures.is_empty() {
        return table(caption, &words, told.map(Vec::from).collect(), 0);
    }
    let drawn = told.zip(pictures).map(|([name, note, mark], picture)| {
        vec![name, Cell::Picture(picture.clone()), note, mark]
    });
    let [piece, lies, marked] = words;
    let titles = [piece, "as it stands on the bed", lies, marked];
    table(caption, &titles, drawn.collect(), 0)
}

fn measuring(product: &CouponProduct) -> Section {
    let rows = product.coupon.rows.iter().enumerate();
    let rows = rows.map(|(index, row)| {
        let drawn = Told::Metric.length(row.feature.drawn, 2);
        let number = (index + 1).to_string();
        let words = [
            cell(&number),
            cell(&row.name),
            cell(&drawn),
            cell(&row.place),
        ];
        words.into_iter().chain([Cell::Blank]).collect()
    });
    let titles = ["no.", "row", "drawn", "where", "read"];
    let blocks = vec![
        paragraph(
            "With a caliper that reads to 0.01 mm (0.0005 in), when the plate is cold. Keep the jaws off the \
             lowest millimetre, where the first layers flare, and off seams. Check the caliper first: outside \
             and inside jaws must read the same on a drill's shank and in a ring gauge, or the difference ends \
             up in the profile.",
        ),
        table("Rows of the plate", &titles, rows.collect(), 1),
        paragraph(
            "Three prints are worth the plastic: what differs from print to print can only be seen on several. \
             Write each print's readings in the same order into every row.",
        ),
    ];
    Section::new("measure", "2. Measure the plate", blocks)
}

fn trying(product: &CouponProduct) -> Section {
    let number = if product.coupon.rows.is_empty() { 2 } else { 3 };
    let ladders = &product.coupon.ladders;
    let mut blocks = vec![
        paragraph(
            "Brush off strings, then try by hand, from the widest step down to the first that does not go, and \
             count the grooves of the one before it: the tightest that goes, though the kit's own parts will \
             have more room.",
        ),
        Block::List(ladders.iter().map(ladder_line).collect()),
    ];
    if ladders.iter().any(|ladder| ladder.ribs.is_some()) {
        blocks.push(paragraph(
            "The kit's own pins are pressed: their ribs stand further in than those of the hole that a thumb \
             can fill.",
        ));
    }
    let bought = |ladder: &GapLadder| ladder.kind == LadderKind::BoughtPocket;
    if ladders.iter().any(bought) {
        blocks.push(paragraph(
            "Measure the bought nut too, across each of its three pairs of flats, and write it into the form: \
             nuts of one size differ by more than a step. The steps are counted from the widest that shops \
             may sell.",
        ));
    }
    blocks.push(paragraph(
        "If even the first step goes, or not even the last, write the number of that one: where it begins to go \
         lies beyond it then.",
    ));
    Section::new("try", &format!("{number}. Try the ladders"), blocks)
}

/// What to count of a ladder, and its steps.
fn ladder_line(ladder: &GapLadder) -> Text {
    let mut words = format!(" ({}): {}.", pieces(ladder), best(ladder));
    if let (Some(first), Some(last)) = (ladder.gaps.first(), ladder.gaps.last()) {
        let side = match (ladder.kind, ladder.ribs) {
            (LadderKind::Slide | LadderKind::Pocket | LadderKind::BoughtPocket, _) => "a side",
            (_, None) => "radial",
            (_, Some(_)) => "radial at the tips of the ribs",
        };
        words += &format!(
            " Gaps of {} to {} {side}, in steps of {}.",
            number(first.as_mm(), 3),
            number(last.as_mm(), 3),
            number(ladder.step.as_mm(), 3)
        );
    }
    let title = Text::strong(&title(ladder)).then(Text::mark(" "));
    title.then(Text::plain(&words))
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

fn telling(product: &CouponProduct, number: usize) -> Section {
    let mut blocks = vec![
        paragraph(&format!("Fill in {FORM_FILE}, then:")),
        Block::Verbatim(format!("netlead tune {FORM_FILE}")),
    ];
    if product.extent == Extent::Quick {
        blocks.push(paragraph(
            "Or, without the form, with the counts of the tightest steps that went:",
        ));
        blocks.push(Block::Verbatim(
            "netlead tune KIT.toml --thread 3 --pin 3 --slide 3".into(),
        ));
    }
    Section::new("write-down", &format!("{number}. Write it down"), blocks)
}
