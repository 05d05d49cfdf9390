//! From a product to drawings to scale, in the conventions of the trade: lines of ISO 128-2, hatching of
//! ISO 128-3, dimensions of ISO 129-1, balloons of ISO 6433, scales of ISO 5455.
//!
//! [`sheets`] are sections of every screw in its hole, as drawn and as printed; [`motion_plot`] is travel
//! over turns. Each is true to its scale when it is printed at its own size.

mod as_drawn;
mod as_printed;
mod assembly_section;
mod cut;
mod dimension;
mod foot;
mod hatching;
mod motion_plot;
mod paper;
mod thread_view;

use super::kit::Product;
use crate::picture::Picture;
use thread_view::{Shown, ThreadView};

/// All drawings of a product: the whole in section, its motion, and every thread joint.
pub(super) fn all(product: &Product) -> Vec<Picture> {
    let whole = assembly_section(product).into_iter();
    let motion = motion_plot(product);
    whole.chain(motion).chain(sheets(product)).collect()
}

/// Sections of all thread joints in their order, each as drawn and then as printed in layers.
pub(super) fn sheets(product: &Product) -> Vec<Picture> {
    let joints = product.design.assembly.thread_joints();
    let sheets = (1..).zip(joints).flat_map(|(number, (id, _, _))| {
        let view = |shown| ThreadView::of(product, id, shown);
        let drawn = view(Shown::Lead).map(|view| as_drawn::sheet(product, &view, number));
        let printed = view(Shown::Ridge);
        let printed = printed.and_then(|view| as_printed::sheet(product, &view, number));
        drawn.into_iter().chain(printed)
    });
    sheets.collect()
}

/// The whole in section through its axis at turn 0, with item numbers and main sizes; `None` where no part
/// was drawn.
pub(super) fn assembly_section(product: &Product) -> Option<Picture> {
    assembly_section::sheet(product)
}

/// Travel of carriages, drive and screws over turns of the drive, what a reversal loses, and where the
/// stops are; `None` where it was not worked out how pieces move.
pub(super) fn motion_plot(product: &Product) -> Option<Picture> {
    motion_plot::plot(product)
}

#[cfg(test)]
mod tests;
