//! Drawings to scale, on a page alone: where its threads meet, the whole in section, and its motion.

use crate::output::document::{Block, Figure, Section, Text};
use crate::output::kit::Product;
use crate::output::sheet;
use crate::output::words::capital;
use crate::picture::Picture;

/// The plot of its motion; none without pictures.
pub(super) fn plot(product: &Product) -> Option<Block> {
    product.album.as_ref()?;
    sheet::motion_plot(product).as_ref().map(figure)
}

/// The whole in section with its sizes, and each thread as drawn and as it prints; none without pictures.
pub(super) fn section(product: &Product) -> Option<Section> {
    product.album.as_ref()?;
    let whole = sheet::assembly_section(product).into_iter();
    let drawings = whole.chain(sheet::sheets(product));
    let drawings: Vec<Block> = drawings.map(|drawing| figure(&drawing)).collect();
    (!drawings.is_empty()).then(|| Section::new("drawings", "Drawings to scale", drawings))
}

fn figure(picture: &Picture) -> Block {
    let caption = Text::plain(&capital(&picture.shows));
    Block::Figure(Figure::new(picture.clone(), caption))
}
