//! What a part carries beside what its layout asks of it: heads and their dials today; ends, mounts and
//! captive nuts to come. One file each, all behind one interface.
//!
//! A feature knows its own sizes and nothing of the layout; a layout asks it for its solids,
//! words, tools, marks and bounds, and never what it is.

pub(super) mod bolt;
mod cautions;
mod crank;
mod dial;
pub(super) mod foot;
mod handle;
mod hexagon;
mod knob;
mod tommy;

use super::elements::v_marks_to;
use super::letters::Panel;
use super::limits::Bound;
use super::member::Members;
use super::recipe::Recipe;
use crate::assembly::{Fastener, PartId, Placed, Solid, Tool, Turning};
use crate::diagnostic::Diagnostic;
use crate::kit::{self, KeyPath, Kit, key};
use crate::thread::{Hand, Thread};
use crate::units::Length;
use crate::units_told::Told;
pub(super) use cautions::cautions;
use crank::Crank;
pub(super) use dial::Dial;
use dial::Dialled;
use hexagon::Hexagon;
pub(super) use hexagon::spanner;
use knob::Knob;
use tommy::Tommy;

/// A dial stands back from the outside of a round head, or from the flats under it, by this: no two
/// faces of them are one.
const BELOW_SEAT: Length = Length::mm(0.3);

/// Something that a part carries.
pub(super) trait Feature {
    /// What it is made of, standing on the bed.
    fn solids(&self) -> Solids;
    /// Cuts by which it is told from its neighbours, for a thread of a hand.
    fn marks(&self, hand: Hand) -> Vec<Placed>;
    /// What people call it and its faces.
    fn words(&self) -> Words;
    /// What a bench needs for it, with its size.
    fn tools(&self, told: Told) -> Vec<Tool>;
    /// What is bought to be bolted to it.
    fn fasteners(&self, told: Told) -> Vec<Fastener>;
    /// What of it carries load, added to that of its part, whose walls are so thick.
    fn members(&self, part: PartId, walls: Length, members: &mut Members);
    /// Names and values of everything that shapes it.
    fn recipe(&self) -> Recipe;
    /// What it must at least be to carry a shaft of a diameter.
    fn bounds(&self, shaft: Length) -> Vec<Bound>;
}

/// A head: what is turned by hand or tool, and what stops on the frame.
pub(super) trait Head: Feature {
    /// Its height, its dial included.
    fn height(&self) -> Length;
    /// Diameter of the circle around it.
    fn around(&self) -> Length;
    /// Diameter and height of a cylinder of its plastic that weighs no less than it, with all that is
    /// bolted to it.
    fn weighs_as(&self) -> [Length; 2] {
        [self.around(), self.height()]
    }
    /// Faces that are free for the drive screw's name.
    fn panels(&self) -> Vec<Panel>;
    /// How far a bore may reach into it from the face that its shaft stands on; less than nothing
    /// where it must end before.
    fn bore_room(&self) -> Length;
    /// What makes room for a bore that reaches so far into it.
    fn deeper(&self, kit: &Kit, room: Length) -> String;
    /// Where a dial stands on it.
    fn seat(&self) -> Seat;
    /// The keys that make a dial on it wider, the first that of its width, and what each must say at least
    /// for a dial of a radius, in steps in which people type.
    fn wider(&self, radius: Length, step: Length) -> Vec<(KeyPath, Length)>;
    /// The ticks around it.
    fn dial(&self) -> Option<&Dial>;
}

/// Where a dial stands on a head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seat {
    /// Radius that lies inside the head.
    pub(super) foot: Length,
    /// Radius of the dial, which widens to it at 45 degrees.
    pub(super) radius: Length,
}

impl Seat {
    /// On a round head of a radius.
    fn on_round(radius: Length) -> Self {
        let radius = radius - BELOW_SEAT;
        Self {
            foot: radius,
            radius,
        }
    }
}

/// The key that makes a dial on a round head wider, and what it must say for one of a radius.
fn wider_round(radius: Length, step: Length) -> (KeyPath, Length) {
    let wide = (radius + BELOW_SEAT) * 2.0;
    (key::HEAD_DIAMETER.name(), wide.up_to(step))
}

/// What follows on a head towards the frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum OnTop {
    /// The shaft.
    Shaft,
    /// A dial, into which no mark of the head may reach.
    Dial,
}

impl OnTop {
    fn of(kit: &Kit) -> Self {
        match kit.dial {
            Some(_) => Self::Dial,
            None => Self::Shaft,
        }
    }

    /// The marks along a face at y, on a head of a height.
    fn marks(self, hand: Hand, face: Length, height: Length) -> Vec<Placed> {
        v_marks_to(hand, face, height, self == Self::Dial)
    }
}

/// What a feature is made of.
pub(super) struct Solids {
    /// What it starts from.
    pub(super) base: Solid,
    /// Only what lies inside each of these stays.
    pub(super) within: Vec<Solid>,
    /// What is added to it.
    pub(super) joined: Vec<Solid>,
    /// What is taken away.
    pub(super) cut: Vec<Placed>,
    /// Ways through it that this makes.
    pub(super) ways: usize,
}

/// What people call a feature.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words {
    /// After an article: `hexagon`.
    pub(super) name: &'static str,
    /// Where its marks stand: `one flat of the hexagon`.
    pub(super) marked: &'static str,
    /// The face that comes down on the frame: `the underside of the hexagon`.
    pub(super) underside: &'static str,
}

/// What a mechanism lets a dial tell.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reading {
    /// Travel of the carriage in one turn.
    pub(super) net_lead: Length,
    /// The way to turn that carries out the stroke.
    pub(super) advance: Turning,
    /// Where it is read.
    pub(super) index: Index,
}

/// Where a dial is read, seen from the axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Index {
    /// At the edge of a bar over +y, along which the head travels.
    Bar,
    /// At the mark along the frame's side towards +x, beside which the head stays.
    SideMark,
}

/// The head that a kit asks for, on a drive screw of this thread, with the dial that it asks for.
///
/// # Errors
/// Why the dial cannot be drawn on it.
pub(super) fn head(
    kit: &Kit,
    drive: &Thread,
    reading: Reading,
) -> Result<Box<dyn Head>, Vec<Diagnostic>> {
    let on_top = OnTop::of(kit);
    let head: Box<dyn Head> = match &kit.head {
        kit::Head::Hexagon(hexagon) => Box::new(Hexagon::new(kit, hexagon, drive, on_top)),
        kit::Head::Knob(knob) => Box::new(Knob::new(kit, knob, drive, on_top)),
        kit::Head::Tommy(tommy) => Box::new(Tommy::new(kit, tommy, drive, on_top)),
        kit::Head::Crank(crank) => {
            let barred = kit
                .dial
                .as_ref()
                .and_then(|ticks| crank::barred(crank, ticks, reading.index));
            if let Some(problem) = barred {
                return Err(vec![problem]);
            }
            Box::new(Crank::new(kit, crank, drive, on_top))
        }
    };
    match &kit.dial {
        Some(ticks) => Ok(Box::new(Dialled::new(kit, head, ticks, reading)?)),
        None => Ok(head),
    }
}

/// What helps where a bore would reach through a head that need not be higher.
fn no_deeper() -> String {
    "shorten `stroke`, or take threads with a larger net lead".into()
}

/// What is said of the ticks around a head among its marks; empty where there are none.
pub(super) fn ticks(kit: &Kit, head: &dyn Head) -> String {
    head.dial().map_or_else(String::new, |dial| dial.mark(kit))
}
