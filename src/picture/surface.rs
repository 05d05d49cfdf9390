//! A mesh made ready to be drawn: the normals of its facets, and smooth ones at their corners.

use crate::solid::Mesh;
use crate::units::Angle;
use nalgebra::{Point3, Vector3};

/// Between facets at a greater angle than this an edge is drawn; below it they are one curved face.
/// Chamfers of 45 degrees have their edges, chords of pins of 3 mm (36 degrees at the coarseness of
/// pictures) have none.
const CREASE_DEGREES: f64 = 38.0;

/// Cosine of the greatest angle between facets of one curved face.
pub(super) fn crease_cosine() -> f32 {
    Angle::degrees(CREASE_DEGREES).cos() as f32
}

/// A mesh with its normals, in its own frame.
#[derive(Clone, Debug)]
pub struct Surface {
    pub(super) points: Vec<Point3<f64>>,
    pub(super) facets: Vec<Facet>,
}

/// One facet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facet {
    pub(super) corners: [u32; 3],
    pub(super) normal: Vector3<f32>,
    /// Smooth normals at the corners.
    pub(super) smooth: [Vector3<f32>; 3],
}

impl Surface {
    /// Of a mesh. Facets without area are left out.
    pub fn of(mesh: &Mesh) -> Self {
        let mut facets = Vec::with_capacity(mesh.triangles.len());
        let mut weights: Vec<[f32; 3]> = Vec::with_capacity(mesh.triangles.len());
        for (corners, [a, b, c]) in mesh.triangles.iter().zip(mesh.facets()) {
            let across = (b - a).cross(&(c - a));
            let area = across.norm();
            if area > 0.0 {
                let normal = (across / area).cast::<f32>();
                weights.push(angles([a, b, c]));
                facets.push(Facet {
                    corners: *corners,
                    normal,
                    smooth: [normal; 3],
                });
            }
        }
        smooth(&mut facets, &weights, mesh.points.len());
        Self {
            points: mesh.points.clone(),
            facets,
        }
    }

    /// Corners and smooth normals of every facet; numbers of corners are places among the points.
    pub fn facets(&self) -> impl Iterator<Item = ([u32; 3], [Vector3<f32>; 3])> + '_ {
        let facets = self.facets.iter();
        facets.map(|facet| (facet.corners, facet.smooth))
    }

    /// Corners of the mesh.
    pub fn points(&self) -> &[Point3<f64>] {
        &self.points
    }
}

/// Gives each corner the mean normal of the facets there that belong to one curved face with its own.
/// Facets weigh by their angles there, so that it does not matter how a flat face was cut into triangles.
fn smooth(facets: &mut [Facet], weights: &[[f32; 3]], points: usize) {
    // Which facets stand at a point: places in one list, by where each point's begin.
    let mut begins = vec![0usize; points + 1];
    for facet in facets.iter() {
        for corner in facet.corners {
            begins[corner as usize + 1] += 1;
        }
    }
    for point in 0..points {
        begins[point + 1] += begins[point];
    }
    let mut next = begins.clone();
    let mut around = vec![(Vector3::zeros(), 0.0); facets.len() * 3];
    for (facet, weights) in facets.iter().zip(weights) {
        for (corner, weight) in facet.corners.into_iter().zip(weights) {
            let slot = &mut next[corner as usize];
            around[*slot] = (facet.normal, *weight);
            *slot += 1;
        }
    }
    let crease = crease_cosine();
    for facet in facets {
        let own = facet.normal;
        facet.smooth = facet.corners.map(|corner| {
            let corner = corner as usize;
            let here = &around[begins[corner]..begins[corner + 1]];
            let of_face = here.iter().filter(|(normal, _)| normal.dot(&own) > crease);
            let sum: Vector3<f32> = of_face.map(|(normal, weight)| normal * *weight).sum();
            let length = sum.norm();
            if length > 0.0 { sum / length } else { own }
        });
    }
}

/// Angles of a triangle at its corners, in turns.
fn angles(corners: [Point3<f64>; 3]) -> [f32; 3] {
    [0, 1, 2].map(|corner: usize| {
        let at = corners[corner];
        let [one, other] = [1, 2].map(|next| corners[(corner + next) % 3] - at);
        let angle = Angle::of_point(one.dot(&other), one.cross(&other).norm());
        (angle / Angle::turns(1.0)) as f32
    })
}
