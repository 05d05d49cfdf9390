//! The square house: a frame with a channel that is open at one end and has a slot on top, a carriage
//! with a rib in that slot and a nut in a pocket, a keeper with pins along x that closes the channel,
//! and a pin that stops the carriage at the rear. Whoever stands in it has a screw along its axis.
//!
//! Frame of the heights: +z from the drive head into the frame, z = 0 the frame's outer end face.
//! +y is the side of the slot, and pins go in from +x. Symbols in the comments are those of the
//! sizing tables in `docs/sizing.md`.

pub(super) mod carriage;
pub(super) mod end;
pub(super) mod frame;
pub(super) mod keeper;
mod limits;
pub(super) mod members;
pub(super) mod nut;
pub(super) mod pieces;
pub(super) mod section;
mod spring;
pub(super) mod steps;

use super::elements::Tapped;
use super::feature::Head;
use super::feature::foot::{self, Foot};
use super::gaps::{Gaps, JointGapDrawn};
use super::index::{Beside, IndexBar, IndexGaps, least_face};
use super::pins::Pins;
use super::proportions::*;
use super::spring::Pocket;
use super::stroke::{DriveThread, Stroke, given};
use crate::assembly::{Carriages, Fastener};
use crate::kit::{self, Kit};
use crate::thread::Thread;
use crate::units::Length;
use crate::units_told::Told;
use end::End;
use nut::Nut;
use section::{FRAME_WALL, Section};

/// From where to where a depth is read: a screw stands in the keeper's hole.
pub(super) const DEPTH_READ: &str = "in the slot, from the keeper's tongue to the carriage's rib";
/// Free passage of a screw in a bore, a side.
pub(super) const PASSAGE: Length = FREE_PASSAGE;
/// ts, least of the carriage beside what stands in it. Guess.
const SIDE_WALL: Length = Length::mm(4.0);
/// tw, the carriage in front of and behind its nut, at the least. Guess; docs/strength.md says what it
/// bears.
const LEAST_END_WALL: Length = Length::mm(6.0);
/// The same in diameters of the nut's thread: what breaks the thread's core then does not bend the
/// wall beyond its strength, however thick both are (derived, docs/strength.md).
const END_WALL_PER_THREAD: f64 = 0.3;
/// The roof stands so far above a bore. Guess: a wall of six lines.
const OVER_BORE: Length = Length::mm(3.0);
/// The rib's foot stands above the nut's corner and the keeper's pins by this. Guess.
const OVER_NUT: Length = Length::mm(1.0);
/// The keeper, and the frame's floor, around a pin's hole. Guess.
const AROUND_PIN: Length = Length::mm(2.0);
/// Between the keeper's bore and its pins: what the hole takes of the pin's room, and two lines.
/// Guess.
const BESIDE_BORE: Length = Length::mm(1.6);
/// The stop pin lies over the carriage's floor by this, so that no broken edge meets it. Guess.
const OVER_FLOOR: Length = Length::mm(0.3);
/// Between the thick thread and the stop pin, floor and hole included. Guess.
const UNDER_THREAD: Length = Length::mm(1.05);
/// A carriage is at least this many of its widths long, against tilting. Guess: a printed channel
/// is rougher than a bore.
pub(super) const SLENDERNESS: f64 = 1.5;
/// hk, the keeper's plug beyond its pin. Guess: two walls of nine lines.
const PLUG_OVER_PIN: Length = Length::mm(8.0);
/// What is said of a foot's bolts: pins go in above the flange.
const GO_IN_LAST: &str =
    "; they go in last, since the head of one may stand in the way of a keeper pin";
/// Flange of the keeper. Guess.
pub(super) const FLANGE: Length = Length::mm(5.0);
/// dp in a house for a thin thread; thicker ones get half a millimetre more. Guess.
const PIN: Length = Length::mm(5.0);
/// The same for those from here on. Guess.
const STOUT_THREAD: Length = Length::mm(18.0);

/// Gaps of the joints of a square house, one of its pins being its own: `stop_pin`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct HouseGaps {
    /// c: drive screw in the frame.
    pub(super) thread: JointGapDrawn,
    /// gs: carriage in its channel, a side.
    pub(super) slide: JointGapDrawn,
    /// gl: keeper in the frame.
    pub(super) keeper: JointGapDrawn,
    /// Of each keeper pin: where it is pressed into the frame, and through the keeper.
    pub(super) keeper_pins: [[JointGapDrawn; 2]; 2],
    /// Of the stop pin, pressed into the frame.
    pub(super) stop_pin: JointGapDrawn,
    /// Of the holes by which pins go in.
    pub(super) way_in: JointGapDrawn,
    /// cn: nut in its pocket, a flat.
    pub(super) pocket: JointGapDrawn,
    /// ga: end faces that carry a push.
    pub(super) seat: JointGapDrawn,
    /// Of the bar at which a dial is read.
    pub(super) index: Option<IndexGaps>,
}

impl HouseGaps {
    pub(super) fn new(gaps: &mut Gaps<'_>, drive: &Thread, bought_nut: bool) -> Self {
        Self {
            thread: gaps.thread("drive/frame", drive),
            slide: gaps.slide("carriage/frame"),
            keeper: gaps.locate_between_walls("keeper/frame"),
            keeper_pins: [
                [
                    gaps.press("keeper pin 1/frame"),
                    gaps.pin_through("keeper pin 1/keeper"),
                ],
                [
                    gaps.press("keeper pin 2/frame"),
                    gaps.pin_through("keeper pin 2/keeper"),
                ],
            ],
            stop_pin: gaps.press("stop pin/frame"),
            way_in: gaps.way_in(),
            pocket: match bought_nut {
                true => gaps.locate_bought_between_walls("nut/carriage"),
                false => gaps.locate_between_walls("nut/carriage"),
            },
            seat: gaps.seat(),
            index: IndexGaps::new(gaps),
        }
    }

    /// The thickest pin whose lying holes need no teardrop.
    fn thickest_pin(&self) -> Length {
        (ROUND_LYING_HOLE - self.way_in.allowed * 2.0).down_to(HALF)
    }

    /// Width of a lying pin hole.
    pub(super) fn pin_hole(&self, pin: Length) -> Length {
        pin + self.way_in.drawn() * 2.0
    }

    /// dp where the kit does not say.
    pub(super) fn pin_for(&self, thin: &Thread) -> Length {
        let stout = thin.major() >= STOUT_THREAD;
        let pin = PIN + if stout { HALF } else { Length::ZERO };
        pin.min(self.thickest_pin()).max(LEAST_PIN)
    }
}

/// What a layout asks of the house around its screws: all that passes through its section.
pub(super) struct Crossing<'a> {
    /// Thickest thread that passes the carriage's rear bore.
    pub(super) thick: &'a Thread,
    /// The thread in the nut, which passes the carriage and the keeper.
    pub(super) thin: &'a Thread,
    /// AF, across the nut's flats.
    pub(super) across_flats: Length,
    /// dp, of all pins.
    pub(super) pin: Length,
}

impl Crossing<'_> {
    /// The section that holds it all.
    pub(super) fn section(&self, kit: &Kit, gaps: &HouseGaps, head: &dyn Head) -> Section {
        let around = Around {
            bore: self.thick.major() / 2.0 + PASSAGE,
            across_flats: self.across_flats,
            pin: self.pin,
            keeper_pins: self.keeper_pins(),
            depth: self.thick.major() / 2.0 + self.pin + UNDER_THREAD,
            top: least_face(head, self.thick, &gaps.thread),
        };
        around.section(kit, gaps, head)
    }

    /// kp, of the keeper's pins above and below the axis.
    pub(super) fn keeper_pins(&self) -> Length {
        beside_bore(self.keeper_bore(), self.pin)
    }

    /// Diameter of the bore that lets the thin thread out at the far end.
    pub(super) fn keeper_bore(&self) -> Length {
        self.thin.major() + PASSAGE * 2.0
    }
}

/// Offset of pins above and below a bore through the keeper.
pub(super) fn beside_bore(bore: Length, pin: Length) -> Length {
    bore / 2.0 + BESIDE_BORE + pin / 2.0
}

/// hk, the keeper's plug: what the kit says, else what covers its pins, and a spring's pocket.
pub(super) fn keeper_plug(kit: &Kit, pin: Length, spring: Option<&Pocket>) -> Length {
    given(&kit.sizes.keeper_plug)
        .unwrap_or(pin + PLUG_OVER_PIN + Pocket::depth_of(spring))
        .up_to(*kit.layer)
}

/// What a section has to hold, by its lengths.
pub(super) struct Around {
    /// Radius of the carriage's widest bore.
    pub(super) bore: Length,
    /// AF, across the nut's flats.
    pub(super) across_flats: Length,
    /// dp, of all pins.
    pub(super) pin: Length,
    /// kp, of the keeper's pins above and below the axis.
    pub(super) keeper_pins: Length,
    /// Least depth of the floor below the axis.
    pub(super) depth: Length,
    /// Least height of the frame's top above it.
    pub(super) top: Length,
}

impl Around {
    /// The section that holds it all.
    pub(super) fn section(&self, kit: &Kit, gaps: &HouseGaps, head: &dyn Head) -> Section {
        let bore = self.bore;
        let pocket = self.across_flats + gaps.pocket.allowed * 2.0;
        let corner = self.across_flats / 3f64.sqrt();
        let keeper_pins = self.keeper_pins + self.pin / 2.0 + AROUND_PIN;
        let width = given(&kit.sizes.carriage_width)
            .unwrap_or_else(|| pocket.max(bore * 2.0).up_to(Length::mm(1.0)) + SIDE_WALL * 2.0);
        let floor = (corner + gaps.pocket.allowed).max(bore) + SIDE_WALL;
        let floor = floor.max(keeper_pins).max(self.depth);
        let rib = Section {
            width,
            floor: -floor,
            roof: Length::ZERO,
            slide: gaps.slide.drawn(),
            below: Length::ZERO,
        };
        // At 45 degrees the roof's distance from the axis is (ys + B/2) / sqrt 2.
        let over_bore = (bore + OVER_BORE) * 2f64.sqrt() - width / 2.0;
        // The pocket's sides meet the roof above the flats' upper ends.
        let over_flats = self.across_flats / 2.0 + corner / 2.0 + OVER_NUT - width / 2.0;
        let over_pins = (corner + OVER_NUT).max(keeper_pins) - rib.foot();
        let under_top = self.top - rib.top();
        // Its sides guide the carriage from the floor up to the axis at the least.
        let roof = over_bore
            .max(over_flats)
            .max(over_pins)
            .max(under_top)
            .max(Length::ZERO);
        let head_turns = head.around() / 2.0 + HEAD_ON_TABLE / 2.0;
        Section {
            roof,
            below: (floor + gaps.slide.allowed + FRAME_WALL)
                .max(head_turns)
                .max(self.under_foot(kit, gaps, floor)),
            ..rib
        }
    }
}

impl Around {
    /// From the axis to the underside of a frame whose foot leaves the mouths of all pin holes free;
    /// nothing without a foot.
    fn under_foot(&self, kit: &Kit, gaps: &HouseGaps, floor: Length) -> Length {
        let mouth = gaps.pin_hole(self.pin) / 2.0 + EDGE;
        let stop = floor - OVER_FLOOR - self.pin / 2.0;
        match *kit.mount {
            kit::Mount::None | kit::Mount::QuarterInch | kit::Mount::M6 => Length::ZERO,
            kit::Mount::Foot => foot::least_under_mouths(self.keeper_pins.max(stop) + mouth),
        }
    }
}

/// The carriage along the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CarriageSizes {
    /// Lc.
    pub(super) length: Length,
    /// Ds, of the rear bore that takes the thick thread.
    pub(super) rear_bore: Length,
    /// tw, of the walls before and behind the nut.
    pub(super) end_wall: Length,
    /// What of it beyond those walls its working end takes.
    pub(super) beyond: Length,
}

/// tw around a nut of a thread.
pub(super) fn end_wall(thread: &Thread) -> Length {
    LEAST_END_WALL.max(thread.major() * END_WALL_PER_THREAD)
}

/// Sizes of frame, carriage and keeper; heights at turn 0 in the assembly's frame.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct House {
    pub(super) gaps: HouseGaps,
    pub(super) section: Section,
    pub(super) nut: Nut,
    pub(super) carriage: CarriageSizes,
    /// W1, the tapped wall.
    pub(super) wall: Length,
    /// zc, the carriage's rear face.
    pub(super) rear_face: Length,
    /// zk, the keeper's face, which stops the carriage at the far end.
    pub(super) keeper_face: Length,
    /// hk, length of the keeper's plug.
    pub(super) keeper_plug: Length,
    /// dp, diameter of every pin.
    pub(super) pin: Length,
    /// kp, keeper pins above and below the axis.
    pub(super) keeper_pins: Length,
    /// Diameter of the keeper's bore.
    pub(super) keeper_bore: Length,
    /// What the carriage works with.
    pub(super) end: End,
    /// Whether the frame stands on a foot.
    pub(super) footed: bool,
    /// The preload spring's pocket in the keeper's plug.
    pub(super) spring: Option<Pocket>,
    /// Diameters of the carriage's bores: that for the thick thread, and that for the thin one.
    pub(super) bores: [Length; 2],
    /// The bar at which a dial is read.
    pub(super) index: Option<IndexBar>,
}

impl House {
    /// The house around a carriage whose place, length and nut are known.
    pub(super) fn around(
        kit: &Kit,
        gaps: HouseGaps,
        stroke: &Stroke,
        head: &dyn Head,
        crossing: &Crossing<'_>,
        placed: Placing,
    ) -> Self {
        let section = crossing.section(kit, &gaps, head);
        let Placing {
            wall,
            head_face,
            rear_face,
            carriage,
            nut,
            end,
        } = placed;
        let beside = Beside::new(head_face, wall, crossing.thick, &gaps.thread);
        let spring = Pocket::of(kit);
        let travelled = rear_face + carriage.length + stroke.length;
        Self {
            section,
            nut,
            carriage,
            wall,
            rear_face,
            keeper_face: (travelled + OVER_TRAVEL).up_to(*kit.layer),
            keeper_plug: keeper_plug(kit, crossing.pin, spring.as_ref()),
            spring,
            pin: crossing.pin,
            keeper_pins: crossing.keeper_pins(),
            keeper_bore: crossing.keeper_bore(),
            end,
            footed: footed(kit),
            bores: [
                crossing.thick.major() + PASSAGE * 2.0,
                crossing.thin.major() + PASSAGE * 2.0,
            ],
            index: IndexBar::new(gaps.index.clone(), head, beside, section.top()),
            gaps,
        }
    }

    /// Thickness of the keeper's flange.
    pub(super) fn flange(&self) -> Length {
        self.end.flange()
    }

    /// The frame's foot, where it has one.
    pub(super) fn foot(&self) -> Option<Foot> {
        self.footed.then(|| Foot {
            half: self.section.outside_width() / 2.0,
            under: self.section.below,
            length: self.frame_length(),
        })
    }

    /// Bolts of lugs and foot, with what belongs to them.
    pub(super) fn fasteners(&self, told: Told, carriages: &Carriages) -> Vec<Fastener> {
        let mut fasteners = self
            .end
            .fasteners(told, &self.section, carriages.all().count());
        if self.footed {
            fasteners.extend(foot::fasteners(told, GO_IN_LAST));
        }
        fasteners
    }

    /// Hf, length of the frame.
    pub(super) fn frame_length(&self) -> Length {
        self.keeper_face + self.keeper_plug
    }

    /// What of the keeper's plug bears: all of it but a spring's pocket.
    pub(super) fn plug_behind_spring(&self) -> Length {
        self.keeper_plug - Pocket::depth_of(self.spring.as_ref())
    }

    /// z of the keeper's pins, in the middle of its plug behind a spring's pocket.
    pub(super) fn keeper_pin_height(&self) -> Length {
        self.frame_length() - self.plug_behind_spring() / 2.0
    }

    /// y and z of the stop pin, which lies under the screw and stops the carriage's rear face.
    pub(super) fn stop_pin(&self) -> [Length; 2] {
        let radius = self.pin / 2.0;
        [
            self.section.floor + OVER_FLOOR + radius,
            self.rear_face - OVER_TRAVEL - radius,
        ]
    }

    /// The pins, which go through the whole house.
    pub(super) fn pins(&self) -> Pins {
        Pins {
            diameter: self.pin,
            span: self.section.outside_width(),
            in_first_wall: FRAME_WALL - BELOW_FACE,
        }
    }

    /// The tapped hole in the frame.
    fn tapped<'a>(&self, drive: &'a DriveThread) -> Tapped<'a> {
        Tapped {
            thread: &drive.thread,
            gap: self.gaps.thread.drawn(),
            crest: Length::ZERO,
        }
    }
}

/// Where a layout puts the carriage and its nut.
pub(super) struct Placing {
    pub(super) wall: Length,
    /// z of the face under the drive's head.
    pub(super) head_face: Length,
    pub(super) rear_face: Length,
    pub(super) carriage: CarriageSizes,
    pub(super) nut: Nut,
    pub(super) end: End,
}

/// Whether a kit's frame stands on a foot; other mounts are refused where it is read.
pub(super) fn footed(kit: &Kit) -> bool {
    match *kit.mount {
        kit::Mount::None | kit::Mount::QuarterInch | kit::Mount::M6 => false,
        kit::Mount::Foot => true,
    }
}
