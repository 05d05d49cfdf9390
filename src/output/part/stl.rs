//! From a mesh to a binary STL file.
//!
//! The format has no standard; its customary layout is an 80 byte header, the number of
//! facets as a 32-bit little-endian integer, then for each facet twelve 32-bit floats (unit
//! normal, three corners counter-clockwise seen from outside) and two attribute bytes: 84 +
//! 50 n bytes. Coordinates are millimetres in the part's print frame; the format itself
//! carries no unit, so the header says it.

use crate::solid::Mesh;
use nalgebra::{Point3, Vector3};

/// Bytes of the header.
pub const HEADER_LENGTH: usize = 80;
/// Bytes of one facet.
pub const FACET_LENGTH: usize = 50;

/// Why a mesh cannot be written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StlError {
    /// A triangle names a corner that is not there.
    #[error("triangle {triangle} names a corner that the mesh does not have")]
    NoSuchCorner {
        /// Which triangle, from 0.
        triangle: usize,
    },
    /// A corner that a 32-bit float cannot hold.
    #[error("triangle {triangle} has a corner that is not a finite 32-bit number")]
    NotFinite {
        /// Which triangle, from 0.
        triangle: usize,
    },
    /// More than the format can count.
    #[error("{0} triangles are more than the format can count")]
    TooMany(usize),
}

/// The file of a part. `part` and `kit` are named in the header as far as they fit.
///
/// Normals follow from the corners as rounded to 32 bits; a triangle without area gets a
/// zero normal. Negative zero is never written, so that equal corners are equal bytes.
pub fn write(mesh: &Mesh, part: &str, kit: &str) -> Result<Vec<u8>, StlError> {
    let count = mesh.triangles.len();
    let counted = u32::try_from(count).map_err(|_| StlError::TooMany(count))?;
    let mut bytes = Vec::with_capacity(HEADER_LENGTH + 4 + FACET_LENGTH * count);
    bytes.extend_from_slice(&header(part, kit));
    bytes.extend_from_slice(&counted.to_le_bytes());
    for (triangle, indices) in mesh.triangles.iter().enumerate() {
        let mut corners = [[0f32; 3]; 3];
        for (corner, &index) in corners.iter_mut().zip(indices) {
            let point = usize::try_from(index)
                .ok()
                .and_then(|index| mesh.points.get(index))
                .ok_or(StlError::NoSuchCorner { triangle })?;
            *corner = rounded(point);
            if corner.iter().any(|value| !value.is_finite()) {
                return Err(StlError::NotFinite { triangle });
            }
        }
        for vector in std::iter::once(normal(&corners)).chain(corners) {
            for value in vector {
                bytes.extend_from_slice(&value.to_le_bytes());
            }
        }
        // The attribute, which some programs take for a colour.
        bytes.extend_from_slice(&[0, 0]);
    }
    Ok(bytes)
}

/// Text of printable ASCII, filled with blanks. It must not begin with `solid`, by which
/// readers know the text form of the format.
fn header(part: &str, kit: &str) -> [u8; HEADER_LENGTH] {
    let text = format!("netlead binary STL, unit mm, part {part}, kit {kit}");
    let mut header = [b' '; HEADER_LENGTH];
    for (slot, letter) in header.iter_mut().zip(text.chars()) {
        let byte = u8::try_from(letter).ok();
        let printable = byte.filter(|byte| (b' '..=b'~').contains(byte));
        *slot = printable.unwrap_or(b'?');
    }
    header
}

/// Rounded to 32 bits; adding zero turns negative zero into zero.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the format holds 32-bit floats"
)]
fn rounded(point: &Point3<f64>) -> [f32; 3] {
    [
        point.x as f32 + 0.0,
        point.y as f32 + 0.0,
        point.z as f32 + 0.0,
    ]
}

/// Unit normal of the corners by the right-hand rule, or zero for no area.
fn normal(corners: &[[f32; 3]; 3]) -> [f32; 3] {
    let [a, b, c] = corners.map(|corner| Vector3::from(corner.map(f64::from)));
    let across = (b - a).cross(&(c - a));
    let length = across.norm();
    if length > 0.0 {
        rounded(&Point3::from(across / length))
    } else {
        [0.0; 3]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;
    use proptest::prelude::*;

    /// The byte layout, read by hand.
    fn floats(bytes: &[u8]) -> Vec<f32> {
        bytes[HEADER_LENGTH + 4..]
            .chunks_exact(FACET_LENGTH)
            .flat_map(|facet| facet[..48].chunks_exact(4))
            .map(|four| f32::from_le_bytes(four.try_into().unwrap()))
            .collect()
    }

    #[test]
    fn a_file_is_84_bytes_and_50_for_each_facet() {
        let mesh = fixture::tetrahedron();
        let bytes = write(&mesh, "drive", "test").unwrap();
        assert_eq!(bytes.len(), 84 + 50 * 4);
        assert_eq!(bytes[80..84], 4u32.to_le_bytes());
        for facet in bytes[84..].chunks_exact(50) {
            assert_eq!(facet[48..], [0, 0]);
        }
    }

    #[test]
    fn the_header_names_part_kit_and_unit_and_is_not_taken_for_text() {
        let bytes = write(&fixture::tetrahedron(), "solid", "solid\u{1b}[31m µ stage").unwrap();
        let header = &bytes[..80];
        assert!(!header.starts_with(b"solid"));
        assert!(header.iter().all(|byte| (b' '..=b'~').contains(byte)));
        let text = std::str::from_utf8(header).unwrap();
        assert!(text.contains("unit mm") && text.contains("part solid") && text.contains("kit"));
    }

    #[test]
    fn a_long_kit_name_leaves_the_header_its_length() {
        let bytes = write(&fixture::tetrahedron(), "drive", &"x".repeat(500)).unwrap();
        assert_eq!(bytes.len(), 84 + 50 * 4);
    }

    #[test]
    fn normals_point_out_of_a_tetrahedron() {
        let bytes = write(&fixture::tetrahedron(), "t", "t").unwrap();
        let values = floats(&bytes);
        let centre = [2.5f32; 3];
        for facet in values.chunks_exact(12) {
            let outward: f32 = (0..3)
                .map(|axis| facet[axis] * (facet[3 + axis] - centre[axis]))
                .sum();
            assert!(outward > 0.0, "{facet:?}");
            let length: f32 = (0..3).map(|axis| facet[axis] * facet[axis]).sum();
            approx::assert_abs_diff_eq!(length, 1.0, epsilon = 1e-6);
        }
    }

    #[test]
    fn another_reader_finds_the_same_corners() {
        let mesh = fixture::tetrahedron();
        let bytes = write(&mesh, "t", "t").unwrap();
        let read = stl_io::read_stl(&mut std::io::Cursor::new(bytes)).unwrap();
        assert_eq!(read.faces.len(), 4);
        assert_eq!(read.vertices.len(), 4);
    }

    #[test]
    fn negative_zero_is_never_written() {
        let mut mesh = fixture::tetrahedron();
        for point in &mut mesh.points {
            *point = Point3::from(
                point
                    .coords
                    .map(|value| if value == 0.0 { -1e-60 } else { value }),
            );
        }
        for value in floats(&write(&mesh, "t", "t").unwrap()) {
            assert!(value != 0.0 || value.is_sign_positive());
        }
    }

    #[test]
    fn what_the_format_cannot_hold_is_refused() {
        let mut mesh = fixture::tetrahedron();
        mesh.points[3].x = 1e39;
        assert!(matches!(
            write(&mesh, "t", "t"),
            Err(StlError::NotFinite { .. })
        ));
        mesh.points.pop();
        assert!(matches!(
            write(&mesh, "t", "t"),
            Err(StlError::NoSuchCorner { .. })
        ));
    }

    proptest! {
        #[test]
        fn prop_any_finite_triangle_keeps_length_and_has_no_negative_zero(
            corners in prop::collection::vec(-1e3f64..1e3, 9),
        ) {
            let points = corners.chunks_exact(3).map(|c| Point3::new(c[0], c[1], c[2])).collect();
            let mesh = Mesh { points, triangles: vec![[0, 1, 2]] };
            let bytes = write(&mesh, "p", "k").unwrap();
            prop_assert_eq!(bytes.len(), 134);
            for value in floats(&bytes) {
                prop_assert!(value.is_finite() && (value != 0.0 || value.is_sign_positive()));
            }
        }
    }
}
