//! What an end adds to a part of a round house.

use crate::assembly::{Outline, Placed, Solid};
use crate::layout::proportions::*;
use crate::units::Length;

/// Solids that stand side by side are drawn this much narrower than what they stand in, so that no
/// two faces of both are one.
pub(super) const WITHIN: Length = Length::mm(0.2);

/// What an end adds to a part.
#[derive(Default)]
pub(super) struct Additions {
    /// From the axis to the ends of the carriage's ears, where they reach further than their slots.
    pub(super) reach: Option<Length>,
    /// How far the part is drawn below the bed, where it is cut off.
    pub(super) below: Length,
    pub(super) joined: Vec<Placed>,
    pub(super) cut: Vec<Placed>,
    /// Ways through that it makes.
    pub(super) genus: usize,
}

/// A block as long and as wide as this, its lower edges broken at z = 0, that goes on below.
pub(super) fn block([x, y]: [Length; 2], below: Length, top: Length) -> Solid {
    let outline = |set_in: Length| Outline::Rectangle {
        x: x - set_in * 2.0,
        y: y - set_in * 2.0,
    };
    Solid::Prism(vec![
        (below, outline(BED_EDGE)),
        (Length::ZERO, outline(BED_EDGE)),
        (BED_EDGE, outline(Length::ZERO)),
        (top, outline(Length::ZERO)),
    ])
}
