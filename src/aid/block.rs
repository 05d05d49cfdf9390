//! What aids are made of: blocks that stand on the bed, and what is cut from them. In mm, in a frame of
//! the bench whose w is counted from the bed.

use crate::assembly::Solid;
use crate::assembly::{Outline, Placed, Pose};
use crate::layout::elements::{Line, here, prism};
use crate::layout::proportions::{BED_EDGE, OVERCUT};
use crate::units::Length;

/// A rectangle, from one value to another on u and v.
pub(super) type Span2 = [[f64; 2]; 2];

/// The middle of a stretch, and how long it is.
fn middle([low, high]: [f64; 2]) -> (Length, Length) {
    (Length::mm((low + high) / 2.0), Length::mm(high - low))
}

/// A box from the bed to a height, which stands on a broken edge.
pub(super) fn standing(span: Span2, height: f64) -> Placed {
    let [(u, wide), (v, long)] = span.map(middle);
    let outline = |set_in: Length| Outline::Rectangle {
        x: wide - set_in * 2.0,
        y: long - set_in * 2.0,
    };
    Placed {
        pose: Pose::shift(u, v, Length::ZERO),
        solid: Solid::Prism(vec![
            (Length::ZERO, outline(BED_EDGE)),
            (BED_EDGE, outline(Length::ZERO)),
            (Length::mm(height), outline(Length::ZERO)),
        ]),
    }
}

/// A box that is cut away upwards from a height, right through.
pub(super) fn cut_above(span: Span2, from: f64, top: f64) -> Placed {
    let [(u, wide), (v, long)] = span.map(middle);
    let outline = Outline::Rectangle { x: wide, y: long };
    Placed {
        pose: Pose::shift(u, v, Length::ZERO),
        solid: prism(Length::mm(from), Length::mm(top) + OVERCUT, outline),
    }
}

/// A round hole through everything up to a height, its edge on the bed broken.
pub(super) fn hole([u, v]: [f64; 2], radius: f64, top: f64) -> Placed {
    let radius = Length::mm(radius);
    let line = Line::from(-OVERCUT, radius + BED_EDGE + OVERCUT)
        .to(BED_EDGE, radius)
        .to(Length::mm(top) + OVERCUT, radius);
    Placed {
        pose: Pose::shift(Length::mm(u), Length::mm(v), Length::ZERO),
        ..here(line.turned())
    }
}

/// A square-cornered hole through everything up to a height, its edge on the bed broken.
pub(super) fn window(span: Span2, top: f64) -> Placed {
    let [(u, wide), (v, long)] = span.map(middle);
    let outline = |wider: Length| Outline::Rectangle {
        x: wide + wider * 2.0,
        y: long + wider * 2.0,
    };
    Placed {
        pose: Pose::shift(u, v, Length::ZERO),
        solid: Solid::Prism(vec![
            (-OVERCUT, outline(BED_EDGE + OVERCUT)),
            (BED_EDGE, outline(Length::ZERO)),
            (Length::mm(top) + OVERCUT, outline(Length::ZERO)),
        ]),
    }
}
