//! A solid inside the boolean kernel, made ready once and then moved about.
//!
//! The kernel is asked directly, and what it is asked is only which volume two solids share. That
//! takes a sorted copy of every operand; a solid that was moved keeps its own.

use manifold_rust::linalg::{Mat3x4, Vec3};
use manifold_rust::manifold::Manifold;
use manifold_rust::types::{Error, MeshGLP};
use netlead::assembly::Pose;
use netlead::solid::Mesh;

/// A closed surface that faces outwards.
pub(crate) struct Body(Manifold);

impl Body {
    /// The solid in a mesh.
    pub(crate) fn new(mesh: &Mesh) -> Self {
        let solid = Manifold::from_mesh_glp(&MeshGLP::<f64, u32> {
            num_prop: 3,
            vert_properties: mesh.points.iter().flat_map(|p| [p.x, p.y, p.z]).collect(),
            tri_verts: mesh.triangles.iter().flatten().copied().collect(),
            ..MeshGLP::default()
        });
        assert_eq!(solid.status(), Error::NoError);
        assert!(solid.volume() > 0.0, "a solid turned inside out");
        Self(solid)
    }

    /// The same solid elsewhere.
    pub(crate) fn placed(&self, pose: &Pose) -> Self {
        let rows = pose.to_rows();
        let [x, y, z, shift] =
            [0, 1, 2, 3].map(|column| Vec3::new(rows[0][column], rows[1][column], rows[2][column]));
        Self(self.0.transform(&Mat3x4::from_cols(x, y, z, shift)))
    }

    /// Lowest and highest corner.
    pub(crate) fn bounds(&self) -> [[f64; 3]; 2] {
        let bounds = self.0.bounding_box();
        [bounds.min, bounds.max].map(|corner| [corner.x, corner.y, corner.z])
    }
}

/// Volume that two solids share, in mm3; their boxes are asked first.
pub(crate) fn shared(a: &Body, b: &Body) -> f64 {
    let (first, second) = (a.bounds(), b.bounds());
    let apart =
        (0..3).any(|axis| first[1][axis] < second[0][axis] || second[1][axis] < first[0][axis]);
    if apart {
        return 0.0;
    }
    let common = a.0.intersection(&b.0);
    assert_eq!(common.status(), Error::NoError);
    common.volume()
}
