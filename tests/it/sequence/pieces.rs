//! Small pieces of solid: blocks, rods, screws and tapped holes, put together to puzzles.

use crate::support::mm;
use netlead::assembly::{Axis, MotionKind};
use netlead::assembly::{
    Contour, InstanceId, Outline, Placed, Pose, Shape, Solid, ThreadForm, ThreadZone, Turned,
};
use netlead::clearance::{Body, Fineness};
use netlead::sequence::{Order, Removed, Scene, order};
use netlead::solid::{Mesh, mesh};
use netlead::thread::Thread;
use netlead::units::Length;

/// Chord tolerance, in mm.
const CHORD: f64 = 0.02;

/// A block from corner to corner.
pub(crate) fn block(low: [f64; 3], high: [f64; 3]) -> Placed {
    let [x, y] = [0, 1].map(|axis| mm(high[axis] - low[axis]));
    let outline = Outline::Rectangle { x, y };
    let [cx, cy] = [0, 1].map(|axis| mm((low[axis] + high[axis]) / 2.0));
    Placed {
        pose: Pose::shift(cx, cy, Length::ZERO),
        solid: Solid::Prism(vec![(mm(low[2]), outline.clone()), (mm(high[2]), outline)]),
    }
}

/// A solid about the axis through corners (z, radius).
pub(crate) fn turned(corners: &[(f64, f64)]) -> Placed {
    Placed {
        pose: Pose::identity(),
        solid: Solid::Turned(Turned {
            outer: contour(corners, None),
            bore: None,
        }),
    }
}

fn contour(corners: &[(f64, f64)], thread: Option<ThreadZone>) -> Contour {
    Contour {
        corners: corners.iter().map(|(z, r)| (mm(*z), mm(*r))).collect(),
        threads: thread.into_iter().collect(),
    }
}

fn threaded(corners: &[(f64, f64)], z: [f64; 2], form: ThreadForm) -> Placed {
    let zone = ThreadZone { z: z.map(mm), form };
    Placed {
        pose: Pose::identity(),
        solid: Solid::Turned(Turned {
            outer: contour(corners, Some(zone)),
            bore: None,
        }),
    }
}

fn form(thread: &Thread, gap: f64, external: bool) -> ThreadForm {
    ThreadForm {
        thread: thread.clone(),
        shift: mm(gap),
        crest: Length::ZERO,
        external,
    }
}

/// A screw from a height to another: thread, chamfered at both ends.
pub(crate) fn screw(thread: &Thread, from: f64, to: f64) -> Placed {
    let (crest, root) = radii(thread);
    let (clear, end) = (crest + 1.0, root - 0.6);
    let corners = [
        (from, end),
        (from + clear - end, clear),
        (to - (clear - end), clear),
        (to, end),
    ];
    threaded(&corners, [from, to], form(thread, 0.0, true))
}

/// The tool for a tapped hole between two heights, countersunk at both, drawn with a gap of
/// 0.25 mm; `floor`: it ends at the upper height instead of going through.
pub(crate) fn tapped(thread: &Thread, from: f64, to: f64, floor: bool) -> Placed {
    let gap = 0.25;
    let (crest, root) = radii(thread);
    let (mouth, behind) = (crest + gap + 0.6, root + gap - 0.6);
    let cone = mouth - behind;
    let mut corners = vec![(from - 1.0, mouth + 1.0), (from + cone, behind)];
    let end = if floor {
        corners.extend([(to - cone, behind), (to, mouth)]);
        to
    } else {
        corners.extend([(to - cone, behind), (to + 1.0, mouth + 1.0)]);
        to + 1.0
    };
    threaded(&corners, [from - 1.0, end], form(thread, gap, false))
}

fn radii(thread: &Thread) -> (f64, f64) {
    (
        thread.major().as_mm() / 2.0,
        thread.minor_internal().as_mm() / 2.0,
    )
}

/// A shape from what it starts with, what is joined to it and what is cut out of it.
pub(crate) fn shape(base: Placed, joined: Vec<Placed>, cut: Vec<Placed>, genus: usize) -> Shape {
    Shape {
        base,
        within: Vec::new(),
        joined,
        cut,
        genus,
    }
}

/// Pieces with names; the first is the base.
pub(crate) struct Puzzle {
    pub(crate) pieces: Vec<(&'static str, Shape)>,
    pub(crate) meshes: Vec<Mesh>,
    bodies: Vec<Body>,
}

impl Puzzle {
    pub(crate) fn new(pieces: Vec<(&'static str, Shape)>) -> Self {
        let fineness = Fineness {
            row: mm(0.05),
            chord: mm(CHORD),
        };
        let shapes = pieces.iter().map(|(_, shape)| shape);
        let meshes: Vec<Mesh> = shapes
            .map(|shape| mesh(shape, mm(CHORD)).unwrap())
            .collect();
        let bodies = pieces
            .iter()
            .zip(&meshes)
            .map(|((_, shape), mesh)| Body::new(mesh, shape, &Pose::identity(), fineness));
        Self {
            bodies: bodies.collect(),
            meshes,
            pieces,
        }
    }

    /// The pieces as the planner sees them.
    pub(crate) fn scene(&self) -> Scene<'_> {
        let volumes: Vec<f64> = self.meshes.iter().map(Mesh::volume_mm3).collect();
        Scene::of_bodies(&self.bodies, &volumes, 0)
    }

    pub(crate) fn order(&self) -> Order {
        order(&self.scene())
    }

    pub(crate) fn name(&self, piece: InstanceId) -> &'static str {
        self.pieces[piece.0].0
    }

    /// Every removal in short: `lid +z`, `screw clockwise -z`, `tray tongue +z`; what is done
    /// on the bench stands behind a dash.
    pub(crate) fn told(&self) -> Vec<String> {
        let order = self.order();
        assert!(matches!(order, Order::Apart { .. }), "{order:?}");
        order
            .removals()
            .iter()
            .map(|removed| self.say(removed))
            .collect()
    }

    fn say(&self, removed: &Removed) -> String {
        let mut names: Vec<&str> = removed.pieces.iter().map(|p| self.name(*p)).collect();
        names.sort_unstable();
        let motion = removed.motion;
        let sign = if motion.distance < Length::ZERO {
            '-'
        } else {
            '+'
        };
        let axis = match motion.axis {
            Axis::X => 'x',
            Axis::Y => 'y',
            Axis::Z => 'z',
        };
        let how = match motion.kind {
            MotionKind::Helical if motion.turns > 0.0 => " clockwise",
            MotionKind::Helical => " counter-clockwise",
            _ => "",
        };
        let bench = if removed.group.is_some() { "- " } else { "" };
        format!("{bench}{}{how} {sign}{axis}", names.join(" "))
    }
}
