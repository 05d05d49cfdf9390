//! A hexagon for a spanner or a socket.
//!
//! Print frame: its end face lies on the bed.

use super::dial::Dial;
use super::{BELOW_SEAT, Feature, Head, OnTop, Seat, Solids, Words, no_deeper};
use crate::assembly::{Fastener, Outline, PartId, Placed, Solid, Tool};
use crate::kit::spanner::{INCH_FLATS, METRIC_FLATS};
use crate::kit::{self, KeyPath, Kit, key};
use crate::layout::elements::{Line, prism};
use crate::layout::letters::{Panel, on_end};
use crate::layout::limits::Bound;
use crate::layout::member::Members;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::stroke::given;
use crate::thread::{Hand, Thread};
use crate::units::Length;
use crate::units_told::Told;

/// A hexagon's width across flats is at least this many major diameters (common practice).
const FLATS_PER_DIAMETER: f64 = 1.45;
/// A head's height is at least this many major diameters (common practice: 0.6 to 0.65).
const HEAD_HEIGHT_PER_DIAMETER: f64 = 0.6;
/// And at least this.
const LEAST_HEAD_HEIGHT: Length = Length::mm(8.0);
/// A hexagon is drawn this much smaller, so that a socket goes on.
const SPANNER_EASE: Length = Length::mm(0.15);
/// The bed edge of a head starts this much narrower than its flats.
const HEAD_BED_EDGE: Length = Length::mm(0.8);
/// A hexagon.
pub(super) struct Hexagon {
    /// AF, as its spanner is called.
    across_flats: Length,
    /// k.
    height: Length,
    on_top: OnTop,
}

impl Hexagon {
    /// As the kit has it; what it leaves open follows from the thread.
    pub(super) fn new(kit: &Kit, said: &kit::Hexagon, drive: &Thread, on_top: OnTop) -> Self {
        let across_flats = given(&said.across_flats).unwrap_or_else(|| spanner(kit, drive));
        let height = given(&said.height).unwrap_or_else(|| {
            (drive.major() * HEAD_HEIGHT_PER_DIAMETER)
                .max(LEAST_HEAD_HEIGHT)
                .up_to(*kit.layer)
        });
        Self {
            across_flats,
            height,
            on_top,
        }
    }

    /// Across flats as drawn: a little less, so that a socket goes on.
    fn drawn(&self) -> Length {
        self.across_flats - SPANNER_EASE
    }
}

impl Feature for Hexagon {
    fn solids(&self) -> Solids {
        let (flats, height) = (self.drawn(), self.height);
        let hexagon = Outline::Hexagon {
            across_flats: flats,
        };
        Solids {
            base: prism(Length::ZERO, height, hexagon),
            within: vec![bed_edge(flats, height)],
            joined: Vec::new(),
            cut: Vec::new(),
            ways: 0,
        }
    }

    fn marks(&self, hand: Hand) -> Vec<Placed> {
        self.on_top.marks(hand, self.drawn() / 2.0, self.height)
    }

    fn words(&self) -> Words {
        Words {
            name: "hexagon",
            marked: "one flat of the hexagon",
            underside: "the underside of the hexagon",
        }
    }

    fn tools(&self, told: Told) -> Vec<Tool> {
        vec![Tool::new(
            "spanner",
            format!(
                "{} across flats, only to hold the hexagon: turn with your fingers, a spanner's \
                 length breaks it",
                told.length(self.across_flats, 2)
            ),
        )]
    }

    fn fasteners(&self, _: Told) -> Vec<Fastener> {
        Vec::new()
    }

    // A hexagon is thicker than the shaft that it stands on, which carries its torque.
    fn members(&self, _: PartId, _: Length, _: &mut Members) {}

    fn recipe(&self) -> Recipe {
        let Self {
            across_flats,
            height,
            on_top: _,
        } = self;
        vec![("hexagon", *across_flats), ("head height", *height)]
    }

    fn bounds(&self, shaft: Length) -> Vec<Bound> {
        vec![
            Bound::least(
                "hexagon's width",
                key::HEAD_ACROSS_FLATS.name(),
                self.across_flats,
                shaft + EDGE * 2.0,
                "it must hold the shaft's foot",
            ),
            Bound::least(
                "head's height",
                key::HEAD_HEIGHT.name(),
                self.height,
                OVERCUT * 4.0,
                "the shaft is embedded in it",
            ),
        ]
    }
}

impl Head for Hexagon {
    fn height(&self) -> Length {
        self.height
    }

    fn around(&self) -> Length {
        self.across_flats * (2.0 / 3f64.sqrt())
    }

    fn bore_room(&self) -> Length {
        self.height - FLOOR_UNDER_BORE
    }

    fn deeper(&self, _: &Kit, _: Length) -> String {
        no_deeper()
    }

    // As wide as its corners, so that no frame is wider for it.
    fn seat(&self) -> Seat {
        Seat {
            foot: self.drawn() / 2.0 - BELOW_SEAT,
            radius: self.around() / 2.0,
        }
    }

    fn wider(&self, radius: Length, step: Length) -> Vec<(KeyPath, Length)> {
        let wide = radius * 3f64.sqrt();
        vec![(key::HEAD_ACROSS_FLATS.name(), wide.up_to(step))]
    }

    fn dial(&self) -> Option<&Dial> {
        None
    }

    fn panels(&self) -> Vec<Panel> {
        vec![on_end(self.drawn() - HEAD_BED_EDGE)]
    }
}

/// A cone that breaks the hexagon's corners at the bed, clear of it above.
fn bed_edge(flats: Length, height: Length) -> Solid {
    let start = (flats - HEAD_BED_EDGE) / 2.0;
    let clear = flats;
    Line::from(-OVERCUT, start - OVERCUT)
        .to(clear - start, clear)
        .to((clear - start).max(height) + OVERCUT, clear)
        .turned()
}

/// The first spanner size that is wide enough for a screw's head, or a nut, of a thread.
pub(in crate::layout) fn spanner(kit: &Kit, drive: &Thread) -> Length {
    let least = drive.major() * FLATS_PER_DIAMETER;
    let sizes: Vec<Length> = if kit.inches {
        INCH_FLATS
            .iter()
            .map(|size| Length::inches(*size))
            .collect()
    } else {
        METRIC_FLATS.iter().map(|size| Length::mm(*size)).collect()
    };
    sizes
        .into_iter()
        .find(|size| *size >= least)
        .unwrap_or(least)
}
