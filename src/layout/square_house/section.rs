//! The section of a square house: a square with a roof of 45 degrees and a rib on top, in a channel
//! of the same form that is open above the rib.
//!
//! Frame: x to the sides, +y to the slot, the axis at x = y = 0. Printed upright nothing of it
//! overhangs; lying on its floor neither, since the roof closes at 45 degrees.

use super::super::proportions::*;
use crate::assembly::Outline;
use crate::units::Length;

/// br, width of the rib. Guess: what a hand can push at, and 13 printed lines on either side of
/// a pocket in it.
const RIB: Length = Length::mm(12.0);
/// Room of the rib in the slot, a side; the body's sides guide. Guess: twice a slide.
const SLOT_ROOM: Length = Length::mm(0.4);
/// tf, least wall of the frame beside the channel. Guess.
pub(in crate::layout) const FRAME_WALL: Length = Length::mm(5.0);
/// tl, least of the frame above the channel's roof, beside the slot. Guess.
const LIP: Length = Length::mm(3.0);
/// The rib stands out of the frame by this, so that it can be measured and pushed at.
const RIB_PROUD: Length = Length::mm(1.0);

/// Sizes of the section, of the carriage where nothing else is said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct Section {
    /// B, width.
    pub(in crate::layout) width: Length,
    /// yb, its floor, below the axis.
    pub(in crate::layout) floor: Length,
    /// ys, where its roof begins.
    pub(in crate::layout) roof: Length,
    /// gs, gap of the carriage in the channel, a side.
    pub(in crate::layout) slide: Length,
    /// From the axis to the frame's underside, without sign.
    pub(in crate::layout) below: Length,
}

impl Section {
    /// yt, the rib's foot at the end of the roof.
    pub(super) fn foot(&self) -> Length {
        self.roof + (self.width - RIB) / 2.0
    }

    /// y of the frame's face beside the slot.
    pub(in crate::layout) fn top(&self) -> Length {
        self.foot() + self.slide * 2f64.sqrt() + LIP
    }

    /// Wo, width of the frame.
    pub(in crate::layout) fn outside_width(&self) -> Length {
        self.width + (self.slide + FRAME_WALL) * 2.0
    }

    /// From the axis to the channel's sides.
    pub(in crate::layout) fn channel_side(&self) -> Length {
        self.width / 2.0 + self.slide
    }

    /// Width of the rib.
    pub(super) fn rib(&self) -> Length {
        RIB
    }

    /// Width of the slot above it.
    pub(super) fn slot(&self) -> Length {
        RIB + SLOT_ROOM * 2.0
    }

    /// Height of the frame's section.
    pub(in crate::layout) fn height(&self) -> Length {
        self.top() + self.below
    }

    /// y of the rib's top.
    pub(super) fn rib_top(&self) -> Length {
        self.top() + RIB_PROUD
    }

    /// The carriage's outline, set in; its lower edges are broken for the bed.
    pub(super) fn carriage(&self, set_in: Length) -> Outline {
        let (side, floor) = (self.width / 2.0 - set_in, self.floor + set_in);
        let (rib, top) = (RIB / 2.0 - set_in, self.rib_top() - set_in);
        let edge = BED_EDGE;
        let corners = [
            [side - edge, floor],
            [side, floor + edge],
            [side, self.roof_at(side, -set_in)],
            [rib, self.roof_at(rib, -set_in)],
            [rib, top],
        ];
        mirrored(&corners)
    }

    /// The outline of the channel or of what fills it, grown from the carriage's by `grown`, its
    /// slot or tongue up to a height. Less than the slide gap leaves a gap to the channel.
    pub(super) fn filled(&self, grown: Length, top: Length) -> Outline {
        let (side, floor) = (self.width / 2.0 + grown, self.floor - grown);
        let slot = self.slot() / 2.0 + grown - self.slide;
        let corners = [
            [side, floor],
            [side, self.roof_at(side, grown)],
            [slot, self.roof_at(slot, grown)],
            [slot, top],
        ];
        mirrored(&corners)
    }

    /// The frame's outline, set in.
    pub(in crate::layout) fn outside(&self, set_in: Length) -> Outline {
        let (side, top) = (self.outside_width() / 2.0 - set_in, self.top() - set_in);
        let bottom = set_in - self.below;
        // A 45 degree corner of leg c keeps its distance from its neighbours when its leg becomes
        // c - (2 - sqrt 2) of what it is set in by.
        let corner = UPRIGHT_EDGE - set_in * (2.0 - 2f64.sqrt());
        let corners = [
            [side - corner, bottom],
            [side, bottom + corner],
            [side, top - corner],
            [side - corner, top],
        ];
        mirrored(&corners)
    }

    /// y of the roof's line at x, moved outwards by `grown`.
    fn roof_at(&self, x: Length, grown: Length) -> Length {
        self.roof + self.width / 2.0 - x + grown * 2f64.sqrt()
    }
}

/// The polygon whose right half has these corners, from below upwards.
fn mirrored(right: &[[Length; 2]]) -> Outline {
    let left = right.iter().rev().map(|[x, y]| [-*x, *y]);
    Outline::Polygon(right.iter().copied().chain(left).collect())
}

/// An outline of this kind upside down, as the part stands that is turned over about x.
pub(super) fn turned_over(outline: Outline) -> Outline {
    match outline {
        Outline::Polygon(corners) => {
            let over = corners.into_iter().rev().map(|[x, y]| [x, -y]);
            Outline::Polygon(over.collect())
        }
        // Alike when turned over about x, or none of this house.
        Outline::Circle { .. }
        | Outline::Square { .. }
        | Outline::Hexagon { .. }
        | Outline::Rectangle { .. }
        | Outline::Keyed { .. }
        | Outline::Teardrop { .. }
        | Outline::Slotted { .. }
        | Outline::Ribbed { .. } => outline,
    }
}
