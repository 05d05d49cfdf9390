//! Points to the exact sign of the volume or area that they span.
//!
//! Three ways, from the fastest to the one that always answers. Floats, if the determinant is
//! larger than all that can have been rounded away (Shewchuk, "Adaptive precision floating-point
//! arithmetic and fast robust geometric predicates", 1997). Whole numbers, if every coordinate is
//! a whole multiple of [`GRID`]: so are nearly all that were rounded to 32 bits, and points of
//! one plane, of which a part has many, are settled here. And Shewchuk's adaptive way, by the
//! crate `robust`.

use nalgebra::Point3;
use robust::{Coord, Coord3D};

/// Whole numbers count steps of 2^-32 mm, which an f32 beyond 2^-9 mm, 0.002 mm, is a multiple
/// of.
const GRID: f64 = 1.0 / 4_294_967_296.0;

/// Coordinates are below 2^39 steps, 128 mm: differences then below 2^40, areas below 2^81,
/// volumes below 3 * 2^121, which 128 bits hold.
const GREATEST: i64 = 1 << 39;

/// Half the spacing of floats at 1, which rounding of one operation may be off by.
const ROUNDING: f64 = f64::EPSILON / 2.0;

/// What rounding may take off a volume, as a share of the sum of its terms' sizes (Shewchuk,
/// section 4.3, bound A).
const LOST_OF_A_VOLUME: f64 = (7.0 + 56.0 * ROUNDING) * ROUNDING;

/// The same of an area (section 4.2, bound A).
const LOST_OF_AN_AREA: f64 = (3.0 + 16.0 * ROUNDING) * ROUNDING;

/// On which side of the plane through three points a fourth lies; 0 for on it. The side is 1
/// from which the three turn clockwise.
pub(super) fn side([a, b, c]: [&Point3<f64>; 3], point: &Point3<f64>) -> i8 {
    let [u, v, w] = [a, b, c].map(|corner| corner - point);
    let minors = [
        [v.x * w.y, w.x * v.y],
        [w.x * u.y, u.x * w.y],
        [u.x * v.y, v.x * u.y],
    ];
    let heights = [u.z, v.z, w.z];
    let (mut volume, mut terms) = (0.0, 0.0);
    for (height, [first, second]) in heights.iter().zip(minors) {
        volume += height * (first - second);
        terms += height.abs() * (first.abs() + second.abs());
    }
    if volume.abs() > LOST_OF_A_VOLUME * terms {
        return sign(volume);
    }
    side_on_the_grid([a, b, c, point]).unwrap_or_else(|| {
        let [a, b, c, point] = [a, b, c, point].map(|p| Coord3D {
            x: p.x,
            y: p.y,
            z: p.z,
        });
        sign(robust::orient3d(a, b, c, point))
    })
}

/// Pairs of axes, each a view along the third.
pub(super) const VIEWS: [[usize; 2]; 3] = [[1, 2], [2, 0], [0, 1]];

/// Which way three points turn in the plane of two axes: 1 from the first axis to the second,
/// 0 for points on one line in that view.
pub(super) fn turn(view: [usize; 2], points: [&Point3<f64>; 3]) -> i8 {
    match sure_turn(view, points) {
        0 => turn_on_the_grid(view, points).unwrap_or_else(|| {
            let [a, b, c] = points.map(|point| Coord {
                x: point[view[0]],
                y: point[view[1]],
            });
            sign(robust::orient2d(a, b, c))
        }),
        sure => sure,
    }
}

/// The same if floats are sure of it, and 0 if they are not.
#[inline]
pub(super) fn sure_turn([x, y]: [usize; 2], [a, b, c]: [&Point3<f64>; 3]) -> i8 {
    let first = (a[x] - c[x]) * (b[y] - c[y]);
    let second = (a[y] - c[y]) * (b[x] - c[x]);
    let area = first - second;
    let lost = LOST_OF_AN_AREA * (first.abs() + second.abs());
    i8::from(area > lost) - i8::from(area < -lost)
}

fn side_on_the_grid(points: [&Point3<f64>; 4]) -> Option<i8> {
    let mut steps = [[0i64; 3]; 4];
    for (steps, point) in steps.iter_mut().zip(points) {
        for (step, coordinate) in steps.iter_mut().zip(point.iter()) {
            *step = whole(*coordinate)?;
        }
    }
    let [a, b, c, from] = steps;
    let [u, v, w] = [a, b, c].map(|corner| [0, 1, 2].map(|axis| corner[axis] - from[axis]));
    let product = |a: i64, b: i64| i128::from(a) * i128::from(b);
    let minor = |v: [i64; 3], w: [i64; 3]| product(v[0], w[1]) - product(w[0], v[1]);
    let volume = minor(v, w) * i128::from(u[2])
        + minor(w, u) * i128::from(v[2])
        + minor(u, v) * i128::from(w[2]);
    Some(volume.signum() as i8)
}

fn turn_on_the_grid([x, y]: [usize; 2], points: [&Point3<f64>; 3]) -> Option<i8> {
    let mut steps = [[0i64; 2]; 3];
    for (steps, point) in steps.iter_mut().zip(points) {
        *steps = [whole(point[x])?, whole(point[y])?];
    }
    let [a, b, c] = steps;
    let product = |a: i64, b: i64| i128::from(a) * i128::from(b);
    let area = product(a[0] - c[0], b[1] - c[1]) - product(a[1] - c[1], b[0] - c[0]);
    Some(area.signum() as i8)
}

/// A coordinate as steps of the grid; `None` if it is no whole number of them, or too many.
#[inline]
fn whole(coordinate: f64) -> Option<i64> {
    let scaled = coordinate / GRID;
    // Saturates, and then the number is too large.
    let steps = scaled as i64;
    (steps as f64 == scaled && -GREATEST < steps && steps < GREATEST).then_some(steps)
}

fn sign(value: f64) -> i8 {
    i8::from(value > 0.0) - i8::from(value < 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::sample::select;

    /// Coordinates of every kind: on the grid and far off it, of a few values so that points
    /// often share a plane, as small as what a cosine leaves of zero, and large.
    fn coordinate() -> impl Strategy<Value = f64> {
        prop_oneof![
            (-3..=3i8).prop_map(f64::from),
            select(vec![0.1f32, 0.3, -0.7]).prop_map(f64::from),
            (-50.0..50.0f32).prop_map(f64::from),
            select(vec![6.123_234e-16f32, -1e-9, 200.5, 3e7]).prop_map(f64::from),
        ]
    }

    fn point() -> impl Strategy<Value = Point3<f64>> {
        [coordinate(), coordinate(), coordinate()].prop_map(Point3::from)
    }

    /// A fourth point in the plane of three, or the least step of a float beside it.
    fn near_plane() -> impl Strategy<Value = [Point3<f64>; 4]> {
        let places = (0..5i8, 0..5i8, 0..3usize, -1..=1i64);
        ([point(), point(), point()], places).prop_map(|([a, b, c], (s, t, axis, step))| {
            let [s, t] = [s, t].map(|share| f64::from(share) / 4.0);
            let mut d = (a + (b - a) * s + (c - a) * t).map(|value| f64::from(value as f32));
            let bits = (d[axis] as f32).to_bits().wrapping_add_signed(step as i32);
            let moved = f64::from(f32::from_bits(bits));
            d[axis] = if moved.is_finite() { moved } else { d[axis] };
            [a, b, c, d]
        })
    }

    proptest! {
        /// The adaptive predicates are the independent second way.
        #[test]
        fn prop_signs_are_those_of_the_adaptive_predicates(
            points in prop_oneof![[point(), point(), point(), point()], near_plane()],
        ) {
            let [a, b, c, d] = &points;
            let [p, q, r, s] = [a, b, c, d].map(|p| Coord3D { x: p.x, y: p.y, z: p.z });
            prop_assert_eq!(side([a, b, c], d), sign(robust::orient3d(p, q, r, s)));
            for [x, y] in [[0, 1], [1, 2], [2, 0]] {
                let [p, q, r] = [a, b, c].map(|p| Coord { x: p[x], y: p[y] });
                prop_assert_eq!(turn([x, y], [a, b, c]), sign(robust::orient2d(p, q, r)));
            }
        }
    }

    #[test]
    fn a_step_of_the_grid_beside_a_slanting_plane_is_noticed() {
        // x + y + z = 90 through the corners; the fourth lies on it, then one step off it, far
        // below what floats of 30^3 resolve.
        let corners = [
            Point3::new(90.0, 0.0, 0.0),
            Point3::new(0.0, 90.0, 0.0),
            Point3::new(0.0, 0.0, 90.0),
        ];
        let [a, b, c] = &corners;
        let at = |z: f64| side([a, b, c], &Point3::new(30.0, 30.0, z));
        assert_eq!(at(30.0), 0);
        assert_eq!(at(30.0 - GRID), -at(30.0 + GRID));
        assert_ne!(at(30.0 + GRID), 0);
    }

    #[test]
    fn a_point_is_below_three_that_turn_counter_clockwise_from_above() {
        let [a, b, c] = &[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]].map(Point3::from);
        assert_eq!(side([a, b, c], &Point3::new(0.2, 0.2, -1.0)), 1);
        assert_eq!(turn([0, 1], [a, b, c]), 1);
    }
}
