//! The drive screw of a tandem mechanism: behind its thick thread a shoulder, and on that the thin
//! one.

use super::Tandem;
use super::pair;
use crate::assembly::Shape;
use crate::layout::drive::DriveScrew;
use crate::layout::elements::{ScrewThread, free_tip};
use crate::layout::recipe::Recipe;
use crate::units::Length;

impl Tandem<'_> {
    pub(super) fn drive_screw(&self) -> DriveScrew<'_> {
        DriveScrew {
            head: self.head.as_ref(),
            thread: &self.sizes.drive,
            gap: Length::ZERO,
        }
    }

    /// Its shape.
    pub(super) fn drive_shape(&self, drive: &DriveScrew<'_>) -> Shape {
        let thin = &self.sizes.thin;
        let thick = drive.screw(pair::shoulder_rim(self.threads, thin.gap));
        let end = ScrewThread {
            thread: &thin.thread,
            gap: thin.gap,
            face: thick.end,
            end: thin.tip + drive.lift(),
            crest: drive.lift(),
            tip: free_tip(&thin.thread) - thin.gap,
        };
        let outer = end.stand_on(drive.shaft(&thick));
        drive.shape(outer.turned(), None)
    }

    /// What shapes it.
    pub(super) fn drive_recipe(&self, drive: &DriveScrew<'_>) -> Recipe {
        let thin = &self.sizes.thin;
        let mut recipe = drive.recipe();
        recipe.extend([
            ("thin thread's diameter", thin.thread.major()),
            ("thin thread's lead", thin.thread.signed_lead()),
            ("thin thread's end", thin.tip),
        ]);
        if thin.gap != Length::ZERO {
            recipe.push(("thin thread's gap on the screw", thin.gap));
        }
        recipe
    }
}
