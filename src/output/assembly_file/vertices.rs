//! A part's mesh as vertices with normals: smooth over curved faces, split where edges are drawn.

use crate::picture::Surface;
use crate::solid::Mesh;
use nalgebra::{Point3, Vector3};

/// Normals of one corner that are nearer to each other than this, by their cosine, are one: a degree, which
/// no shading shows. Guess.
const SAME_NORMAL: f32 = 0.99985;
/// Says that a corner has no further vertex.
const NONE: u32 = u32::MAX;

/// Vertices and facets of a part, in its print frame.
#[derive(Clone, Debug, Default)]
pub(super) struct Vertices {
    /// Where each stands, in mm, and its normal.
    pub(super) each: Vec<(Point3<f64>, Vector3<f32>)>,
    /// Three vertices of every facet, counter-clockwise seen from outside.
    pub(super) facets: Vec<[u32; 3]>,
}

impl Vertices {
    /// Of a mesh.
    pub(super) fn of(mesh: &Mesh) -> Self {
        let surface = Surface::of(mesh);
        let points = surface.points();
        let mut vertices = Self::default();
        // Of every corner its first vertex, of every vertex the next of its corner.
        let mut first = vec![NONE; points.len()];
        let mut next: Vec<u32> = Vec::new();
        for (corners, normals) in surface.facets() {
            let pairs = [0, 1, 2].map(|corner: usize| (corners[corner] as usize, normals[corner]));
            let facet = pairs.map(|(corner, normal)| {
                let mut known = first[corner];
                while known != NONE {
                    let (_, other) = vertices.each[known as usize];
                    if other.dot(&normal) > SAME_NORMAL {
                        return known;
                    }
                    known = next[known as usize];
                }
                // A mesh has fewer corners of facets than a u32 counts.
                let new = vertices.each.len() as u32;
                vertices.each.push((points[corner], normal));
                next.push(first[corner]);
                first[corner] = new;
                new
            });
            vertices.facets.push(facet);
        }
        vertices
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;

    #[test]
    fn a_corner_has_a_vertex_for_every_flat_face_that_meets_there() {
        let mesh = fixture::tetrahedron();
        let vertices = Vertices::of(&mesh);
        assert_eq!(vertices.each.len(), 4 * 3);
        for (facet, corners) in vertices.facets.iter().zip(mesh.facets()) {
            let [a, b, c] = corners;
            let outside = (b - a).cross(&(c - a)).normalize();
            for (vertex, corner) in facet.iter().zip(corners) {
                let (point, normal) = vertices.each[*vertex as usize];
                assert_eq!(point, corner);
                assert!((normal.cast::<f64>() - outside).norm() < 1e-6);
            }
        }
    }
}
