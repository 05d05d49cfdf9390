//! Drawings to scale, on a page alone: where its threads meet, the whole in section, and its motion.

use crate::output::document::{Block, Figure, Section, Text};
use crate::output::kit::Product;
use crate::output::sheet;
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
    if drawings.is_empty() {
        return None;
    }
    let intro = Block::Paragraph(Text::plain(
        "Printed at 100 %, each is true to the scale that it tells. They tell how printed parts \
         meet, gaps included; a shop that cuts metal wants other ones.",
    ));
    let blocks = std::iter::once(intro).chain(drawings).collect();
    Some(Section::new("drawings", "Drawings to scale", blocks))
}

fn figure(picture: &Picture) -> Block {
    Block::Figure(Figure {
        picture: picture.clone(),
        caption: None,
        framed: false,
    })
}
