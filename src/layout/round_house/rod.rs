//! The steel rod that a carriage pushes through the keeper: bought, cut where no pin of that length
//! is stock, and pushed only.

use crate::assembly::{Constraint, Fit, Gap, InstanceId, Made, Perimeters, Pose, Shape, Solid};
use crate::layout::build::{Builder, Name, Note};
use crate::layout::elements::{Line, here};
use crate::layout::gaps::{Gaps, JointGapDrawn};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;
use crate::units_told::{fraction, number};

/// Diameters of rods, the thickest first: drawn bars and parallel pins that every shop has, metric
/// and inch. Thicker ones would span more of the bed under their seat's ceiling than a bridge should.
const METRIC: [Length; 3] = [Length::mm(6.0), Length::mm(5.0), Length::mm(4.0)];
/// See there.
const INCH: [Length; 3] = [
    Length::inches(0.25),
    Length::inches(0.1875),
    Length::inches(0.125),
];
/// Depth of its seat in the carriage. Guess: one diameter, so that it stands upright by itself.
pub(super) const SEAT: Length = Length::mm(6.0);
/// What is left above the seat. Guess: a wall of six lines.
pub(super) const OVER_SEAT: Length = Length::mm(3.0);
/// It stands out of the keeper by this at turn 0, at the least: a hand takes it there. Guess.
const PROUD: Length = Length::mm(3.0);
/// Lengths of parallel pins that are stock (ISO 2338, from memory): up to this many diameters.
const LONGEST_PIN: f64 = 10.0;
/// Stock lengths (ISO 2338, preferred lengths, from memory).
const STOCK: [f64; 13] = [
    20.0, 22.0, 24.0, 26.0, 28.0, 30.0, 32.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0,
];
/// Bars are cut to whole steps of this.
const CUT: Length = Length::mm(1.0);
/// Its ends are broken by this.
const CHAMFER: Length = Length::mm(0.5);

/// Gaps of the rod's joints.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct RodGaps {
    /// In its seat.
    pub(super) seat: JointGapDrawn,
    /// In the keeper, which guides it.
    pub(super) keeper: JointGapDrawn,
}

impl RodGaps {
    pub(super) fn new(gaps: &mut Gaps<'_>) -> Self {
        Self {
            seat: gaps.locate_bought("rod/carriage"),
            keeper: gaps.slide_bought("rod/keeper"),
        }
    }
}

fn series(inches: bool) -> [Length; 3] {
    match inches {
        true => INCH,
        false => METRIC,
    }
}

/// The rod.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct PushRod {
    pub(in crate::layout) diameter: Length,
    pub(in crate::layout) length: Length,
    /// Where it begins, at turn 0 in the assembly.
    pub(in crate::layout) start: Length,
    /// What to ask for in a shop.
    pub(in crate::layout) stock: String,
    pub(in crate::layout) gaps: RodGaps,
}

impl PushRod {
    /// The thickest that a hole of the keeper's widest takes; the thinnest where none does, for a
    /// bound to refuse.
    pub(super) fn thickness(widest: Length, inches: bool, gaps: &RodGaps) -> Length {
        let all = series(inches);
        let mut fits = all.into_iter();
        let [.., thinnest] = all;
        fits.find(|rod| *rod + gaps.keeper.allowed * 2.0 <= widest)
            .unwrap_or(thinnest)
    }

    /// From the seat's floor to beyond the keeper's outer face at turn 0.
    pub(super) fn new(
        diameter: Length,
        [start, outside]: [Length; 2],
        inches: bool,
        gaps: RodGaps,
    ) -> Self {
        let least = outside + PROUD - start;
        let (length, stock) = stock(diameter, least, inches);
        Self {
            diameter,
            length,
            start,
            stock,
            gaps,
        }
    }

    /// Its seat, open at the bed.
    pub(super) fn seat(&self) -> Solid {
        let radius = self.diameter / 2.0 + self.gaps.seat.drawn();
        Line::from(-OVERCUT, radius + BED_EDGE + OVERCUT)
            .to(BED_EDGE, radius)
            .to(SEAT, radius)
            .turned()
    }

    /// Radius of its seat's mouth.
    pub(super) fn mouth(&self) -> Length {
        self.diameter / 2.0 + self.gaps.seat.drawn() + BED_EDGE
    }

    pub(super) fn seat_recipe(&self) -> Recipe {
        vec![
            ("rod", self.diameter),
            ("gap of the rod's seat", self.gaps.seat.drawn()),
        ]
    }

    /// Diameter of the hole through the keeper.
    pub(super) fn keeper_bore(&self) -> Length {
        self.diameter + self.gaps.keeper.drawn() * 2.0
    }

    /// In its seat in the carriage, through the keeper.
    pub(super) fn piece(
        &self,
        carriage: InstanceId,
        keeper: InstanceId,
        build: &mut Builder,
    ) -> InstanceId {
        let part = build.part(
            Name::plain("rod"),
            Made::Bought(self.stock.clone()),
            self.shape(),
            Note {
                perimeters: Perimeters::Solid,
                stands: String::new(),
                more: "",
                mark: String::new(),
                recipe: vec![("diameter", self.diameter), ("length", self.length)],
                panels: Vec::new(),
            },
        );
        let rod = build.piece(part, "rod".into(), "rod".into(), self.pose());
        let seated = [rod, carriage];
        build.joint(
            seated,
            Fit::Locate,
            Constraint::Rigid,
            &self.gaps.seat,
            None,
        );
        build.faces(seated, Fit::Seat, Some(Gap::flat(Length::ZERO)));
        let guided = [rod, keeper];
        build.joint(
            guided,
            Fit::Slide,
            Constraint::Free,
            &self.gaps.keeper,
            None,
        );
        rod
    }

    /// It stands on the bed as in its seat.
    fn shape(&self) -> Shape {
        let (radius, long) = (self.diameter / 2.0, self.length);
        let rod = Line::from(Length::ZERO, radius - CHAMFER)
            .to(CHAMFER, radius)
            .to(long - CHAMFER, radius)
            .to(long, radius - CHAMFER);
        Shape {
            base: here(rod.turned()),
            within: Vec::new(),
            joined: Vec::new(),
            cut: Vec::new(),
            genus: 0,
        }
    }

    fn pose(&self) -> Pose {
        Pose::shift(Length::ZERO, Length::ZERO, self.start)
    }

    /// z of its far end, at turn 0.
    pub(super) fn end(&self) -> Length {
        self.start + self.length
    }

    /// How far it stands out of the keeper, whose outer face is there, at turn 0.
    pub(super) fn proud(&self, outside: Length) -> Length {
        self.end() - outside
    }
}

/// Length and name of what is bought: a parallel pin where one is stock, else a bar to cut.
fn stock(diameter: Length, least: Length, inches: bool) -> (Length, String) {
    let pin = STOCK.into_iter().map(Length::mm);
    let pin = pin
        .filter(|length| !inches && *length <= diameter * LONGEST_PIN)
        .find(|length| *length >= least);
    let mm = |length: Length| number(length.as_mm(), 2);
    if let Some(length) = pin {
        let name = format!(
            "parallel pin ISO 2338 - {} h8 x {} - St, or drawn steel bar of that diameter cut to it",
            mm(diameter),
            mm(length)
        );
        return (length, name);
    }
    match (inches, fraction(diameter)) {
        (true, Some(across)) => {
            let length = least.up_to(Length::inches(0.125));
            let long = number(length.as_inches(), 3);
            let name = format!(
                "drawn steel bar {across} in across, cut to {long} in ({} x {} mm), ends broken",
                mm(diameter),
                mm(length)
            );
            (length, name)
        }
        (true, None) | (false, _) => {
            let length = least.up_to(CUT);
            let name = format!(
                "drawn steel bar {} mm h9 (EN 10278), cut to {} mm, ends broken",
                mm(diameter),
                mm(length)
            );
            (length, name)
        }
    }
}
