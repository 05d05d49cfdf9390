//! What is done once it stands: pins, taking apart, running in, and what may go wrong.

use super::coded;
use crate::assembly::{Eye, TAKING_APART};
use crate::output::document::{Block, Part, Section, Text};
use crate::output::kit::Product;
use crate::output::kit::{apart, care, sentences, troubles};

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
