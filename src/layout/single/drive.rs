//! The drive screw of a single mechanism: beyond its thread a tip with a 45 degree groove for the
//! swivel's pins, and a pip that takes the push.

use super::Single;
use super::sizes::Tip;
use crate::assembly::Shape;
use crate::layout::drive::DriveScrew;
use crate::layout::elements::{Line, ScrewThread};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;

impl Single<'_> {
    pub(super) fn drive_screw(&self) -> DriveScrew<'_> {
        DriveScrew {
            head: self.head.as_ref(),
            thread: &self.sizes.drive,
            gap: Length::ZERO,
        }
    }
}

/// Its shape.
pub(super) fn shape(drive: &DriveScrew<'_>, tip: &Tip) -> Shape {
    let screw = drive.screw(tip.diameter / 2.0);
    let outer = tip.grooved(drive.shaft(&screw), &screw);
    drive.shape(outer.turned(), None)
}

/// What shapes it.
pub(super) fn recipe(drive: &DriveScrew<'_>, tip: &Tip) -> Recipe {
    let Tip {
        diameter,
        groove_radius,
        groove_centre,
        length,
    } = tip;
    let mut recipe = drive.recipe();
    recipe.extend([
        ("tip diameter", *diameter),
        ("groove radius", *groove_radius),
        ("groove centre", *groove_centre),
        ("tip length", *length),
    ]);
    recipe
}

impl Tip {
    /// Continues the shaft beyond its thread.
    fn grooved(&self, line: Line, thread: &ScrewThread<'_>) -> Line {
        let (radius, floor) = (self.diameter / 2.0, self.groove_radius);
        let (start, end) = (thread.end, thread.end + self.length);
        let centre = start + self.groove_centre;
        let depth = radius - floor;
        let half_floor = depth * GROOVE_FLOOR;
        let pip = self.diameter * (PIP_PER_TIP / 2.0);
        line.to(centre - half_floor - depth, radius)
            .to(centre - half_floor, floor)
            .to(centre + half_floor, floor)
            .to(centre + half_floor + depth, radius)
            .to(end - EDGE, radius)
            .to(end, radius - EDGE)
            .to(end, pip)
            .to(end + PIP_HEIGHT, pip)
    }
}
