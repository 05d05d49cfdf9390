//! The sheet into which a maker writes what a finished screw does, and the file that comes of it.
//!
//! Its rows are those of [`trial::plan`], its file is one that `netlead trial` reads.

use crate::assembly::Eye;
use crate::output::document::{Block, Section, Sheet, SheetHead, SheetRow, Text};
use crate::output::kit::Product;
use crate::output::kit::preload_words;
use crate::output::words::{plain, turning_words};
use crate::trial::{self, Direction, Planned, Reading, Unit};
use crate::units_told::{Told, number};

/// Decimals of turns: whole ones and quarters.
const TURNS: usize = 2;
/// Decimals of a millimetre of a travel.
const TRAVEL: usize = 2;
/// Decimals of a millimetre of a net lead.
const LEAD: usize = 4;

/// The section.
pub(super) fn section(product: &Product) -> Option<Section> {
    let lost = lost(product);
    let rows = trial::plan(
        product.design.course.turns,
        lost.map_or(1.0, |[_, most]| most),
    );
    let mut blocks = vec![
        Block::Eye(Eye::DriveHead),
        Block::List(
            how(product)
                .into_iter()
                .map(|line| Text::coded(&line))
                .collect(),
        ),
        Block::Sheet(sheet(product, &rows)),
    ];
    blocks.extend(
        by_hand(product, lost)
            .into_iter()
            .map(|line| Block::Paragraph(Text::coded(&line))),
    );
    Some(Section::new(
        "trial",
        "Trial sheet: turns and readings",
        blocks,
    ))
}

/// Turns that a reversal loses, least and most, as far as they were worked out.
fn lost(product: &Product) -> Option<[f64; 2]> {
    if let Some(left) = preload_words::lost(product) {
        return Some([0.0, left]);
    }
    let lost = product.motion.lost_motion_turns?;
    Some([lost.low, lost.high])
}

fn how(product: &Product) -> Vec<String> {
    vec![
        format!(
            "Depth is read {}; with an indicator on the carriage read travel instead, and choose it above \
             the rows.",
            product.design.depth_read
        ),
        format!(
            "Turn 0 is where the steps left it, told by the marks. Forward is the way of the stroke, {}; \
             back is the other. Read in the order of the rows, and write a reading down before you turn on.",
            turning_words(product.motion.turning)
        ),
        "Before the first row turn back gently until the carriage stops, then forward again to turn 0: play \
         that is not taken up there reads as an error of the whole trial."
            .into(),
        "Turned too far? Go back by more than a turn and come to the place again from the same side."
            .into(),
        "Go gently near the ends. Leave a row empty rather than guess it.".into(),
    ]
}

fn unit(product: &Product) -> Unit {
    match product.kit.told() {
        Told::Metric => Unit::Mm,
        Told::Inch => Unit::Inch,
    }
}

fn sheet(product: &Product, rows: &[Planned]) -> Sheet {
    let units = match unit(product) {
        Unit::Mm => [Unit::Mm, Unit::Inch],
        Unit::Inch => [Unit::Inch, Unit::Mm],
    };
    let heads = vec![
        SheetHead {
            key: "reading",
            label: Text::plain("what is read"),
            choices: vec![Reading::Depth.word(), Reading::Travel.word()],
        },
        SheetHead {
            key: "resolution",
            label: Text::plain("smallest step of the instrument"),
            choices: Vec::new(),
        },
        SheetHead {
            key: "unit",
            label: Text::plain("unit"),
            choices: units.map(Unit::word).into(),
        },
    ];
    Sheet {
        columns: ["turns", "way", "travel to expect", "reading"].map(Text::plain),
        rows: rows.iter().map(|row| told(product, row)).collect(),
        heads,
        file: file(product, rows),
        button: Text::plain("Put the file together from the readings"),
    }
}

fn told(product: &Product, row: &Planned) -> SheetRow {
    let travel = product.motion.net_lead * row.turns;
    let travel = product.kit.told().length(travel, TRAVEL);
    let expected = match row.direction {
        Direction::Forward => travel,
        Direction::Back => format!("{travel} and what a reversal loses"),
    };
    SheetRow {
        at: Text::plain(&number(row.turns, TURNS)),
        way: Text::plain(row.direction.word()),
        expected: Text::plain(&expected),
    }
}

/// The file that `netlead trial` reads, with a blank for each reading.
fn file(product: &Product, rows: &[Planned]) -> String {
    let blank = Sheet::BLANK;
    let mut text = format!(
        "# Trial of {}\nreading = \"{}\"\nresolution = {blank}\nunit = \"{}\"\nrows = [\n",
        plain(&product.kit.name),
        Reading::Depth.word(),
        unit(product).word()
    );
    for row in rows {
        let turns = number(row.turns, TURNS);
        text += &format!("    [{turns}, {blank}, \"{}\"],\n", row.direction.word());
    }
    text + "]\n"
}

/// What the rows say without a program, and with one.
fn by_hand(product: &Product, lost: Option<[f64; 2]>) -> Vec<String> {
    let (told, lead) = (product.kit.told(), product.motion.net_lead);
    let mut all = vec![format!(
        "By hand: of two rows on the way forward, the readings' difference by the turns between them is the \
         net lead, {} in each turn. Take rows far apart; those within a turn tell whether it runs evenly.",
        told.length(lead, LEAD)
    )];
    if let Some([low, high]) = lost {
        all.push(format!(
            "At the same turn the way back has gone further than the way forward by what a reversal loses: \
             {} is expected.",
            told.between(lead * low, lead * high, TRAVEL)
        ));
    }
    all.push(
        "With the program: put the readings into a file as above and run `netlead trial KIT.toml \
         measured.toml`. It says what net lead and lost motion are, how sure that is, and what is behind a \
         difference."
            .into(),
    );
    all
}
