//! A mesh as the file holds it.

use netlead::solid::{Mesh, Unsound, Written, read_back};

/// A binary STL: 80 bytes of header, a count, then 50 bytes a facet.
pub(crate) fn stl(mesh: &Mesh) -> Vec<u8> {
    let mut bytes = vec![0u8; 80];
    bytes.extend((mesh.triangles.len() as u32).to_le_bytes());
    for facet in mesh.facets() {
        bytes.extend([0u8; 12]);
        for coordinate in facet.iter().flat_map(|corner| corner.iter()) {
            // Adding zero turns a negative zero into a plain one.
            bytes.extend((*coordinate as f32 + 0.0).to_le_bytes());
        }
        bytes.extend([0u8; 2]);
    }
    bytes
}

/// Writes a mesh, reads it back, and gives what the proof of soundness says.
pub(crate) fn proved(mesh: &Mesh, genus: usize) -> Result<Written, Unsound> {
    read_back(stl(mesh), genus)
}
