//! What a part carries beside what its layout asks of it: heads today; dials, ends, mounts and
//! captive nuts to come. One file each, all behind one interface.
//!
//! A feature knows its own sizes and nothing of the layout; a layout asks it for its solids,
//! words, tools, marks and bounds, and never what it is.

pub(super) mod bolt;
mod cautions;
pub(super) mod foot;
mod hexagon;

use super::letters::Panel;
use super::limits::Bound;
use super::member::Members;
use super::recipe::Recipe;
use crate::assembly::{PartId, Placed, Solid, Tool};
use crate::kit::{self, Kit};
use crate::thread::{Hand, Thread};
use crate::units::Length;
use crate::units_told::Told;
pub(super) use cautions::cautions;
use hexagon::Hexagon;
pub(super) use hexagon::spanner;

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
    /// What of it carries load, added to that of its part.
    fn members(&self, part: PartId, members: &mut Members);
    /// Names and values of everything that shapes it.
    fn recipe(&self) -> Recipe;
    /// What it must at least be to carry a shaft of a diameter.
    fn bounds(&self, shaft: Length) -> Vec<Bound>;
}

/// A head: what is turned by hand or tool, and what stops on the frame.
pub(super) trait Head: Feature {
    /// Its height.
    fn height(&self) -> Length;
    /// Diameter of the circle around it.
    fn around(&self) -> Length;
    /// From its axis to the face that carries the marks.
    fn marked_face(&self) -> Length;
    /// Faces that are free for the drive screw's name.
    fn panels(&self) -> Vec<Panel>;
}

/// What a feature is made of.
pub(super) struct Solids {
    /// What it starts from.
    pub(super) base: Solid,
    /// Only what lies inside each of these stays.
    pub(super) within: Vec<Solid>,
}

/// What people call a feature.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words {
    /// After an article: `hexagon`.
    pub(super) name: &'static str,
    /// Where its marks stand: `one flat of the hexagon`.
    pub(super) marked: &'static str,
    /// The face that comes down on the frame: `underside of the hexagon`.
    pub(super) underside: &'static str,
}

/// The head that a kit asks for, on a drive screw of this thread.
pub(super) fn head(kit: &Kit, drive: &Thread) -> Box<dyn Head> {
    match &kit.head {
        kit::Head::Hexagon(hexagon) => Box::new(Hexagon::new(kit, hexagon, drive)),
    }
}
