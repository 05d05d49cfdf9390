//! What every picture of a kit is drawn from: surfaces of its parts, and where its pieces stand.

use crate::assembly::{Assembly, InstanceId, Motion, MotionKind, Pose};
use crate::motion::Rate;
use crate::picture::{HATCHES, Item, Surface, Tint};
use crate::solid::Mesh;
use crate::units::{Angle, Length};
use nalgebra::Point3;
use rayon::prelude::*;

/// A mechanism whose parts are ready to be drawn.
pub(super) struct Stage<'a> {
    pub(super) assembly: &'a Assembly,
    rates: &'a [Rate],
    surfaces: Vec<Surface>,
    /// Of every part, the number of its hatch.
    hatches: Vec<usize>,
}

/// The box around things, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extent {
    pub(super) low: [f64; 3],
    pub(super) high: [f64; 3],
}

impl<'a> Stage<'a> {
    /// Of meshes of the parts in their order.
    pub(super) fn new(assembly: &'a Assembly, rates: &'a [Rate], meshes: &[Mesh]) -> Self {
        Self {
            assembly,
            rates,
            surfaces: meshes.par_iter().map(Surface::of).collect(),
            hatches: assembly.told_apart(HATCHES),
        }
    }

    /// The surface of a part.
    pub(super) fn surface(&self, part: usize) -> Option<&Surface> {
        self.surfaces.get(part)
    }

    /// All pieces.
    pub(super) fn pieces(&self) -> impl Iterator<Item = InstanceId> + use<> {
        (0..self.assembly.instances.len()).map(InstanceId)
    }

    /// How a piece moves.
    pub(super) fn rate(&self, piece: InstanceId) -> Option<Rate> {
        self.rates.get(piece.0).copied()
    }

    /// Where a piece stands after so many turns of the drive in the direction of the stroke.
    pub(super) fn pose(&self, piece: InstanceId, turns: f64) -> Pose {
        let pose = self.assembly.instance(piece).pose;
        match self.rate(piece) {
            Some(rate) => {
                let gone = rate.after(turns);
                pose.screwed(Angle::turns(gone.turns), gone.advance)
            }
            None => pose,
        }
    }

    /// A piece in a pose and a colour.
    pub(super) fn item(&self, piece: InstanceId, pose: Pose, tint: Tint) -> Option<Item<'_>> {
        let part = self.assembly.instance(piece).part.0;
        Some(Item {
            surface: self.surface(part)?,
            pose,
            tint,
            hatch: self.hatches[part],
        })
    }

    /// Pieces of their own colours at a turn of the mechanism.
    pub(super) fn standing(&self, turns: f64) -> Vec<Item<'_>> {
        let item = |piece| self.item(piece, self.pose(piece, turns), self.tint(piece));
        self.pieces().filter_map(item).collect()
    }

    /// The colour of a piece: pieces of one part have one.
    pub(super) fn tint(&self, piece: InstanceId) -> Tint {
        Tint::Part(self.assembly.instance(piece).part.0)
    }

    /// The box around a piece in a pose.
    pub(super) fn extent(&self, piece: InstanceId, pose: &Pose) -> Extent {
        let surface = self.surface(self.assembly.instance(piece).part.0);
        let points = surface.map_or(&[][..], Surface::points);
        Extent::of(points.iter().map(|point| pose.apply(*point)))
    }
}

impl Extent {
    /// Around nothing.
    pub(super) const NONE: Self = Self {
        low: [f64::INFINITY; 3],
        high: [f64::NEG_INFINITY; 3],
    };

    /// Around points.
    pub(super) fn of(points: impl Iterator<Item = Point3<f64>>) -> Self {
        points.fold(Self::NONE, |extent, point| extent.with(point))
    }

    fn with(mut self, point: Point3<f64>) -> Self {
        for axis in 0..3 {
            self.low[axis] = self.low[axis].min(point[axis]);
            self.high[axis] = self.high[axis].max(point[axis]);
        }
        self
    }

    /// Around both.
    pub(super) fn and(self, other: Self) -> Self {
        self.with(Point3::from(other.low))
            .with(Point3::from(other.high))
    }

    /// The same with room at every side, in mm.
    pub(super) fn widened(self, by: f64) -> Self {
        Self {
            low: self.low.map(|side| side - by),
            high: self.high.map(|side| side + by),
        }
    }

    /// Its middle.
    pub(super) fn middle(&self) -> [f64; 3] {
        [0, 1, 2].map(|axis| (self.low[axis] + self.high[axis]) / 2.0)
    }

    /// Its eight corners.
    pub(super) fn corners(&self) -> [Point3<f64>; 8] {
        let pick = |high: bool, axis: usize| {
            if high {
                self.high[axis]
            } else {
                self.low[axis]
            }
        };
        [0, 1, 2, 3, 4, 5, 6, 7].map(|corner: usize| {
            let [x, y, z] = [0, 1, 2].map(|axis| pick(corner >> axis & 1 == 1, axis));
            Point3::new(x, y, z)
        })
    }
}

/// A unit step along a motion.
pub(super) fn towards(motion: Motion) -> [f64; 3] {
    let mut step = [0.0; 3];
    step[motion.axis.index()] = if motion.distance < Length::ZERO {
        -1.0
    } else {
        1.0
    };
    step
}

/// A pose carried along a motion, and so many mm further straight on.
pub(super) fn carried(pose: Pose, motion: Motion, further: f64) -> Pose {
    let turned = match motion.kind {
        MotionKind::Straight => pose,
        MotionKind::Helical | MotionKind::Driven => {
            pose.screwed(Angle::turns(motion.turns), Length::ZERO)
        }
    };
    let step = towards(motion);
    let far = motion.distance.as_mm().abs() + further;
    let [x, y, z] = step.map(|part| Length::mm(part * far));
    turned.shifted(x, y, z)
}
