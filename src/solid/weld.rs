//! Facets with corners of their own to a mesh in which equal corners are one.

use super::mesh::Mesh;
use nalgebra::Point3;

/// A corner as a file holds it, in mm.
pub(super) type Place = [f32; 3];

/// Marks a slot that no corner has taken.
const FREE: u32 = u32::MAX;

/// Corners of the same bits become one; also gives the corners' 32-bit places. Corners are
/// numbered in the order in which the facets first name them.
pub(super) fn weld(facets: &[[Place; 3]]) -> (Mesh, Vec<Place>) {
    // A table with open addressing, never more than half full: sorting all corners takes five
    // times as long. Its order does not show, since corners are numbered as they come.
    let slots = (facets.len() * 3 * 2).next_power_of_two();
    let mut table = vec![FREE; slots];
    let mut places: Vec<Place> = Vec::with_capacity(facets.len());
    let mut number = |place: Place| {
        let mut slot = scattered(place) & (slots - 1);
        loop {
            let known = table[slot];
            if known == FREE {
                table[slot] = places.len() as u32;
                places.push(place);
                return table[slot];
            }
            if places[known as usize].map(f32::to_bits) == place.map(f32::to_bits) {
                return known;
            }
            slot = (slot + 1) & (slots - 1);
        }
    };
    let triangles = facets.iter().map(|facet| facet.map(&mut number)).collect();
    let points = places
        .iter()
        .map(|place| Point3::from(place.map(f64::from)))
        .collect();
    (Mesh { points, triangles }, places)
}

/// Spreads places over the numbers: equal places give equal numbers, near ones far ones.
fn scattered(place: Place) -> usize {
    // Odd, and half of its bits set without a pattern: the golden ratio in 64 bits (Knuth,
    // "The Art of Computer Programming" 3, section 6.4).
    const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;
    let mixed = place.iter().fold(0u64, |mixed, coordinate| {
        (mixed.rotate_left(26) ^ u64::from(coordinate.to_bits())).wrapping_mul(GOLDEN)
    });
    (mixed >> 32) as usize
}
