//! Whether the facets of a surface meet anywhere but at their common corners and edges.
//!
//! What is proved of a surface that passes, for every two of its facets, corners and edges
//! counted as theirs:
//!
//! - without a common corner, they have no point in common: they neither cross nor touch, nor
//!   lie over each other in one plane;
//! - with one common corner, they have no other point in common;
//! - with a common edge, they have no point beside it in common: a facet never lies folded back
//!   upon its neighbour;
//! - no two facets have the same three corners.
//!
//! Nothing is rounded: every answer hangs on the exact signs of [`orientation`](super::orientation).
//! Facets must have an area, see [`has_area`].

use super::box_tree::FacetTree;
use super::mesh::{Corners, Mesh};
use super::orientation::{self, VIEWS, turn};
use super::parted::Planes;
use nalgebra::Point3;

/// Whether two facets of a mesh meet where they must not. Corners at one place must be one
/// corner of the mesh, and every facet must have an area.
pub(super) fn meets_itself(mesh: &Mesh) -> bool {
    let planes = Planes::of(mesh);
    FacetTree::new(mesh).any_pair(|pair| !planes.part(pair) && facets_meet(mesh, pair))
}

/// Whether a facet's corners are not all on one line.
pub(super) fn has_area(facet: &Corners) -> bool {
    let [a, b, c] = facet;
    VIEWS.iter().any(|view| turn(*view, [a, b, c]) != 0)
}

/// Whether two facets without a common corner have a point in common.
fn meet([a, b]: [&Corners; 2]) -> bool {
    // The cheap answers come first: three signs each, and no edge looked at.
    let of_b = b.map(|corner| side(a, &corner));
    if one_sided(&of_b) {
        return false;
    }
    let of_a = a.map(|corner| side(b, &corner));
    if one_sided(&of_a) {
        return false;
    }
    if of_b == [0; 3] {
        return meet_in_plane(a, b);
    }
    // Two triangles in different planes have an end of their common stretch on an edge.
    let edges = [[0, 1], [1, 2], [2, 0]];
    edges.iter().any(|[i, j]| {
        edge_meets([&b[*i], &b[*j]], [of_b[*i], of_b[*j]], a)
            || edge_meets([&a[*i], &a[*j]], [of_a[*i], of_a[*j]], b)
    })
}

/// Whether two facets of a mesh meet where they must not, by exact signs alone.
pub(super) fn facets_meet(mesh: &Mesh, pair: [usize; 2]) -> bool {
    let [a, b] = pair.map(|facet| mesh.triangles[facet]);
    let [near, far] = [a, b].map(|facet| facet.map(|corner| mesh.points[corner as usize]));
    let corners = [&near, &far];
    let common = a.map(|corner| b.iter().position(|other| *other == corner));
    match common.iter().flatten().count() {
        0 => meet(corners),
        1 => meet_beyond_a_corner(common, corners),
        2 => folded(common, corners),
        // Three common corners: one facet twice, or once either way round, which closes a surface
        // without room in it.
        _ => true,
    }
}

/// Two facets with one common corner; `common` says where each corner of the first is in the
/// second.
///
/// If they share a second point, they share the line to it from the corner, and go on sharing
/// it until one of them ends, which is at the edge across from the corner.
fn meet_beyond_a_corner(common: [Option<usize>; 3], [a, b]: [&Corners; 2]) -> bool {
    let from = |facet: &Corners, corner: usize| [1, 2].map(|next| facet[(corner + next) % 3]);
    let Some((at, Some(other))) = common.iter().copied().enumerate().find(|c| c.1.is_some()) else {
        return false;
    };
    let (across_a, across_b) = (from(a, at), from(b, other));
    let of_b = across_b.map(|corner| side(a, &corner));
    if of_b[0] * of_b[1] > 0 {
        return false;
    }
    let of_a = across_a.map(|corner| side(b, &corner));
    if of_a[0] * of_a[1] > 0 {
        return false;
    }
    edge_meets([&across_b[0], &across_b[1]], of_b, a)
        || edge_meets([&across_a[0], &across_a[1]], of_a, b)
}

/// Two facets with a common edge: whether they lie in one plane, on one side of it.
fn folded(common: [Option<usize>; 3], [a, b]: [&Corners; 2]) -> bool {
    let Some(apex) = common.iter().position(Option::is_none) else {
        return false;
    };
    let Some(other) = (0..3).find(|corner| !common.contains(&Some(*corner))) else {
        return false;
    };
    if side(a, &b[other]) != 0 {
        return false;
    }
    // In one plane the question is flat: the two far corners lie on one side of the common edge, or
    // one on either.
    let view = widest(a);
    let (from, to) = (&a[(apex + 1) % 3], &a[(apex + 2) % 3]);
    turn(view, [from, to, &a[apex]]) == turn(view, [from, to, &b[other]])
}

/// Whether an edge, its ends on these sides of a facet's plane, has a point in common with it.
fn edge_meets([from, to]: [&Point3<f64>; 2], sides: [i8; 2], facet: &Corners) -> bool {
    if sides == [0, 0] {
        return meet_in_plane(facet, &[*from, *to]);
    }
    if sides[0] * sides[1] > 0 {
        return false;
    }
    // The edge reaches the plane in one point; its line passes every edge of the facet on one
    // side, or meets it.
    let past =
        [[0, 1], [1, 2], [2, 0]].map(|[i, j]| orientation::side([from, to, &facet[i]], &facet[j]));
    !(past.contains(&1) && past.contains(&-1))
}

/// Whether a facet and an edge or facet in its plane have a point in common: they have none
/// just if the line of an edge of theirs parts them.
fn meet_in_plane(facet: &Corners, other: &[Point3<f64>]) -> bool {
    let view = widest(facet);
    let parted_by = |own: &[Point3<f64>], far: &[Point3<f64>]| {
        (0..own.len()).any(|at| {
            let (from, to) = (&own[at], &own[(at + 1) % own.len()]);
            let beside = |corner: &Point3<f64>| turn(view, [from, to, corner]);
            let beyond = beside(&far[0]);
            beyond != 0
                && far[1..].iter().all(|corner| beside(corner) == beyond)
                && own.iter().all(|corner| beside(corner) != beyond)
        })
    };
    !parted_by(facet, other) && !parted_by(other, facet)
}

/// All on one side, and none on the plane.
fn one_sided(sides: &[i8; 3]) -> bool {
    sides[0] != 0 && sides.iter().all(|side| *side == sides[0])
}

/// On which side of a facet's plane a point lies; 0 for on it.
fn side([a, b, c]: &Corners, point: &Point3<f64>) -> i8 {
    orientation::side([a, b, c], point)
}

/// The view in which a facet looks widest, so that no corner hides behind another's edge.
fn widest([a, b, c]: &Corners) -> [usize; 2] {
    let across = (b - a).cross(&(c - a));
    let by_area = |x: &usize, y: &usize| across[*x].abs().total_cmp(&across[*y].abs());
    let seen = |axis: &usize| turn(VIEWS[*axis], [a, b, c]) != 0;
    VIEWS[(0..3).filter(seen).max_by(by_area).unwrap_or(0)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::kernel::Operand;
    use proptest::prelude::*;

    fn facet(corners: [[f64; 3]; 3]) -> Corners {
        corners.map(Point3::from)
    }

    fn indexed(points: &[[f64; 3]], triangles: &[[u32; 3]]) -> Mesh {
        Mesh {
            points: points.iter().map(|point| Point3::from(*point)).collect(),
            triangles: triangles.to_vec(),
        }
    }

    /// A pyramid on a square of side 2 about the origin, its tip somewhere.
    fn pyramid(tip: [f64; 3]) -> Mesh {
        let (a, b, c, d) = (
            [-1.0, -1.0, 0.0],
            [1.0, -1.0, 0.0],
            [1.0, 1.0, 0.0],
            [-1.0, 1.0, 0.0],
        );
        let sides = [[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]];
        indexed(
            &[a, b, c, d, tip],
            &[&[[0, 2, 1], [0, 3, 2]], &sides[..]].concat(),
        )
    }

    /// Two meshes as one, their corners kept apart.
    fn both(a: &Mesh, b: &Mesh) -> Mesh {
        let mut all = a.clone();
        all.append(b);
        all
    }

    const FLOOR: [[f64; 3]; 3] = [[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, 4.0, 0.0]];

    #[test]
    fn facets_that_cross_or_touch_meet_and_those_a_hair_apart_do_not() {
        let hair = f64::from(f32::EPSILON);
        let floor = facet(FLOOR);
        // Stands on its corner at a height over the floor.
        let standing = |z: f64| facet([[1.0, 1.0, z], [1.0, 2.0, z + 3.0], [2.0, 1.0, z + 3.0]]);
        assert!(meet([&floor, &standing(-1.0)]), "through");
        assert!(meet([&floor, &standing(0.0)]), "on its corner");
        assert!(!meet([&floor, &standing(hair)]));
        // Passes the floor's long edge x + y = 4, from below to above.
        let beside = |x: f64| facet([[x, 2.0, -1.0], [x, 2.0, 1.0], [x + 2.0, 4.0, 0.0]]);
        assert!(meet([&floor, &beside(1.9)]) && meet([&floor, &beside(2.0)]));
        assert!(!meet([&floor, &beside(2.0 + hair)]));
    }

    #[test]
    fn facets_in_one_plane_meet_where_they_overlap_or_touch() {
        let hair = f64::from(f32::EPSILON);
        let floor = facet(FLOOR);
        // Tip towards the floor's long edge, which it reaches at 2.
        let beside = |x: f64| {
            facet([
                [x, x, 0.0],
                [x + 2.0, x + 1.0, 0.0],
                [x + 1.0, x + 2.0, 0.0],
            ])
        };
        assert!(meet([&floor, &beside(1.5)]) && meet([&floor, &beside(2.0)]));
        assert!(!meet([&floor, &beside(2.0 + hair)]));
        let within = facet([[0.5, 0.5, 0.0], [1.0, 0.5, 0.0], [0.5, 1.0, 0.0]]);
        assert!(meet([&floor, &within]) && meet([&within, &floor]));
    }

    #[test]
    fn a_facet_that_cuts_another_beyond_their_common_corner_is_noticed() {
        // Both from the origin; the far edge of the second goes through the first, or ends above.
        let ends = |low: f64| {
            let points = [
                FLOOR[0],
                FLOOR[1],
                FLOOR[2],
                [1.0, 1.0, low],
                [1.0, 1.5, 1.0],
            ];
            meets_itself(&indexed(&points, &[[0, 1, 2], [0, 3, 4]]))
        };
        assert!(ends(-0.5) && ends(0.0));
        assert!(!ends(0.25));
        // In one plane: the second lies over the first, or beside it.
        let turned = |y: f64| {
            let points = [
                FLOOR[0],
                FLOOR[1],
                FLOOR[2],
                [1.0, y, 0.0],
                [3.0, -3.0, 0.0],
            ];
            meets_itself(&indexed(&points, &[[0, 1, 2], [0, 4, 3]]))
        };
        assert!(turned(0.5) && turned(0.0));
        assert!(!turned(-0.5));
    }

    #[test]
    fn a_facet_folded_back_upon_its_neighbour_is_noticed_and_a_narrow_fold_is_not() {
        let fold = |z: f64| {
            let points = [FLOOR[0], FLOOR[1], FLOOR[2], [1.0, 3.0, z]];
            meets_itself(&indexed(&points, &[[0, 1, 2], [1, 0, 3]]))
        };
        assert!(fold(0.0));
        assert!(!fold(1e-6));
        let opposite = [FLOOR[0], FLOOR[1], FLOOR[2], [1.0, -3.0, 0.0]];
        assert!(
            !meets_itself(&indexed(&opposite, &[[0, 1, 2], [1, 0, 3]])),
            "flat"
        );
        assert!(
            meets_itself(&indexed(&FLOOR, &[[0, 1, 2], [0, 2, 1]])),
            "twice the same"
        );
    }

    #[test]
    fn a_pyramid_with_its_tip_pushed_through_the_floor_cuts_itself() {
        assert!(!meets_itself(&pyramid([0.2, 0.1, 1e-6])));
        // Its sides lie in the floor.
        assert!(meets_itself(&pyramid([0.2, 0.1, 0.0])));
        // Tipped over an edge it still stands clear of the floor; under the floor it is only
        // inside out.
        assert!(!meets_itself(&pyramid([3.0, 0.1, 0.5])));
        assert!(!meets_itself(&pyramid([0.2, 0.1, -1.0])));
        // Another stands in it, lower or higher by its own height.
        let another = |z: f64| {
            let mut other = pyramid([0.3, 0.1, 2.0]);
            other.points.iter_mut().for_each(|point| point.z += z);
            meets_itself(&both(&pyramid([0.0, 0.0, 2.0]), &other))
        };
        assert!(another(-0.5) && !another(2.5));
    }

    /// Corners on a coarse grid often share planes and lines; others hardly ever.
    fn corner() -> impl Strategy<Value = [f64; 3]> {
        let grid = (-2..=2i8).prop_map(f64::from);
        let free = (-2.0..2.0f32).prop_map(f64::from);
        prop_oneof![
            [grid.clone(), grid.clone(), grid],
            [free.clone(), free.clone(), free]
        ]
    }

    /// A tetrahedron that faces outwards; `None` if it is flat.
    fn tetrahedron(corners: &[[f64; 3]]) -> Option<Mesh> {
        let facets = [[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];
        let mesh = indexed(corners, &facets);
        let inside_out = facets.map(|[a, b, c]| [a, c, b]);
        match mesh.volume_mm3() {
            volume if volume > 0.01 => Some(mesh),
            volume if volume < -0.01 => Some(indexed(corners, &inside_out)),
            _ => None,
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        /// Whatever cut, overlap or doubled surface the boolean kernel notices is noticed here.
        /// The kernel lets bodies touch in a point or along a line, so it may notice less.
        #[test]
        fn prop_what_the_kernel_finds_cut_is_found_cut(
            corners in prop::collection::vec(corner(), 8), moved in any::<bool>(),
        ) {
            let (a, b) = (tetrahedron(&corners[..4]), tetrahedron(&corners[4..]));
            let (Some(a), Some(mut b)) = (a, b) else { return Ok(()) };
            // Half of the pairs stand clear of each other.
            b.points.iter_mut().for_each(|point| point.x += if moved { 4.5 } else { 0.0 });
            let all = both(&a, &b);
            let Ok(operand) = Operand::new(&all) else { return Ok(()) };
            // The import may merge or move corners that nearly coincide; ask about its outcome.
            let all = operand.mesh();
            if operand.meets_itself() {
                prop_assert!(meets_itself(&all));
            } else if moved {
                prop_assert!(!meets_itself(&all));
            }
        }

        /// A solid with one corner moved anywhere, as a slip of rounding would on a larger scale.
        #[test]
        fn prop_a_body_that_the_kernel_finds_cut_by_itself_is_found_cut(
            at in 0..6usize, to in corner(),
        ) {
            let ends = [[0.0, 0.0, 1.5], [0.0, 0.0, -1.5]];
            let ring = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, -1.0, 0.0]];
            let mut points = [&ends[..], &ring[..]].concat();
            points[at] = to;
            let sides = (0..4u32).flat_map(|i| {
                let (from, next) = (2 + i, 2 + (i + 1) % 4);
                [[0, from, next], [1, next, from]]
            });
            let mesh = indexed(&points, &sides.collect::<Vec<_>>());
            prop_assume!(mesh.facets().all(|facet| has_area(&facet)));
            let Ok(operand) = Operand::new(&mesh) else { return Ok(()) };
            let mesh = operand.mesh();
            prop_assume!(mesh.facets().all(|facet| has_area(&facet)));
            prop_assert!(!operand.meets_itself() || meets_itself(&mesh));
        }
    }
}
