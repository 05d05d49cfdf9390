//! Putting it together, step by step.

use super::coded;
use crate::assembly::{InstanceId, Step};
use crate::output::album::Album;
use crate::output::document::{Block, Figure, Part, Section, Text};
use crate::output::kit::Product;
use crate::output::kit::{aids, sentences};
use crate::output::words::{capital, plain};
use crate::picture::Picture;

/// The picture drawn apart, then the steps.
pub(super) fn section(product: &Product) -> Option<Section> {
    let exploded = product.album.as_ref().map(|album| {
        let caption = "Drawn apart along the way together. The numbers are the items under To print and To \
                       buy.";
        Block::Figure(figure(&album.exploded, caption))
    });
    let steps = (sentences::FIRST_STEP..).zip(&product.design.steps);
    let steps = steps.map(|(number, step)| Block::Part(part(product, number, step)));
    let blocks = exploded.into_iter().chain(steps).collect();
    Some(Section::new(
        "putting-together",
        "Putting it together",
        blocks,
    ))
}

fn figure(picture: &Picture, caption: &str) -> Figure {
    Figure::new(picture.clone(), Text::plain(caption))
}

fn part(product: &Product, number: usize, step: &Step) -> Part {
    let place = number - sentences::FIRST_STEP;
    let mut blocks: Vec<Block> = sentences::pressing(product, place)
        .into_iter()
        .map(Block::Caution)
        .collect();
    let drawn = |album: &Album| {
        Some(figure(
            album.steps.get(place)?.as_ref()?,
            &format!("Step {number}"),
        ))
    };
    blocks.extend(product.album.as_ref().and_then(drawn).map(Block::Figure));
    blocks.extend(pieces(product, step));
    blocks.extend(step.eye.map(Block::Eye));
    blocks.push(told(step));
    let is_last = place + 1 == product.design.steps.len();
    let with_aids = coded(aids::in_step(product, step, is_last));
    if !with_aids.is_empty() {
        blocks.push(Block::List(with_aids));
    }
    if !step.reason.is_empty() {
        let reason = step.reason.trim_end_matches('.');
        blocks.push(Block::Paragraph(Text::emphasis(&format!("Why: {reason}."))));
    }
    Part {
        id: format!("step-{number}"),
        title: Text::plain(&format!("{number}. {}", capital(&step.action))),
        blocks,
        whole: true,
    }
}

/// What it handles; on a page with the numbers of the list of parts.
fn pieces(product: &Product, step: &Step) -> Option<Block> {
    let assembly = &product.design.assembly;
    let items = assembly.item_numbers();
    let named = |with: bool| {
        let name = |piece: &InstanceId| {
            let instance = assembly.instance(*piece);
            let called = plain(&instance.called);
            match with {
                true => format!("{called} ({})", items[instance.part.0]),
                false => called,
            }
        };
        let names: Vec<String> = step.pieces.iter().map(name).collect();
        Block::Paragraph(Text::plain(&format!("Pieces: {}.", names.join(", "))))
    };
    (!step.pieces.is_empty()).then(|| Block::TwoWays {
        page: vec![named(true)],
        markdown: vec![named(false)],
    })
}

/// What to do; on a page what is to be measured stands apart.
fn told(step: &Step) -> Block {
    let whole = Block::Paragraph(Text::coded(&step.text));
    let shows = step.shows.as_deref().unwrap_or_default();
    let page = match step.text.strip_suffix(shows) {
        Some(orders) if !shows.is_empty() => vec![
            Block::Orders(Text::coded(orders)),
            Block::Paragraph(Text::strong(shows)),
        ],
        Some(_) | None => vec![Block::Orders(Text::coded(&step.text))],
    };
    Block::TwoWays {
        page,
        markdown: vec![whole],
    }
}
