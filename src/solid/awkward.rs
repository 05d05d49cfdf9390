//! Facets that rounding has the hardest time with, for laws to be held on.

use super::weld::Place;
use proptest::prelude::*;
use proptest::sample::select;

/// Two facets with corners of 32 bits: nearly or wholly in one plane, thin to a line, far from
/// the origin, with corners in common, or none of it. They may have no area.
pub(super) fn pair() -> impl Strategy<Value = [[Place; 3]; 2]> {
    let apex = prop_oneof![Placed::on_the_line(), Placed::free()];
    let other = || {
        prop_oneof![
            (0..3usize).prop_map(Placed::Shared),
            Placed::on_the_line(),
            Placed::in_the_plane(),
            Placed::in_the_plane(),
            Placed::free(),
        ]
    };
    let far = [far(), far(), far()];
    let turned = (0..3usize, any::<bool>());
    (
        free(),
        free(),
        apex,
        [other(), other(), other()],
        far,
        turned,
    )
        .prop_map(|(a, b, apex, others, far, (first, swapped))| {
            let [a, b] = [a, b].map(|corner| [0, 1, 2].map(|axis| corner[axis] + far[axis] + 0.0));
            let c = apex.among([a, b, a], far);
            let near = [a, b, c];
            let mut second = others.map(|other| other.among(near, far));
            second.rotate_left(first);
            if swapped {
                [second, near]
            } else {
                [near, second]
            }
        })
}

/// Where a corner is, as told by those before it.
#[derive(Clone, Debug)]
enum Placed {
    Shared(usize),
    /// Shares of the way from the first corner to the others, and by how many steps of 32-bit
    /// numbers one coordinate is off.
    Within([f64; 2], usize, i32),
    Free(Place),
}

impl Placed {
    fn free() -> impl Strategy<Value = Self> {
        free().prop_map(Self::Free)
    }

    fn on_the_line() -> impl Strategy<Value = Self> {
        (share(), 0..3usize, -2..=2i32).prop_map(|(s, axis, off)| Self::Within([s, 0.0], axis, off))
    }

    fn in_the_plane() -> impl Strategy<Value = Self> {
        ([share(), share()], 0..3usize, -2..=2i32)
            .prop_map(|(shares, axis, off)| Self::Within(shares, axis, off))
    }

    fn among(&self, corners: [Place; 3], far: Place) -> Place {
        match self {
            Self::Shared(at) => corners[*at],
            Self::Free(place) => [0, 1, 2].map(|axis| place[axis] + far[axis] + 0.0),
            Self::Within([s, t], axis, off) => {
                let [a, b, c] = corners.map(|corner| corner.map(f64::from));
                let along =
                    |axis: usize| a[axis] + s * (b[axis] - a[axis]) + t * (c[axis] - a[axis]);
                let mut place = [0, 1, 2].map(|axis| along(axis) as f32 + 0.0);
                let bits = place[*axis].to_bits().wrapping_add_signed(*off);
                let moved = f32::from_bits(bits);
                // Beyond zero, steps lead to numbers that are none.
                if moved.is_finite() && moved.abs() < 1e9 {
                    place[*axis] = moved + 0.0;
                }
                place
            }
        }
    }
}

/// Some so that three corners are often on a line or two at one place, some beyond the edge.
fn share() -> impl Strategy<Value = f64> {
    prop_oneof![
        (-4..=8i8).prop_map(|quarters| f64::from(quarters) / 4.0),
        -1.0..2.0f64
    ]
}

fn free() -> impl Strategy<Value = Place> {
    let coordinate = || {
        prop_oneof![
            (-3..=3i8).prop_map(f32::from),
            select(vec![0.1f32, 0.3, -0.7, 6.123_234e-16, -1e-9]),
            // Beside whole numbers these are lost in part, or whole, even in 64 bits.
            (-40..=40i8).prop_map(|count| f32::from(count) * f32::EPSILON * f32::EPSILON / 256.0),
            -50.0..50.0f32,
        ]
    };
    [coordinate(), coordinate(), coordinate()]
}

fn far() -> impl Strategy<Value = f32> {
    prop_oneof![
        3 => Just(0.0f32),
        1 => select(vec![100.0f32, -12_345.6, 3e6]),
    ]
}
