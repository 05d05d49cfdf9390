//! From a mesh in a pose to its section by a plane through the assembly's axis: closed outlines.
//!
//! Every facet that the plane passes has one edge that comes up through it and one that goes down. Facets
//! share edges, so outlines are followed from edge to edge by the numbers of their corners, without
//! any distance that would have to be small enough. A corner in the plane counts as above it. (Derived.)

use crate::assembly::Pose;
use crate::solid::Mesh;
use std::collections::BTreeMap;

/// A plane through the assembly's axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Plane {
    /// Through the x axis: y = 0.
    AlongX,
    /// Through the y axis: x = 0.
    AlongY,
}

impl Plane {
    /// Index of the coordinate in the plane, and of that across it.
    fn axes(self) -> [usize; 2] {
        match self {
            Self::AlongX => [0, 1],
            Self::AlongY => [1, 0],
        }
    }
}

/// An edge by its corners, the lower number first.
type Edge = [u32; 2];

/// The outlines of a section, each closed: z, and x or y, in mm. What cannot be closed, which no
/// watertight mesh has, is left out.
pub(super) fn outlines(mesh: &Mesh, pose: &Pose, plane: Plane) -> Vec<Vec<[f64; 2]>> {
    let [along, across] = plane.axes();
    let points: Vec<_> = mesh.points.iter().map(|point| pose.apply(*point)).collect();
    let above = |corner: u32| points[corner as usize][across] >= 0.0;
    let mut ways: BTreeMap<Edge, Vec<Edge>> = BTreeMap::new();
    for facet in &mesh.triangles {
        let mut ends: [Option<Edge>; 2] = [None; 2];
        for index in 0..3 {
            let (from, to) = (facet[index], facet[(index + 1) % 3]);
            if above(from) != above(to) {
                ends[usize::from(above(from))] = Some([from.min(to), from.max(to)]);
            }
        }
        if let [Some(up), Some(down)] = ends {
            ways.entry(up).or_default().push(down);
        }
    }
    let place = |[low, high]: Edge| {
        let [a, b] = [low, high].map(|corner| points[corner as usize]);
        let share = a[across] / (a[across] - b[across]);
        let share = if share.is_finite() { share } else { 0.0 };
        [
            a.z + (b.z - a.z) * share,
            a[along] + (b[along] - a[along]) * share,
        ]
    };
    let mut outlines = Vec::new();
    while let Some(start) = ways.keys().next().copied() {
        let mut outline = Vec::new();
        let mut at = start;
        let closed = loop {
            let Some(next) = ways.get_mut(&at).and_then(Vec::pop) else {
                break false;
            };
            if ways.get(&at).is_some_and(Vec::is_empty) {
                ways.remove(&at);
            }
            outline.push(place(at));
            at = next;
            if at == start {
                break true;
            }
        };
        if closed {
            outlines.push(outline);
        }
    }
    outlines
}

/// An outline without corners that stand off the line between their neighbours by no more than a
/// distance; empty where nothing but a line is left.
pub(super) fn simplified(outline: &[[f64; 2]], off: f64) -> Vec<[f64; 2]> {
    let mut kept: Vec<[f64; 2]> = Vec::new();
    for (index, point) in outline.iter().enumerate() {
        let next = outline[(index + 1) % outline.len()];
        let last = kept.last().or(outline.last()).copied().unwrap_or(*point);
        if distance(*point, last, next) > off {
            kept.push(*point);
        }
    }
    if kept.len() < 3 {
        kept.clear();
    }
    kept
}

/// From a point to the stretch between two others.
pub(super) fn distance(point: [f64; 2], from: [f64; 2], to: [f64; 2]) -> f64 {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let (x, y) = (point[0] - from[0], point[1] - from[1]);
    let long = dx * dx + dy * dy;
    let share = if long > 0.0 {
        ((x * dx + y * dy) / long).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (x, y) = (x - dx * share, y - dy * share);
    (x * x + y * y).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::{Outline, Solid};
    use crate::solid::solid_mesh;
    use crate::units::Length;

    fn area(outline: &[[f64; 2]]) -> f64 {
        let next = outline.iter().cycle().skip(1);
        let twice = outline.iter().zip(next);
        twice.map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
    }

    fn block() -> Mesh {
        let (x, y) = (Length::mm(6.0), Length::mm(4.0));
        let outline = Outline::Rectangle { x, y };
        let levels = vec![(Length::ZERO, outline.clone()), (Length::mm(10.0), outline)];
        solid_mesh(&Solid::Prism(levels), Length::mm(0.01))
    }

    #[test]
    fn a_block_is_cut_along_either_axis_even_where_a_face_lies_in_the_plane() {
        for (plane, shift, wanted) in [
            (Plane::AlongX, [0.0, 0.0], 60.0),
            (Plane::AlongY, [0.0, 0.0], 40.0),
            // One face in the plane: it counts as above, so the block on its far side is cut at its face.
            (Plane::AlongX, [0.0, -2.0], 60.0),
            (Plane::AlongX, [0.0, 2.0], 0.0),
            (Plane::AlongY, [9.0, 0.0], 0.0),
        ] {
            let [x, y] = shift.map(Length::mm);
            let pose = Pose::shift(x, y, Length::mm(3.0));
            let outlines = outlines(&block(), &pose, plane);
            let found: f64 = outlines.iter().map(|outline| area(outline).abs()).sum();
            approx::assert_abs_diff_eq!(found, wanted, epsilon = 1e-9);
        }
    }

    #[test]
    fn an_outline_loses_corners_on_its_lines_and_no_others() {
        let outline = [
            [0.0, 0.0],
            [1.0, 0.0],
            [2.0, 0.0],
            [2.0, 1.0],
            [2.0, 1.0],
            [0.0, 1.0],
        ];
        let kept = simplified(&outline, 1e-6);
        assert_eq!(kept, [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]);
        assert!(simplified(&[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]], 1e-6).is_empty());
    }
}
