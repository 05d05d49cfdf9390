//! What it is and how it moves, at a glance, and what to heed before anything else.

use super::facts;
use crate::assembly::Eye;
use crate::output::album::Album;
use crate::output::document::{Block, Figure, Section, Text};
use crate::output::kit::{Product, bill, sentences};
use crate::output::viewer;
use crate::output::words::capital;

/// What stands before all sections of a page: one sentence, its figures, two pictures.
pub(super) fn blocks(product: &Product, album: &Album) -> Vec<Block> {
    let mut rows = vec![
        ("what it is", sentences::threads_in_short(product)),
        ("a turn", sentences::turn_in_short(product)),
    ];
    rows.extend(sentences::lost_in_short(product).map(|lost| ("lost motion", lost)));
    rows.extend(bill::in_short(product).map(|job| ("to print", job)));
    let figure = |picture: &crate::picture::Picture| {
        let caption = Text::plain(&capital(&picture.shows));
        Block::Figure(Figure::new(picture.clone(), caption))
    };
    let mut blocks = vec![
        Block::Paragraph(Text::plain(product.design.caption)),
        facts(rows),
        Block::Eye(Eye::DriveHead),
        figure(&album.whole),
        figure(&album.section),
    ];
    blocks.extend(viewer::block(product).map(Block::Viewer));
    blocks
}

/// Cautions, the gravest first.
pub(super) fn cautions(product: &Product) -> Option<Section> {
    let mut cautions = sentences::cautions(product);
    // A stable sort: what a kit asks stands before what all do.
    cautions.sort_by_key(|caution| caution.signal);
    let blocks = cautions.into_iter().map(Block::Caution).collect();
    Some(Section::new("cautions", "Cautions", blocks))
}
