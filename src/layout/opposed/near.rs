//! The near shaft, which carries the head: neck, collar, journal, thread and spigot.
//!
//! Print frame: the head's end face lies on the bed. In the assembly it is only shifted.

use super::Opposed;
use super::sizes::COLLAR;
use crate::assembly::{Shape, Solid};
use crate::layout::drive::DriveScrew;
use crate::layout::elements::{Along, Bore, Line, LyingHole, ScrewThread, free_tip};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;

/// How deep the neck's foot stands in the head.
const EMBEDDED: Length = Length::mm(2.0);

/// The hole through the spigot.
const WAYS_THROUGH: usize = 1;

impl Opposed<'_> {
    pub(super) fn drive_screw(&self) -> DriveScrew<'_> {
        DriveScrew {
            head: self.head.as_ref(),
            thread: &self.sizes.drive,
            gap: Length::ZERO,
        }
    }

    /// Its shape.
    pub(super) fn near_shape(&self, drive: &DriveScrew<'_>) -> Shape {
        let mut shape = drive.shape(self.near_shaft(drive), None);
        let coupling = &self.sizes.coupling;
        let bore = Bore::around(coupling.pin, &self.sizes.gaps.through.gap);
        let hole = LyingHole {
            along: Along::Y,
            beside: Length::ZERO,
            height: coupling.pin_at + drive.lift(),
            reach: coupling.spigot / 2.0,
            sides: [bore, bore],
            mouth: Length::ZERO,
        };
        shape.cut.extend(hole.tools());
        shape.genus += WAYS_THROUGH;
        shape
    }

    fn near_shaft(&self, drive: &DriveScrew<'_>) -> Solid {
        let (sizes, lift) = (&self.sizes, drive.lift());
        let bearing = &sizes.bearing;
        let (head, face) = (drive.face(), bearing.collar_face + lift);
        let wall = sizes.house.wall + lift;
        let (spigot, tip) = (sizes.coupling.spigot / 2.0, sizes.coupling.tip + lift);
        let thread = &sizes.near.thread;
        let screw = ScrewThread {
            thread,
            gap: Length::ZERO,
            face: wall,
            end: sizes.near.end + lift,
            crest: lift,
            tip: free_tip(thread).max(spigot),
        };
        let cone = bearing.collar - bearing.neck;
        let collar = Line::from(head - EMBEDDED, bearing.neck + EDGE)
            .to(head, bearing.neck + EDGE)
            .to(head + EDGE, bearing.neck)
            .to(face - COLLAR - cone, bearing.neck)
            .to(face - COLLAR, bearing.collar)
            .to(face, bearing.collar)
            .to(face, bearing.journal)
            .to(wall, bearing.journal);
        screw
            .stand_on(collar)
            .to(screw.end, spigot)
            .to(tip - EDGE, spigot)
            .to(tip, spigot - EDGE)
            .turned()
    }

    /// What shapes it.
    pub(super) fn near_recipe(&self, drive: &DriveScrew<'_>) -> Recipe {
        let sizes = &self.sizes;
        let (bearing, coupling) = (&sizes.bearing, &sizes.coupling);
        let mut recipe = drive.recipe();
        recipe.extend([
            ("neck", bearing.neck),
            ("collar", bearing.collar),
            ("collar's place", bearing.collar_face),
            ("journal", bearing.journal),
            ("bearing wall's end", sizes.house.wall),
            ("spigot", coupling.spigot),
            ("spigot's end", coupling.tip),
            ("coupling pin", coupling.pin),
            ("coupling pin's place", coupling.pin_at),
            ("coupling pin's locating gap", sizes.gaps.through.drawn()),
        ]);
        recipe
    }
}
