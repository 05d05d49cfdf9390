//! A tree of boxes over facets in Morton order, so that queries take the nearest first.
//!
//! Facets are sorted along the Morton curve of their centres (ties by their index in the mesh)
//! and halved until four are left: children of a node lie beside each other in space. Each box
//! carries the facing masks of what it holds.

use super::straight::SLACK;
use nalgebra::{Point3, Vector3};

/// Facets in a leaf. Measured on prototypes: 2 to 8 differ by less than a tenth.
const LEAF: usize = 4;
/// Bits of a Morton code along each axis. Guess: a grid of 0.1 mm in 200 mm.
const MORTON_BITS: u32 = 16;
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

    fn centre(&self) -> Point3<f64> {
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
    fn facing(&self) -> u8 {
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

/// A box of the tree.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub(super) bounds: Bounds,
    /// First facet.
    first: u32,
    /// Number of facets.
    count: u32,
    /// The second child; the first stands right behind its parent. Zero for a leaf.
    second: u32,
    /// Which ways its facets face.
    pub(super) facing: u8,
    /// The feature of all its facets; none if they are of several.
    pub(super) feature: Option<u8>,
}

/// The tree; its root is node 0.
#[derive(Clone, Debug)]
pub(super) struct Tree {
    pub(super) nodes: Vec<Node>,
}

impl Tree {
    /// Sorts facets along the curve and puts boxes around them.
    pub(super) fn new(facets: &mut Vec<Facet>) -> Self {
        let all = facets
            .iter()
            .fold(Bounds::none(), |all, facet| all.joined(&facet.bounds()));
        let mut order: Vec<(u64, u32)> = (0..)
            .zip(facets.iter())
            .map(|(index, facet)| (morton(&facet.bounds().centre(), &all), index))
            .collect();
        order.sort_unstable();
        *facets = order
            .iter()
            .map(|(_, index)| facets[*index as usize])
            .collect();
        let mut tree = Self {
            nodes: Vec::with_capacity(facets.len()),
        };
        tree.grow(facets, 0, facets.len());
        tree
    }

    /// Adds the node of a stretch of facets and all below it.
    fn grow(&mut self, facets: &[Facet], first: usize, count: usize) {
        let here = self.nodes.len();
        self.nodes.push(Node {
            bounds: Bounds::none(),
            first: first as u32,
            count: count as u32,
            second: 0,
            facing: 0,
            feature: None,
        });
        let (bounds, facing) = if count <= LEAF {
            let held = &facets[first..first + count];
            let number = held.first().map(|facet| facet.feature);
            let alike = held.iter().all(|facet| Some(facet.feature) == number);
            self.nodes[here].feature = number.filter(|_| alike);
            held.iter()
                .fold((Bounds::none(), 0), |(bounds, facing), facet| {
                    (bounds.joined(&facet.bounds()), facing | facet.facing())
                })
        } else {
            let half = count / 2;
            self.grow(facets, first, half);
            let second = self.nodes.len();
            self.nodes[here].second = second as u32;
            self.grow(facets, first + half, count - half);
            let (one, two) = (self.nodes[here + 1], self.nodes[second]);
            self.nodes[here].feature = one.feature.filter(|_| one.feature == two.feature);
            (one.bounds.joined(&two.bounds), one.facing | two.facing)
        };
        self.nodes[here].bounds = bounds;
        self.nodes[here].facing = facing;
    }

    /// The two children of a node; none of a leaf.
    pub(super) fn children(&self, node: u32) -> Option<[u32; 2]> {
        let second = self.nodes[node as usize].second;
        (second > 0).then_some([node + 1, second])
    }

    /// The facets that a node holds.
    pub(super) fn held(&self, node: u32) -> std::ops::Range<usize> {
        let node = &self.nodes[node as usize];
        node.first as usize..(node.first + node.count) as usize
    }
}

/// Place along the Morton curve through a box.
fn morton(point: &Point3<f64>, all: &Bounds) -> u64 {
    let cells = f64::from((1_u32 << MORTON_BITS) - 1);
    (0..3).fold(0, |code, axis| {
        let size = all.high[axis] - all.low[axis];
        let share = if size > 0.0 {
            (point[axis] - all.low[axis]) / size
        } else {
            0.0
        };
        // Casting clamps what is not a number to zero.
        code | spread((share * cells) as u64) << axis
    })
}

/// Bits of a number, two empty ones between each.
fn spread(number: u64) -> u64 {
    (0..MORTON_BITS).fold(0, |spread, bit| spread | (number >> bit & 1) << (3 * bit))
}
