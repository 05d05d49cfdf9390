//! Cuts through a mesh, and what a probe finds on them.

use netlead::solid::Mesh;
use netlead::units::Angle;
use std::collections::HashMap;

/// A closed line in a plane; its two coordinates are the other axes in their order.
pub(crate) type Loop = Vec<[f64; 2]>;

/// All closed lines in which a plane square to an axis cuts a mesh.
pub(crate) struct Section {
    pub(crate) loops: Vec<Loop>,
}

/// A plane is moved by this, in mm, so that it meets no corner.
const ASIDE: f64 = 1.234_567e-5;

impl Section {
    pub(crate) fn new(mesh: &Mesh, axis: usize, at: f64) -> Self {
        let (u, v) = [(1, 2), (0, 2), (0, 1)][axis];
        let at = at + ASIDE;
        // From the edge through which the line enters a facet to that through which it leaves.
        let mut next: HashMap<(u32, u32), (u32, u32)> = HashMap::new();
        let mut places: HashMap<(u32, u32), [f64; 2]> = HashMap::new();
        for facet in &mesh.triangles {
            let heights = facet.map(|corner| mesh.points[corner as usize][axis] - at);
            let (mut from, mut to) = (None, None);
            for (a, b) in [(0, 1), (1, 2), (2, 0)] {
                if (heights[a] < 0.0) == (heights[b] < 0.0) {
                    continue;
                }
                let (low, high) = (facet[a].min(facet[b]), facet[a].max(facet[b]));
                let [p, q] = [low, high].map(|corner| mesh.points[corner as usize]);
                let share = (at - p[axis]) / (q[axis] - p[axis]);
                places.insert((low, high), [u, v].map(|k| p[k] + (q[k] - p[k]) * share));
                *(if heights[a] < 0.0 { &mut from } else { &mut to }) = Some((low, high));
            }
            if let (Some(from), Some(to)) = (from, to) {
                next.insert(from, to);
            }
        }
        let mut loops = Vec::new();
        while let Some(start) = next.keys().min().copied() {
            let (mut at, mut around) = (start, Vec::new());
            while let Some(then) = next.remove(&at) {
                around.push(places[&at]);
                at = then;
            }
            assert_eq!(at, start, "a section is not closed");
            loops.push(around);
        }
        Self { loops }
    }

    /// How far a probe goes from a place until it meets a wall; infinite if it meets none.
    pub(crate) fn reach(&self, from: [f64; 2], way: [f64; 2]) -> f64 {
        let loops = self.loops.iter();
        loops
            .map(|walls| reach(walls, from, way))
            .fold(f64::INFINITY, f64::min)
    }

    /// Lines that have another around them.
    pub(crate) fn holes(&self) -> Vec<&Loop> {
        let inside = |one: &Loop, other: &Loop| {
            let (low, high) = bounds(other);
            let (least, most) = bounds(one);
            (0..2).all(|k| low[k] < least[k] && most[k] < high[k])
        };
        let loops = self.loops.iter();
        loops
            .filter(|one| self.loops.iter().any(|other| inside(one, other)))
            .collect()
    }
}

/// A direction in the plane of a section, in degrees from its first axis.
pub(crate) fn towards(degrees: f64) -> [f64; 2] {
    let (sin, cos) = Angle::degrees(degrees).sin_cos();
    [cos, sin]
}

/// From a place in a direction to the first wall of one line.
pub(crate) fn reach(walls: &[[f64; 2]], from: [f64; 2], way: [f64; 2]) -> f64 {
    let seen = |point: &[f64; 2]| {
        let [x, y] = [point[0] - from[0], point[1] - from[1]];
        // Along the probe and beside it.
        [x * way[0] + y * way[1], y * way[0] - x * way[1]]
    };
    let pairs = walls.iter().zip(walls.iter().cycle().skip(1));
    pairs
        .filter_map(|(a, b)| {
            let ([along, beside], [then, other]) = (seen(a), seen(b));
            if (beside < 0.0) == (other < 0.0) {
                return None;
            }
            let met = along + (then - along) * beside / (beside - other);
            (met > 0.0).then_some(met)
        })
        .fold(f64::INFINITY, f64::min)
}

/// Least and most of both coordinates.
pub(crate) fn bounds(walls: &[[f64; 2]]) -> ([f64; 2], [f64; 2]) {
    let of = |pick: fn(f64, f64) -> f64| {
        [0, 1].map(|k| walls.iter().map(|point| point[k]).reduce(pick).unwrap())
    };
    (of(f64::min), of(f64::max))
}

/// A lying hole in a wall, as a section across it shows; up is the second coordinate.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bore {
    /// From the middle to the nearest place.
    pub(crate) inscribed: f64,
    /// Directions in which ribs stand, of the three that there may be.
    pub(crate) ribs: usize,
}

/// Half of the height of the middle band of a hole, in radii: no rib and no ceiling reaches there.
const BAND: f64 = 0.5;
/// Directions of ribs, in degrees; up is 90.
const RIBS: [f64; 3] = [60.0, 120.0, 270.0];
/// Half of the least height of a rib, in mm.
const RISES: f64 = 0.025;

impl Bore {
    pub(crate) fn of(walls: &Loop) -> Self {
        let (low, high) = bounds(walls);
        let half = (high[0] - low[0]) / 2.0;
        // From its widest place a hole reaches down by its radius, or less where a rib stands.
        let widest = walls.iter().max_by(|a, b| a[0].total_cmp(&b[0])).unwrap()[1];
        let middle = walls
            .iter()
            .filter(|point| (point[1] - widest).abs() < BAND * half);
        let (centre, radius) = circle(&middle.copied().collect::<Vec<_>>());
        let to = |degrees| reach(walls, centre, towards(degrees));
        Self {
            inscribed: (0..360)
                .map(|degrees| to(f64::from(degrees)))
                .reduce(f64::min)
                .unwrap(),
            ribs: RIBS.iter().filter(|way| to(**way) < radius - RISES).count(),
        }
    }
}

/// The circle nearest to some points: x2 + y2 = 2 a x + 2 b y + c by least squares.
fn circle(points: &[[f64; 2]]) -> ([f64; 2], f64) {
    assert!(points.len() > 3, "a circle through {} points", points.len());
    let mut normal = nalgebra::Matrix3::zeros();
    let mut right = nalgebra::Vector3::zeros();
    for [x, y] in points {
        let row = nalgebra::Vector3::new(2.0 * x, 2.0 * y, 1.0);
        normal += row * row.transpose();
        right += row * (x * x + y * y);
    }
    let found = normal.lu().solve(&right).unwrap();
    let (a, b) = (found[0], found[1]);
    ([a, b], (found[2] + a * a + b * b).sqrt())
}
