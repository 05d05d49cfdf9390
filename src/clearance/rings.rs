//! A piece's rings: for rows of radius, the heights that its surface has at any angle.
//!
//! Turning vanishes: a piece that turns and advances meets another only if a ring of the one
//! reaches a ring of the other. Safe side: what differs by angle alone counts as met, and what
//! the rings call free is free. Each span keeps the true radii of what it holds, so that a gap
//! narrower than a row is still seen.

use super::facet::Facet;
use super::facet::{farthest_from_axis, nearest_to_axis};
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
/// A facet faces up or down when its normal leans more than this. Derived: see the facets'.
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
            let radii = [
                nearest_to_axis(&facet.corners),
                farthest_from_axis(&facet.corners),
            ];
            match usize::from(facet.feature) {
                0 => rings.add(facet, radii),
                thread => hulls[thread - 1].add(facet, radii, rings.width),
            }
        }
        // The body's spans are joined as they come, and threads are added after them: a thread must
        // keep a span of its own, since pairs of threads that mate are left out by it.
        for (thread, hull) in (1..).zip(hulls) {
            rings.add_hull(thread, hull);
        }
        rings
    }

    /// The rows, from the axis outwards; row i holds radii from i times the width on.
    pub(super) fn rows(&self) -> &[Vec<Span>] {
        &self.rows
    }

    /// Width of a row, in mm.
    pub(super) fn width(&self) -> f64 {
        self.width
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
        let width = self.width;
        // The true radii and not the row's: two faces a tenth of a row apart would else share a row
        // and count as met.
        let span = |index: usize, z: [f64; 2]| Span {
            z,
            r: [
                (index as f64 * width).max(radii[0]),
                ((index + 1) as f64 * width).min(radii[1]),
            ],
            feature: 0,
            faces,
        };
        // Most facets of a wall tell nothing that its first ones have not told.
        let known = |index: usize| {
            let row = self.rows.get(index);
            row.is_some_and(|row| has(row, &span(index, z)))
        };
        if (first..=last).all(known) {
            return;
        }
        // Within one row, or where it lies level, a facet has all of its heights in each row that
        // it reaches, so it need not be cut by rows.
        let plain = first == last || z[1] - z[0] < LEVEL;
        let by_row = if plain {
            Vec::new()
        } else {
            heights_by_row(facet, first, last, self.width)
        };
        for index in first..=last {
            // Where rounding hides that it is there at all, all of it is taken.
            let found = by_row.get(index - first).filter(|z| z[0] <= z[1]);
            let span = span(index, found.copied().unwrap_or(z));
            merge(self.row(index), span);
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
        // After a few strips of columns a thread's facets lie inside what is held already, and need
        // not be cut by rows.
        let inside = |held: &Option<([f64; 2], [f64; 2])>| {
            held.is_some_and(|(held_z, _)| held_z[0] <= z[0] && z[1] <= held_z[1])
        };
        let from = first - self.first;
        // A countersink's facets reach the end of the thread in their outer rows only.
        let by_row = if self.rows[from..=last - self.first].iter().all(inside) {
            Vec::new()
        } else {
            heights_by_row(facet, first, last, width)
        };
        for index in first..=last {
            let low = (index as f64 * width).max(radii[0]);
            let high = ((index + 1) as f64 * width).min(radii[1]);
            let found = by_row.get(index - first).filter(|z| z[0] <= z[1]);
            let z = found.copied().unwrap_or(z);
            let held = &mut self.rows[index - self.first];
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

/// Adds a span to a row whose spans stand apart in their order, and joins it with those that it
/// touches. What comes of many does not hang on the order in which they come.
fn merge(row: &mut Vec<Span>, span: Span) {
    let first = row.partition_point(|held| held.z[1] + JOINED < span.z[0]);
    let end = row.partition_point(|held| held.z[0] <= span.z[1] + JOINED);
    let joined = row[first..end].iter().fold(span, |joined, held| Span {
        z: union(joined.z, held.z),
        r: union(joined.r, held.r),
        faces: [0, 1].map(|way| joined.faces[way] || held.faces[way]),
        ..joined
    });
    row.splice(first..end, [joined]);
}

/// Whether a row has all of a span already.
fn has(row: &[Span], span: &Span) -> bool {
    let at = row.partition_point(|held| held.z[1] < span.z[1]);
    row.get(at).is_some_and(|held| {
        held.z[0] <= span.z[0]
            && held.r[0] <= span.r[0]
            && span.r[1] <= held.r[1]
            && (0..2).all(|way| held.faces[way] || !span.faces[way])
    })
}

/// Least and greatest height of a facet in each row from `first` to `last`; low above high in a
/// row where none was found.
///
/// In a row they are reached at a corner, at a side's nearest point to the axis, on the axis, or
/// on one of the row's two cylinders: where a side crosses it, or where its circle runs level in
/// the facet's plane.
fn heights_by_row(facet: &Facet, first: usize, last: usize, width: f64) -> Vec<[f64; 2]> {
    let corners = &facet.corners;
    let mut rows = vec![[f64::INFINITY, f64::NEG_INFINITY]; last - first + 1];
    let mut note = |radius: f64, z: f64| {
        let row = ((radius / width) as usize).clamp(first, last) - first;
        rows[row] = union(rows[row], [z, z]);
    };
    let radius = |x: f64, y: f64| (x * x + y * y).sqrt();
    let sides = [0, 1, 2].map(|side| Side::new(&corners[side], &corners[(side + 1) % 3]));
    for (corner, side) in corners.iter().zip(&sides) {
        note(radius(corner.x, corner.y), corner.z);
        let nearest = -side.b / side.a;
        // A side without length has no nearest point: 0/0 is in no range, and its corners are
        // noted.
        if (0.0..=1.0).contains(&nearest) {
            let least = side.squared + nearest * side.b;
            note(least.max(0.0).sqrt(), side.height(nearest));
        }
    }
    let normal = &facet.normal;
    let lean = radius(normal.x, normal.y);
    // An upright facet has no height over a place, and a level one has the same everywhere; either
    // reaches its ends on its sides, which are noted below.
    let leans = normal.z.abs() > FACING && lean > 0.0;
    if normal.z.abs() > FACING && covers(corners, 0.0, 0.0) {
        note(0.0, plane_height(facet, 0.0, 0.0));
    }
    for edge in first + 1..=last {
        let circle = edge as f64 * width;
        let mut on_circle = [f64::INFINITY, f64::NEG_INFINITY];
        for side in &sides {
            for along in side.crossings(circle) {
                let z = side.height(along);
                on_circle = union(on_circle, [z, z]);
            }
        }
        for way in [-circle, circle] {
            let (x, y) = (way * normal.x / lean, way * normal.y / lean);
            if leans && covers(corners, x, y) {
                let z = plane_height(facet, x, y);
                on_circle = union(on_circle, [z, z]);
            }
        }
        // A cylinder between two rows belongs to both: what crosses it ends in the one and begins
        // in the other.
        for row in [edge - 1 - first, edge - first] {
            rows[row] = union(rows[row], on_circle);
        }
    }
    rows
}

/// A side of a facet, seen along the axis: |from + s (to - from)|2 = squared + 2 b s + a s2.
struct Side {
    z: [f64; 2],
    squared: f64,
    a: f64,
    b: f64,
}

impl Side {
    fn new(from: &Point3<f64>, to: &Point3<f64>) -> Self {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        Self {
            z: [from.z, to.z],
            squared: from.x * from.x + from.y * from.y,
            a: dx * dx + dy * dy,
            b: from.x * dx + from.y * dy,
        }
    }

    fn height(&self, along: f64) -> f64 {
        self.z[0] + along * (self.z[1] - self.z[0])
    }

    /// Where it crosses a circle about the axis.
    fn crossings(&self, circle: f64) -> impl Iterator<Item = f64> {
        let root = (self.b * self.b - self.a * (self.squared - circle * circle)).sqrt();
        // What is not a number, for want of a crossing or of a length, is in no range.
        [(-self.b - root) / self.a, (-self.b + root) / self.a]
            .into_iter()
            .filter(|along| (0.0..=1.0).contains(along))
    }
}

fn plane_height(facet: &Facet, x: f64, y: f64) -> f64 {
    let [corner, ..] = &facet.corners;
    let normal = &facet.normal;
    corner.z - ((x - corner.x) * normal.x + (y - corner.y) * normal.y) / normal.z
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
