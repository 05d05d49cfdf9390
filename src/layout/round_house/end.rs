//! What the carriage of a round house works with: sizes of ears and jaws, and what each end they add to
//! carriage and keeper.
//!
//! Ears and the moving jaw stand on the far end of the carriage's own ears and come out through the
//! slots; the fixed jaw stands on the keeper's flange beside the frame.

use super::added::{Additions, WITHIN, block};
use crate::assembly::{Fastener, Outline, Perimeters, Placed, Pose};
use crate::kit::{self, Kit, Said};
use crate::layout::elements::{here, prism, under_bed};
use crate::layout::feature::bolt::{self, M4};
use crate::layout::feature::foot::Above;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::round_house::press::{self, Press, Yoke};
use crate::layout::round_house::rod::PushRod;
use crate::units::Length;
use crate::units_told::Told;

/// Ears and jaws stand off the frame's face by this. Guess: what a slide needs, five times.
const OFF_THE_FRAME: Length = Length::mm(1.0);
/// Sides of the axis on which an ear with a bolt hole stands.
const EAR_SIDES: [f64; 2] = [-1.0, 1.0];
/// Ears come out of the frame's face by this: a nut of the bolt turns on them, and a wall is left
/// around its hole. Guess.
const EAR_OUT: Length = Length::mm(12.0);
/// The bolt stands beside the frame's face by this: its nut and washer clear it (ISO 7089: 9 across
/// for M4). Guess.
const BOLT_OUT: Length = Length::mm(6.0);
/// Thickness of an ear: the most, and the least that holds a bolt. Guess.
const EAR_THICK: [Length; 2] = [Length::mm(6.0), Length::mm(12.0)];
/// Above an ear or a jaw's web the way to the pins stays free: their mouth, what a tool for it
/// reaches out by, and half a millimetre. Derived.
const UNDER_PIN: Length = Length::mm(2.5);

/// Depth of a jaw's face, away from the frame. Guess: a fingertip.
const JAW_DEPTH: Length = Length::mm(14.0);
/// Width of a jaw. Guess.
const JAW_WIDTH: Length = Length::mm(24.0);
/// A jaw is wider than the ear that it stands on by this, so that no two faces of both lie in one
/// plane.
const JAW_OVER_EAR: Length = Length::mm(2.0);
/// Thickness of a jaw at its free end. Guess.
const JAW_THICK: Length = Length::mm(10.0);
/// Height of the web at the jaw's root: the least, and the most that ends on the jaw. Derived.
const JAW_ROOT: [Length; 2] = [Length::mm(11.0), Length::mm(22.0)];
/// Where the web ends in the jaw, above its face.
const WEB_ENDS: Length = Length::mm(8.0);
/// Flange of a keeper that carries a jaw. Guess: twice the common one.
const JAW_FLANGE: Length = Length::mm(8.0);
/// The fixed jaw comes this much nearer to the carriage's than the keeper's plug does: so the jaws
/// meet first.
const JAW_FIRST: Length = Length::mm(0.5);
/// Solids that are joined overlap by at least this.
const EMBEDDED: Length = Length::mm(4.0);
/// Below the bed, where all of a part that is joined of several solids is cut off.
const UNDER_BED: [Length; 3] = [Length::mm(2.0), Length::mm(1.5), Length::mm(1.0)];

/// What a carriage works with, sized.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) enum End {
    /// Its bare far face.
    Flush,
    /// Both ears, with bolt holes.
    Ears(Ears),
    /// A jaw on the +x ear, and a fixed one on the keeper.
    Jaw(Jaw),
    /// A steel rod.
    Rod(Box<PushRod>),
    /// The same, and a yoke with an anvil.
    Press(Box<Press>),
}

/// Ears that come out of the frame; lengths from the axis.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct Ears {
    /// Their ends.
    pub(in crate::layout) reach: Length,
    /// Their bolts.
    pub(in crate::layout) bolt: Length,
    /// Tt, from the carriage's far face.
    pub(in crate::layout) thickness: Length,
}

/// Jaws; lengths from the axis.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct Jaw {
    /// From where to where their faces go.
    pub(in crate::layout) face: [Length; 2],
    /// Across.
    pub(in crate::layout) width: Length,
    /// TJ, height of the moving jaw's web where it leaves the frame.
    pub(in crate::layout) root: Length,
    /// How far the fixed jaw's face stands out of the flange.
    pub(in crate::layout) rise: Length,
}

/// What of a house an end is sized by.
pub(super) struct Around {
    /// A.
    pub(super) frame_side: Length,
    /// be.
    pub(super) ear_width: Length,
    /// Of the pins through the ears, from the carriage's near face.
    pub(super) pin_depth: Length,
    /// Width of their holes.
    pub(super) pin_hole: Length,
    /// Greatest friction in the guide.
    pub(super) friction: f64,
    /// What of the carriage's length does not guide it.
    pub(super) edges: Length,
}

impl Around {
    /// From the near face to what may stand under the pins.
    fn above(&self) -> Length {
        self.pin_depth + self.pin_hole / 2.0 + UNDER_PIN
    }

    /// e, from the axis to the middle of a jaw's face.
    fn offset(&self) -> Length {
        self.frame_side / 2.0 + OFF_THE_FRAME + JAW_DEPTH / 2.0
    }

    /// The shortest carriage that holds an end, and is not tilted by it further than half of what
    /// would jam it: L / (2 mu) = 2 e.
    pub(super) fn least_carriage(&self, end: kit::End) -> Length {
        let [least_ear, _] = EAR_THICK;
        let [least_root, _] = JAW_ROOT;
        match end {
            kit::End::Flush | kit::End::Rod | kit::End::Press => Length::ZERO,
            kit::End::Ears => self.above() + least_ear,
            kit::End::Jaw => {
                let upright = self.offset() * (4.0 * self.friction) + self.edges + HAIR;
                upright.max(self.above() + least_root)
            }
        }
    }

    pub(super) fn ears(&self, carriage: Length) -> Ears {
        let half = self.frame_side / 2.0;
        let [_, most] = EAR_THICK;
        Ears {
            reach: half + EAR_OUT,
            bolt: half + BOLT_OUT,
            thickness: (carriage - self.above()).min(most),
        }
    }

    /// With the keeper's plug so long.
    pub(super) fn jaw(&self, carriage: Length, plug: Length, layer: Length) -> Jaw {
        let near = self.frame_side / 2.0 + OFF_THE_FRAME;
        let [_, most] = JAW_ROOT;
        Jaw {
            face: [near, near + JAW_DEPTH],
            width: jaw_width(self.ear_width),
            root: (carriage - self.above()).min(most),
            rise: (plug + JAW_FIRST).down_to(layer),
        }
    }
}

/// What keeps a length that is rounded to layers from falling short by rounding.
const HAIR: Length = Length::mm(0.01);

/// Least of the carriage behind its socket.
pub(super) fn least_floor(end: kit::End) -> Length {
    match end {
        kit::End::Flush | kit::End::Ears | kit::End::Jaw => Length::ZERO,
        kit::End::Rod | kit::End::Press => super::rod::SEAT + super::rod::OVER_SEAT,
    }
}

/// Half of the width of what is in the slots, comes out of them or stands beside the frame there, and
/// whether that passes over a foot's bolts.
pub(super) fn half_width(end: kit::End, ear: Length) -> (Length, Above) {
    match end {
        kit::End::Flush | kit::End::Rod => (ear / 2.0, Above::Slots),
        kit::End::Ears => (ear / 2.0, Above::Bolts),
        kit::End::Jaw => (jaw_width(ear) / 2.0, Above::Bolts),
        kit::End::Press => (press::half_width().max(ear / 2.0), Above::Bolts),
    }
}

fn jaw_width(ear: Length) -> Length {
    JAW_WIDTH.max(ear + JAW_OVER_EAR)
}

impl Ears {
    /// Least of their thickness, for a bound.
    pub(super) const LEAST: Length = EAR_THICK[0];
}

impl Jaw {
    /// Least height of its root, for a bound.
    pub(super) const LEAST: Length = JAW_ROOT[0];

    /// e, from the axis to the middle of its face.
    pub(in crate::layout) fn offset(&self) -> Length {
        let [near, far] = self.face;
        (near + far) / 2.0
    }
}

impl End {
    /// The rod that the carriage pushes.
    pub(super) fn rod(&self) -> Option<&PushRod> {
        match self {
            Self::Flush | Self::Ears(_) | Self::Jaw(_) => None,
            Self::Rod(rod) => Some(rod),
            Self::Press(press) => Some(&press.rod),
        }
    }

    /// The yoke against it.
    pub(super) fn yoke(&self) -> Option<&Yoke> {
        match self {
            Self::Flush | Self::Ears(_) | Self::Jaw(_) | Self::Rod(_) => None,
            Self::Press(press) => Some(&press.yoke),
        }
    }

    /// Thickness of the keeper's flange.
    pub(super) fn flange(&self) -> Length {
        match self {
            Self::Flush | Self::Ears(_) | Self::Rod(_) => KEEPER_FLANGE,
            Self::Jaw(_) => JAW_FLANGE,
            Self::Press(_) => press::FLANGE,
        }
    }

    /// How much is filled of a part that carries it, where the kit does not say: all with ears or a
    /// jaw, whose moment a few walls would not bear.
    pub(super) fn walls(&self, kit: &Kit, said: &Option<Said<Perimeters>>) -> Perimeters {
        match (self, said) {
            (_, Some(said)) => said.value,
            (Self::Ears(_) | Self::Jaw(_), None) => Perimeters::Solid,
            (Self::Flush | Self::Rod(_) | Self::Press(_), None) => Perimeters::Lines(*kit.walls),
        }
    }

    /// How far beside the axis it is loaded.
    pub(super) fn offset(&self) -> Length {
        match self {
            Self::Flush | Self::Ears(_) | Self::Rod(_) | Self::Press(_) => Length::ZERO,
            Self::Jaw(jaw) => jaw.offset(),
        }
    }

    /// Bolts of its ears, with their nuts and washers.
    pub(super) fn fasteners(&self, told: Told) -> Vec<Fastener> {
        match self {
            Self::Flush | Self::Jaw(_) | Self::Rod(_) | Self::Press(_) => Vec::new(),
            Self::Ears(ears) => bolt::of_ears(told, EAR_SIDES.len(), ears.thickness),
        }
    }

    /// What is said of a foot's bolts that its fixed jaw stands over; empty, or begun with a semicolon.
    pub(super) fn over_bolts(&self) -> &'static str {
        match self {
            Self::Flush | Self::Ears(_) | Self::Rod(_) | Self::Press(_) => "",
            Self::Jaw(_) => {
                "; the keeper's jaw stands over one at the keeper's end: put that through before the keeper \
                 goes in, and hold its head with an open spanner from the side"
            }
        }
    }

    /// What it adds to the carriage, whose far face lies on the bed; `ear` is the width and the reach
    /// of that one's own ears.
    pub(super) fn of_carriage(&self, height: Length, ear: [Length; 2]) -> Additions {
        match self {
            Self::Flush => Additions::default(),
            Self::Ears(ears) => ears.of_carriage(height, ear),
            Self::Jaw(jaw) => jaw.of_carriage(ear),
            Self::Rod(_) | Self::Press(_) => Additions {
                cut: self.rod().map(|rod| here(rod.seat())).into_iter().collect(),
                ..Additions::default()
            },
        }
    }

    /// What it adds to the keeper, whose flange lies on the bed.
    pub(super) fn of_keeper(&self, side: Length) -> Additions {
        match self {
            Self::Flush | Self::Ears(_) | Self::Rod(_) => Additions::default(),
            Self::Jaw(jaw) => jaw.of_keeper(side),
            Self::Press(press) => press.yoke.of_keeper(),
        }
    }

    /// How the carriage is told from its neighbours.
    pub(super) fn carriage_mark(&self) -> &'static str {
        match self {
            Self::Flush | Self::Ears(_) | Self::Rod(_) | Self::Press(_) => {
                "a V across one ear: pins go in at this ear"
            }
            Self::Jaw(_) => "a V across the ear with the jaw: pins go in at this ear",
        }
    }

    /// How the keeper is.
    pub(super) fn keeper_mark(&self) -> &'static str {
        match self {
            Self::Flush | Self::Ears(_) | Self::Rod(_) => {
                "one V on the flange's edge: to the frame's V side"
            }
            Self::Jaw(_) => {
                "one V on the flange's edge: to the frame's V side; its jaw then faces the carriage's"
            }
            Self::Press(_) => {
                "one V on the flange's edge: to the frame's V side; two wings, their stops then away from it"
            }
        }
    }

    /// What shapes it on the carriage.
    pub(super) fn carriage_recipe(&self) -> Recipe {
        match self {
            Self::Flush => Vec::new(),
            Self::Ears(Ears {
                reach,
                bolt,
                thickness,
            }) => vec![
                ("reach of the ears", *reach),
                ("bolt's place", *bolt),
                ("thickness of the ears", *thickness),
            ],
            Self::Jaw(jaw) => {
                let mut recipe = jaw.recipe();
                recipe.push(("root of the jaw", jaw.root));
                recipe
            }
            Self::Rod(rod) => rod.seat_recipe(),
            Self::Press(press) => press.rod.seat_recipe(),
        }
    }

    /// And on the keeper.
    pub(super) fn keeper_recipe(&self) -> Recipe {
        match self {
            Self::Flush | Self::Ears(_) | Self::Rod(_) => Vec::new(),
            Self::Jaw(jaw) => {
                let mut recipe = jaw.recipe();
                recipe.push(("rise of the jaw", jaw.rise));
                recipe
            }
            Self::Press(press) => press.yoke.keeper_recipe(),
        }
    }
}

impl Ears {
    /// The carriage's own ears, longer; what of them stands above the thickness is cut off.
    fn of_carriage(&self, height: Length, [width, inside]: [Length; 2]) -> Additions {
        let half = width / 2.0 + OVERCUT;
        let middle = (inside + self.reach + OVERCUT) / 2.0;
        let long = (self.reach + OVERCUT - inside) / 2.0;
        let mut cut = Vec::new();
        for side in EAR_SIDES {
            let off = Outline::Rectangle {
                x: long * 2.0,
                y: half * 2.0,
            };
            cut.push(Placed {
                pose: Pose::shift(middle * side, Length::ZERO, Length::ZERO),
                solid: prism(self.thickness, height + OVERCUT, off),
            });
            let hole = Outline::Circle { diameter: M4.hole };
            cut.push(Placed {
                pose: Pose::shift(self.bolt * side, Length::ZERO, Length::ZERO),
                solid: prism(-OVERCUT, self.thickness + OVERCUT, hole),
            });
        }
        Additions {
            reach: Some(self.reach),
            cut,
            genus: EAR_SIDES.len(),
            ..Additions::default()
        }
    }
}

impl Jaw {
    /// A neck on the ear, the jaw on the neck, and a web at 45 degrees above both.
    fn of_carriage(&self, [ear, inside]: [Length; 2]) -> Additions {
        let [body, under_neck, jaw] = UNDER_BED;
        let [near, far] = self.face;
        let from = inside - EMBEDDED;
        let neck = along_x(
            [from, near + OVERCUT * 2.0],
            ear - WITHIN,
            -under_neck,
            JAW_THICK - WITHIN,
        );
        let face = along_x(self.face, self.width, -jaw, JAW_THICK);
        // At 45 degrees from the root down, on into the ear and into the jaw.
        let line = |x: Length| self.root - (x - inside);
        let ends = (inside + self.root - WEB_ENDS).min(far - OVERCUT);
        let low = JAW_THICK / 2.0;
        let corners = [
            [from, low],
            [ends, low],
            [ends, line(ends)],
            [from, line(from)],
        ];
        let web = upright(&corners, (ear - WITHIN * 2.0) / 2.0);
        Additions {
            reach: None,
            below: body,
            joined: vec![neck, face, web],
            cut: vec![under_bed(far)],
            genus: 0,
        }
    }

    /// An arm beside the flange, and the jaw standing on it.
    fn of_keeper(&self, side: Length) -> Additions {
        let [body, under_arm, jaw] = UNDER_BED;
        let [_, far] = self.face;
        let arm = along_x(
            [side / 2.0 - EMBEDDED, far - WITHIN * 2.0],
            self.width - WITHIN * 2.0,
            -under_arm,
            JAW_FLANGE - WITHIN / 2.0,
        );
        let face = along_x(self.face, self.width, -jaw, JAW_FLANGE + self.rise);
        Additions {
            reach: None,
            below: body,
            joined: vec![arm, face],
            cut: vec![under_bed(far)],
            genus: 0,
        }
    }

    fn recipe(&self) -> Recipe {
        let Self {
            face: [near, far],
            width,
            root: _,
            rise: _,
        } = self;
        vec![
            ("jaw from", *near),
            ("jaw to", *far),
            ("width of the jaw", *width),
        ]
    }
}

/// A block along x, its lower edges broken at z = 0, that goes on below.
fn along_x([from, to]: [Length; 2], width: Length, below: Length, top: Length) -> Placed {
    Placed {
        pose: Pose::shift((from + to) / 2.0, Length::ZERO, Length::ZERO),
        solid: block([to - from, width], below, top),
    }
}

/// A prism along y with these corners in x and z, counter-clockwise, from -half to half.
fn upright(corners: &[[Length; 2]], half: Length) -> Placed {
    let count = corners.len() as f64;
    let mean = |axis: usize| -> Length {
        let sum: Length = corners.iter().map(|corner| corner[axis]).sum();
        sum / count
    };
    let [x, z] = [mean(0), mean(1)];
    let centred = corners.iter().map(|[cx, cz]| [*cx - x, *cz - z]);
    // Local x, y, z to x, z, -y.
    let pose =
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(x, Length::ZERO, z);
    Placed {
        pose,
        solid: prism(-half, half, Outline::Polygon(centred.collect())),
    }
}
