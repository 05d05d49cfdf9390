//! Where a piece stands: a rotation and a shift, never a mirror.

use crate::units::{Angle, Length};
use nalgebra::{Point3, Vector3};

/// A rigid placement, from a part's print frame to the assembly, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    rotation: nalgebra::Matrix3<f64>,
    shift: Vector3<f64>,
}

impl Pose {
    /// Where it was printed.
    pub fn identity() -> Self {
        Self {
            rotation: nalgebra::Matrix3::identity(),
            shift: Vector3::zeros(),
        }
    }

    /// A shift alone.
    pub fn shift(x: Length, y: Length, z: Length) -> Self {
        Self::identity().shifted(x, y, z)
    }

    /// Columns are the images of the print frame's x, y and z; they must be right-handed and
    /// of unit length.
    pub fn axes(x: [f64; 3], y: [f64; 3], z: [f64; 3]) -> Self {
        let rotation = nalgebra::Matrix3::from_columns(&[
            Vector3::from(x),
            Vector3::from(y),
            Vector3::from(z),
        ]);
        debug_assert!(
            (rotation.determinant() - 1.0).abs() < 1e-12,
            "a pose never mirrors"
        );
        Self {
            rotation,
            shift: Vector3::zeros(),
        }
    }

    /// Half a turn about the x axis: what was printed upside down stands upright.
    pub fn turned_over() -> Self {
        Self::axes([1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0])
    }

    /// This pose, then a shift.
    pub fn shifted(mut self, x: Length, y: Length, z: Length) -> Self {
        self.shift += Vector3::new(x.as_mm(), y.as_mm(), z.as_mm());
        self
    }

    /// This pose, then another.
    pub fn then(self, next: &Self) -> Self {
        Self {
            rotation: next.rotation * self.rotation,
            shift: next.rotation * self.shift + next.shift,
        }
    }

    /// This pose, then a rotation about the assembly's z axis and an advance along it.
    pub fn screwed(self, angle: Angle, advance: Length) -> Self {
        let (sin, cos) = angle.sin_cos();
        let about_z = nalgebra::Matrix3::new(cos, -sin, 0.0, sin, cos, 0.0, 0.0, 0.0, 1.0);
        Self {
            rotation: about_z * self.rotation,
            shift: about_z * self.shift + Vector3::new(0.0, 0.0, advance.as_mm()),
        }
    }

    /// Where a point of the print frame stands in the assembly.
    pub fn apply(&self, point: Point3<f64>) -> Point3<f64> {
        Point3::from(self.rotation * point.coords + self.shift)
    }

    /// Row-major 4 x 4 matrix.
    pub fn to_rows(&self) -> [[f64; 4]; 4] {
        let (r, s) = (&self.rotation, &self.shift);
        [
            [r[(0, 0)], r[(0, 1)], r[(0, 2)], s[0]],
            [r[(1, 0)], r[(1, 1)], r[(1, 2)], s[1]],
            [r[(2, 0)], r[(2, 1)], r[(2, 2)], s[2]],
            [0.0, 0.0, 0.0, 1.0],
        ]
    }
}
