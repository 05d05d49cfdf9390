//! A round head with a hole across it for a bar.
//!
//! Print frame: its end face lies on the bed, the hole lies along x.

use super::dial::Dial;
use super::{Feature, Head, OnTop, Seat, Solids, Words, no_deeper, wider_round};
use crate::assembly::{Fastener, PartId, Placed, Tool};
use crate::kit::{self, KeyPath, Kit, key};
use crate::layout::elements::{Along, Bore, Line, LyingHole};
use crate::layout::letters::{Panel, on_end};
use crate::layout::limits::{Bound, typed_step};
use crate::layout::member::Members;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::stroke::given;
use crate::thread::{Hand, Thread};
use crate::units::{Length, Torque};
use crate::units_told::Told;

/// The bar where the kit says none: common practice for small vices, and a stock size of either system.
const BAR: Length = Length::mm(6.0);
/// See there.
const INCH_BAR: Length = Length::inches(0.25);
/// Room of the bar in its hole, a side. Guess: it goes in and out by hand for ever, however the hole's
/// roof sags.
const BAR_ROOM: Length = Length::mm(0.3);
/// A head is wider than its thread by this. Guess: a fillet, and a wall of nine lines beside it.
const OVER_THREAD: Length = Length::mm(14.0);
/// What stands over and under the hole. Guess: seven lines.
const AROUND_HOLE: Length = Length::mm(3.0);
/// A bar reaches so many of the head's diameters. Guess: by two fingers at either end.
const BAR_LENGTH: f64 = 2.0;

/// A round head with a hole for a bar.
pub(super) struct Tommy {
    diameter: Length,
    height: Length,
    bar: Length,
    /// What a hand may turn it with.
    torque: Torque,
    on_top: OnTop,
}

impl Tommy {
    /// As the kit has it; what it leaves open follows from thread and bar.
    pub(super) fn new(kit: &Kit, said: &kit::Tommy, drive: &Thread, on_top: OnTop) -> Self {
        let bar = given(&said.bar).unwrap_or(if kit.inches { INCH_BAR } else { BAR });
        Self {
            diameter: given(&said.diameter).unwrap_or(drive.major() + OVER_THREAD),
            height: given(&said.height).unwrap_or_else(|| least_height(bar).up_to(*kit.layer)),
            bar,
            torque: *kit.hand_torque,
            on_top,
        }
    }

    fn hole(&self) -> LyingHole {
        let bore = Bore::new(hole_diameter(self.bar), None);
        LyingHole {
            along: Along::X,
            beside: Length::ZERO,
            height: self.height / 2.0,
            reach: self.diameter / 2.0,
            sides: [bore, bore],
            mouth: EDGE,
        }
    }

    /// How long a bar is good for it.
    fn bar_length(&self) -> Length {
        (self.diameter * BAR_LENGTH).up_to(Length::mm(10.0))
    }
}

fn hole_diameter(bar: Length) -> Length {
    bar + BAR_ROOM * 2.0
}

/// From the hole's axis to the highest of it: of a teardrop its ceiling.
fn over_axis(bar: Length) -> Length {
    let radius = hole_diameter(bar) / 2.0;
    match radius * 2.0 > ROUND_LYING_HOLE {
        true => {
            radius * 2f64.sqrt() - (radius * (TEARDROP_CEILING / 2.0)).min(LONGEST_CEILING / 2.0)
        }
        false => radius,
    }
    .max(radius)
}

/// The hole lies half-way up.
fn least_height(bar: Length) -> Length {
    (over_axis(bar) + AROUND_HOLE) * 2.0
}

impl Feature for Tommy {
    fn solids(&self) -> Solids {
        let (radius, height) = (self.diameter / 2.0, self.height);
        let line = Line::from(Length::ZERO, radius - EDGE).to(EDGE, radius);
        let line = match self.on_top {
            OnTop::Shaft => line.to(height - EDGE, radius).to(height, radius - EDGE),
            OnTop::Dial => line.to(height, radius),
        };
        Solids {
            base: line.turned(),
            within: Vec::new(),
            joined: Vec::new(),
            cut: self.hole().tools(),
            ways: 1,
        }
    }

    fn marks(&self, hand: Hand) -> Vec<Placed> {
        self.on_top.marks(hand, self.diameter / 2.0, self.height)
    }

    fn words(&self) -> Words {
        Words {
            name: "head",
            marked: "the side of the head, between the ends of its hole",
            underside: "the underside of the head",
        }
    }

    fn tools(&self, told: Told) -> Vec<Tool> {
        let length = self.bar_length();
        let each = self.torque / length;
        vec![Tool::new(
            "round bar",
            format!(
                "{} across and about {} long, through the drive screw's head: at a stop push at its \
                 ends with no more than {} each; draw it out when you let go, for a longer one breaks \
                 the drive screw",
                told.length(self.bar, 2),
                told.length(length, 0),
                told.forces([each, each]),
            ),
        )]
    }

    fn fasteners(&self, _: Told) -> Vec<Fastener> {
        Vec::new()
    }

    // What the hole leaves is thicker than the shaft.
    fn members(&self, _: PartId, _: Length, _: &mut Members) {}

    fn recipe(&self) -> Recipe {
        let Self {
            diameter,
            height,
            bar,
            // Said, not drawn.
            torque: _,
            on_top: _,
        } = self;
        vec![
            ("head's diameter", *diameter),
            ("head height", *height),
            ("bar through the head", *bar),
        ]
    }

    fn bounds(&self, shaft: Length) -> Vec<Bound> {
        // Beside the hole as much stands of the head as beside a shaft of its width.
        let beside = hole_diameter(self.bar) + (EDGE + AROUND_HOLE) * 2.0;
        vec![
            Bound::least(
                "head's diameter",
                key::HEAD_DIAMETER.name(),
                self.diameter,
                (shaft + EDGE * 4.0).max(beside),
                "it must hold the shaft's foot and the hole for the bar",
            ),
            Bound::least(
                "head's height",
                key::HEAD_HEIGHT.name(),
                self.height,
                least_height(self.bar),
                "walls over and under the hole for the bar",
            ),
        ]
    }
}

impl Head for Tommy {
    fn height(&self) -> Length {
        self.height
    }

    fn around(&self) -> Length {
        self.diameter
    }

    fn bore_room(&self) -> Length {
        self.height / 2.0 - over_axis(self.bar) - FLOOR_UNDER_BORE
    }

    fn deeper(&self, kit: &Kit, room: Length) -> String {
        let height = (room + over_axis(self.bar) + FLOOR_UNDER_BORE) * 2.0;
        if height > key::HEAD_HEIGHT.limits.most {
            return no_deeper();
        }
        let told = kit.told().length(height.up_to(typed_step(kit)), 2);
        format!(
            "set {} to at least {told}, or shorten `stroke`",
            key::HEAD_HEIGHT.name()
        )
    }

    fn seat(&self) -> Seat {
        Seat::on_round(self.diameter / 2.0)
    }

    fn panels(&self) -> Vec<Panel> {
        vec![on_end(self.diameter - EDGE * 2.0)]
    }

    fn wider(&self, radius: Length, step: Length) -> Vec<(KeyPath, Length)> {
        vec![wider_round(radius, step)]
    }

    fn dial(&self) -> Option<&Dial> {
        None
    }
}
