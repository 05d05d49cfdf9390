//! Meshes as few bytes: from meshes to one text of letters and digits, and back.
//!
//! Corners are counted in steps of their box, so many to each side that 16 bits hold them, and each is
//! told by what it is more than the one before. So are the corners of facets. Meshes come with their
//! vertices in the order of a grid, so that nearly all differences are small and alike, and DEFLATE
//! (RFC 1951) halves them again and again; shuffled they would take twenty times as much. The page
//! unpacks them with its reader's own decompression, and finds normals and edges by itself.
//!
//! Differences are written as variable-length whole numbers of 7 bits a byte, the lowest first, with the
//! sign in the lowest bit.

use crate::solid::Mesh;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::DeflateEncoder;
use serde::Serialize;
use std::io::Write as _;

/// Steps along each side of the box around a mesh.
const STEPS: f64 = 65_535.0;
/// Bits of a whole number in each of its bytes.
const BITS: u32 = 7;
/// Says that another byte follows.
const MORE: u8 = 1 << BITS;

/// How a mesh stands among the bytes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PackedMesh {
    /// How many corners it has.
    pub points: usize,
    /// How many facets.
    pub facets: usize,
    /// Lowest corner of its box, in mm, in the print frame.
    pub low: [f64; 3],
    /// Sides of its box, in mm.
    pub size: [f64; 3],
}

/// Meshes, packed together.
#[derive(Clone, Debug, PartialEq)]
pub struct Packed {
    /// How each stands among the bytes, in their order.
    pub meshes: Vec<PackedMesh>,
    /// All of them, deflated and in base 64 (RFC 4648).
    pub text: String,
}

impl Packed {
    /// Packs meshes, each in its print frame.
    pub fn of<'a>(meshes: impl IntoIterator<Item = &'a Mesh>) -> Self {
        let mut bytes = Vec::new();
        let heads = meshes.into_iter().map(|mesh| packed(mesh, &mut bytes));
        let meshes = heads.collect();
        Self {
            meshes,
            text: STANDARD.encode(deflated(&bytes)),
        }
    }
}

/// Bytes deflated. Writing into memory cannot fail; if it ever did, the page would say that its data are
/// broken.
fn deflated(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
    let written = encoder.write_all(bytes).and_then(|()| encoder.finish());
    written.unwrap_or_default()
}

fn packed(mesh: &Mesh, bytes: &mut Vec<u8>) -> PackedMesh {
    let ([low, _], size) = match mesh.points.is_empty() {
        true => ([[0.0; 3]; 2], [0.0; 3]),
        false => (mesh.bounds(), mesh.size()),
    };
    for axis in 0..3 {
        let mut before = 0;
        for point in &mesh.points {
            let step = steps(point[axis] - low[axis], size[axis]);
            push(step - before, bytes);
            before = step;
        }
    }
    let mut before = 0;
    for corner in mesh.triangles.iter().flatten() {
        let corner = i64::from(*corner);
        push(corner - before, bytes);
        before = corner;
    }
    PackedMesh {
        points: mesh.points.len(),
        facets: mesh.triangles.len(),
        low,
        size,
    }
}

/// How many steps a place is into a side of the box.
fn steps(place: f64, side: f64) -> i64 {
    match side > 0.0 {
        true => (place / side * STEPS).round().clamp(0.0, STEPS) as i64,
        false => 0,
    }
}

/// Appends a difference.
fn push(difference: i64, bytes: &mut Vec<u8>) {
    let mut rest = ((difference << 1) ^ (difference >> 63)) as u64;
    while rest >= u64::from(MORE) {
        bytes.push(rest as u8 | MORE);
        rest >>= BITS;
    }
    bytes.push(rest as u8);
}

/// Reads differences one after the other.
struct Differences<'a>(std::slice::Iter<'a, u8>);

impl Differences<'_> {
    fn next(&mut self) -> Option<i64> {
        let mut rest = 0u64;
        let mut shift = 0;
        loop {
            let byte = *self.0.next()?;
            rest |= u64::from(byte & !MORE).checked_shl(shift)?;
            shift += BITS;
            if byte & MORE == 0 {
                return Some((rest >> 1) as i64 ^ -((rest & 1) as i64));
            }
        }
    }

    /// So many, summed up as they come.
    fn running(&mut self, count: usize) -> Option<Vec<i64>> {
        let mut at = 0;
        let sum = |()| {
            at += self.next()?;
            Some(at)
        };
        std::iter::repeat_n((), count).map(sum).collect()
    }
}

/// The meshes again, as the page reads them; `None` where the bytes are not those of the heads.
pub fn unpacked(packed: &Packed) -> Option<Vec<Mesh>> {
    let deflated = STANDARD.decode(&packed.text).ok()?;
    let mut bytes = Vec::new();
    let mut decoder = flate2::read::DeflateDecoder::new(&*deflated);
    std::io::Read::read_to_end(&mut decoder, &mut bytes).ok()?;
    let mut read = Differences(bytes.iter());
    let mesh = |head: &PackedMesh| {
        let mut mesh = Mesh::default();
        let [xs, ys, zs] = [
            read.running(head.points)?,
            read.running(head.points)?,
            read.running(head.points)?,
        ];
        let place = |axis: usize, step: i64| head.low[axis] + step as f64 / STEPS * head.size[axis];
        let corners = xs.iter().zip(&ys).zip(&zs);
        let points = corners.map(|((x, y), z)| [place(0, *x), place(1, *y), place(2, *z)]);
        mesh.points = points.map(Into::into).collect();
        let corners = read.running(3 * head.facets)?;
        for facet in corners.chunks_exact(3) {
            let facet = [facet[0], facet[1], facet[2]].map(u32::try_from);
            let [Ok(a), Ok(b), Ok(c)] = facet else {
                return None;
            };
            mesh.triangles.push([a, b, c]);
        }
        Some(mesh)
    };
    let meshes: Option<Vec<Mesh>> = packed.meshes.iter().map(mesh).collect();
    meshes.filter(|_| read.0.len() == 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_a_difference_of_any_size_and_sign_is_read_as_it_was_written(
            differences in proptest::collection::vec(-(1i64 << 40)..(1 << 40), 0..40)
        ) {
            let mut bytes = Vec::new();
            for difference in &differences {
                push(*difference, &mut bytes);
            }
            let mut read = Differences(bytes.iter());
            for difference in &differences {
                prop_assert_eq!(read.next(), Some(*difference));
            }
            prop_assert_eq!(read.next(), None);
        }
    }

    #[test]
    fn a_flat_mesh_and_an_empty_one_come_back() {
        let flat = Mesh {
            points: vec![
                [0.0, 1.0, 5.0].into(),
                [2.0, 1.0, 5.0].into(),
                [0.0, 3.0, 5.0].into(),
            ],
            triangles: vec![[0, 1, 2]],
        };
        let packed = Packed::of([&flat, &Mesh::default()]);
        let back = unpacked(&packed).expect("what was packed");
        assert_eq!(back[0].points, flat.points);
        assert_eq!(back[0].triangles, flat.triangles);
        assert!(back[1].points.is_empty() && back[1].triangles.is_empty());
    }

    #[test]
    fn bytes_that_are_too_few_or_too_many_are_refused() {
        let mesh = crate::output::kit::fixture::tetrahedron();
        let mut packed = Packed::of([&mesh]);
        packed.meshes[0].facets += 1;
        assert!(unpacked(&packed).is_none());
        packed.meshes[0].facets -= 2;
        assert!(unpacked(&packed).is_none());
    }
}
