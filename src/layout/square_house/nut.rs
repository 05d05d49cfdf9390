//! The captive nut: a hexagon with two flats square to x, which stands in the carriage's pocket on
//! any of its six flats.
//!
//! Print frame: one end face lies on the bed. In the assembly it is only shifted; where it stands in
//! another of its six places, its thread is off by a sixth of its pitch, which the screw's lengths
//! have room for.

use super::super::elements::{Line, Tapped, groove, here, prism};
use super::super::gaps::JointGapDrawn;
use super::super::letters::Panel;
use super::super::proportions::*;
use super::super::recipe::Recipe;
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::thread::{Hand, Thread};
use crate::units::Length;

/// Places in which it may stand in its pocket.
pub(in crate::layout) const PLACES: f64 = 6.0;

/// Sizes of the nut; its height at turn 0 in the assembly.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct Nut {
    pub(in crate::layout) thread: Thread,
    /// znut, its rear face.
    pub(in crate::layout) face: Length,
    /// mn.
    pub(in crate::layout) height: Length,
    /// AF.
    pub(in crate::layout) across_flats: Length,
    /// Radial gap of the screw in it, and what of it is drawn on the nut.
    pub(in crate::layout) gap: JointGapDrawn,
}

impl Nut {
    fn drawn_on_it(&self) -> Length {
        self.gap.gap.on_female()
    }

    /// Its shape.
    pub(in crate::layout) fn shape(&self) -> Shape {
        let tapped = Tapped {
            thread: &self.thread,
            gap: self.drawn_on_it(),
            // A root centre at z = 0 of the assembly.
            crest: -self.face,
        };
        let (mouth, behind, height) = (tapped.mouth(), tapped.behind(), self.height);
        let bore = Line::from(-OVERCUT, mouth + OVERCUT)
            .to(mouth - behind, behind)
            .to(height - (mouth - behind), behind)
            .to(height + OVERCUT, mouth + OVERCUT)
            .thread([-OVERCUT, height + OVERCUT], tapped.form());
        let mut cut = vec![here(bore.turned())];
        cut.extend(self.marks());
        Shape {
            base: here(Solid::Prism(vec![
                (Length::ZERO, hexagon(self.across_flats - BED_EDGE * 2.0)),
                (BED_EDGE, hexagon(self.across_flats)),
                (height - BED_EDGE, hexagon(self.across_flats)),
                (height, hexagon(self.across_flats - BED_EDGE * 2.0)),
            ])),
            within: Vec::new(),
            joined: Vec::new(),
            cut,
            genus: 1,
        }
    }

    /// One V along a flat, two of a left-hand nut.
    fn marks(&self) -> Vec<Placed> {
        let places = match self.thread.hand() {
            Hand::Right => vec![Length::ZERO],
            Hand::Left => vec![DOUBLE_V_PITCH / -2.0, DOUBLE_V_PITCH / 2.0],
        };
        // Local y to +x, which is where it opens.
        let pose = Pose::axes([0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]);
        let face = self.across_flats / 2.0;
        let v = prism(-OVERCUT, self.height + OVERCUT, groove(1.0));
        let places = places.into_iter().map(|y| Placed {
            pose: pose.shifted(face, y, Length::ZERO),
            solid: v.clone(),
        });
        places.collect()
    }

    /// The flat opposite to its marks.
    pub(in crate::layout) fn panel(&self) -> Panel {
        let place = [self.across_flats / -2.0, Length::ZERO, self.height / 2.0];
        let flat = self.across_flats / 3f64.sqrt();
        let size = [self.height, flat].map(|whole| whole - BED_EDGE * 2.0);
        Panel::flat([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], place, size)
    }

    /// What shapes it.
    pub(in crate::layout) fn recipe(&self) -> Recipe {
        let Self {
            thread,
            face,
            height,
            across_flats,
            gap: _,
        } = self;
        vec![
            ("thread's diameter", thread.major()),
            ("thread's lead", thread.signed_lead()),
            ("thread's pitch", thread.pitch()),
            ("thread gap", self.drawn_on_it()),
            // Its thread begins where it does because it stands there.
            ("place", *face),
            ("height", *height),
            ("across flats", *across_flats),
        ]
    }

    /// From the print frame to the assembly at turn 0.
    pub(in crate::layout) fn pose(&self) -> Pose {
        Pose::shift(Length::ZERO, Length::ZERO, self.face)
    }
}

/// A regular hexagon with two flats square to x.
fn hexagon(across_flats: Length) -> Outline {
    let half = across_flats / 2.0;
    let (low, high) = (half / 3f64.sqrt(), half * (2.0 / 3f64.sqrt()));
    Outline::Polygon(vec![
        [half, -low],
        [half, low],
        [Length::ZERO, high],
        [-half, low],
        [-half, -low],
        [Length::ZERO, -high],
    ])
}
