//! What of a single mechanism cannot be drawn.

use super::Single;
use crate::diagnostic::Diagnostic;
use crate::kit::key;
use crate::layout::limits::{Bound, NO_ROOM, broken};
use crate::units::Length;

/// Radius of the smallest swivel neck. Guess.
const SMALLEST_NECK: Length = Length::mm(2.5);

impl Single<'_> {
    /// Why its sizes leave no part to draw; empty if they do.
    pub(super) fn cannot_be_drawn(&self) -> Vec<Diagnostic> {
        let sizes = &self.sizes;
        let head = self.head.as_ref();
        let mut bounds = sizes.house.bounds(&sizes.drive, &sizes.stroke, head);
        bounds.push(Bound {
            name: "radius of the groove in the drive screw's tip",
            key: None,
            value: sizes.tip.groove_radius,
            least: Some(SMALLEST_NECK),
            most: None,
            reason: "a swivel's neck must carry the pull",
            no_room: NO_ROOM.into(),
        });
        broken(self.kit, &bounds, &[key::DRIVE.name()])
    }
}
