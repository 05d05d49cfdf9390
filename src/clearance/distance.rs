//! Least distance of two pieces, one of which may slide: one query for its whole way.
//!
//! A sliding facet sweeps a prism. Two convex bodies are nearest at a pair of edges, or at a
//! corner of one and a face of the other, so the distance of a prism from a facet is the least
//! of those. The nearest boxes are taken first, ties by their place in the trees; what cannot
//! improve the answer by more than a stated precision is not looked at.

use super::body::Body;
use super::box_tree::{Waiting, opened};
use super::facet::{Bounds, Facet, is_sliver};
use nalgebra::{Point3, Vector3};
use std::collections::BinaryHeap;

/// The nearest points of two pieces.
#[derive(Clone, Copy, Debug)]
pub(super) struct Nearest {
    /// Their distance, in mm; zero where the pieces meet on the way.
    pub(super) distance: f64,
    /// On a, as it then stands, and on b.
    pub(super) points: [Point3<f64>; 2],
    /// Positions among the facets of either body.
    pub(super) facets: [usize; 2],
}

/// What is asked of two pieces.
pub(super) struct Asked<'a> {
    /// How far a stands from where its mesh is.
    pub(super) shift: Vector3<f64>,
    /// Its way from there; zero if it stands still.
    pub(super) way: Vector3<f64>,
    /// Distances of this and more are none of our business.
    pub(super) cap: f64,
    /// How much the answer may exceed the least distance, in mm.
    pub(super) precision: f64,
    /// A distance that is good enough at once, since none is known to be less.
    pub(super) enough: f64,
    /// Pairs of features, by the numbers that facets carry, that do not count.
    pub(super) apart: &'a dyn Fn(u8, u8) -> bool,
}

/// The least distance on the way, if it is below the cap.
pub(super) fn nearest(a: &Body, b: &Body, asked: &Asked<'_>) -> Option<Nearest> {
    if a.facets.is_empty() || b.facets.is_empty() {
        return None;
    }
    let still = asked.way.norm_squared() == 0.0;
    let bound = |node: u32, other: u32| {
        let bounds = a.tree.nodes[node as usize].bounds;
        let swept = bounds.shifted(&asked.shift).swept(&asked.way);
        let gap = swept.distance_squared(&b.tree.nodes[other as usize].bounds);
        gap.sqrt()
    };
    let mut heap = BinaryHeap::from([Waiting {
        promise: -bound(0, 0),
        pair: [0, 0],
    }]);
    let mut best: Option<Nearest> = None;
    let mut limit = asked.cap;
    // Of equally near pairs the deepest comes first, so that a distance to beat is found soon.
    while let Some(Waiting { promise, pair }) = heap.pop() {
        if -promise >= limit {
            break;
        }
        match opened(&a.tree, &b.tree, pair) {
            Some(pairs) => heap.extend(pairs.into_iter().filter_map(|pair| {
                let least = bound(pair[0], pair[1]);
                (least < limit).then_some(Waiting {
                    promise: -least,
                    pair,
                })
            })),
            None => {
                for first in a.tree.held(pair[0]) {
                    let prism = Prism::new(&a.facets[first], asked, still);
                    for second in b.tree.held(pair[1]) {
                        let other = &b.facets[second];
                        let numbers = (a.facets[first].feature, other.feature);
                        if prism.at_least(other) >= limit || (asked.apart)(numbers.0, numbers.1) {
                            continue;
                        }
                        let (distance, points) = prism.nearest(other);
                        if distance < best.map_or(asked.cap, |best| best.distance) {
                            best = Some(Nearest {
                                distance,
                                points,
                                facets: [first, second],
                            });
                            // Boxes are held against a little less than the best, which ends the
                            // search among the many pairs of facets that are all but equally near,
                            // as between two flanks.
                            limit = (distance - asked.precision).max(0.0);
                            if distance <= asked.enough {
                                return best;
                            }
                        }
                    }
                }
            }
        }
    }
    best
}

/// The nearest points of two facets, the first of them shifted.
pub(super) fn between(one: &Facet, shift: &Vector3<f64>, other: &Facet) -> [Point3<f64>; 2] {
    let still = Asked {
        shift: *shift,
        way: Vector3::zeros(),
        cap: f64::INFINITY,
        precision: 0.0,
        enough: 0.0,
        apart: &|_, _| false,
    };
    Prism::new(one, &still, true).nearest(other).1
}

/// A facet on its way: its corners where it starts and where it ends.
struct Prism {
    start: [Point3<f64>; 3],
    end: [Point3<f64>; 3],
    way: Vector3<f64>,
    normal: Vector3<f64>,
    bounds: Bounds,
    still: bool,
}

impl Prism {
    fn new(facet: &Facet, asked: &Asked<'_>, still: bool) -> Self {
        let start = facet.corners.map(|corner| corner + asked.shift);
        let end = start.map(|corner| corner + asked.way);
        Self {
            start,
            end,
            way: asked.way,
            normal: facet.normal,
            bounds: Bounds::around(&start).joined(&Bounds::around(&end)),
            still,
        }
    }

    /// A quick lower bound on the distance: the boxes', and what lies between along either
    /// normal.
    fn at_least(&self, other: &Facet) -> f64 {
        // Boxes alone are poor where faces stand at a slant, as flanks do; along the normals those
        // part too.
        let boxes = self.bounds.distance_squared(&other.bounds()).sqrt();
        let along = |normal: &Vector3<f64>| {
            let reach = |points: &[Point3<f64>; 3]| {
                let heights = points.map(|point| point.coords.dot(normal));
                [
                    heights[0].min(heights[1]).min(heights[2]),
                    heights[0].max(heights[1]).max(heights[2]),
                ]
            };
            let (mine, theirs) = (reach(&self.start), reach(&other.corners));
            let way = self.way.dot(normal);
            let mine = [mine[0] + way.min(0.0), mine[1] + way.max(0.0)];
            (theirs[0] - mine[1]).max(mine[0] - theirs[1])
        };
        boxes.max(along(&other.normal)).max(along(&self.normal))
    }

    /// The distance, and the nearest points.
    fn nearest(&self, other: &Facet) -> (f64, [Point3<f64>; 2]) {
        // Edges and corners of bodies that cross may stand well apart, so that is asked first.
        if let Some(point) = self.meets(other) {
            return (0.0, [point, point]);
        }
        let mut best = (f64::INFINITY, [Point3::origin(); 2]);
        let mut note = |pair: [Point3<f64>; 2]| {
            let squared = (pair[0] - pair[1]).norm_squared();
            if squared < best.0 {
                best = (squared, pair);
            }
        };
        let theirs = &other.corners;
        for edge in self.edges() {
            for side in 0..3 {
                note(between_edges(edge, [theirs[side], theirs[(side + 1) % 3]]));
            }
        }
        for corner in self.corners() {
            note([corner, nearest_on(corner, theirs)]);
        }
        for corner in theirs {
            for face in self.faces() {
                note([nearest_on(*corner, &face), *corner]);
            }
        }
        (best.0.sqrt(), best.1)
    }

    fn edges(&self) -> impl Iterator<Item = [Point3<f64>; 2]> + '_ {
        let around =
            |corners: &[Point3<f64>; 3], side: usize| [corners[side], corners[(side + 1) % 3]];
        let first = (0..3).map(move |side| around(&self.start, side));
        let moving = if self.still { 0..0 } else { 0..3 };
        let rest = moving
            .flat_map(move |side| [around(&self.end, side), [self.start[side], self.end[side]]]);
        first.chain(rest)
    }

    fn corners(&self) -> impl Iterator<Item = Point3<f64>> + '_ {
        let ends: &[Point3<f64>] = if self.still { &[] } else { &self.end };
        self.start.iter().chain(ends).copied()
    }

    /// Its faces as triangles: where it starts, and, of a way, where it ends and its sides.
    fn faces(&self) -> impl Iterator<Item = [Point3<f64>; 3]> + '_ {
        let moving = if self.still { 0..0 } else { 0..3 };
        let sides = moving.clone().flat_map(move |side| {
            let next = (side + 1) % 3;
            let (a, b, c, d) = (
                self.start[side],
                self.start[next],
                self.end[next],
                self.end[side],
            );
            // A side of the prism is a flat parallelogram, so two triangles are that side and not
            // only near it.
            [[a, b, c], [a, c, d]]
        });
        let end = moving.take(1).map(move |_| self.end);
        [self.start].into_iter().chain(end).chain(sides)
    }

    /// A point that prism and facet share, if their surfaces cross or the facet is inside.
    fn meets(&self, other: &Facet) -> Option<Point3<f64>> {
        let theirs = &other.corners;
        let crossed = self.edges().find_map(|edge| crossing(edge, theirs));
        let crossing_faces = || {
            self.faces().find_map(|face| {
                (0..3).find_map(|side| crossing([theirs[side], theirs[(side + 1) % 3]], &face))
            })
        };
        let inside = || (!self.still && self.holds(&theirs[0])).then_some(theirs[0]);
        crossed.or_else(crossing_faces).or_else(inside)
    }

    /// Whether a point is inside the prism: seen along the way inside the facet, and between.
    fn holds(&self, point: &Point3<f64>) -> bool {
        let rise = self.way.dot(&self.normal);
        if rise == 0.0 {
            return false;
        }
        let share = (point - self.start[0]).dot(&self.normal) / rise;
        if !(0.0..=1.0).contains(&share) {
            return false;
        }
        let foot = point - self.way * share;
        (0..3).all(|side| {
            let edge = self.start[(side + 1) % 3] - self.start[side];
            edge.cross(&(foot - self.start[side])).dot(&self.normal) >= 0.0
        })
    }
}

/// Where an edge crosses a facet.
fn crossing([from, to]: [Point3<f64>; 2], facet: &[Point3<f64>; 3]) -> Option<Point3<f64>> {
    let normal = (facet[1] - facet[0]).cross(&(facet[2] - facet[0]));
    let (start, end) = ((from - facet[0]).dot(&normal), (to - facet[0]).dot(&normal));
    // An edge that only touches the plane is left to the distances, which are then zero; a sliver's
    // normal is rounding, and its neighbours have the same edges.
    if start * end >= 0.0 || is_sliver(facet) {
        return None;
    }
    let point = from + (to - from) * (start / (start - end));
    let inside = (0..3).all(|side| {
        let edge = facet[(side + 1) % 3] - facet[side];
        edge.cross(&(point - facet[side])).dot(&normal) >= 0.0
    });
    inside.then_some(point)
}

/// The nearest points of two edges (C. Ericson, Real-Time Collision Detection, 2005, 5.1.9).
fn between_edges(a: [Point3<f64>; 2], b: [Point3<f64>; 2]) -> [Point3<f64>; 2] {
    let (along_a, along_b, apart) = (a[1] - a[0], b[1] - b[0], a[0] - b[0]);
    let (aa, bb) = (along_a.norm_squared(), along_b.norm_squared());
    let (ab, ar, br) = (
        along_a.dot(&along_b),
        along_a.dot(&apart),
        along_b.dot(&apart),
    );
    let share = |over: f64, under: f64| {
        if under > 0.0 {
            (over / under).clamp(0.0, 1.0)
        } else {
            0.0
        }
    };
    // Of parallel edges any place will do, so s is 0 there; the two lines below then find the
    // nearest.
    let s = share(ab * br - ar * bb, aa * bb - ab * ab);
    // The point of b nearest to that of a, then the other way round where b has ended.
    let t = share(ab * s + br, bb);
    let s = share(ab * t - ar, aa);
    [a[0] + along_a * s, b[0] + along_b * t]
}

/// The point of a facet nearest to a point (Ericson, 5.1.5).
pub(super) fn nearest_on(point: Point3<f64>, [a, b, c]: &[Point3<f64>; 3]) -> Point3<f64> {
    let (ab, ac, ap) = (b - a, c - a, point - a);
    let (d1, d2) = (ab.dot(&ap), ac.dot(&ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return *a;
    }
    let bp = point - b;
    let (d3, d4) = (ab.dot(&bp), ac.dot(&bp));
    if d3 >= 0.0 && d4 <= d3 {
        return *b;
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 && d1 > d3 {
        return a + ab * (d1 / (d1 - d3));
    }
    let cp = point - c;
    let (d5, d6) = (ab.dot(&cp), ac.dot(&cp));
    if d6 >= 0.0 && d5 <= d6 {
        return *c;
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 && d2 > d6 {
        return a + ac * (d2 / (d2 - d6));
    }
    let va = d3 * d6 - d5 * d4;
    let (towards_c, towards_b) = (d4 - d3, d5 - d6);
    if va <= 0.0 && towards_c >= 0.0 && towards_b >= 0.0 && towards_c + towards_b > 0.0 {
        return b + (c - b) * (towards_c / (towards_c + towards_b));
    }
    let whole = va + vb + vc;
    if whole > 0.0 {
        a + ab * (vb / whole) + ac * (vc / whole)
    } else {
        *a
    }
}
