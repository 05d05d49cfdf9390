//! What turns in what, what comes of it, and what it bears.

use super::{coded, drawings, facts};
use crate::assembly::{Eye, InstanceId};
use crate::output::document::{Block, Cell, Section, Table, Text};
use crate::output::kit::Product;
use crate::output::kit::{dial, sentences};
use crate::output::words::plain;
use crate::units::Length;
use crate::units_told::number;

/// Where the eye is when the guide says clockwise.
const EYE: &str = "Clockwise and counter-clockwise are said by an eye in front of the drive head, looking \
                   along the screws at the frame:";
/// The same, drawn in letters.
const DRAWN_EYE: &str = "  eye (o)>  [head]======[ frame  [carriage] -> ]";

/// What turns in what.
pub(super) fn mechanism(product: &Product) -> Option<Section> {
    Section::listed(
        "what-it-does",
        "What it does",
        coded(sentences::mechanism(product)),
    )
}

/// Its motion in figures and in a table.
pub(super) fn motion(product: &Product) -> Vec<Option<Section>> {
    let mut blocks = vec![
        facts(sentences::motion(product)),
        Block::Paragraph(Text::plain(EYE)),
        Block::TwoWays {
            page: vec![Block::Eye(Eye::DriveHead)],
            markdown: vec![Block::Verbatim(DRAWN_EYE.into())],
        },
    ];
    blocks.extend(drawings::plot(product));
    blocks.extend(table(product).map(Block::Table));
    vec![Some(Section::new("motion", "Motion", blocks))]
}

/// Rows of the table of travels at the most, so that it is taken in at a glance.
const ROWS: f64 = 8.0;
/// Decimals of a millimetre in it.
const TRAVEL: usize = 2;

/// Turns against what each moving piece has travelled; none where that was not worked out.
fn table(product: &Product) -> Option<Table> {
    let (assembly, told) = (&product.design.assembly, product.kit.told());
    let course = &product.design.course;
    let carriages = assembly.carriages.all();
    let drive = (course.drive_travel > Length::ZERO).then_some(assembly.drive);
    let mut columns: Vec<(InstanceId, Length)> = Vec::new();
    for piece in carriages.chain(drive) {
        columns.push((piece, product.rate(piece)?.advance.abs()));
    }
    let title = |(piece, _): &(InstanceId, Length)| {
        Text::plain(&format!("travel of the {}", plain(assembly.called(*piece))))
    };
    let titles = std::iter::once(Text::plain("turns from turn 0"));
    let row = |turns: f64| {
        let travels = columns
            .iter()
            .map(|(_, advance)| Cell::Number(Text::plain(&told.length(*advance * turns, TRAVEL))));
        let turns = Cell::Number(Text::plain(&number(turns, TRAVEL)));
        std::iter::once(turns).chain(travels).collect()
    };
    Some(Table {
        caption: Text::plain("Turns of the drive head, and what they move"),
        columns: titles.chain(columns.iter().map(title)).collect(),
        rows: stations(course.turns).into_iter().map(row).collect(),
        named: 0,
        stands: false,
    })
}

/// Turns at which travels are told: whole ones, evenly spread, and the end of the stroke.
fn stations(turns: f64) -> Vec<f64> {
    let step = (turns / ROWS).ceil().max(1.0);
    let whole = (turns / step).floor() as u32;
    let mut all: Vec<f64> = (0..=whole).map(|count| f64::from(count) * step).collect();
    if all.last().is_none_or(|last| *last < turns) {
        all.push(turns);
    }
    all
}

/// The ticks around its head.
pub(super) fn dial(product: &Product) -> Option<Section> {
    let lines = coded(dial::sentences(product));
    (!lines.is_empty()).then(|| {
        let blocks = vec![Block::Eye(Eye::DriveHead), Block::List(lines)];
        Section::new("dial", "The dial", blocks)
    })
}

/// What it bears and presses with.
pub(super) fn force(product: &Product) -> Option<Section> {
    let force = product.force.as_ref()?;
    let blocks = vec![
        facts(sentences::force(product, force)),
        Block::Paragraph(Text::coded(&sentences::no_rating(product, force))),
    ];
    Some(Section::new(
        "force",
        &sentences::force_title(force),
        blocks,
    ))
}
