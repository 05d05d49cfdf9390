//! The inner screw: a round head with a cross hole and a slot, a collar face, and a thread.
//!
//! Print frame: the head's end lies on the bed. In the assembly it is turned over about x.

use super::sizes::Inner;
use crate::assembly::{Outline, Pose, Shape};
use crate::layout::elements::{
    Along, Bore, Line, LyingHole, ScrewThread, free_tip, here, prism, v_marks,
};
use crate::layout::letters::Panel;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::{Angle, Length};

/// The cross hole.
const WAYS_THROUGH: usize = 1;

impl Inner {
    /// Its shape.
    pub(super) fn shape(&self) -> Shape {
        let (radius, head) = (self.collar / 2.0, self.head_height);
        let thread = ScrewThread {
            thread: &self.thread,
            gap: Length::ZERO,
            face: head,
            end: head + self.thread_length,
            // In the assembly a crest centre stands at z = 0 at angle 0: here, turned over, at
            // the height of the head's end there.
            crest: self.head_end(),
            tip: free_tip(&self.thread),
        };
        let line = Line::from(Length::ZERO, radius - EDGE)
            .to(EDGE, radius)
            .to(head, radius);
        let bore = Bore::around(self.pin, &self.through.gap);
        let hole = LyingHole {
            along: Along::X,
            beside: Length::ZERO,
            height: self.cross_hole,
            reach: radius,
            sides: [bore, bore],
            mouth: EDGE,
        };
        let [width, depth] = SLOT;
        let across = Outline::Rectangle {
            x: width,
            y: self.collar + OVERCUT * 2.0,
        };
        let mut cut = hole.tools();
        cut.push(here(prism(-OVERCUT, depth, across)));
        // The V stands on the collar's side, at -y here and at +y in the assembly.
        cut.extend(v_marks(self.thread.hand(), -radius, Length::ZERO, head));
        Shape {
            base: here(thread.stand_on(line).turned()),
            within: Vec::new(),
            joined: Vec::new(),
            cut,
            genus: WAYS_THROUGH,
        }
    }

    /// The collar's side opposite to the V, between slot and thread, and between the cross hole's
    /// mouths.
    pub(super) fn panel(&self) -> Panel {
        let radius = self.collar / 2.0;
        let [_, slot] = SLOT;
        let mouth = self.pin / 2.0 + self.through.drawn() + EDGE;
        let beside = Angle::from_sin((mouth / radius).min(1.0));
        let z = [slot, self.head_height - EDGE];
        Panel::round(radius, [0.0, 1.0, 0.0], z, Angle::TURN / 4.0 - beside)
    }

    /// What shapes it.
    pub(super) fn recipe(&self) -> Recipe {
        let Self {
            thread,
            // Wanted, not drawn.
            engagement: _,
            collar,
            head_height,
            cross_hole,
            collar_face,
            thread_length,
            pin,
            through,
        } = self;
        vec![
            ("inner thread's diameter", thread.major()),
            ("inner thread's lead", thread.signed_lead()),
            ("inner thread's pitch", thread.pitch()),
            ("thread length", *thread_length),
            ("place of its thread", *collar_face),
            ("collar", *collar),
            ("head height", *head_height),
            ("cross hole", *cross_hole),
            ("pin diameter", *pin),
            ("pin's locating gap", through.drawn()),
        ]
    }

    /// Where the head ends in the assembly at turn 0.
    fn head_end(&self) -> Length {
        self.collar_face + self.head_height
    }

    /// From the print frame to the assembly at turn 0.
    pub(super) fn pose(&self) -> Pose {
        Pose::turned_over().shifted(Length::ZERO, Length::ZERO, self.head_end())
    }
}
