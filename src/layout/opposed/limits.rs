//! What of an opposed mechanism cannot be drawn.

use super::Opposed;
use crate::diagnostic::Diagnostic;
use crate::kit::key;
use crate::layout::limits::{Bound, broken};
use crate::layout::proportions::*;
use crate::units::Length;

impl Opposed<'_> {
    /// Why its sizes leave no part to draw; empty if they do.
    pub(super) fn cannot_be_drawn(&self) -> Vec<Diagnostic> {
        let (sizes, house) = (&self.sizes, &self.sizes.house);
        let mut bounds = Vec::from(house.of_carriage());
        bounds.push(house.of_keeper());
        let shaft = (sizes.bearing.neck + EDGE) * 2.0;
        bounds.extend(self.head.bounds(shaft));
        bounds.push(self.of_near_nut());
        bounds.push(self.of_stroke());
        bounds.push(self.of_width());
        broken(self.kit, &bounds, &[key::DRIVE.name(), key::FAR.name()])
    }

    /// The far nut's height is held by its house; both are equally high.
    fn of_near_nut(&self) -> Bound {
        let near = &self.sizes.near;
        Bound::least(
            "nut's height",
            key::NUT_HEIGHT.name(),
            near.nut.height,
            chamfer_length(&near.thread) * 2.0 + near.thread.pitch(),
            "a turn of thread and two countersinks",
        )
    }

    fn of_stroke(&self) -> Bound {
        let sizes = &self.sizes;
        Bound::least(
            "stroke",
            key::STROKE.name(),
            sizes.stroke.length,
            sizes.least_stroke().max(Length::ZERO),
            "the coupling pin goes in between the carriages while they are apart",
        )
    }

    /// Slotted keeper and frame stand around the collar.
    fn of_width(&self) -> Bound {
        let house = &self.sizes.house;
        let [_, groove] = self.sizes.bearing.recess;
        let frame = house.section.outside_width() - house.section.width;
        Bound::least(
            "carriage's width",
            key::CARRIAGE_WIDTH.name(),
            house.section.width,
            (groove + UPRIGHT_EDGE * 2.0) * 2.0 - frame,
            "the frame, which is as wide as it needs, must hold the slotted keeper",
        )
    }
}
