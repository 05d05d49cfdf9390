//! A foot: two flanges along a frame's underside with bolt holes, for a frame along z whose underside
//! is its -y side.

use super::bolt::M5;
use crate::assembly::{Fastener, Outline, Placed, Pose, Solid};
use crate::layout::elements::{here, prism};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;
use crate::units_told::Told;

/// The flanges stand out of the frame's sides by this: a washer of an M5 bolt (10 across, ISO 7089)
/// with two millimetres on either side. Guess.
const OUT: Length = Length::mm(14.0);
/// Thickness of a flange. Guess.
const THICK: Length = Length::mm(8.0);
/// Of a frame that is printed standing the foot stands out of the underside by this, so that the keeper's
/// flange does not touch the table. Guess.
const PROUD: Length = Length::mm(1.0);
/// A flange is embedded in the frame beside its corner by this.
const EMBEDDED: Length = Length::mm(2.5);
/// Bolts stand beside the frame's sides by this, and so far from its ends. Guess.
const BOLT: [Length; 2] = [Length::mm(7.5), Length::mm(12.0)];
/// Between a flange and what comes out of the frame over it. Guess.
const OVER: Length = Length::mm(2.0);
/// Between the heads of its bolts and what passes over them. Guess: what a slide needs, five times.
const OVER_HEADS: Length = Length::mm(1.0);
/// Between a flange and the broken mouth of a pin's hole. Guess.
const UNDER_MOUTH: Length = Length::mm(0.5);
/// The foot ends this far before the frame does.
const SHORT: Length = Length::mm(1.0);
/// Below the bed, where frame and foot are cut off together.
pub(in crate::layout) const UNDER_BED: [Length; 2] = [Length::mm(2.0), Length::mm(1.5)];
/// Four holes.
pub(in crate::layout) const WAYS_THROUGH: usize = 4;

/// A foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct Foot {
    /// From the axis to the frame's sides.
    pub(in crate::layout) half: Length,
    /// From the axis to its underside.
    pub(in crate::layout) under: Length,
    /// Its length, from z = 0.
    pub(in crate::layout) length: Length,
}

/// What of a mechanism may stand over a foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::layout) enum Above {
    /// Slots in the frame's sides, and what stays in them.
    Slots,
    /// What comes out of them, over the heads of the foot's bolts.
    Bolts,
}

/// From the axis to the underside at the least, below what is in the sides or comes out of them so far
/// below it.
pub(in crate::layout) fn least_under(out_of_sides: Length, above: Above) -> Length {
    let over = match above {
        Above::Slots => OVER,
        Above::Bolts => M5.head_and_washer() + OVER_HEADS,
    };
    out_of_sides + over + THICK - PROUD
}

/// The same below pin holes in the sides, whose mouths end so far below the axis.
pub(in crate::layout) fn least_under_mouths(mouths: Length) -> Length {
    mouths + UNDER_MOUTH + THICK
}

/// From the axis to the sides at the least, beside pin holes in the underside, whose mouths end so far
/// beside the axis.
pub(in crate::layout) fn least_half(mouths: Length) -> Length {
    mouths + EMBEDDED
}

/// How far a foot reaches out of the frame's sides.
pub(in crate::layout) fn out() -> Length {
    OUT
}

/// What it adds to a frame's mark, after a semicolon.
pub(in crate::layout) fn mark(told: Told) -> String {
    format!(
        "; a foot with holes for {} bolts on its underside",
        M5.thread(told)
    )
}

/// What bolts it down; `first` is said of bolts that must go in before a part does.
pub(in crate::layout) fn fasteners(told: Told, first: &str) -> Vec<Fastener> {
    let long = format!(
        "long enough for the flange's {}, a washer and your bench{first}",
        told.length(THICK, 1)
    );
    vec![
        M5.bolts(told, ["foot-bolt", "bolt of the foot"], WAYS_THROUGH, &long),
        M5.washers(
            told,
            ["foot-washer", "washer of the foot"],
            WAYS_THROUGH,
            "one under each bolt's head",
        ),
    ]
}

impl Foot {
    /// What shapes it beside the frame.
    pub(in crate::layout) fn recipe() -> Recipe {
        vec![("foot", OUT)]
    }

    /// Flanges of a frame that is printed standing on z = 0; they are cut off there with it.
    pub(in crate::layout) fn standing(&self) -> [Placed; 2] {
        let [_, below] = UNDER_BED;
        let (wide, middle) = self.across();
        let y = THICK / 2.0 - self.under - PROUD;
        let outline = |set_in: Length| Outline::Rectangle {
            x: wide - set_in * 2.0,
            y: THICK - set_in * 2.0,
        };
        let solid = Solid::Prism(vec![
            (-below, outline(BED_EDGE)),
            (Length::ZERO, outline(BED_EDGE)),
            (BED_EDGE, outline(Length::ZERO)),
            (self.length - SHORT, outline(Length::ZERO)),
        ]);
        [-1.0, 1.0].map(|side| Placed {
            pose: Pose::shift(middle * side, y, Length::ZERO),
            solid: solid.clone(),
        })
    }

    /// Flanges of a frame that is printed lying on its underside, drawn as it stands; they are flush with
    /// that, and go on below it.
    pub(in crate::layout) fn lying(&self) -> [Placed; 2] {
        let [_, below] = UNDER_BED;
        let (wide, middle) = self.across();
        let high = THICK + below;
        let outline = Outline::Rectangle { x: wide, y: high };
        let y = high / 2.0 - self.under - below;
        [-1.0, 1.0].map(|side| Placed {
            pose: Pose::shift(middle * side, y, Length::ZERO),
            solid: prism(SHORT, self.length - SHORT, outline.clone()),
        })
    }

    /// All that is below the underside.
    pub(in crate::layout) fn under_bed(&self) -> Placed {
        let [body, _] = UNDER_BED;
        let high = body + OVERCUT;
        let outline = Outline::Rectangle {
            x: (self.half + OUT + OVERCUT) * 2.0,
            y: high,
        };
        let mut below = here(prism(-OVERCUT, self.length + OVERCUT, outline));
        below.pose = Pose::shift(Length::ZERO, -self.under - high / 2.0, Length::ZERO);
        below
    }

    /// Its bolt holes, along y.
    pub(in crate::layout) fn holes(&self) -> Vec<Placed> {
        let [beside, from_end] = BOLT;
        let hole = Outline::Circle { diameter: M5.hole };
        let under = self.under + UNDER_BED[0];
        let mut holes = Vec::new();
        for side in [-1.0, 1.0] {
            for z in [from_end, self.length - from_end] {
                // Local x, y and z to x, z and -y.
                let pose = Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
                    (self.half + beside) * side,
                    Length::ZERO,
                    z,
                );
                holes.push(Placed {
                    pose,
                    solid: prism(self.under - THICK - OVERCUT, under + OVERCUT, hole.clone()),
                });
            }
        }
        holes
    }

    /// Width of a flange, and from the axis to its middle.
    fn across(&self) -> (Length, Length) {
        let (from, to) = (self.half - EMBEDDED, self.half + OUT);
        (to - from, (from + to) / 2.0)
    }
}
