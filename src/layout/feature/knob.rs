//! A knob for fingers: round, with hollows for the tips of fingers around it.
//!
//! Print frame: its end face lies on the bed. A hollow between two lobes runs out at 45 degrees below
//! a dial, so that nothing hangs.

use super::dial::Dial;
use super::{Feature, Head, OnTop, Seat, Solids, Words, no_deeper, wider_round};
use crate::assembly::{Fastener, PartId, Placed, Pose, Solid, Tool};
use crate::kit::{self, KeyPath, Kit, key};
use crate::layout::elements::Line;
use crate::layout::letters::{Panel, on_end};
use crate::layout::limits::Bound;
use crate::layout::member::Members;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::stroke::given;
use crate::thread::{Hand, Thread};
use crate::units::{Angle, Length};
use crate::units_told::Told;
use std::f64::consts::PI;

/// A knob is wider than its thread by this: about as wide as the frame that it turns before, so that it
/// turns on a table and no frame is wider for it (derived: guide and two walls of the common round
/// house, less what it stands inside them).
const OVER_THREAD: Length = Length::mm(18.0);
/// Height of a knob. Guess: what the tips of two fingers take hold of.
const HEIGHT: Length = Length::mm(14.0);
/// The common distance from lobe to lobe. Guess: a finger's width.
const LOBE: Length = Length::mm(20.0);
/// Fewest and most lobes. Guess.
const LOBES: [f64; 2] = [5.0, 12.0];
/// Radius of a hollow as a share of the distance from lobe to lobe. Guess.
const HOLLOW: f64 = 0.35;
/// Its depth as a share of its radius. Guess: deep enough to hold by, shallow enough to leave no thin
/// lobe.
const HOLLOW_DEPTH: f64 = 0.3;
/// The edge towards the frame is broken by this more than the hollows are deep, so that they run out in
/// it.
const BEYOND_HOLLOW: Length = Length::mm(0.5);
/// Between the end of a hollow and a dial. Guess: two walls of a printed line.
const UNDER_DIAL: Length = Length::mm(1.5);
/// Of the hollows at the least what fingers hold by. Guess.
const LEAST_GRIP: Length = Length::mm(2.0);

/// A knob.
pub(super) struct Knob {
    /// Dk, across its lobes.
    diameter: Length,
    height: Length,
    on_top: OnTop,
}

impl Knob {
    /// As the kit has it; what it leaves open follows from the thread.
    pub(super) fn new(kit: &Kit, said: &kit::Knob, drive: &Thread, on_top: OnTop) -> Self {
        Self {
            diameter: given(&said.diameter).unwrap_or(drive.major() + OVER_THREAD),
            height: given(&said.height).unwrap_or(HEIGHT.up_to(*kit.layer)),
            on_top,
        }
    }

    fn radius(&self) -> Length {
        self.diameter / 2.0
    }

    fn lobes(&self) -> f64 {
        let [least, most] = LOBES;
        (self.diameter * PI / LOBE).round().clamp(least, most)
    }

    /// Radius of a hollow.
    fn hollow(&self) -> Length {
        self.diameter * PI / self.lobes() * HOLLOW
    }

    fn hollow_depth(&self) -> Length {
        self.hollow() * HOLLOW_DEPTH
    }

    /// What the edge towards the frame is broken by.
    fn top_edge(&self) -> Length {
        match self.on_top {
            OnTop::Shaft => self.hollow_depth() + BEYOND_HOLLOW,
            OnTop::Dial => Length::ZERO,
        }
    }

    fn body(&self) -> Solid {
        let (radius, height, top) = (self.radius(), self.height, self.top_edge());
        Line::from(Length::ZERO, radius - EDGE)
            .to(EDGE, radius)
            .to(height - top, radius)
            .to(height, radius - top)
            .turned()
    }

    /// What cuts one hollow, its own axis upright; its mouth on the bed is broken.
    fn cutter(&self) -> Solid {
        let (hollow, depth) = (self.hollow(), self.hollow_depth());
        let line = Line::from(-OVERCUT, hollow + (EDGE + OVERCUT)).to(EDGE, hollow);
        match self.on_top {
            OnTop::Shaft => line.to(self.height + OVERCUT, hollow).turned(),
            OnTop::Dial => {
                let end = self.height - UNDER_DIAL - depth;
                let beyond = depth + OVERCUT;
                line.to(end, hollow)
                    .to(end + beyond, hollow - beyond)
                    .turned()
            }
        }
    }

    /// The hollows, a lobe between two of them towards +y, where the marks stand.
    fn hollows(&self) -> Vec<Placed> {
        let (lobes, solid) = (self.lobes(), self.cutter());
        let out = self.radius() + self.hollow() - self.hollow_depth();
        let hollow = |index: usize| {
            let (sin, cos) = Angle::turns(0.25 + (index as f64 + 0.5) / lobes).sin_cos();
            Placed {
                pose: Pose::shift(out * cos, out * sin, Length::ZERO),
                solid: solid.clone(),
            }
        };
        (0..lobes as usize).map(hollow).collect()
    }
}

/// The least diameter of a knob whose hollows leave a radius. They grow with it, and are shallower the
/// more there are; what they leave only grows.
fn least_diameter(left: Length) -> Length {
    let [fewest, most] = LOBES;
    let of = |lobes: f64| {
        // From here on it has as many.
        let from = match lobes > fewest {
            true => LOBE * ((lobes - 0.5) / PI),
            false => Length::ZERO,
        };
        let share = 0.5 - PI / lobes * HOLLOW * HOLLOW_DEPTH;
        (left / share).max(from)
    };
    let counts = fewest as u32..=most as u32;
    counts.map(f64::from).map(of).fold(of(fewest), Length::min)
}

impl Feature for Knob {
    fn solids(&self) -> Solids {
        Solids {
            base: self.body(),
            within: Vec::new(),
            joined: Vec::new(),
            cut: self.hollows(),
            ways: 0,
        }
    }

    fn marks(&self, hand: Hand) -> Vec<Placed> {
        self.on_top.marks(hand, self.radius(), self.height)
    }

    fn words(&self) -> Words {
        Words {
            name: "knob",
            marked: "one lobe of the knob",
            underside: "the underside of the knob",
        }
    }

    // Fingers.
    fn tools(&self, _: Told) -> Vec<Tool> {
        Vec::new()
    }

    fn fasteners(&self, _: Told) -> Vec<Fastener> {
        Vec::new()
    }

    // A knob is thicker than the shaft that it stands on, which carries its torque.
    fn members(&self, _: PartId, _: Length, _: &mut Members) {}

    fn recipe(&self) -> Recipe {
        let Self {
            diameter,
            height,
            on_top: _,
        } = self;
        vec![("knob", *diameter), ("head height", *height)]
    }

    fn bounds(&self, shaft: Length) -> Vec<Bound> {
        let depth = self.hollow_depth();
        let least = least_diameter(shaft / 2.0 + EDGE + BEYOND_HOLLOW);
        let above = match self.on_top {
            OnTop::Shaft => BEYOND_HOLLOW,
            OnTop::Dial => UNDER_DIAL,
        };
        vec![
            Bound::least(
                "knob's diameter",
                key::HEAD_DIAMETER.name(),
                self.diameter,
                least,
                "what its hollows leave must hold the shaft's foot",
            ),
            Bound::least(
                "head's height",
                key::HEAD_HEIGHT.name(),
                self.height,
                EDGE + LEAST_GRIP + depth + above,
                "fingers must find its hollows, which run out at 45 degrees",
            ),
        ]
    }
}

impl Head for Knob {
    fn height(&self) -> Length {
        self.height
    }

    fn around(&self) -> Length {
        self.diameter
    }

    fn bore_room(&self) -> Length {
        self.height - FLOOR_UNDER_BORE
    }

    fn deeper(&self, _: &Kit, _: Length) -> String {
        no_deeper()
    }

    fn seat(&self) -> Seat {
        Seat::on_round(self.radius())
    }

    fn wider(&self, radius: Length, step: Length) -> Vec<(KeyPath, Length)> {
        vec![wider_round(radius, step)]
    }

    fn dial(&self) -> Option<&Dial> {
        None
    }

    // Within the hollows and their broken mouths.
    fn panels(&self) -> Vec<Panel> {
        vec![on_end((self.radius() - self.hollow_depth() - EDGE) * 2.0)]
    }
}
