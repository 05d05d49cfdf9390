//! A facet to its plane in floats, and on which side of it points surely lie.
//!
//! # What rounding may take off
//!
//! Let u be half the spacing of floats at 1, so that every operation gives its exact result times
//! 1 + d with |d| <= u, and let all coordinates be at most M in size. Of the corners a, b, c the
//! exact edges are e = b - a and f = c - a; the exact normal is N = e x f, each of its components
//! a difference of two products; P is the sum of the sizes of all six products. The height of a
//! point p over the plane, times the length of N, is H = N (p - a). Reckoned are, of rounded
//! values throughout, the normal n, the offset o = n a and the height h = n p - o.
//!
//! 1. A rounded product e_i f_j has gone through three roundings, two of edges and its own, and
//!    their difference through a fourth. So a component of n is off by at most
//!    ((1 + u)^4 - 1) times the two products' sizes, and |n - N|, summed over the components, is
//!    at most 4.01 u P.
//! 2. |p - a| is at most 2 M along each axis, so that n instead of N costs H at most 8.02 u M P.
//! 3. n p is three products and two sums, each term through at most three roundings: off by at
//!    most ((1 + u)^3 - 1) M |n|, with |n| summed over the components at most (1 + 4.01 u) P.
//!    That is 3.01 u M P, and the same again for o.
//! 4. The last subtraction rounds a number of at most 2.01 M P: 2.01 u M P more.
//!
//! So |h - H| <= 16.05 u M P. A [`Plane`] takes 17 u M P, and the rest is more than the few
//! roundings of that product itself cost it. A height above that has the sign of H.
//!
//! Relative bounds hold as long as nothing underflows or overflows. Coordinates that are 32-bit
//! floats are multiples of 2^-149 and below 2^128: no product of three of their differences that
//! is not zero leaves 2^-447 to 2^390, and floats reach from 2^-1022 to 2^1024.

use super::mesh::Corners;
use nalgebra::{Point3, Vector3};

/// Half the spacing of floats at 1, u above.
const ROUNDING: f64 = f64::EPSILON / 2.0;
/// What may be lost of a height, as a share of M P above: 16.05 u, and of that a little.
const LOST_OF_A_HEIGHT: f64 = 17.0 * ROUNDING;
/// What may be lost of a component of the normal, as a share of P: 4.01 u, and of that a little.
const LOST_OF_A_NORMAL: f64 = 5.0 * ROUNDING;

/// The plane of a facet, whose normal points to where its corners turn counter-clockwise.
#[derive(Clone, Copy, Debug)]
pub(super) struct Plane {
    /// As long as twice the facet's area.
    pub(super) normal: Vector3<f64>,
    offset: f64,
    /// What its components may be off by.
    normal_off: f64,
    /// What heights may be off by.
    height_off: f64,
}

impl Plane {
    /// The plane of a facet; no coordinate of its corners nor of any point that is held against it
    /// may be greater than `most` in size, and all must be 32-bit floats.
    pub(super) fn of([a, b, c]: &Corners, most: f64) -> Self {
        let (e, f) = (b - a, c - a);
        let products = [
            [e.y * f.z, e.z * f.y],
            [e.z * f.x, e.x * f.z],
            [e.x * f.y, e.y * f.x],
        ];
        let normal = Vector3::from(products.map(|[first, second]| first - second));
        let sizes: f64 = products.as_flattened().iter().map(|one| one.abs()).sum();
        Self {
            normal,
            offset: normal.dot(&a.coords),
            normal_off: LOST_OF_A_NORMAL * sizes,
            height_off: LOST_OF_A_HEIGHT * most * sizes,
        }
    }

    /// On which side a point surely lies, signed as [`side`](super::orientation::side) signs it;
    /// 0 if floats do not tell.
    #[inline]
    pub(super) fn sure_side(&self, point: &Point3<f64>) -> i8 {
        let height = self.normal.dot(&point.coords) - self.offset;
        i8::from(height < -self.height_off) - i8::from(height > self.height_off)
    }

    /// Which way the facet surely turns in a view along an axis, signed as
    /// [`turn`](super::orientation::turn) signs it; 0 if floats do not tell.
    #[inline]
    fn sure_turn(&self, axis: usize) -> i8 {
        let along = self.normal[axis];
        i8::from(along > self.normal_off) - i8::from(along < -self.normal_off)
    }

    /// Whether the facets of two planes surely turn the same way in a view along some axis.
    #[inline]
    pub(super) fn surely_turns_as(&self, other: &Self) -> bool {
        (0..3).any(|axis| self.sure_turn(axis) * other.sure_turn(axis) > 0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::awkward;
    use crate::solid::orientation::{VIEWS, side, turn};
    use proptest::prelude::*;
    use robust::{Coord3D, orient3d};

    fn most<'a>(corners: impl IntoIterator<Item = &'a Point3<f64>>) -> f64 {
        let coordinates = corners.into_iter().flat_map(|corner| corner.iter());
        coordinates.fold(0.0, |most, value| most.max(value.abs()))
    }

    fn exact([a, b, c]: &Corners, point: &Point3<f64>) -> i8 {
        let [a, b, c, point] = [a, b, c, point].map(|p| Coord3D {
            x: p.x,
            y: p.y,
            z: p.z,
        });
        let volume = orient3d(a, b, c, point);
        i8::from(volume > 0.0) - i8::from(volume < 0.0)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        /// The adaptive predicate is the independent second way, and whole numbers a third.
        #[test]
        fn prop_a_sure_side_is_the_exact_one(pair in awkward::pair()) {
            let [near, far] = pair.map(|facet| facet.map(|corner| Point3::from(corner.map(f64::from))));
            let plane = Plane::of(&near, most(near.iter().chain(&far)));
            for point in near.iter().chain(&far) {
                let sure = plane.sure_side(point);
                prop_assert!(sure == 0 || sure == exact(&near, point), "{sure} {point}");
                let [a, b, c] = &near;
                prop_assert_eq!(side([a, b, c], point), exact(&near, point));
            }
        }

        #[test]
        fn prop_a_sure_turn_is_the_exact_one(pair in awkward::pair()) {
            for facet in pair {
                let facet = facet.map(|corner| Point3::from(corner.map(f64::from)));
                let plane = Plane::of(&facet, most(&facet));
                let [a, b, c] = &facet;
                for (axis, view) in VIEWS.into_iter().enumerate() {
                    let sure = plane.sure_turn(axis);
                    prop_assert!(sure == 0 || sure == turn(view, [a, b, c]), "{sure} {axis}");
                }
            }
        }
    }

    /// A filter that is never sure would pass the laws.
    #[test]
    fn a_step_of_the_file_off_a_slanting_plane_is_sure_and_the_plane_itself_is_not() {
        let corners = [[90.0, 0.0, 0.0], [0.0, 90.0, 0.0], [0.0, 0.0, 90.0]].map(Point3::from);
        let plane = Plane::of(&corners, 90.0);
        let at = |z: f32| plane.sure_side(&Point3::new(30.0, 30.0, f64::from(z)));
        assert_eq!(
            [at(30.0f32.next_down()), at(30.0), at(30.0f32.next_up())],
            [1, 0, -1]
        );
        assert!(plane.surely_turns_as(&plane));
    }
}
