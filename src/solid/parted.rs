//! Two facets of a mesh to whether floats are sure that a plane parts them.
//!
//! Most pairs whose boxes meet are neighbours and lie clear of each other: what they hold in
//! common are their common corners, and one plane shows it. Tried are each facet's own plane, and
//! planes through one of their edges that stand upright in a view along an axis. Signs that
//! rounding may have turned are none here. A pair that is not parted may yet be apart: that is for
//! the exact signs of [`crossing`](super::crossing) to say.

use super::mesh::Mesh;
use super::orientation::{VIEWS, sure_turn};
use super::plane::Plane;
use nalgebra::Point3;

/// A mesh, and the planes of its facets.
pub(super) struct Planes<'a> {
    mesh: &'a Mesh,
    planes: Vec<Plane>,
}

impl<'a> Planes<'a> {
    /// The planes of a mesh whose coordinates are 32-bit floats.
    pub(super) fn of(mesh: &'a Mesh) -> Self {
        let coordinates = mesh.points.iter().flat_map(|point| point.iter());
        let most = coordinates.fold(0.0, |most: f64, value| most.max(value.abs()));
        let planes = mesh.facets().map(|facet| Plane::of(&facet, most));
        Self {
            mesh,
            planes: planes.collect(),
        }
    }

    /// Whether two facets surely have nothing in common but their common corners and edge.
    pub(super) fn part(&self, [a, b]: [usize; 2]) -> bool {
        let (first, second) = (self.mesh.triangles[a], self.mesh.triangles[b]);
        let near = Facet::beside(first, &second);
        let far = Facet::beside(second, &first);
        match near.own_count() {
            0 => false,
            1 => self.unfolded([a, b], [&near, &far]),
            _ => {
                self.clear_of(a, &far)
                    || self.clear_of(b, &near)
                    || self.parted_in_view(VIEWS[self.planes[a].normal.iamax()], [&near, &far])
            }
        }
    }

    /// Two facets with a common edge: whether they surely do not lie in one plane on one side of
    /// it.
    #[inline]
    fn unfolded(&self, [a, b]: [usize; 2], [near, far]: [&Facet; 2]) -> bool {
        // They run along the edge in opposite directions, so where they turn alike in a view, they
        // lie on either side of the edge in it.
        let opposite = near.edge_across()[0] == far.edge_across()[1];
        opposite && self.planes[a].surely_turns_as(&self.planes[b]) || self.clear_of(a, far)
    }

    /// Whether a facet's own corners surely lie on one side of another's plane.
    #[inline]
    fn clear_of(&self, plane: usize, facet: &Facet) -> bool {
        let plane = &self.planes[plane];
        let [a, b, c] = facet.corners;
        let side = |corner: u32| plane.sure_side(self.at(corner));
        facet.own_alike([side(a), side(b), side(c)])
    }

    /// Whether the line of an edge surely parts two facets in a view.
    fn parted_in_view(&self, view: [usize; 2], [near, far]: [&Facet; 2]) -> bool {
        self.edge_parts(view, near, far) || self.edge_parts(view, far, near)
    }

    #[inline]
    fn edge_parts(&self, view: [usize; 2], one: &Facet, other: &Facet) -> bool {
        for apex in 0..3 {
            // The line of an edge that leaves a common corner beside it cannot part.
            if !one.own[apex] {
                continue;
            }
            let ends = [one.corners[(apex + 1) % 3], one.corners[(apex + 2) % 3]];
            let [from, to] = [self.at(ends[0]), self.at(ends[1])];
            let beside = |corner: u32| sure_turn(view, [from, to, self.at(corner)]);
            let own = beside(one.corners[apex]);
            if own != 0 && other.all_own(|corner| beside(corner) == -own) {
                return true;
            }
        }
        false
    }

    #[inline]
    fn at(&self, corner: u32) -> &Point3<f64> {
        &self.mesh.points[corner as usize]
    }
}

/// A facet's corners, and which of them the other facet of the pair has not.
struct Facet {
    corners: [u32; 3],
    own: [bool; 3],
}

impl Facet {
    #[inline]
    fn beside(corners: [u32; 3], [x, y, z]: &[u32; 3]) -> Self {
        let [a, b, c] = corners;
        let own = |corner: u32| (corner != *x) & (corner != *y) & (corner != *z);
        Self {
            corners,
            own: [own(a), own(b), own(c)],
        }
    }

    #[inline]
    fn own_count(&self) -> u8 {
        let [a, b, c] = self.own;
        u8::from(a) + u8::from(b) + u8::from(c)
    }

    /// Whether these signs of the corners are alike for all own ones, and not 0.
    #[inline]
    fn own_alike(&self, signs: [i8; 3]) -> bool {
        // Without early ends: three signs are cheaper than a missed guess.
        let all =
            |sign: i8| (0..3).fold(true, |all, at| all & (!self.own[at] | (signs[at] == sign)));
        all(1) | all(-1)
    }

    #[inline]
    fn all_own(&self, answers: impl Fn(u32) -> bool) -> bool {
        (0..3).all(|at| !self.own[at] || answers(self.corners[at]))
    }

    /// The edge across from the first own corner, in the direction in which the facet runs.
    #[inline]
    fn edge_across(&self) -> [u32; 2] {
        let [a, b, c] = self.corners;
        match self.own {
            [true, ..] => [b, c],
            [_, true, _] => [c, a],
            _ => [a, b],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::weld::weld;
    use crate::solid::{awkward, crossing};
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        #[test]
        fn prop_a_pair_is_judged_with_the_filter_as_by_exact_signs_alone(pair in awkward::pair()) {
            let mesh = weld(&pair).0;
            // Of facets without an area nothing is promised; one pair of twenty has such a one.
            if !mesh.facets().all(|facet| crossing::has_area(&facet)) {
                return Ok(());
            }
            let meet = crossing::facets_meet(&mesh, [0, 1]);
            let planes = Planes::of(&mesh);
            for order in [[0, 1], [1, 0]] {
                prop_assert!(!(planes.part(order) && meet), "{mesh:?}");
                prop_assert_eq!(crossing::facets_meet(&mesh, order), meet);
            }
            prop_assert_eq!(crossing::meets_itself(&mesh), meet);
        }
    }

    /// Whether two facets on these corners are parted by floats alone.
    fn parted(points: &[[f32; 3]], [a, b]: [[usize; 3]; 2]) -> bool {
        let facets = [a, b].map(|facet| facet.map(|corner| points[corner]));
        Planes::of(&weld(&facets).0).part([0, 1])
    }

    /// A filter that parts nothing would pass the law.
    #[test]
    fn each_kind_of_pair_that_lies_clear_is_parted() {
        // A flat fan about the first corner, the plane slanting.
        let fan = [
            [0.0, 0.0, 0.0],
            [4.0, 0.0, 0.7],
            [4.0, 4.0, 1.4],
            [0.0, 4.0, 0.7],
            [-4.0, 4.0, 0.0],
            [9.0, 1.0, 1.7],
        ];
        assert!(parted(&fan, [[0, 1, 2], [0, 2, 3]]), "a common edge");
        assert!(parted(&fan, [[0, 1, 2], [0, 3, 4]]), "a common corner");
        assert!(parted(&fan, [[0, 3, 4], [1, 5, 2]]), "none");
        assert!(!parted(&fan, [[0, 1, 3], [0, 2, 4]]), "one over the other");
        // Folded narrowly, but not flat.
        let fold = [
            [0.0, 0.0, 0.0],
            [4.0, 0.0, 0.0],
            [1.0, 3.0, 0.0],
            [1.0, 3.0, 1e-6],
        ];
        assert!(parted(&fold, [[0, 1, 2], [1, 0, 3]]));
        // Above, each from the other's plane.
        let above = [[0.0, 0.0, 1.0], [4.0, 0.0, 1.0], [0.0, 4.0, 1.5]];
        let points = [&fold[..3], &above[..]].concat();
        assert!(parted(&points, [[0, 1, 2], [3, 4, 5]]));
    }
}
