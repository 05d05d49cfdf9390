//! From which side things are seen: a parallel projection.

use nalgebra::{Point3, Vector3};

/// A parallel projection: which directions lie to the right, upwards and towards the eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    right: Vector3<f64>,
    up: Vector3<f64>,
    to_eye: Vector3<f64>,
}

impl View {
    /// An eye in a direction from the things, which holds another direction upwards. The two must not
    /// lie on one line.
    pub fn from(to_eye: [f64; 3], upwards: [f64; 3]) -> Self {
        let to_eye = Vector3::from(to_eye).normalize();
        let right = Vector3::from(upwards).cross(&to_eye).normalize();
        Self {
            right,
            up: to_eye.cross(&right),
            to_eye,
        }
    }

    /// Where a point stands on the picture: to the right, upwards, and towards the eye, in mm.
    pub fn seen(&self, point: Point3<f64>) -> [f64; 3] {
        let from = point.coords;
        [
            from.dot(&self.right),
            from.dot(&self.up),
            from.dot(&self.to_eye),
        ]
    }

    /// Where a direction goes on the picture: to the right, upwards, and towards the eye.
    pub fn seen_direction(&self, direction: [f64; 3]) -> [f64; 3] {
        self.seen(Point3::from(direction))
    }

    /// Unit vector towards the eye.
    pub fn to_eye(&self) -> Vector3<f64> {
        self.to_eye
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_seen_from_the_side_keeps_its_handedness() {
        // The eye on -x, +y up: +z lies to the right.
        let view = View::from([-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]);
        assert_eq!(view.seen(Point3::new(0.0, 0.0, 1.0)), [1.0, 0.0, 0.0]);
        assert_eq!(view.seen(Point3::new(0.0, 1.0, 0.0)), [0.0, 1.0, 0.0]);
        assert_eq!(view.seen(Point3::new(-1.0, 0.0, 0.0)), [0.0, 0.0, 1.0]);
    }
}
