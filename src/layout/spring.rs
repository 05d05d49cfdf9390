//! A bought preload spring in a pocket of a keeper: its room, its place, and what it presses on.
//!
//! The pocket lies in front of the keeper's pins and is deeper than the spring is long when its coils
//! touch, so that the carriage stops on the ring around it. Print frame of the spring: it stands on
//! z = 0; it is drawn as a tube as long as it is at its shortest, which is all that checks need of it.
//! Numbers: `docs/sizing.md`.

use super::build::{Builder, Name, Note};
use super::elements::{Line, here};
use super::limits::Bound;
use super::member::Preload;
use super::proportions::*;
use super::recipe::Recipe;
use super::words::going;
use crate::assembly::{
    Axis, Fit, InstanceId, Made, MotionKind, PartId, Perimeters, Pose, Shape, Step, Wording,
};
use crate::kit::{Kit, key};
use crate::strength::{CoilSpring, Winding};
use crate::units::{Force, Length};
use crate::units_told::{Told, number};
use std::f64::consts::PI;

/// The pocket is wider than the spring by this. Guess: half a millimetre a side, for a coil that is not
/// round and for the printed wall.
const AROUND_SPRING: Length = Length::mm(1.0);
/// The pocket is deeper than the solid spring by this, and so is the spring longer at the stop. Guess:
/// two layers, and what the wire may be thicker.
const OVER_SOLID: Length = Length::mm(0.7);
/// Least ring around the pocket, that stops the carriage. Guess: two broken edges and six lines of wall.
const RING: Length = Length::mm(3.5);
/// The spring stands on this much of the pocket's floor around the keeper's bore, wherever in the pocket
/// it stands: the bore is so much narrower than its inside. Guess.
const ON_FLOOR: Length = Length::mm(1.0);
/// Narrowest bore under a spring, which lets a caliper's rod pass (see the rule `keeper-bore`).
const BORE_UNDER_SPRING: Length = Length::mm(5.0);
/// It is drawn shorter than its room at the stop by this, so that no faces coincide.
const SHORT: Length = Length::mm(0.05);
/// It must be pressed by this at turn 0. Guess: what lengths of springs scatter by.
const PRESSED_AT_ZERO: Length = Length::mm(1.0);
/// Weight of a cubic millimetre of the heaviest filament that is known here, in newtons: 1.3 g/cm3
/// (common figures of data sheets), 9.806 65 m/s2.
const WEIGHT_OF_A_CUBIC_MM: f64 = 1.3e-6 * 9.806_65;

/// A spring in its pocket.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pocket {
    /// The spring.
    pub(super) coil: CoilSpring,
    /// hp, how deep it is.
    pub(super) depth: Length,
}

/// A spring in its pocket, pressed between its floor and the carriage; heights along the axis at turn 0.
pub(super) struct Sprung {
    /// Spring and pocket.
    pub(super) pocket: Pocket,
    /// The floor of the pocket.
    pub(super) floor: Length,
    /// The carriage's far face.
    pub(super) carriage: Length,
}

impl Sprung {
    /// From the pocket's floor to the carriage.
    fn at_zero(&self) -> Length {
        self.floor - self.carriage
    }

    /// Bounds in a plug that is so wide from side to side, around a bore at least so wide.
    pub(super) fn bounds(&self, plug: Length, bore: Length) -> [Bound; 2] {
        [self.pocket.of_width(plug, bore), self.of_length()]
    }

    /// Bound of its free length: loose at turn 0 it would take up nothing.
    fn of_length(&self) -> Bound {
        Bound::least(
            "spring's free length",
            key::SPRING_FREE.name(),
            self.pocket.coil.free,
            self.at_zero() + PRESSED_AT_ZERO,
            "at turn 0 it must be pressed between carriage and keeper",
        )
    }

    /// The piece, which stands on the floor of its pocket and is pressed by the carriage; and its part.
    pub(super) fn piece(
        &self,
        kit: &Kit,
        [keeper, carriage]: [InstanceId; 2],
        build: &mut Builder,
    ) -> (InstanceId, PartId) {
        let spring = self.pocket.piece(kit, keeper, self.floor, build);
        build.faces([carriage, spring], Fit::Stop, None);
        (spring, build.part_of(spring))
    }

    /// What it does to the carriage: it is pressed over the stroke, and holds what weighs so much.
    pub(super) fn preload(&self, part: PartId, stroke: Length, weight: Force) -> Preload {
        Preload {
            part,
            coil: self.pocket.coil,
            at_zero: self.at_zero(),
            at_end: self.at_zero() - stroke,
            at_stop: self.pocket.depth,
            weight,
        }
    }

    /// What is told where a keeper is pressed on against it.
    pub(super) fn held_down(&self, told: Told) -> String {
        let presses = self.pocket.coil.force_at(self.at_zero());
        format!(
            " The spring presses the keeper out with about {}: hold the flange down with both thumbs \
             until both pins are in, your face out of line with the spring, eye protection on.",
            told.fine_force(presses)
        )
    }
}

/// A spring goes in, before the keeper.
pub(super) fn goes_in([spring, carriage, frame]: [InstanceId; 3], text: &str) -> Wording {
    Wording {
        covers: vec![going(&[spring], MotionKind::Straight, Axis::Z, false, 0.0)],
        step: Step {
            action: "put the spring in".into(),
            pieces: vec![spring, carriage, frame],
            motion: None,
            eye: None,
            shows: None,
            text: text.into(),
            reason: "it stands in the keeper's pocket, which closes over it".into(),
        },
        state: None,
    }
}

impl Pocket {
    /// Of a kit that has a spring.
    pub(super) fn of(kit: &Kit) -> Option<Self> {
        let coil = kit.spring.as_ref()?.coil;
        Some(Self {
            coil,
            depth: (coil.solid() + OVER_SOLID).up_to(*kit.layer),
        })
    }

    /// Its depth, or nothing where there is none.
    pub(super) fn depth_of(pocket: Option<&Self>) -> Length {
        pocket.map_or(Length::ZERO, |pocket| pocket.depth)
    }

    /// Its diameter.
    pub(super) fn diameter(&self) -> Length {
        self.coil.outside + AROUND_SPRING
    }

    /// The widest bore through its floor on which the spring stands.
    pub(super) fn widest_bore(&self) -> Length {
        self.coil.inside() - ON_FLOOR
    }

    /// The narrowest spring that stands around a bore.
    fn narrowest_around(&self, bore: Length) -> Length {
        bore + ON_FLOOR + self.coil.wire * 2.0
    }

    /// Bounds of a spring in a plug that is so wide from side to side, around a bore at least so wide.
    fn of_width(&self, plug: Length, bore: Length) -> Bound {
        Bound {
            name: "spring's outside diameter",
            key: Some(key::SPRING_OUTSIDE.name()),
            value: self.coil.outside,
            least: Some(self.narrowest_around(bore.max(BORE_UNDER_SPRING))),
            most: Some(plug - RING * 2.0 - AROUND_SPRING),
            reason: "it stands on the floor of its pocket around the keeper's hole, and a ring of the \
                     keeper around it stops the carriage",
            no_room: "take a thinner `spring.wire`, or thicker threads".into(),
        }
    }

    /// Continues the contour of a keeper's bore that opens towards the carriage, print frame of the
    /// keeper: the pocket from its floor to the plug's end.
    pub(super) fn open(&self, bore: Line, radius: Length, end: Length) -> Line {
        let (floor, pocket) = (end - self.depth, self.diameter() / 2.0);
        bore.to(floor, radius)
            .to(floor, pocket)
            .to(end - BED_EDGE, pocket)
            .to(end + OVERCUT, pocket + BED_EDGE + OVERCUT)
    }

    /// What of it shapes the keeper.
    pub(super) fn recipe(&self) -> Recipe {
        vec![
            ("spring's pocket", self.diameter()),
            ("depth of the spring's pocket", self.depth),
        ]
    }

    /// A tube as long as the spring is when the carriage has stopped.
    fn shape(&self) -> Shape {
        let length = self.depth - SHORT;
        let tube = |from: Length, to: Length, across: Length| {
            let radius = across / 2.0;
            here(Line::from(from, radius).to(to, radius).turned())
        };
        let inside = tube(-OVERCUT, length + OVERCUT, self.coil.inside());
        Shape {
            base: tube(Length::ZERO, length, self.coil.outside),
            within: Vec::new(),
            joined: Vec::new(),
            cut: vec![inside],
            genus: 1,
        }
    }

    /// The piece, which stands on the floor of its pocket.
    fn piece(
        &self,
        kit: &Kit,
        keeper: InstanceId,
        floor: Length,
        build: &mut Builder,
    ) -> InstanceId {
        let CoilSpring {
            wire,
            outside,
            free,
            winding: _,
        } = self.coil;
        let note = Note {
            perimeters: Perimeters::Solid,
            stands: String::new(),
            more: "",
            mark: "either end first".into(),
            recipe: vec![
                ("wire", wire),
                ("outside diameter", outside),
                ("free length", free),
                ("depth of its pocket", self.depth),
            ],
            panels: Vec::new(),
        };
        let made = Made::Bought(shop_words(&self.coil, kit.told()));
        let part = build.part(Name::plain("spring"), made, self.shape(), note);
        let pose = Pose::shift(Length::ZERO, Length::ZERO, floor - (self.depth - SHORT));
        let piece = build.piece(part, "spring".into(), "spring".into(), pose);
        build.stands_on([piece, keeper]);
        piece
    }
}

/// The weight of plastic that fills cylinders of these diameters and lengths: no less than what is
/// printed in them.
pub(super) fn weight_of(cylinders: &[[Length; 2]]) -> Force {
    let volume = |[across, long]: &[Length; 2]| {
        PI / 4.0 * across.as_mm() * across.as_mm() * long.as_mm().max(0.0)
    };
    let volume: f64 = cylinders.iter().map(volume).sum();
    Force::newtons(volume * WEIGHT_OF_A_CUBIC_MM)
}

/// What to ask for in a shop.
fn shop_words(coil: &CoilSpring, told: Told) -> String {
    let size = |length| told.length(length, 2);
    let (rate, coils) = (told.spring_rate(coil.rate()), number(coil.coils(), 1));
    let stiff = match coil.winding {
        Winding::Coils(_) => format!("{coils} active coils, about {rate} in steel"),
        Winding::Rate(_) => format!("{rate}, no more than {coils} active coils"),
    };
    format!(
        "compression spring, wire {}, outside {}, free length {}, {stiff}; ends squared and ground, of \
         music wire",
        size(coil.wire),
        size(coil.outside),
        size(coil.free)
    )
}
