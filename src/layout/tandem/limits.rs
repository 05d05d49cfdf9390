//! What of a tandem mechanism cannot be drawn.

use super::Tandem;
use crate::diagnostic::Diagnostic;
use crate::kit::key;
use crate::layout::limits::{Bound, broken, least_thread};
use crate::layout::proportions::chamfer_length;

impl Tandem<'_> {
    /// Why its sizes leave no part to draw; empty if they do.
    pub(super) fn cannot_be_drawn(&self) -> Vec<Diagnostic> {
        let sizes = &self.sizes;
        let head = self.head.as_ref();
        let mut bounds = sizes.house.bounds(&sizes.drive, &sizes.stroke, head);
        bounds.push(self.of_thin());
        let blamed = [key::THIN.name(), key::DRIVE.name()];
        broken(self.kit, &bounds, &blamed)
    }

    /// The thin thread must reach through its nut.
    fn of_thin(&self) -> Bound {
        let (thin, nut) = (&self.sizes.thin, &self.sizes.house.nut);
        let shoulder = self.sizes.drive.end;
        let through = nut.face + nut.height + chamfer_length(&thin.thread) - shoulder;
        Bound::least(
            "drive screw's thin thread",
            key::THIN_THREAD.name(),
            thin.tip - shoulder,
            through.max(least_thread(&thin.thread)),
            "it must reach through its nut at turn 0",
        )
    }
}
