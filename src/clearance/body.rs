//! One piece where it stands at turn 0, ready to be asked what it meets.

use super::box_tree::Tree;
use super::facet::{Facet, farthest_from_axis, nearest_to_axis, turn_about_axis};
use super::rings::Rings;
use super::threads::ThreadFeature;
use crate::assembly::{Assembly, Fit, Joint, Pose, Shape};
use crate::solid::Mesh;
use crate::units::{Angle, Length};
use nalgebra::{Point3, Vector3};
use rayon::prelude::*;
use std::borrow::Borrow;
use std::sync::OnceLock;

/// One piece's mesh where it stands at turn 0, in the assembly frame, with its threads, the
/// boxes around its facets, and its rings about the axis.
#[derive(Clone, Debug)]
pub struct Body {
    pub(super) facets: Vec<Facet>,
    pub(super) tree: Tree,
    /// Made when first asked for: few pieces turn against each other.
    rings: OnceLock<Rings>,
    row: Length,
    /// Chord tolerance of its mesh.
    pub(super) chord: Length,
    pub(super) threads: Vec<ThreadFeature>,
}

/// What of a piece is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Feature {
    /// Anything but its threads.
    Body,
    /// One of its threads, by index in [`Body::threads`].
    Thread(usize),
}

/// Widest radius row, in mm. Measured on prototypes: finer rows cost more than they tell,
/// since each span keeps its true radii.
const WIDEST_ROW: f64 = 0.05;
/// Narrowest radius row, in mm: a tenth of a printed line's spread. Guess.
const NARROWEST_ROW: f64 = 0.01;
/// Facets are divided until no side is longer: boxes around long ones hold mostly air.
/// Guess: half as long doubles the facets of the preset's frame.
pub const LONGEST_SIDE: Length = Length::mm(10.0);

/// Makes the rings of all bodies now, side by side; otherwise each is made when first asked for.
pub fn make_rings(bodies: &[Body]) {
    bodies.par_iter().for_each(|body| {
        body.rings();
    });
}

/// How finely bodies are told apart; the same for all that are asked about each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Width of the rings' rows.
    pub row: Length,
    /// Chord tolerance with which the meshes were made.
    pub chord: Length,
}

impl Fineness {
    /// For the pieces of an assembly, meshed with a chord tolerance: rows at most half the
    /// least gap that the assembly draws between what turns.
    pub fn of(assembly: &Assembly, chord: Length) -> Self {
        // Only what turns is compared by rings.
        let turning = |joint: &&Joint| matches!(joint.fit, Fit::Thread | Fit::Swivel);
        let joints = assembly.joints.iter().filter(turning);
        let gaps = joints.filter_map(|joint| joint.gap);
        let drawn = gaps.map(|gap| gap.drawn.as_mm()).filter(|gap| *gap > 0.0);
        let least = drawn.fold(f64::INFINITY, f64::min);
        Self {
            row: Length::mm((least / 2.0).clamp(NARROWEST_ROW, WIDEST_ROW)),
            chord,
        }
    }
}

/// Every piece of an assembly as a body, in the order of its pieces. `meshes` are those of the
/// parts, in their order, in their print frames, made with a chord tolerance.
pub fn bodies<M: Borrow<Mesh> + Sync>(
    assembly: &Assembly,
    meshes: &[M],
    chord: Length,
) -> Vec<Body> {
    let fineness = Fineness::of(assembly, chord);
    let none = Mesh::default();
    assembly
        .instances
        .par_iter()
        .map(|piece| {
            let shape = &assembly.parts[piece.part.0].shape;
            let mesh = meshes.get(piece.part.0).map_or(&none, Borrow::borrow);
            Body::new(mesh, shape, &piece.pose, fineness)
        })
        .collect()
}

impl Body {
    /// A part's mesh, posed. The shape says where its threads are.
    pub fn new(mesh: &Mesh, shape: &Shape, pose: &Pose, fineness: Fineness) -> Self {
        Self::with_threads(&mesh.placed(pose), ThreadFeature::of(shape, pose), fineness)
    }

    /// A mesh in the assembly frame, with its threads.
    pub fn with_threads(mesh: &Mesh, threads: Vec<ThreadFeature>, fineness: Fineness) -> Self {
        let chord = fineness.chord.as_mm();
        let mut facets = Vec::with_capacity(mesh.triangles.len());
        for (index, corners) in (0..).zip(mesh.facets()) {
            divide(facet(index, corners, &threads, chord), &mut facets);
        }
        Self {
            tree: Tree::new(&mut facets),
            facets,
            rings: OnceLock::new(),
            row: fineness.row,
            chord: fineness.chord,
            threads,
        }
    }

    /// Its rings about the axis.
    pub(super) fn rings(&self) -> &Rings {
        let made = || Rings::new(&self.facets, self.threads.len(), self.row);
        self.rings.get_or_init(made)
    }

    /// Its threads.
    pub fn threads(&self) -> &[ThreadFeature] {
        &self.threads
    }

    /// Lowest and highest corner of the box around it, in mm.
    pub fn bounds(&self) -> [[f64; 3]; 2] {
        let bounds = self.tree.bounds();
        [bounds.low.into(), bounds.high.into()]
    }

    /// The same turned about the axis and advanced along it, without its threads.
    pub(super) fn screwed(&self, angle: Angle, advance: f64) -> Self {
        let turn = turn_about_axis(angle);
        let up = Vector3::new(0.0, 0.0, advance);
        let facets = self.facets.iter().map(|facet| Facet {
            corners: facet.corners.map(|corner| turn * corner + up),
            normal: turn * facet.normal,
            ..*facet
        });
        Self::bare(facets.collect())
    }

    /// The facets that reach into a range of radii and heights, give or take some room, without
    /// threads.
    pub(super) fn within(&self, radii: [f64; 2], heights: [f64; 2], room: f64) -> Self {
        let reaches = |facet: &&Facet| {
            let z = facet.corners.map(|corner| corner.z);
            let low = z[0].min(z[1]).min(z[2]) - room;
            let high = z[0].max(z[1]).max(z[2]) + room;
            low <= heights[1]
                && high >= heights[0]
                && farthest_from_axis(&facet.corners) >= radii[0] - room
                && nearest_to_axis(&facet.corners) <= radii[1] + room
        };
        Self::bare(self.facets.iter().filter(reaches).copied().collect())
    }

    fn bare(mut facets: Vec<Facet>) -> Self {
        Self {
            tree: Tree::new(&mut facets),
            facets,
            rings: OnceLock::new(),
            row: Length::mm(WIDEST_ROW),
            chord: Length::ZERO,
            threads: Vec::new(),
        }
    }
}

/// The feature of a number that facets and spans carry.
pub(super) fn feature(number: u8) -> Feature {
    match usize::from(number) {
        0 => Feature::Body,
        thread => Feature::Thread(thread - 1),
    }
}

fn facet(index: u32, corners: [Point3<f64>; 3], threads: &[ThreadFeature], chord: f64) -> Facet {
    let [a, b, c] = corners;
    let across = (b - a).cross(&(c - a));
    let area = across.norm();
    let normal = if area > 0.0 {
        across / area
    } else {
        Vector3::zeros()
    };
    let owner = (0..254)
        .zip(threads)
        .find(|(_, thread)| thread.owns(&corners, normal.z, chord));
    Facet {
        corners,
        normal,
        index,
        feature: owner.map_or(0, |(thread, _)| thread + 1),
    }
}

/// Adds a facet, its longest side halved until it is short.
fn divide(facet: Facet, into: &mut Vec<Facet>) {
    let [a, b, c] = facet.corners;
    let sides = [(a, b, c), (b, c, a), (c, a, b)];
    let longest = sides.into_iter().fold(None, |longest, side| {
        let length = (side.1 - side.0).norm_squared();
        match longest {
            Some((most, _)) if most >= length => longest,
            _ => Some((length, side)),
        }
    });
    match longest {
        Some((length, (from, to, opposite)))
            if length > LONGEST_SIDE.as_mm() * LONGEST_SIDE.as_mm() =>
        {
            let middle = nalgebra::center(&from, &to);
            for corners in [[from, middle, opposite], [middle, to, opposite]] {
                divide(Facet { corners, ..facet }, into);
            }
        }
        _ => into.push(facet),
    }
}
