//! The box around a piece, by which drawings tell what lies before what.

use crate::assembly::Pose;
use crate::solid::Mesh;

/// Boxes that share less than this, in mm, lie side by side.
pub(super) const BESIDE: f64 = 0.01;

/// A box along the axes, in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    pub(super) low: [f64; 3],
    pub(super) high: [f64; 3],
}

impl Room {
    /// Around a mesh in a pose; around the origin where the mesh is empty.
    pub(super) fn around(mesh: &Mesh, pose: &Pose) -> Self {
        let nothing = Self {
            low: [f64::INFINITY; 3],
            high: [f64::NEG_INFINITY; 3],
        };
        let placed = mesh.points.iter().map(|point| pose.apply(*point));
        placed.fold(nothing, |mut room, point| {
            for axis in 0..3 {
                room.low[axis] = room.low[axis].min(point[axis]);
                room.high[axis] = room.high[axis].max(point[axis]);
            }
            room
        })
    }

    /// The same further along an axis.
    pub(super) fn moved(mut self, axis: usize, by: f64) -> Self {
        self.low[axis] += by;
        self.high[axis] += by;
        self
    }

    /// Whether two overlap seen along an axis.
    pub(super) fn hides(&self, other: &Self, axis: usize) -> bool {
        let across = (0..3).filter(|each| *each != axis);
        let mut shared = across.map(|each| {
            self.high[each].min(other.high[each]) - self.low[each].max(other.low[each])
        });
        shared.all(|shared| shared > BESIDE)
    }

    /// Its front and its back in a direction, which is an axis with a sign.
    pub(super) fn ends(&self, axis: usize, sign: f64) -> [f64; 2] {
        let ends = [self.low[axis] * sign, self.high[axis] * sign];
        [ends[0].max(ends[1]), ends[0].min(ends[1])]
    }
}
