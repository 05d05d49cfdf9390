//! From meshes in poses to pictures: shaded, with their edges drawn, without a graphics card.
//!
//! A [`Picture`] is a drawing to scale that needs nothing beside it: its shaded ground is a PNG inside
//! an SVG, over which lines, arrows and numbers stand as SVG, so that they are sharp on paper too.
//! The ground is drawn into a depth buffer ([`Canvas`]); edges are found where neighbouring dots
//! belong to different pieces, stand at different depths or lie on faces with a crease between.
//!
//! Frames: meshes in mm in their print frames, poses into the assembly, a [`View`] onto the paper: x to
//! the right, y down, in mm of paper.

mod arrow;
mod canvas;
mod ground;
mod ink;
mod paper;
mod raster;
mod surface;
mod tint;
mod view;

pub use arrow::{BALLOON, Overlay, Turn};
pub use canvas::{Canvas, Item, Reach, Sheet};
pub use ink::HATCHES;
pub use paper::{Picture, escaped};
pub use raster::Cut;
pub use surface::Surface;
pub use tint::{PART_COLOURS, Tint};
pub use view::View;

#[cfg(test)]
mod tests;
