//! What is done once it stands: pins, taking apart, running in, and what may go wrong.

use super::coded;
use crate::assembly::{Eye, TAKING_APART};
use crate::output::document::{Block, Figure, Part, Section, Text};
use crate::output::kit::Product;
use crate::output::kit::{aid_prints, aids, apart, care, sentences, troubles};
use crate::output::words::capital;

/// All of them.
pub(super) fn sections(product: &Product) -> Vec<Option<Section>> {
    let grease = coded(care::running_in(product));
    vec![
        pins(product),
        taking_apart(product),
        Section::listed("running-in", "Running in and grease", grease),
        troubles(product),
    ]
}

/// Each aid with its picture, and what there is none for; none where none are wanted.
pub(super) fn aids_section(product: &Product) -> Option<Section> {
    if !aids::are_wanted(product) {
        return None;
    }
    let mut blocks: Vec<Block> = aid_prints::total(product)
        .iter()
        .map(|total| Block::Paragraph(Text::plain(total)))
        .collect();
    blocks.extend((1..).zip(product.bench_aids()).map(|(number, aid)| {
        let lines = [
            format!("`{}`: {}.", aid.file(), aids::purpose(product, aid)),
            format!("{}.", aid_prints::takes(product, aid)),
        ];
        let figures = aid.pictures.iter().map(|picture| {
            let caption = Text::plain(&capital(&picture.shows));
            Block::Figure(Figure::new(picture.clone(), caption))
        });
        Block::Part(Part {
            id: format!("aid-{number}"),
            title: Text::plain(&aids::title(aid)),
            blocks: figures.chain([Block::List(coded(lines))]).collect(),
            whole: true,
        })
    }));
    let missing = coded(aids::left_out(product));
    if !missing.is_empty() {
        blocks.push(Block::List(missing));
    }
    Some(Section::new("bench-aids", "Bench aids", blocks))
}

fn pins(product: &Product) -> Option<Section> {
    let lines = coded(apart::pins(product));
    if lines.is_empty() {
        return None;
    }
    let mut blocks = vec![Block::Caution(sentences::pins_fly())];
    // What has a way out of its own is turned to it.
    let own = product.design.script.apart.first();
    blocks.extend(own.map(|_| Block::Eye(Eye::DriveHead)));
    blocks.push(Block::List(lines));
    blocks.extend(aids::out(product).map(|out| Block::Paragraph(Text::coded(&out))));
    Some(Section::new("pins", "Pins, in and out", blocks))
}

fn taking_apart(product: &Product) -> Option<Section> {
    let begin = apart::begin(product)?;
    let mut blocks: Vec<Block> = sentences::keeper_under_spring(product)
        .into_iter()
        .map(Block::Caution)
        .collect();
    blocks.push(Block::Paragraph(Text::coded(&begin)));
    blocks.push(Block::Eye(Eye::DriveHead));
    blocks.push(Block::Numbered(coded(apart::way(product))));
    blocks.extend(
        coded(apart::second_time(product))
            .into_iter()
            .map(Block::Paragraph),
    );
    Some(Section::new("taking-apart", TAKING_APART, blocks))
}

fn troubles(product: &Product) -> Option<Section> {
    let begin = "Look first, then change one key of the kit file, a little at a time, and run `netlead \
                 check` before you print again.";
    let parts = (1..)
        .zip(troubles::troubles(product))
        .map(|(number, trouble)| {
            Block::Part(Part {
                id: format!("trouble-{number}"),
                title: Text::plain(trouble.what),
                blocks: vec![Block::List(coded(trouble.told(&product.design.assembly)))],
                whole: false,
            })
        });
    let begin = std::iter::once(Block::Paragraph(Text::coded(begin)));
    Some(Section::new(
        "troubles",
        "Troubles",
        begin.chain(parts).collect(),
    ))
}
