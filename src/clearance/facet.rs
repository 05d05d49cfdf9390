//! What a body is made of: facets in the assembly frame, boxes around them, and when they
//! count as apart. Lengths in mm.

use crate::units::Angle;
use nalgebra::{Matrix3, Point3, Rotation3, Vector3};

/// Touching is free: less than this along the way, or across it, is no meeting, in mm. Files
/// hold 32-bit numbers, which are off by 0.000 008 mm at 256 mm (derived).
pub const SLACK: f64 = 1e-4;
/// A facet counts as facing a way when its unit normal leans more than this towards it: a wall
/// of 100 mm that leans less covers less than the slack of a query (derived).
const FACING: f64 = 1e-6;

/// A box along the axes, in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    pub(super) low: Point3<f64>,
    pub(super) high: Point3<f64>,
}

impl Bounds {
    /// Around nothing.
    pub(super) fn none() -> Self {
        Self {
            low: Point3::new(f64::INFINITY, f64::INFINITY, f64::INFINITY),
            high: Point3::new(f64::NEG_INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY),
        }
    }

    /// Around points.
    pub(super) fn around(points: &[Point3<f64>]) -> Self {
        let grown = |bounds: Self, point: &Point3<f64>| Self {
            low: bounds.low.inf(point),
            high: bounds.high.sup(point),
        };
        points.iter().fold(Self::none(), grown)
    }

    pub(super) fn joined(&self, other: &Self) -> Self {
        Self {
            low: self.low.inf(&other.low),
            high: self.high.sup(&other.high),
        }
    }

    /// Swept along a vector.
    pub(super) fn swept(&self, way: &Vector3<f64>) -> Self {
        let zero = Vector3::zeros();
        Self {
            low: self.low + way.inf(&zero),
            high: self.high + way.sup(&zero),
        }
    }

    pub(super) fn shifted(&self, by: &Vector3<f64>) -> Self {
        Self {
            low: self.low + by,
            high: self.high + by,
        }
    }

    /// Distance between two boxes, squared.
    pub(super) fn distance_squared(&self, other: &Self) -> f64 {
        let apart = |axis: usize| {
            let gap = (other.low[axis] - self.high[axis]).max(self.low[axis] - other.high[axis]);
            gap.max(0.0)
        };
        let (x, y, z) = (apart(0), apart(1), apart(2));
        x * x + y * y + z * z
    }

    /// Half the distance around it, to tell the larger of two boxes.
    pub(super) fn extent(&self) -> f64 {
        let size = self.high - self.low;
        size.x + size.y + size.z
    }

    pub(super) fn contains(&self, point: &Point3<f64>) -> bool {
        (0..3).all(|axis| (self.low[axis]..=self.high[axis]).contains(&point[axis]))
    }

    /// Whether a point that looks along a direction sees it.
    pub(super) fn is_seen(&self, from: &Point3<f64>, look: &Vector3<f64>) -> bool {
        let (mut near, mut far) = (0.0_f64, f64::INFINITY);
        for axis in 0..3 {
            let ends = [self.low[axis], self.high[axis]].map(|end| (end - from[axis]) / look[axis]);
            near = near.max(ends[0].min(ends[1]));
            far = far.min(ends[0].max(ends[1]));
        }
        near <= far
    }

    pub(super) fn centre(&self) -> Point3<f64> {
        nalgebra::center(&self.low, &self.high)
    }
}

/// A facet of a body.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facet {
    pub(super) corners: [Point3<f64>; 3],
    /// Outwards, of unit length; zero for a facet without area.
    pub(super) normal: Vector3<f64>,
    /// Index in the mesh of the part; pieces of a divided facet share it.
    pub(super) index: u32,
    /// Zero for the body, else one more than the index of its thread.
    pub(super) feature: u8,
}

impl Facet {
    pub(super) fn bounds(&self) -> Bounds {
        Bounds::around(&self.corners)
    }

    /// Whether it is so thin that rounding decides which way it faces: twice its area over the
    /// way around it is less than the slack.
    pub(super) fn is_sliver(&self) -> bool {
        is_sliver(&self.corners)
    }

    /// Which of +x, -x, +y, -y, +z, -z it faces, one bit each.
    pub(super) fn facing(&self) -> u8 {
        (0..3).fold(0, |mask, axis| {
            let lean = self.normal[axis];
            mask | u8::from(lean > FACING) << (2 * axis)
                | u8::from(lean < -FACING) << (2 * axis + 1)
        })
    }
}

/// See [`Facet::is_sliver`].
pub(super) fn is_sliver([a, b, c]: &[Point3<f64>; 3]) -> bool {
    let twice = (b - a).cross(&(c - a)).norm();
    let around = (b - a).norm() + (c - b).norm() + (a - c).norm();
    twice <= SLACK * around
}

/// The bits of what can lean towards a direction at all.
pub(super) fn towards(direction: &Vector3<f64>) -> u8 {
    (0..3).fold(0, |mask, axis| {
        let lean = direction[axis];
        mask | u8::from(lean > 0.0) << (2 * axis) | u8::from(lean < 0.0) << (2 * axis + 1)
    })
}

/// Least distance of a facet from the z axis, in mm.
pub(super) fn nearest_to_axis(corners: &[Point3<f64>; 3]) -> f64 {
    let cross = |a: usize, b: usize| corners[a].x * corners[b].y - corners[b].x * corners[a].y;
    let sides = [cross(0, 1), cross(1, 2), cross(2, 0)];
    let around = sides.iter().all(|side| *side > 0.0) || sides.iter().all(|side| *side < 0.0);
    if around {
        return 0.0;
    }
    let from_side = |(a, b): (usize, usize)| {
        let (px, py) = (corners[a].x, corners[a].y);
        let (dx, dy) = (corners[b].x - px, corners[b].y - py);
        let length = dx * dx + dy * dy;
        let along = if length > 0.0 {
            (-(px * dx + py * dy) / length).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let (x, y) = (px + along * dx, py + along * dy);
        x * x + y * y
    };
    let squared = [(0, 1), (1, 2), (2, 0)].map(from_side);
    squared.into_iter().fold(f64::INFINITY, f64::min).sqrt()
}

/// Greatest distance of a facet from the z axis, in mm.
pub(super) fn farthest_from_axis(corners: &[Point3<f64>; 3]) -> f64 {
    let squared = corners.map(|corner| corner.x * corner.x + corner.y * corner.y);
    squared.into_iter().fold(0.0, f64::max).sqrt()
}

/// A rotation about the axis, by the one sine of this program.
pub(super) fn turn_about_axis(angle: Angle) -> Rotation3<f64> {
    let (sin, cos) = angle.sin_cos();
    Rotation3::from_matrix_unchecked(Matrix3::new(cos, -sin, 0.0, sin, cos, 0.0, 0.0, 0.0, 1.0))
}
