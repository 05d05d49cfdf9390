//! What stands around a pin while it is pressed: facets of pieces in a frame of the bench, and how far
//! they reach inside a box.
//!
//! Frame of the bench: right-handed, in mm; w is up, against the way that the pin goes in; v is the
//! assembly's z; u is square to both. Its origin is the assembly's.

use crate::assembly::{Assembly, Axis, InstanceId, Pose};
use crate::motion::Rate;
use crate::solid::Mesh;
use crate::units::{Angle, Length};
use nalgebra::{Point3, Vector3};

/// From one value to another on u, v and w, in mm.
pub(super) type Box3 = [[f64; 2]; 3];

/// Corners lie in one plane up to this, in mm: rounding to 32 bits, and of poses.
pub(super) const ROUNDING: f64 = 1e-3;
/// All of an axis, in mm: larger than any printer.
pub(super) const ALL: [f64; 2] = [-1e4, 1e4];

/// How a mechanism lies on the bench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lying {
    /// Along which axis of the assembly its pins go in.
    pub(super) axis: Axis,
    /// Whether towards the positive end of it.
    pub(super) positive: bool,
}

impl Lying {
    /// u, v and w in the assembly.
    fn axes(self) -> [Vector3<f64>; 3] {
        let mut up = Vector3::zeros();
        up[self.axis.index()] = if self.positive { -1.0 } else { 1.0 };
        let along = Vector3::z();
        [along.cross(&up), along, up]
    }

    /// A point of the assembly on the bench.
    pub(super) fn on_bench(self, point: Point3<f64>) -> [f64; 3] {
        self.axes().map(|axis| axis.dot(&point.coords))
    }

    /// From a print frame whose x, y and z are u, v and w to the assembly; its origin stands at a point of
    /// the bench.
    pub(super) fn pose(self, origin: [f64; 3]) -> Pose {
        let axes = self.axes();
        let shift: Vector3<f64> = axes.iter().zip(origin).map(|(axis, by)| axis * by).sum();
        let [u, v, w] = axes.map(Into::into);
        let [x, y, z] = [shift.x, shift.y, shift.z].map(Length::mm);
        Pose::axes(u, v, w).shifted(x, y, z)
    }
}

/// Facets of pieces on the bench.
pub(super) struct Around {
    facets: Vec<(InstanceId, [[f64; 3]; 3])>,
}

/// Where the pieces of a mechanism stand, as far as they were drawn.
#[derive(Clone, Copy)]
pub(super) struct Standing<'a> {
    pub(super) assembly: &'a Assembly,
    pub(super) rates: &'a [Rate],
    /// Of the parts, in their order.
    pub(super) meshes: &'a [&'a Mesh],
}

impl Standing<'_> {
    /// Where a piece stands after so many turns of the drive in the direction of the stroke.
    pub(super) fn pose(&self, piece: InstanceId, turn: f64) -> Pose {
        let pose = self.assembly.instance(piece).pose;
        match self.rates.get(piece.0) {
            Some(rate) => {
                let gone = rate.after(turn);
                pose.screwed(Angle::turns(gone.turns), gone.advance)
            }
            None => pose,
        }
    }

    /// Pieces at a turn, on the bench.
    pub(super) fn around(&self, pieces: &[InstanceId], turn: f64, lying: Lying) -> Around {
        let mut facets = Vec::new();
        for piece in pieces {
            let part = self.assembly.instance(*piece).part;
            let Some(mesh) = self.meshes.get(part.0) else {
                continue;
            };
            let pose = self.pose(*piece, turn);
            let points = mesh.points.iter();
            let points: Vec<[f64; 3]> = points
                .map(|point| lying.on_bench(pose.apply(*point)))
                .collect();
            let corners = |facet: &[u32; 3]| facet.map(|corner| points[corner as usize]);
            facets.extend(mesh.triangles.iter().map(|facet| (*piece, corners(facet))));
        }
        Around { facets }
    }
}

impl Around {
    /// How far what lies inside a box reaches, of the pieces that are asked for; none where nothing does.
    /// Surfaces alone are seen: of a box inside a piece nothing is.
    pub(super) fn within(&self, of: impl Fn(InstanceId) -> bool, within: Box3) -> Option<Box3> {
        let mut found: Option<Box3> = None;
        for (piece, facet) in &self.facets {
            if !of(*piece) || misses(facet, within) {
                continue;
            }
            for point in clipped(facet, within) {
                let reach = found.get_or_insert(point.map(|at| [at, at]));
                for (axis, at) in point.into_iter().enumerate() {
                    reach[axis] = [reach[axis][0].min(at), reach[axis][1].max(at)];
                }
            }
        }
        found
    }

    /// How far a level face of a piece reaches, at a height and up to a rounding of it, inside a box.
    pub(super) fn level_face(&self, piece: InstanceId, level: f64, within: Box3) -> Option<Box3> {
        self.face(piece, 2, level, within)
    }

    /// The same of a face square to v.
    pub(super) fn end_face(&self, piece: InstanceId, at: f64, within: Box3) -> Option<Box3> {
        self.face(piece, 1, at, within)
    }

    /// The heights of level faces of a piece inside a box, the lowest and the highest; none where it has none.
    pub(super) fn levels(&self, piece: InstanceId, within: Box3) -> Option<[f64; 2]> {
        let flat = self.facets.iter().filter(|(of, facet)| {
            let [a, b, c] = facet.map(|corner| corner[2]);
            *of == piece && (a - b).abs() < ROUNDING && (a - c).abs() < ROUNDING
        });
        let flat = Self {
            facets: flat.copied().collect(),
        };
        Some(flat.within(|_| true, within)?[2])
    }

    fn face(&self, piece: InstanceId, axis: usize, at: f64, within: Box3) -> Option<Box3> {
        let flat = |facet: &[[f64; 3]; 3]| {
            let mut corners = facet.iter();
            corners.all(|corner| (corner[axis] - at).abs() < ROUNDING)
        };
        let flat: Vec<(InstanceId, [[f64; 3]; 3])> = self
            .facets
            .iter()
            .filter(|(of, facet)| *of == piece && flat(facet))
            .copied()
            .collect();
        Self { facets: flat }.within(|_| true, within)
    }
}

/// Whether a facet is surely outside of a box.
fn misses(facet: &[[f64; 3]; 3], within: Box3) -> bool {
    within.iter().enumerate().any(|(axis, [low, high])| {
        facet.iter().all(|corner| corner[axis] < *low)
            || facet.iter().all(|corner| corner[axis] > *high)
    })
}

/// What of a facet is inside a box, as the corners of a polygon: cut off by one side after the other.
fn clipped(facet: &[[f64; 3]; 3], within: Box3) -> Vec<[f64; 3]> {
    let mut polygon = facet.to_vec();
    for (axis, [low, high]) in within.into_iter().enumerate() {
        for (side, sign) in [(low, 1.0), (high, -1.0)] {
            let inside = |corner: &[f64; 3]| (corner[axis] - side) * sign;
            let mut kept = Vec::with_capacity(polygon.len() + 1);
            for (index, corner) in polygon.iter().enumerate() {
                let next = &polygon[(index + 1) % polygon.len()];
                let [here, there] = [inside(corner), inside(next)];
                if here >= 0.0 {
                    kept.push(*corner);
                }
                if (here > 0.0 && there < 0.0) || (here < 0.0 && there > 0.0) {
                    let share = here / (here - there);
                    kept.push([0, 1, 2].map(|at| corner[at] + (next[at] - corner[at]) * share));
                }
            }
            polygon = kept;
        }
    }
    polygon
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_goes_in_downwards_has_up_against_it_and_the_axis_along() {
        for (axis, positive) in [
            (Axis::X, false),
            (Axis::X, true),
            (Axis::Y, false),
            (Axis::Y, true),
        ] {
            let lying = Lying { axis, positive };
            let mut way = [0.0; 3];
            way[axis.index()] = if positive { 5.0 } else { -5.0 };
            let [u, v, w] = lying.on_bench(Point3::from(way));
            assert_eq!([u, v, w], [0.0, 0.0, -5.0]);
            assert_eq!(lying.on_bench(Point3::new(0.0, 0.0, 7.0))[1], 7.0);
            // There and back.
            let back = lying.pose([1.0, 2.0, 3.0]).apply(Point3::origin());
            assert_eq!(lying.on_bench(back), [1.0, 2.0, 3.0]);
        }
    }

    #[test]
    fn a_facet_is_seen_as_far_as_it_is_inside() {
        let facet = [[0.0, 0.0, 1.0], [10.0, 0.0, 1.0], [0.0, 10.0, 1.0]];
        let around = Around {
            facets: vec![(InstanceId(0), facet)],
        };
        let seen = around.within(|_| true, [[-1.0, 2.0], [-1.0, 20.0], [0.0, 2.0]]);
        assert_eq!(seen, Some([[0.0, 2.0], [0.0, 10.0], [1.0, 1.0]]));
        assert_eq!(around.within(|_| true, [[6.0, 9.0], [6.0, 9.0], ALL]), None);
        assert_eq!(around.within(|_| false, [ALL, ALL, ALL]), None);
    }
}
