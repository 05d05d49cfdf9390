//! Whether two pieces overlap as they stand: an edge of one that pierces a facet of the other,
//! or one piece inside the other.

use super::body::Body;
use super::box_tree::opened;
use super::facet::{Bounds, Facet, SLACK, turn_about_axis};
use crate::units::Angle;
use nalgebra::{Point3, Rotation3, Vector3};

/// Two facets that cross.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossed {
    /// How far an edge stands in behind the facet that it pierces, or beside its rim, whichever
    /// is less, in mm; infinite where one piece is inside the other.
    pub(super) depth: f64,
    /// Where.
    pub(super) point: Point3<f64>,
}

/// The deepest overlap of two pieces, a shifted from where its mesh is. Faces in contact do not
/// overlap: an edge counts that stands on either side of a facet by more than the slack. Pairs
/// of features for which `apart` holds do not count.
pub(super) fn deepest(
    a: &Body,
    b: &Body,
    shift: &Vector3<f64>,
    apart: &dyn Fn(u8, u8) -> bool,
) -> Option<Crossed> {
    let mut best: Option<Crossed> = None;
    let mut waiting = vec![[0, 0]];
    if a.facets.is_empty() || b.facets.is_empty() {
        return None;
    }
    while let Some(nodes) = waiting.pop() {
        let (one, two) = (
            &a.tree.nodes[nodes[0] as usize],
            &b.tree.nodes[nodes[1] as usize],
        );
        if one.bounds.shifted(shift).distance_squared(&two.bounds) > 0.0 {
            continue;
        }
        let features = one.feature.zip(two.feature);
        if features.is_some_and(|(one, two)| apart(one, two)) {
            continue;
        }
        if let Some(pairs) = opened(&a.tree, &b.tree, nodes) {
            waiting.extend(pairs);
            continue;
        }
        for first in a.tree.held(nodes[0]) {
            let mut of_a = a.facets[first];
            of_a.corners = of_a.corners.map(|corner| corner + shift);
            let bounds = of_a.bounds();
            for of_b in &b.facets[b.tree.held(nodes[1])] {
                if bounds.distance_squared(&of_b.bounds()) > 0.0
                    || apart(of_a.feature, of_b.feature)
                {
                    continue;
                }
                let in_b = |from: &Point3<f64>, to: &Point3<f64>| within(b, from, to);
                let in_a = |from: &Point3<f64>, to: &Point3<f64>| {
                    within(a, &(from - shift), &(to - shift))
                };
                let both = [pierced(&of_a, of_b, in_b), pierced(of_b, &of_a, in_a)];
                for found in both.into_iter().flatten() {
                    if best.is_none_or(|best| found.depth > best.depth) {
                        best = Some(found);
                    }
                }
            }
        }
    }
    best.or_else(|| contained(a, b, shift))
}

/// A piece turned about the axis and advanced along it: a pose in which its standing tree is
/// asked, so that nothing is copied or sorted anew.
#[derive(Clone, Copy, Debug)]
pub(super) struct Screwed {
    turn: Rotation3<f64>,
    up: Vector3<f64>,
}

impl Screwed {
    /// By an angle, and by an advance in mm.
    pub(super) fn by(angle: Angle, advance: f64) -> Self {
        Self {
            turn: turn_about_axis(angle),
            up: Vector3::new(0.0, 0.0, advance),
        }
    }

    fn point(&self, point: &Point3<f64>) -> Point3<f64> {
        self.turn * point + self.up
    }

    fn back(&self, point: &Point3<f64>) -> Point3<f64> {
        self.turn.inverse_transform_point(&(point - self.up))
    }

    fn facet(&self, facet: &Facet) -> Facet {
        Facet {
            corners: facet.corners.map(|corner| self.point(&corner)),
            normal: self.turn * facet.normal,
            ..*facet
        }
    }

    /// A box along the axes around the turned one.
    fn bounds(&self, bounds: &Bounds) -> Bounds {
        let centre = self.point(&bounds.centre());
        let half = (bounds.high - bounds.low) / 2.0;
        let half = self.turn.matrix().abs() * half;
        Bounds {
            low: centre - half,
            high: centre + half,
        }
    }
}

/// Most pairs of boxes that one question over many poses may take: about a second. Guess.
pub(super) const MOST_BOXES: u64 = 4_000_000;

/// Whether two pieces overlap in one of some poses of the first, asked in their order until one
/// says so. `None` if [`MOST_BOXES`] were looked at before that was known.
pub(super) fn in_any_pose(
    a: &Body,
    b: &Body,
    poses: impl IntoIterator<Item = Screwed>,
    apart: &dyn Fn(u8, u8) -> bool,
) -> Option<bool> {
    in_any_pose_within(a, b, poses, apart, MOST_BOXES)
}

/// The same within a number of pairs of boxes.
pub(super) fn in_any_pose_within(
    a: &Body,
    b: &Body,
    poses: impl IntoIterator<Item = Screwed>,
    apart: &dyn Fn(u8, u8) -> bool,
    most: u64,
) -> Option<bool> {
    let mut left = most;
    for pose in poses {
        if crosses(a, b, &pose, apart, &mut left)? || stands_inside(a, b, &pose) {
            return Some(true);
        }
    }
    Some(false)
}

/// Whether facets of two pieces cross in a pose of the first.
fn crosses(
    a: &Body,
    b: &Body,
    pose: &Screwed,
    apart: &dyn Fn(u8, u8) -> bool,
    left: &mut u64,
) -> Option<bool> {
    if a.facets.is_empty() || b.facets.is_empty() {
        return Some(false);
    }
    let mut waiting = vec![[0, 0]];
    while let Some(nodes) = waiting.pop() {
        *left = left.checked_sub(1)?;
        let (one, two) = (
            &a.tree.nodes[nodes[0] as usize],
            &b.tree.nodes[nodes[1] as usize],
        );
        if pose.bounds(&one.bounds).distance_squared(&two.bounds) > 0.0 {
            continue;
        }
        let features = one.feature.zip(two.feature);
        if features.is_some_and(|(one, two)| apart(one, two)) {
            continue;
        }
        if let Some(pairs) = opened(&a.tree, &b.tree, nodes) {
            waiting.extend(pairs);
            continue;
        }
        let of_b = &b.facets[b.tree.held(nodes[1])];
        let meets = |first: &Facet| {
            let of_a = pose.facet(first);
            let bounds = of_a.bounds();
            of_b.iter().any(|of_b| {
                bounds.distance_squared(&of_b.bounds()) <= 0.0
                    && !apart(of_a.feature, of_b.feature)
                    && (pierced(&of_a, of_b, whole).is_some()
                        || pierced(of_b, &of_a, whole).is_some())
            })
        };
        if a.facets[a.tree.held(nodes[0])].iter().any(meets) {
            return Some(true);
        }
    }
    Some(false)
}

/// Whether one piece is inside the other in a pose of the first, if no facets cross.
fn stands_inside(a: &Body, b: &Body, pose: &Screwed) -> bool {
    let corner = |body: &Body| body.facets.first().map(|facet| facet.corners[0]);
    corner(a).is_some_and(|one| holds(b, &pose.point(&one)))
        || corner(b).is_some_and(|other| holds(a, &pose.back(&other)))
}

/// All of a way counts.
fn whole(_: &Point3<f64>, _: &Point3<f64>) -> f64 {
    1.0
}

/// How much of a way that begins on a piece's surface and leads into it counts as its depth: all of
/// it where it ends inside; half of what is inside where it comes out again, for from there on the
/// other side is nearer. An edge that grazes a round face passes through it so.
fn within(body: &Body, from: &Point3<f64>, to: &Point3<f64>) -> f64 {
    let way = to - from;
    let out = crossings(body, from, &way);
    let first = out.filter(|share| (BEGUN..1.0).contains(share));
    first.reduce(f64::min).map_or(1.0, |share| share / 2.0)
}

/// A way that has not come this share of its length is still on the surface where it began.
const BEGUN: f64 = 1e-6;

/// The edge of a facet that stands deepest in behind another which it pierces; `within` tells how
/// much of the way from there to the edge's end counts.
fn pierced(
    edges_of: &Facet,
    facet: &Facet,
    within: impl Fn(&Point3<f64>, &Point3<f64>) -> f64,
) -> Option<Crossed> {
    let heights = edges_of
        .corners
        .map(|corner| (corner - facet.corners[0]).dot(&facet.normal));
    if facet.is_sliver() {
        return None;
    }
    let mut best: Option<Crossed> = None;
    for side in 0..3 {
        let next = (side + 1) % 3;
        let (low, high) = (
            heights[side].min(heights[next]),
            heights[side].max(heights[next]),
        );
        if low >= -SLACK || high <= SLACK {
            continue;
        }
        let (from, to) = (edges_of.corners[side], edges_of.corners[next]);
        let point = from + (to - from) * (heights[side] / (heights[side] - heights[next]));
        // Where faces only meet, edges of the one cross the other's on its very rim.
        let inside = (0..3).map(|side| {
            let edge = facet.corners[(side + 1) % 3] - facet.corners[side];
            let from_edge = edge.cross(&(point - facet.corners[side]));
            from_edge.dot(&facet.normal) / edge.norm()
        });
        let depth = inside.fold(high.min(-low), f64::min);
        if depth <= SLACK || best.is_some_and(|best| depth <= best.depth) {
            continue;
        }
        let behind = if heights[side] < 0.0 { from } else { to };
        let depth = depth.min(-low * within(&point, &behind));
        if best.is_none_or(|best| depth > best.depth) {
            best = Some(Crossed { depth, point });
        }
    }
    best
}

/// A corner of the one piece that is inside the other, if no facets cross.
fn contained(a: &Body, b: &Body, shift: &Vector3<f64>) -> Option<Crossed> {
    let one = a.facets.first()?.corners[0] + shift;
    let other = b.facets.first()?.corners[0];
    let found = if holds(b, &one) {
        one
    } else if holds(a, &(other - shift)) {
        other
    } else {
        return None;
    };
    Some(Crossed {
        depth: f64::INFINITY,
        point: found,
    })
}

/// Directions in which a point is looked out from; of no symmetry, so that edges are missed.
const LOOKS: [[f64; 3]; 3] = [
    [0.831_47, 0.510_29, 0.219_71],
    [-0.341_83, 0.790_41, -0.508_27],
    [0.113_59, -0.691_73, 0.713_19],
];

/// Whether a point is inside a piece: it sees an odd number of facets, in two of three ways.
fn holds(body: &Body, point: &Point3<f64>) -> bool {
    if !body.tree.bounds().contains(point) {
        return false;
    }
    let odd = LOOKS
        .iter()
        .filter(|look| seen(body, point, &Vector3::from(**look)) % 2 == 1);
    odd.count() >= 2
}

fn seen(body: &Body, point: &Point3<f64>, look: &Vector3<f64>) -> usize {
    crossings(body, point, look).count()
}

/// How far ahead of a point the facets lie that it sees, in lengths of its look.
fn crossings(body: &Body, point: &Point3<f64>, look: &Vector3<f64>) -> impl Iterator<Item = f64> {
    let mut found = Vec::new();
    let mut waiting = vec![0];
    while let Some(node) = waiting.pop() {
        if !body.tree.nodes[node as usize].bounds.is_seen(point, look) {
            continue;
        }
        match body.tree.children(node) {
            Some(halves) => waiting.extend(halves),
            None => {
                let facets = &body.facets[body.tree.held(node)];
                found.extend(facets.iter().filter_map(|facet| ahead(facet, point, look)));
            }
        }
    }
    found.into_iter()
}

/// How far ahead of a point a facet lies (T. Moller, B. Trumbore, Journal of Graphics Tools
/// 2(1), 1997).
fn ahead(facet: &Facet, point: &Point3<f64>, look: &Vector3<f64>) -> Option<f64> {
    let [a, b, c] = facet.corners;
    let (one, two) = (b - a, c - a);
    let across = look.cross(&two);
    let turn = one.dot(&across);
    if turn == 0.0 {
        return None;
    }
    let from = point - a;
    let u = from.dot(&across) / turn;
    let beside = from.cross(&one);
    let v = look.dot(&beside) / turn;
    let far = two.dot(&beside) / turn;
    (u >= 0.0 && v >= 0.0 && u + v <= 1.0 && far > 0.0).then_some(far)
}
