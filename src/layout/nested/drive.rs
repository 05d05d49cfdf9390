//! The drive screw of a nested mechanism: a tapped bore from its end.

use super::Nested;
use super::sizes::Bore;
use crate::assembly::{Contour, Shape, Solid, Turned};
use crate::layout::drive::DriveScrew;
use crate::layout::elements::{Line, Tapped, here};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;

impl Nested<'_> {
    pub(super) fn drive_screw(&self) -> DriveScrew<'_> {
        DriveScrew {
            head: self.head.as_ref(),
            thread: &self.sizes.drive,
            gap: Length::ZERO,
        }
    }
}

/// Its shape; a bore that reaches into the head is cut afterwards.
pub(super) fn shape(drive: &DriveScrew<'_>, bore: &Bore) -> Shape {
    let screw = drive.screw(drive.thread.thread.minor_internal() / 2.0 - bore.chamfer);
    let outer = drive.shaft(&screw);
    let contour = bore.contour(screw.end, drive.lift());
    if screw.end - bore.depth > drive.face() + OVERCUT {
        let shaft = Solid::Turned(Turned {
            outer: outer.end(),
            bore: Some(contour),
        });
        drive.shape(shaft, None)
    } else {
        drive.shape(outer.turned(), Some(here(over_cut(contour))))
    }
}

/// What shapes it.
pub(super) fn recipe(drive: &DriveScrew<'_>, bore: &Bore) -> Recipe {
    let Bore {
        thread,
        gap,
        depth,
        // It follows from both threads and the gap.
        chamfer: _,
    } = bore;
    let mut recipe = drive.recipe();
    recipe.extend([
        ("inner thread's diameter", thread.major()),
        ("inner thread's lead", thread.signed_lead()),
        ("inner thread's pitch", thread.pitch()),
        ("thread gap", gap.drawn()),
        ("bore", *depth),
    ]);
    recipe
}

impl Bore {
    /// From its floor up to the screw's end; a relief at the floor lets the thread run out.
    fn contour(&self, end: Length, lift: Length) -> Contour {
        let tapped = Tapped {
            thread: &self.thread,
            gap: self.gap.drawn(),
            crest: lift,
        };
        let floor = end - self.depth;
        let relief = self.thread.major() / 2.0 + tapped.gap + NECK_BELOW_ROOT;
        let mouth = self.thread.major() / 2.0 + tapped.gap + self.chamfer;
        let behind = tapped.behind();
        Line::from(floor, relief)
            .to(floor + (relief - behind), behind)
            .to(end - (mouth - behind), behind)
            .to(end, mouth)
            .thread([floor, end], tapped.form())
            .end()
    }
}

/// A bore as a tool, its mouth carried on beyond the end.
fn over_cut(mut bore: Contour) -> Solid {
    if let (Some((z, radius)), Some(zone)) = (bore.corners.last_mut(), bore.threads.last_mut()) {
        *z += OVERCUT;
        *radius += OVERCUT;
        zone.z[1] = *z;
    }
    Solid::Turned(Turned {
        outer: bore,
        bore: None,
    })
}
