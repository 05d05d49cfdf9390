//! From shapes to watertight meshes, verified as they are written.
//!
//! [`Mesh`] is what the kernel works on, in 64 bits; [`Written`] is a part's file, read back
//! and proved sound.

use nalgebra::Point3;

/// A closed surface of triangles in mm, counter-clockwise seen from outside.
#[derive(Clone, Debug, Default)]
pub struct Mesh {
    /// Corners.
    pub points: Vec<Point3<f64>>,
    /// Triples of indices into `points`.
    pub triangles: Vec<[u32; 3]>,
}

/// A part's binary STL and what was measured on it after reading it back.
#[derive(Clone, Debug)]
pub struct Written {
    /// The file.
    pub bytes: Vec<u8>,
    /// Number of facets.
    pub triangles: usize,
    /// Enclosed volume in cubic millimetres.
    pub volume_mm3: f64,
    /// Area of the surface in square millimetres.
    pub area_mm2: f64,
    /// Size of the bounding box in mm.
    pub size_mm: [f64; 3],
}
