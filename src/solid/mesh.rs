//! A closed surface of triangles.

use crate::assembly::Pose;
use nalgebra::Point3;

/// A facet's corners, counter-clockwise seen from outside.
pub(super) type Corners = [Point3<f64>; 3];

/// A closed surface of triangles in mm, counter-clockwise seen from outside.
#[derive(Clone, Debug, Default)]
pub struct Mesh {
    /// Corners.
    pub points: Vec<Point3<f64>>,
    /// Triples of indices into `points`.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// Adds a corner and gives its index.
    pub(super) fn add(&mut self, x: f64, y: f64, z: f64) -> u32 {
        self.points.push(Point3::new(x, y, z));
        (self.points.len() - 1) as u32
    }

    /// Adds all of another mesh.
    pub(super) fn append(&mut self, other: &Self) {
        let first = self.points.len() as u32;
        self.points.extend_from_slice(&other.points);
        let facets = other.triangles.iter();
        self.triangles
            .extend(facets.map(|facet| facet.map(|corner| corner + first)));
    }

    /// The three corners of every facet.
    pub fn facets(&self) -> impl Iterator<Item = [Point3<f64>; 3]> + '_ {
        self.triangles
            .iter()
            .map(|facet| facet.map(|corner| self.points[corner as usize]))
    }

    /// Enclosed volume in cubic millimetres: the sum of signed tetrahedra on the origin.
    pub fn volume_mm3(&self) -> f64 {
        self.facets()
            .map(|[a, b, c]| a.coords.dot(&b.coords.cross(&c.coords)))
            .sum::<f64>()
            / 6.0
    }

    /// Area of the surface in square millimetres.
    pub fn area_mm2(&self) -> f64 {
        self.facets()
            .map(|[a, b, c]| (b - a).cross(&(c - a)).norm())
            .sum::<f64>()
            / 2.0
    }

    /// Lowest and highest corner of the box around it, in mm; low above high if it has no points.
    pub fn bounds(&self) -> [[f64; 3]; 2] {
        let bound = |pick: fn(f64, f64) -> f64, start: f64| {
            [0, 1, 2].map(|axis| self.points.iter().map(|p| p[axis]).fold(start, pick))
        };
        [
            bound(f64::min, f64::INFINITY),
            bound(f64::max, f64::NEG_INFINITY),
        ]
    }

    /// Size of the box around it, in mm.
    pub fn size(&self) -> [f64; 3] {
        let [low, high] = self.bounds();
        [0, 1, 2].map(|axis| high[axis] - low[axis])
    }

    /// The same surface elsewhere.
    pub fn placed(&self, pose: &Pose) -> Self {
        Self {
            points: self.points.iter().map(|point| pose.apply(*point)).collect(),
            triangles: self.triangles.clone(),
        }
    }
}
