//! A piece's rings: for rows of radius, the heights that its surface has at any angle.
//!
//! Turning vanishes: a piece that turns and advances meets another only if a ring of the one
//! reaches a ring of the other. Safe side: what differs by angle alone counts as met, and what
//! the rings call free is free. Each span keeps the true radii of what it holds, so that a gap
//! narrower than a row is still seen.

use super::body::nearest_to_axis;
use super::tree::Facet;
use crate::units::Length;
use nalgebra::Point3;

/// A stretch of heights that a surface has in one row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    /// From which z to which.
    pub(super) z: [f64; 2],
    /// Least and greatest radius in it.
    pub(super) r: [f64; 2],
    /// Zero for the body, else one more than the index of its thread.
    pub(super) feature: u8,
    /// Whether some of it faces up, and some of it down.
    pub(super) faces: [bool; 2],
}

/// Spans by rows of radius.
#[derive(Clone, Debug)]
pub(super) struct Rings {
    width: f64,
    rows: Vec<Vec<Span>>,
}

/// Two spans of one feature become one when they come this near, in mm: far below a layer.
const JOINED: f64 = 1e-4;
/// A facet lies along the rows when its heights differ by less, in mm.
const LEVEL: f64 = 1e-9;
/// Rounding of a squared radius, in mm2. Guess, far below a printable size.
const ROUNDING: f64 = 1e-9;
/// A facet faces up or down when its normal leans more than this. Derived: see the tree's.
const FACING: f64 = 1e-6;

impl Rings {
    /// Of facets in the assembly frame, with their features.
    pub(super) fn new(facets: &[Facet], threads: usize, row: Length) -> Self {
        let mut rings = Self {
            width: row.as_mm(),
            rows: Vec::new(),
        };
        let mut hulls = vec![Hull::default(); threads];
        for facet in facets {
            let radii = [nearest_to_axis(&facet.corners), farthest(&facet.corners)];
            match usize::from(facet.feature) {
                0 => rings.add(facet, radii),
                thread => hulls[thread - 1].add(facet, radii, rings.width),
            }
        }
        for row in &mut rings.rows {
            join(row);
        }
        for (thread, hull) in (1..).zip(hulls) {
            rings.add_hull(thread, hull);
        }
        rings
    }

    /// The rows, from the axis outwards; row i holds radii from i times the width on.
    pub(super) fn rows(&self) -> &[Vec<Span>] {
        &self.rows
    }

    fn row(&mut self, index: usize) -> &mut Vec<Span> {
        if self.rows.len() <= index {
            self.rows.resize_with(index + 1, Vec::new);
        }
        &mut self.rows[index]
    }

    /// Adds a facet of the body to every row that it reaches.
    fn add(&mut self, facet: &Facet, radii: [f64; 2]) {
        let z = heights(&facet.corners);
        let faces = [facet.normal.z > FACING, facet.normal.z < -FACING];
        let (first, last) = rows_of(radii, self.width);
        let plain = first == last || z[1] - z[0] < LEVEL;
        for index in first..=last {
            let low = (index as f64 * self.width).max(radii[0]);
            let high = ((index + 1) as f64 * self.width).min(radii[1]);
            let z = if plain {
                z
            } else {
                // Where rounding hides that it is there at all, all of it is taken.
                heights_within(facet, [low, high]).unwrap_or(z)
            };
            self.row(index).push(Span {
                z,
                r: [low, high],
                feature: 0,
                faces,
            });
        }
    }

    /// Adds a thread: at some angle its surface has every height between its ends.
    fn add_hull(&mut self, thread: u8, hull: Hull) {
        for (index, held) in (hull.first..).zip(hull.rows) {
            if let Some((z, r)) = held {
                let span = Span {
                    z,
                    r,
                    feature: thread,
                    faces: [true, true],
                };
                let row = self.row(index);
                let place = row.partition_point(|other| other.z[0] <= z[0]);
                row.insert(place, span);
            }
        }
    }
}

/// Heights and radii of a thread's facets by rows.
#[derive(Clone, Debug, Default)]
struct Hull {
    first: usize,
    rows: Vec<Option<([f64; 2], [f64; 2])>>,
}

impl Hull {
    fn add(&mut self, facet: &Facet, radii: [f64; 2], width: f64) {
        let z = heights(&facet.corners);
        let (first, last) = rows_of(radii, width);
        if self.rows.is_empty() {
            self.first = first;
        }
        if first < self.first {
            let before = self.first - first;
            self.rows.splice(0..0, std::iter::repeat_n(None, before));
            self.first = first;
        }
        if self.rows.len() <= last - self.first {
            self.rows.resize(last - self.first + 1, None);
        }
        for index in first..=last {
            let low = (index as f64 * width).max(radii[0]);
            let high = ((index + 1) as f64 * width).min(radii[1]);
            let held = &mut self.rows[index - self.first];
            let inside = held.is_some_and(|(held_z, _)| held_z[0] <= z[0] && z[1] <= held_z[1]);
            let z = if inside || first == last {
                z
            } else {
                // A countersink's facets reach the end of the thread in their outer rows only.
                heights_within(facet, [low, high]).unwrap_or(z)
            };
            *held = Some(match *held {
                None => (z, [low, high]),
                Some((held_z, held_r)) => (union(held_z, z), union(held_r, [low, high])),
            });
        }
    }
}

fn union(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0].min(b[0]), a[1].max(b[1])]
}

fn rows_of(radii: [f64; 2], width: f64) -> (usize, usize) {
    let [first, last] = radii.map(|radius| (radius / width) as usize);
    (first, last)
}

fn heights(corners: &[Point3<f64>; 3]) -> [f64; 2] {
    let z = corners.map(|corner| corner.z);
    [z[0].min(z[1]).min(z[2]), z[0].max(z[1]).max(z[2])]
}

fn farthest(corners: &[Point3<f64>; 3]) -> f64 {
    let squared = corners.map(|corner| corner.x * corner.x + corner.y * corner.y);
    squared.into_iter().fold(0.0, f64::max).sqrt()
}

/// Sorts spans by height and joins those of one feature that touch.
fn join(row: &mut Vec<Span>) {
    row.sort_by(|a, b| {
        let by = |a: &[f64; 2], b: &[f64; 2]| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1]));
        by(&a.z, &b.z)
            .then(by(&a.r, &b.r))
            .then(a.faces.cmp(&b.faces))
    });
    let mut joined: Vec<Span> = Vec::new();
    for span in row.iter() {
        match joined.last_mut() {
            Some(last) if span.z[0] <= last.z[1] + JOINED => {
                last.z = union(last.z, span.z);
                last.r = union(last.r, span.r);
                last.faces = [0, 1].map(|way| last.faces[way] || span.faces[way]);
            }
            _ => joined.push(*span),
        }
    }
    *row = joined;
}

/// Least and greatest height of a facet where its radius is in a range; none if it has none.
///
/// They are reached at corners in the range, where sides cross its two cylinders, or where a
/// cylinder's circle runs level in the facet's plane.
fn heights_within(facet: &Facet, [low, high]: [f64; 2]) -> Option<[f64; 2]> {
    let corners = &facet.corners;
    let mut found = [f64::INFINITY, f64::NEG_INFINITY];
    let mut note = |z: f64| found = union(found, [z, z]);
    let (low2, high2) = (low * low - ROUNDING, high * high + ROUNDING);
    for side in 0..3 {
        let (from, to) = (corners[side], corners[(side + 1) % 3]);
        let squared = from.x * from.x + from.y * from.y;
        if (low2..=high2).contains(&squared) {
            note(from.z);
        }
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let (a, b) = (dx * dx + dy * dy, from.x * dx + from.y * dy);
        if a <= 0.0 {
            continue;
        }
        // A side that only runs past between the cylinders has its ends outside of both.
        let nearest = -b / a;
        let least = squared + 2.0 * nearest * b + nearest * nearest * a;
        if (0.0..=1.0).contains(&nearest) && (low2..=high2).contains(&least) {
            note(from.z + nearest * (to.z - from.z));
        }
        for circle in [low * low, high * high] {
            let root = b * b - a * (squared - circle);
            if root < 0.0 {
                continue;
            }
            let root = root.sqrt();
            for along in [(-b - root) / a, (-b + root) / a] {
                if (0.0..=1.0).contains(&along) {
                    note(from.z + along * (to.z - from.z));
                }
            }
        }
    }
    let normal = &facet.normal;
    let lean = (normal.x * normal.x + normal.y * normal.y).sqrt();
    if normal.z.abs() > FACING && lean > 0.0 {
        for radius in [low, high] {
            for way in [-1.0, 1.0] {
                let (x, y) = (
                    way * radius * normal.x / lean,
                    way * radius * normal.y / lean,
                );
                if covers(corners, x, y) {
                    let rise = (x - corners[0].x) * normal.x + (y - corners[0].y) * normal.y;
                    note(corners[0].z - rise / normal.z);
                }
            }
        }
    }
    (found[0] <= found[1]).then_some(found)
}

/// Whether a facet, seen along the axis, covers a point.
fn covers(corners: &[Point3<f64>; 3], x: f64, y: f64) -> bool {
    let side = |a: usize, b: usize| {
        let (a, b) = (&corners[a], &corners[b]);
        (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x)
    };
    let sides = [side(0, 1), side(1, 2), side(2, 0)];
    sides.iter().all(|side| *side >= 0.0) || sides.iter().all(|side| *side <= 0.0)
}
