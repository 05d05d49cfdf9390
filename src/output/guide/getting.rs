//! What to print, buy and have at hand, how to print it, and what of it lies on which bed.
//!
//! The parts list after ISO 7573: item number, quantity, name, description; numbers are those of the
//! balloons (ISO 6433) in the picture drawn apart (from memory).

use crate::assembly::{Assembly, Made, PartId, Slender};
use crate::output::assembly_file;
use crate::output::document::{Block, Cell, Figure, Section, Table, Text};
use crate::output::kit::Product;
use crate::output::kit::bill::{self, Kind, Row};
use crate::output::kit::{fits, sentences};
use crate::output::part;
use crate::output::words::{capital, plain};
use crate::printing_time::{BETWEEN, BRIM, Bed, Job};
use crate::sequence;
use crate::units::Length;
use crate::units_told::number;

/// What is printed before any part, on a printer that was not measured.
pub(super) fn step_zero(product: &Product) -> Option<Section> {
    let words = fits::not_tuned(product)?;
    let title = "Step 0: the quick test pieces, before any part";
    let mut blocks = vec![Block::Paragraph(Text::coded(&words))];
    blocks.extend(first_pair(product).map(|pair| Block::Paragraph(Text::plain(&pair))));
    Some(Section::new("step-0", title, blocks))
}

/// What to print first for whoever has the folder alone: the screw and its hole that print soonest.
fn first_pair(product: &Product) -> Option<String> {
    let assembly = &product.design.assembly;
    let job = product.job.as_ref()?;
    let takes = |part: PartId| Some(job.each.get(part.0)?.as_ref()?.time);
    let pairs = assembly.thread_joints().filter_map(|(_, joint, _)| {
        let parts = joint.between.map(|piece| assembly.instance(piece).part);
        let [screw, hole] = parts.map(takes);
        Some((screw?.0 + hole?.0, parts))
    });
    let (_, parts) = pairs.min_by(|one, other| one.0.total_cmp(&other.0))?;
    let [screw, hole] = parts.map(|part| plain(assembly.part_called(part)));
    Some(format!(
        "Who has this folder alone prints the {screw} and the {hole} first, and tries them as in step \
         {}: if they bind or rattle, the other parts would too. What binds a little is scraped and run in \
         dry; what does not come free, or rattles, wants another gap, for which whoever made this folder \
         has the kit file. Lines here with KIT.toml or a gap's key are for them.",
        sentences::FIRST_STEP
    ))
}

/// What to print, to buy and to have at hand.
pub(super) fn bill(product: &Product) -> Vec<Option<Section>> {
    let numbered = numbered(product);
    let rows = bill::rows(product);
    let tools = rows.iter().filter(|row| row.kind == Kind::Tool);
    let tool = |row: &Row| {
        let printed = match &row.file {
            Some(file) => format!(", {} x, printed (`{file}`)", row.quantity),
            None => String::new(),
        };
        Text::coded(&format!("{}{printed}: {}", row.called, row.description))
    };
    vec![
        printed(product, &numbered),
        bought(product, &numbered),
        Section::listed("tools", "To have at hand", tools.map(tool).collect()),
    ]
}

/// Rows of the bill with their item numbers, and the parts that they list.
fn numbered(product: &Product) -> Vec<(usize, Option<PartId>, Row)> {
    let assembly = &product.design.assembly;
    let items = assembly.item_numbers();
    let part = |row: &Row| {
        let place = assembly.parts.iter().position(|part| part.name == row.name);
        place.map(PartId)
    };
    let listed = bill::rows(product).into_iter();
    let listed = listed.filter(|row| matches!(row.kind, Kind::Printed | Kind::Bought));
    let mut next = items.len();
    let number = |row: Row| match part(&row) {
        Some(part) => (items[part.0], Some(part), row),
        None => {
            next += 1;
            (next, None, row)
        }
    };
    listed.map(number).collect()
}

/// How many, and what is to be said of pieces that stand nowhere.
fn quantity(row: &Row) -> Text {
    let spare = bill::spares(row).map_or(String::new(), |spare| format!(", {spare}"));
    Text::plain(&format!("{} x{spare}", row.quantity))
}

/// How a part is told from its neighbours.
fn marked(row: &Row) -> Vec<String> {
    let sunk = match row.sunk.is_empty() {
        true => None,
        false => Some(format!("{} sunk into it", row.sunk)),
    };
    let mark = Some(row.mark.clone()).filter(|mark| !mark.is_empty());
    mark.into_iter().chain(sunk).collect()
}

fn picture(product: &Product, part: Option<PartId>) -> Cell {
    let album = product.album.as_ref();
    let found = part.and_then(|part| album?.of_part(part));
    found.map_or(Cell::Text(Text::default()), |one| {
        Cell::Picture(one.clone())
    })
}

/// What a row lists, by its part's name where it is one of the mechanism.
fn named(product: &Product, part: Option<PartId>, row: &Row) -> Cell {
    let called = Text::plain(&row.called);
    match part {
        Some(part) => Cell::Part {
            name: product.design.assembly.part(part).name.clone(),
            called,
        },
        None => Cell::Text(called),
    }
}

fn lines(all: Vec<String>) -> Cell {
    Cell::Lines(all.iter().map(|line| Text::coded(line)).collect())
}

/// What stands in a row of Markdown.
fn as_list(product: &Product, numbered: &[(usize, Option<PartId>, Row)], kind: Kind) -> Vec<Text> {
    let told = product.kit.told();
    let rows = numbered.iter().filter(|(_, _, row)| row.kind == kind);
    rows.map(|(_, _, row)| Text::coded(&bill::line(row, told)))
        .collect()
}

fn printed(product: &Product, numbered: &[(usize, Option<PartId>, Row)]) -> Option<Section> {
    let told = product.kit.told();
    let rows = numbered
        .iter()
        .filter(|(_, _, row)| row.kind == Kind::Printed);
    let row = |(item, part, row): &(usize, Option<PartId>, Row)| {
        let mut marks = marked(row);
        if !row.revision.is_empty() {
            marks.push(format!("revision {}", row.revision));
        }
        let size = [bill::size(row, told), bill::weight(row)];
        let file = row.file.as_deref().unwrap_or("no file");
        vec![
            Cell::Number(Text::plain(&item.to_string())),
            picture(product, *part),
            named(product, *part, row),
            Cell::Text(quantity(row)),
            lines(marks),
            lines(size.into_iter().flatten().collect()),
            lines(vec![format!("`{file}`"), row.print_note.clone()]),
        ]
    };
    let titles = [
        "item",
        "as it stands on the bed",
        "part",
        "quantity",
        "marks",
        "size, mass",
        "file, print",
    ];
    let table = Table {
        caption: Text::plain("Parts to print"),
        columns: titles.map(Text::plain).into(),
        rows: rows.map(row).collect(),
        named: 2,
        stands: true,
    };
    let total = bill::total(product).map(|total| Text::plain(&total));
    let mut page = vec![Block::Table(table)];
    page.extend(total.clone().map(Block::Paragraph));
    let mut list = as_list(product, numbered, Kind::Printed);
    list.extend(total);
    let blocks = vec![Block::TwoWays {
        page,
        markdown: vec![Block::List(list)],
    }];
    Some(Section::new("to-print", "To print", blocks))
}

fn bought(product: &Product, numbered: &[(usize, Option<PartId>, Row)]) -> Option<Section> {
    let list = as_list(product, numbered, Kind::Bought);
    if list.is_empty() {
        return None;
    }
    let rows = numbered
        .iter()
        .filter(|(_, _, row)| row.kind == Kind::Bought);
    let row = |(item, part, row): &(usize, Option<PartId>, Row)| {
        let mut asked = vec![row.description.clone()];
        asked.extend(marked(row));
        vec![
            Cell::Number(Text::plain(&item.to_string())),
            picture(product, *part),
            named(product, *part, row),
            Cell::Text(quantity(row)),
            lines(asked),
        ]
    };
    let titles = ["item", "looks like", "part", "quantity", "what to ask for"];
    let table = Table {
        caption: Text::plain("Parts to buy"),
        columns: titles.map(Text::plain).into(),
        rows: rows.map(row).collect(),
        named: 2,
        stands: true,
    };
    let blocks = vec![Block::TwoWays {
        page: vec![Block::Table(table)],
        markdown: vec![Block::List(list)],
    }];
    Some(Section::new("to-buy", "To buy", blocks))
}

/// What applies to all; in Markdown then each file with its count and its own note.
pub(super) fn printing(product: &Product) -> Option<Section> {
    let rows = bill::rows(product).into_iter();
    let own = rows.filter(|row| row.kind == Kind::Printed).map(|row| {
        let file = row.file.as_deref().unwrap_or("no file");
        Text::coded(&format!(
            "{file}, {} x: {}",
            row.quantity,
            plain(&row.print_note)
        ))
    });
    let all = super::coded(sentences::print_notes(product));
    let markdown = all.iter().cloned().chain(own).collect();
    let blocks = vec![Block::TwoWays {
        page: vec![Block::List(all)],
        markdown: vec![Block::List(markdown)],
    }];
    Some(Section::new("printing", "Printing", blocks))
}

/// By what parts are told apart; a page has it in the list of parts.
pub(super) fn marks(product: &Product) -> Option<Section> {
    let rows = bill::rows(product).into_iter();
    let told = rows.filter_map(|row| {
        let marks = marked(&row);
        let listed = matches!(row.kind, Kind::Printed | Kind::Bought) && !marks.is_empty();
        listed.then(|| Text::plain(&format!("{}: {}", row.called, marks.join("; "))))
    });
    Section::listed("marks", "Marks", told.collect())
}

/// Every part with marks, large enough to find them; none without pictures.
pub(super) fn marks_shown(product: &Product) -> Option<Section> {
    let album = product.album.as_ref()?;
    let figures = numbered(product)
        .into_iter()
        .filter_map(|(number, part, row)| {
            let (marks, picture) = (marked(&row), album.of_part(part?)?);
            let words = format!("{number} {}: {}", row.called, marks.join("; "));
            (!marks.is_empty()).then(|| Figure::new(picture.clone(), Text::plain(&words)))
        });
    let blocks = vec![Block::Gallery(figures.collect())];
    Some(Section::new("marks", "Marks", blocks))
}

/// One way to fill the beds, and what each takes.
pub(super) fn beds(product: &Product) -> Option<Section> {
    let job = product.job.as_ref()?;
    let told = product.kit.told();
    let [wide, deep, high] = job.room.size.map(|side| told.length(side, 0));
    let between = told.length(Length::mm(BETWEEN), 0);
    let words = format!(
        "One way to fill a bed of {wide} by {deep} and {high} of height, {between} between pieces{}; another \
         will do. What belongs together fits best from one bed and one spool.",
        room_for_brims(product, job)
    );
    let row = |(number, bed): (usize, &Bed)| bed_row(product, number, bed);
    let table = |caption, job: &Job| {
        Block::Table(Table {
            caption: Text::plain(caption),
            columns: ["bed", "pieces on it", "printing", "likely", "filament"]
                .map(Text::plain)
                .into(),
            rows: (1..).zip(&job.beds).map(row).collect(),
            named: 0,
            stands: false,
        })
    };
    let whole = [
        Block::Paragraph(Text::plain(&words)),
        table("Print beds", job),
    ];
    let again = product.reprint.as_ref();
    let again = again.filter(|job| !job.beds.is_empty());
    let again = again.map(|job| {
        let file = part::reprint_path(1);
        let words = format!("Only what is to be printed again, from `{file}` on:");
        [
            Block::Paragraph(Text::coded(&words)),
            table("Print beds of it", job),
        ]
    });
    let blocks = whole
        .into_iter()
        .chain(again.into_iter().flatten())
        .collect();
    Some(Section::new("beds", beds_title(job), blocks))
}

/// For which parts there is room for a brim, and where they lie; empty where none is slender.
fn room_for_brims(product: &Product, job: &Job) -> String {
    let assembly = &product.design.assembly;
    let parts = job.brimmed().into_iter();
    let parts: Vec<String> = parts
        .map(|part| format!("the {}", plain(assembly.part_called(PartId(part)))))
        .collect();
    if parts.is_empty() {
        return String::new();
    }
    let brim = product.kit.told().length(Length::mm(BRIM), 0);
    let apart = match job.room.slender {
        Slender::Together => "",
        Slender::Apart => ", on beds of their own",
    };
    format!(
        ", with {brim} of room for a brim around {}{apart}",
        sequence::listed(parts)
    )
}

fn beds_title(job: &Job) -> &'static str {
    match job.beds.len() {
        1 => "Print bed",
        _ => "Print beds",
    }
}

fn bed_row(product: &Product, number: usize, bed: &Bed) -> Vec<Cell> {
    let assembly = &product.design.assembly;
    let pieces = bed.pieces.iter().map(|(part, count)| {
        let called = plain(assembly.part_called(PartId(*part)));
        format!("{count} x {called}")
    });
    let pieces: Vec<String> = pieces.collect();
    let grams = bill::solid_mass(bed.estimate.plastic_mm3, &product.kit);
    let cell = |words: String| Cell::Text(Text::plain(&words));
    vec![
        Cell::Text(Text::plain(&number.to_string())),
        cell(pieces.join(", ")),
        cell(bed.estimate.time.told()),
        cell(format!(
            "{} to {}",
            bed.estimate.least.told(),
            bed.estimate.most.told()
        )),
        Cell::Number(Text::plain(&format!("{grams:.0} g"))),
    ]
}

/// What lies in the folder, and what each file is for.
pub(super) fn folder(product: &Product) -> Option<Section> {
    let printed = |assembly: &Assembly| {
        let parts = assembly.parts.iter();
        parts.filter(|part| part.made == Made::Printed).count()
    };
    let mut files = vec![format!(
        "`parts/`: {} meshes, one for each part, in millimetres, as they stand on the bed; how many of \
         each to print is told under To print",
        printed(&product.design.assembly)
    )];
    let beds = product.job.as_ref().map_or(0, |job| job.beds.len());
    files.extend((1..=beds).map(|number| {
        let file = part::bed_path(number);
        format!("`{file}`: print bed {number}, all of its pieces where they lie")
    }));
    let again = product.reprint.as_ref().map_or(0, |job| job.beds.len());
    files.extend((1..=again).map(|number| {
        let file = part::reprint_path(number);
        format!("`{file}`: bed {number} of what is to be printed again, and nothing else")
    }));
    if product.bench_aids().next().is_some() {
        files.push("`bench/`: bench aids, in millimetres, as they stand on the bed".into());
    }
    if let Some(album) = &product.album {
        files.push("`guide.html`: this guide as a page with pictures".into());
        if album.as_files {
            files.push("`pictures/`: those pictures as files".into());
        }
    }
    files.push("`guide.md`: the same words as plain text".into());
    if product.is_drawn() {
        files.push(format!(
            "`{}`: the whole mechanism for any program that shows models in glTF, with its stroke, {} s a \
             turn, and the way it goes together as animations",
            assembly_file::PATH,
            number(assembly_file::STROKE_SECONDS_A_TURN, 1)
        ));
    }
    files.push("`bill.csv`: the list of parts, tools and cautions as a table".into());
    files.push("`report.json`: all figures and checks, for programs".into());
    let files = files
        .iter()
        .map(|file| Text::coded(&capital_code(file)))
        .collect();
    Section::listed("folder", "In this folder", files)
}

/// A line that begins with code has no capital; any other has one.
fn capital_code(line: &str) -> String {
    match line.starts_with('`') {
        true => line.to_owned(),
        false => capital(line),
    }
}
