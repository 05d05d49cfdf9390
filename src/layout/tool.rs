//! Small solids that every part is made with: placed bodies, holes and marks.

use super::rules::*;
use crate::assembly::{Contour, Outline, Placed, Pose, Solid, ThreadForm, ThreadZone, Turned};
use crate::thread::{Hand, Thread};
use crate::units::Length;

/// A contour under construction: corners that only repeat the last one are left out.
#[derive(Clone, Debug, Default)]
pub(crate) struct Line(Contour);

/// Two corners nearer than this are one. Far below a layer, far above rounding.
const SAME_CORNER: Length = Length::mm(1e-6);

impl Line {
    /// Starts at a height with a radius.
    pub(crate) fn from(z: Length, radius: Length) -> Self {
        Self::default().to(z, radius)
    }

    /// Goes straight to a height and radius.
    pub(crate) fn to(mut self, z: Length, radius: Length) -> Self {
        let repeats = self.0.corners.last().is_some_and(|(last_z, last_radius)| {
            (z - *last_z).abs() < SAME_CORNER && (radius - *last_radius).abs() < SAME_CORNER
        });
        if !repeats {
            self.0.corners.push((z, radius));
        }
        self
    }

    /// Puts a thread on a stretch.
    pub(crate) fn thread(mut self, z: [Length; 2], form: ThreadForm) -> Self {
        self.0.threads.push(ThreadZone { z, form });
        self
    }

    /// The contour.
    pub(crate) fn end(self) -> Contour {
        self.0
    }

    /// A solid inside this contour.
    pub(crate) fn turned(self) -> Solid {
        Solid::Turned(Turned {
            outer: self.0,
            bore: None,
        })
    }
}

/// Where the male thread of a screw stands, from its head's face to its end.
pub(crate) struct ScrewThread<'a> {
    pub(crate) thread: &'a Thread,
    /// Height of the face under the head.
    pub(crate) face: Length,
    /// Height of the thread's end.
    pub(crate) end: Length,
    /// Height of a crest centre at angle 0.
    pub(crate) crest: Length,
    /// Radius in which it ends, below the thread's root.
    pub(crate) tip: Length,
}

/// Radius in which a screw ends that nothing stands on.
pub(crate) fn free_tip(thread: &Thread) -> Length {
    thread.minor_internal() / 2.0 - CHAMFER_BEYOND_THREAD
}

impl ScrewThread<'_> {
    /// Radius of the neck, a little below the thread's root.
    pub(crate) fn neck(&self) -> Length {
        self.thread.minor_internal() / 2.0 - NECK_BELOW_ROOT
    }

    /// Length of the neck: one pitch, but no shorter than its fillet.
    pub(crate) fn neck_length(&self) -> Length {
        neck_length(self.thread)
    }

    /// Continues a contour that stands on the head's face: fillet, neck, run-out, thread, and
    /// the 45 degree chamfer at its end.
    pub(crate) fn stand_on(&self, line: Line) -> Line {
        let (neck, start) = (self.neck(), self.face + self.neck_length());
        // The contour runs clear of the crest, so that the crest never lies on it.
        let clear = self.thread.major() / 2.0 + OVERCUT;
        // A 45 degree cone that would reach the free tip's radius at the end.
        let cone = |radius: Length| self.end - (radius - free_tip(self.thread));
        let form = ThreadForm {
            thread: self.thread.clone(),
            shift: Length::ZERO,
            crest: self.crest,
            external: true,
        };
        line.to(self.face, neck + EDGE)
            .to(self.face + EDGE, neck)
            .to(start, neck)
            .to(start + (clear - neck), clear)
            .to(cone(clear), clear)
            .to(cone(self.tip), self.tip)
            .to(self.end, self.tip)
            .thread([start, self.end], form)
    }
}

/// Length of a screw's neck: one pitch, but no shorter than its fillet.
pub(crate) fn neck_length(thread: &Thread) -> Length {
    thread.pitch().max(EDGE)
}

/// From a screw's head face to where its profile is full.
pub(crate) fn run_out(thread: &Thread) -> Length {
    neck_length(thread) + thread.depth() + NECK_BELOW_ROOT
}

/// A tapped hole's thread and gap.
pub(crate) struct Tapped<'a> {
    pub(crate) thread: &'a Thread,
    pub(crate) gap: Length,
    /// Height of a root centre at angle 0.
    pub(crate) crest: Length,
}

impl Tapped<'_> {
    /// Radius at which a countersink meets the face.
    pub(crate) fn mouth(&self) -> Length {
        self.thread.major() / 2.0 + self.gap + CHAMFER_BEYOND_THREAD
    }

    /// Radius of the contour behind the thread, clear of its minor diameter.
    pub(crate) fn behind(&self) -> Length {
        self.thread.minor_internal() / 2.0 + self.gap - CHAMFER_BEYOND_THREAD
    }

    /// The thread's form.
    pub(crate) fn form(&self) -> ThreadForm {
        ThreadForm {
            thread: self.thread.clone(),
            shift: self.gap,
            crest: self.crest,
            external: false,
        }
    }
}

/// A solid where it is.
pub(crate) fn here(solid: Solid) -> Placed {
    Placed {
        pose: Pose::identity(),
        solid,
    }
}

/// A prism between two heights.
pub(crate) fn prism(from: Length, to: Length, outline: Outline) -> Solid {
    Solid::Prism(vec![(from, outline.clone()), (to, outline)])
}

/// A hole that is printed lying down, through a body from face to face.
pub(crate) struct LyingHole {
    /// Direction of its axis.
    pub(crate) along: Along,
    /// Beside the axis of the part, in y for a hole along x, in x for one along y.
    pub(crate) beside: Length,
    /// Height of its axis.
    pub(crate) height: Length,
    /// From the part's axis to the faces it goes through.
    pub(crate) reach: Length,
    /// Diameter on the side of the axis' origin and on the far side.
    pub(crate) diameters: [Length; 2],
    /// Depth of the 45 degree mouths at both faces.
    pub(crate) mouth: Length,
}

/// Direction of a lying hole.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Along {
    X,
    Y,
}

impl LyingHole {
    /// The tools that cut it.
    pub(crate) fn tools(&self) -> Vec<Placed> {
        // Local z runs along the hole, local y upwards: x, y, z are the images of the axes.
        let axes = match self.along {
            Along::X => Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]),
            Along::Y => Pose::axes([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]),
        };
        let pose = match self.along {
            Along::X => axes.shifted(Length::ZERO, self.beside, self.height),
            Along::Y => axes.shifted(self.beside, Length::ZERO, self.height),
        };
        self.solids()
            .into_iter()
            .map(|solid| Placed { pose, solid })
            .collect()
    }

    fn solids(&self) -> Vec<Solid> {
        let [near, far] = self.diameters.map(|diameter| diameter / 2.0);
        let (end, mouth) = (self.reach, self.mouth);
        if near.max(far) * 2.0 <= ROUND_LYING_HOLE {
            let round = Line::from(-end - OVERCUT, near + mouth + OVERCUT)
                .to(-end + mouth, near)
                .to(Length::ZERO, near)
                .to(Length::ZERO, far)
                .to(end - mouth, far)
                .to(end + OVERCUT, far + mouth + OVERCUT);
            return vec![round.turned()];
        }
        let drop = |radius: Length| Outline::Teardrop {
            diameter: radius * 2.0,
            ceiling: (radius * TEARDROP_CEILING).min(LONGEST_CEILING),
        };
        let cone = |from: (Length, Length), to: (Length, Length)| {
            Line::from(from.0, from.1).to(to.0, to.1).turned()
        };
        // The wider hole reaches past the middle; the mouths start inside the holes.
        vec![
            prism(-end - OVERCUT, OVERCUT, drop(near)),
            prism(-OVERCUT, end + OVERCUT, drop(far)),
            cone(
                (-end - OVERCUT, near + mouth + OVERCUT),
                (-end + mouth + OVERCUT, near - OVERCUT),
            ),
            cone(
                (end - mouth - OVERCUT, far - OVERCUT),
                (end + OVERCUT, far + mouth + OVERCUT),
            ),
        ]
    }
}

/// V marks along z on a face square to y, one for a right-hand part and two for a left-hand
/// one; `face` is the face's y, signed.
pub(crate) fn v_marks(hand: Hand, face: Length, from: Length, to: Length) -> Vec<Placed> {
    let places = match hand {
        Hand::Right => vec![Length::ZERO],
        Hand::Left => vec![DOUBLE_V_PITCH / -2.0, DOUBLE_V_PITCH / 2.0],
    };
    let solid = prism(
        from - OVERCUT,
        to + OVERCUT,
        groove(if face > Length::ZERO { 1.0 } else { -1.0 }),
    );
    places
        .into_iter()
        .map(|x| Placed {
            pose: Pose::shift(x, face, Length::ZERO),
            solid: solid.clone(),
        })
        .collect()
}

/// A 90 degree groove, `V_DEPTH` below the origin, opening towards +y or -y.
pub(crate) fn groove(opening: f64) -> Outline {
    let (deep, wide) = (V_DEPTH * -opening, V_DEPTH + OVERCUT);
    let top = OVERCUT * opening;
    // Counter-clockwise either way: both coordinates change sign together.
    Outline::Polygon(vec![
        [Length::ZERO, deep],
        [wide * opening, top],
        [wide * -opening, top],
    ])
}
