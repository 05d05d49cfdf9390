//! Two surfaces to the least distance between them, and where it is.
//!
//! Points and edges nearest to each other follow from their equations; which facets to try
//! follows from the boxes of the trees, the nearest first. Both meshes stand in one frame; a mesh
//! wholly inside another is not told from one outside, since surfaces are compared, not solids.

use super::box_tree::{Corners, FacetTree};
use super::crossing;
use crate::units::Length;
use nalgebra::Point3;

/// Where two surfaces come nearest.
#[derive(Clone, Copy, Debug)]
pub struct Nearest {
    /// How near; zero where they touch or cross.
    pub distance: Length,
    /// A point of the first surface and one of the second at that distance, in mm. Where the
    /// surfaces cross they are only near the crossing.
    pub points: [Point3<f64>; 2],
    /// The facets on which the points lie.
    pub facets: [usize; 2],
}

impl FacetTree {
    /// Where another surface comes nearest to this one; `None` if nowhere nearer than `within`.
    /// The larger `within` is, the longer the search: give the least that answers the question.
    pub fn nearest(&self, other: &Self, within: Length) -> Option<Nearest> {
        let mut search = Search {
            trees: [self, other],
            squared: within.as_mm().max(0.0) * within.as_mm(),
            found: None,
        };
        search.nodes([0, 0]);
        search.found.map(|(points, facets)| Nearest {
            distance: Length::mm(search.squared.sqrt()),
            points,
            facets,
        })
    }
}

/// The least distance so far.
struct Search<'a> {
    trees: [&'a FacetTree; 2],
    /// Squared, in mm2.
    squared: f64,
    found: Option<([Point3<f64>; 2], [usize; 2])>,
}

impl Search<'_> {
    /// Searches two subtrees that may hold something nearer.
    fn nodes(&mut self, [a, b]: [usize; 2]) {
        let [first, second] = self.trees;
        let pairs: Vec<[usize; 2]> = match (first.children(a), second.children(b)) {
            (None, None) => return self.leaves([a, b]),
            (Some(near), None) => near.map(|a| [a, b]).to_vec(),
            (None, Some(far)) => far.map(|b| [a, b]).to_vec(),
            (Some(near), Some(far)) => near.iter().flat_map(|a| far.map(|b| [*a, b])).collect(),
        };
        let gap = |[a, b]: [usize; 2]| first.node(a).gap_squared(second.node(b));
        let mut pairs: Vec<(f64, [usize; 2])> =
            pairs.into_iter().map(|pair| (gap(pair), pair)).collect();
        pairs.sort_by(|x, y| x.0.total_cmp(&y.0));
        for (gap, pair) in pairs {
            if gap < self.squared {
                self.nodes(pair);
            }
        }
    }

    fn leaves(&mut self, [a, b]: [usize; 2]) {
        let [first, second] = self.trees;
        for (place, corners, bounds) in first.held(a).map(|at| first.facet(at)) {
            for (other, far, far_bounds) in second.held(b).map(|at| second.facet(at)) {
                let gap = bounds.gap_squared(far_bounds);
                if gap >= self.squared {
                    continue;
                }
                let crosses = gap == 0.0 && crossing::meet([corners, far]);
                let (points, squared) = between(corners, far);
                let squared = if crosses { 0.0 } else { squared };
                if squared < self.squared {
                    self.squared = squared;
                    self.found = Some((points, [place, other]));
                }
            }
        }
    }
}

type Pair = ([Point3<f64>; 2], f64);

/// The nearest points of two facets that do not cross, and the square of their distance. One of
/// them is a corner, or both lie within edges.
fn between(a: &Corners, b: &Corners) -> Pair {
    let swapped = |([p, q], squared): Pair| ([q, p], squared);
    let corners = (0..3).flat_map(|at| [to_facet(&a[at], b), swapped(to_facet(&b[at], a))]);
    let edges = (0..9).filter_map(|at| {
        let (i, j) = (at / 3, at % 3);
        within_edges([&a[i], &a[(i + 1) % 3]], [&b[j], &b[(j + 1) % 3]])
    });
    let start = ([a[0], b[0]], (a[0] - b[0]).norm_squared());
    corners.chain(edges).fold(
        start,
        |least, next| if next.1 < least.1 { next } else { least },
    )
}

/// A point and the point of a facet nearest to it.
fn to_facet(point: &Point3<f64>, [a, b, c]: &Corners) -> Pair {
    let across = (b - a).cross(&(c - a));
    let area = across.norm_squared();
    // Above the facet just if it is on the inner side of all three edges.
    let above = [[a, b], [b, c], [c, a]]
        .iter()
        .all(|[from, to]| (*to - *from).cross(&(point - *from)).dot(&across) >= 0.0);
    if above && area > 0.0 {
        let height = (point - a).dot(&across);
        return (
            [*point, point - across * (height / area)],
            height * height / area,
        );
    }
    let [first, second, third] = [[a, b], [b, c], [c, a]].map(|edge| to_edge(point, edge));
    let nearer = |x: Pair, y: Pair| if y.1 < x.1 { y } else { x };
    nearer(nearer(first, second), third)
}

/// A point and the point of an edge nearest to it.
fn to_edge(point: &Point3<f64>, [from, to]: [&Point3<f64>; 2]) -> Pair {
    let along = to - from;
    let share = (point - from).dot(&along) / along.norm_squared();
    // An edge without length has no share: its ends are one point.
    let share = if share.is_finite() {
        share.clamp(0.0, 1.0)
    } else {
        0.0
    };
    let nearest = from + along * share;
    ([*point, nearest], (point - nearest).norm_squared())
}

/// The nearest points of the lines of two edges, if both lie within the edges.
fn within_edges([a, b]: [&Point3<f64>; 2], [c, d]: [&Point3<f64>; 2]) -> Option<Pair> {
    let (u, v, apart) = (b - a, d - c, a - c);
    let (uu, uv, vv) = (u.norm_squared(), u.dot(&v), v.norm_squared());
    let (up, vp) = (u.dot(&apart), v.dot(&apart));
    // Zero for parallel lines, where corners are as near as anything.
    let skew = uu * vv - uv * uv;
    let (s, t) = ((uv * vp - vv * up) / skew, (uu * vp - uv * up) / skew);
    let inside = |share: f64| (0.0..=1.0).contains(&share);
    (skew > 0.0 && inside(s) && inside(t)).then(|| {
        let points = [a + u * s, c + v * t];
        (points, (points[0] - points[1]).norm_squared())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::{Outline, Pose, Solid};
    use crate::solid::{Mesh, solid_mesh};
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    /// A box of these sides, its middle at a place.
    fn block(sides: [f64; 3], middle: [f64; 3]) -> Mesh {
        let [x, y, z] = sides.map(Length::mm);
        let outline = Outline::Rectangle { x, y };
        let solid = Solid::Prism(vec![(z / -2.0, outline.clone()), (z / 2.0, outline)]);
        let [x, y, z] = middle.map(Length::mm);
        solid_mesh(&solid, Length::mm(0.1)).placed(&Pose::shift(x, y, z))
    }

    fn nearest(a: &Mesh, b: &Mesh, within: f64) -> Option<Nearest> {
        FacetTree::new(a).nearest(&FacetTree::new(b), Length::mm(within))
    }

    #[test]
    fn blocks_are_as_far_apart_as_their_nearest_faces_edges_or_corners() {
        let first = block([2.0, 2.0, 2.0], [0.0; 3]);
        // Faces 0.5 apart; edges 3 and 4 apart along two axes; corners 1, 2 and 2 along three.
        for (middle, distance) in [
            ([2.5, 0.3, -0.2], 0.5),
            ([5.0, 6.0, 0.4], 5.0),
            ([3.0, 4.0, 4.0], 3.0),
        ] {
            let found = nearest(&first, &block([2.0; 3], middle), 10.0).unwrap();
            assert_abs_diff_eq!(found.distance.as_mm(), distance, epsilon = 1e-12);
            let [p, q] = found.points;
            assert_abs_diff_eq!((p - q).norm(), distance, epsilon = 1e-12);
        }
    }

    #[test]
    fn crossed_edges_are_nearest_within_their_length() {
        // A ridge along x on top at z = 1, and one along y below at z = 1.25.
        let a: Corners = [[-1.0, 0.0, 1.0], [1.0, 0.0, 1.0], [0.0, 0.0, 0.0]].map(Point3::from);
        let b: Corners = [[0.2, -1.0, 1.25], [0.2, 1.0, 1.25], [0.2, 0.0, 3.0]].map(Point3::from);
        let (points, squared) = between(&a, &b);
        assert_abs_diff_eq!(squared, 0.0625, epsilon = 1e-15);
        assert_abs_diff_eq!(points[0], Point3::new(0.2, 0.0, 1.0), epsilon = 1e-15);
    }

    #[test]
    fn what_crosses_is_at_no_distance_and_what_is_beyond_the_limit_is_not_found() {
        let first = block([4.0, 4.0, 4.0], [0.0; 3]);
        // A rod through two faces, none of its corners or edges near an edge of the block.
        let rod = block([0.2, 0.2, 10.0], [0.1, 0.3, 0.0]);
        assert_eq!(nearest(&first, &rod, 1.0).unwrap().distance, Length::ZERO);
        let beside = block([2.0; 3], [4.0, 0.0, 0.0]);
        assert!(nearest(&first, &beside, 0.999).is_none());
        assert!(nearest(&first, &beside, 1.001).is_some());
    }

    proptest! {
        #[test]
        fn prop_the_nearest_facets_are_those_that_comparing_each_with_each_finds(
            numbers in prop::collection::vec(-5.0..5.0f64, 9 * 24),
        ) {
            let half = |numbers: &[f64], shift: f64| {
                let mut mesh = Mesh::default();
                for nine in numbers.chunks_exact(9) {
                    let middle = [nine[0] + shift, nine[1], nine[2]];
                    let corner = |at: usize| [0, 1, 2].map(|axis| middle[axis] + nine[at + axis] / 9.0);
                    let corners = [[middle, corner(3), corner(6)]].concat();
                    let first = mesh.points.len() as u32;
                    mesh.points.extend(corners.into_iter().map(Point3::from));
                    mesh.triangles.push([first, first + 1, first + 2]);
                }
                mesh
            };
            let (a, b) = numbers.split_at(9 * 12);
            let (a, b) = (half(a, 0.0), half(b, 6.0));
            let least = a
                .facets()
                .flat_map(|x| b.facets().map(move |y| (x, y)))
                .map(|(x, y)| if crossing::meet([&x, &y]) { 0.0 } else { between(&x, &y).1 })
                .fold(f64::INFINITY, f64::min);
            let found = nearest(&a, &b, 100.0).unwrap().distance.as_mm();
            prop_assert!((found - least.sqrt()).abs() < 1e-12, "{} {}", found, least.sqrt());
        }
    }
}
