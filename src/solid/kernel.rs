//! The boolean kernel, and what we ask of it.
//!
//! Operands must be closed and face outwards; what they share must be over-cut or embedded,
//! or lie on exactly the same plane: nearly coincident faces come out broken once they are
//! rounded to 32 bits.

use super::mesh::Mesh;
use manifold_rust::manifold::Manifold;
use manifold_rust::types::MeshGLP;
use nalgebra::Point3;

/// A solid inside the kernel.
pub(super) struct Operand(Manifold);

/// The kernel refused an operand or a result, with its own word for why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Refused(pub(super) String);

impl Operand {
    pub(super) fn new(mesh: &Mesh) -> Result<Self, Refused> {
        let gl = MeshGLP::<f64, u32> {
            num_prop: 3,
            vert_properties: mesh.points.iter().flat_map(|p| [p.x, p.y, p.z]).collect(),
            tri_verts: mesh.triangles.iter().flatten().copied().collect(),
            ..MeshGLP::default()
        };
        let operand = Self(Manifold::from_mesh_glp(&gl)).accepted()?;
        // The kernel takes a solid turned inside out without a word.
        if operand.0.volume() > 0.0 {
            Ok(operand)
        } else {
            Err(Refused("inside out".into()))
        }
    }

    pub(super) fn union(&self, other: &Self) -> Result<Self, Refused> {
        Self(self.0.union(&other.0)).accepted()
    }

    pub(super) fn intersection(&self, other: &Self) -> Result<Self, Refused> {
        Self(self.0.intersection(&other.0)).accepted()
    }

    pub(super) fn difference(&self, other: &Self) -> Result<Self, Refused> {
        Self(self.0.difference(&other.0)).accepted()
    }

    #[cfg(test)]
    pub(super) fn meets_itself(&self) -> bool {
        self.0.has_self_intersections()
    }

    pub(super) fn mesh(&self) -> Mesh {
        let gl: MeshGLP<f64, u32> = self.0.get_mesh_glp(-1);
        let stride = gl.num_prop as usize;
        let point = |p: &[f64]| Point3::new(p[0], p[1], p[2]);
        Mesh {
            points: gl.vert_properties.chunks_exact(stride).map(point).collect(),
            triangles: gl
                .tri_verts
                .chunks_exact(3)
                .map(|t| [t[0], t[1], t[2]])
                .collect(),
        }
    }

    fn accepted(self) -> Result<Self, Refused> {
        match self.0.status() {
            manifold_rust::types::Error::NoError => Ok(self),
            refusal => Err(Refused(format!("{refusal:?}"))),
        }
    }
}

/// Volume in cubic millimetres that two closed meshes share; `None` if the kernel refuses one.
#[cfg(test)]
pub(crate) fn overlap_volume(a: &Mesh, b: &Mesh) -> Option<f64> {
    let (a, b) = (Operand::new(a).ok()?, Operand::new(b).ok()?);
    a.intersection(&b).ok().map(|common| common.0.volume())
}
