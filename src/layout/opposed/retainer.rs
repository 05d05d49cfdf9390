//! The slotted keeper: a plate that drops into the frame from above and holds the collar, which
//! bears on its countersink.
//!
//! Print frame: its outer face lies on the bed, its countersink is up, and y is the assembly's y.

use super::Opposed;
use super::sizes::COLLAR;
use crate::assembly::{Outline, Pose, Shape, Solid};
use crate::layout::elements::here;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;

impl Opposed<'_> {
    /// Its shape.
    pub(super) fn retainer_shape(&self) -> Shape {
        let thick = self.retainer_thickness();
        let body = Solid::Prism(vec![
            (Length::ZERO, self.plate(BED_EDGE)),
            (BED_EDGE, self.plate(Length::ZERO)),
            (thick, self.plate(Length::ZERO)),
        ]);
        Shape {
            base: here(body),
            within: Vec::new(),
            joined: Vec::new(),
            cut: vec![here(self.retainer_slot(thick))],
            genus: 0,
        }
    }

    fn retainer_thickness(&self) -> Length {
        let bearing = &self.sizes.bearing;
        bearing.collar - bearing.neck + COLLAR
    }

    /// Its outline, set in.
    fn plate(&self, set_in: Length) -> Outline {
        let bearing = &self.sizes.bearing;
        let locate = self.sizes.gaps.retainer.drawn();
        let [_, groove] = bearing.recess;
        let [top, floor] = bearing.retainer;
        let side = groove - locate - set_in;
        let (low, high) = (floor + locate + set_in, top - set_in);
        Outline::Polygon(vec![[side, low], [side, high], [-side, high], [-side, low]])
    }

    /// The way of the neck, countersunk towards the collar.
    fn retainer_slot(&self, thick: Length) -> Solid {
        let bearing = &self.sizes.bearing;
        let turn = self.sizes.gaps.collar.drawn();
        let [_, floor] = bearing.retainer;
        let narrow = bearing.neck + turn;
        let slot = |radius: Length| Outline::Slotted {
            diameter: radius * 2.0,
            reach: OVERCUT * 2.0 - floor,
        };
        // Parallel to the collar's cone, which it stands off by the gap along the axis.
        let cone = bearing.collar - narrow;
        Solid::Prism(vec![
            (-OVERCUT, slot(narrow)),
            (thick - cone, slot(narrow)),
            (thick + OVERCUT, slot(bearing.collar + OVERCUT)),
        ])
    }

    /// From the print frame to the assembly.
    pub(super) fn retainer_pose(&self) -> Pose {
        let [from, _] = self.sizes.bearing.groove;
        let z = from + self.sizes.gaps.retainer.drawn();
        Pose::shift(Length::ZERO, Length::ZERO, z)
    }

    /// What shapes it.
    pub(super) fn retainer_recipe(&self) -> Recipe {
        let bearing = &self.sizes.bearing;
        let [_, groove] = bearing.recess;
        let [top, floor] = bearing.retainer;
        vec![
            ("neck", bearing.neck),
            ("collar", bearing.collar),
            ("width", groove),
            ("top", top),
            ("underside", floor),
            ("swivel gap", self.sizes.gaps.collar.drawn()),
            ("locating gap", self.sizes.gaps.retainer.drawn()),
        ]
    }
}
