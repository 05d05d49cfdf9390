//! A mesh to a tree of boxes around its facets, which finds facets that may meet.
//!
//! Facets are put in the order in which a Z-shaped curve through space passes their middles
//! (Morton, "A computer oriented geodetic data base", 1966), and neighbours on the curve share a
//! leaf. The order depends on the mesh alone, so the same mesh always gives the same tree. Boxes
//! are exact bounds of the corners: what they keep apart is apart. Lengths are in mm, in the
//! frame of the mesh.

use super::mesh::Mesh;
use nalgebra::Point3;
use rayon::prelude::*;

/// Facets that share a leaf at the most. Guess: with more of them too many pairs are compared,
/// with fewer the tree itself costs more than it spares.
const FACETS_A_LEAF: usize = 4;

/// Steps of the curve along an axis are 2 to this power: three axes and a facet's number then
/// fit one 64-bit key. On a part of 100 mm a step is 0.1 mm, about the size of a facet.
const BITS_AN_AXIS: u32 = 10;

/// Subtrees that are searched side by side. Guess: many times the cores, so that none is idle
/// for long while another works on a crowded corner of the mesh.
const SUBTREES: usize = 64;

/// A facet's corners, counter-clockwise seen from outside.
pub type Corners = [Point3<f64>; 3];

/// A box along the axes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    low: [f64; 3],
    high: [f64; 3],
}

impl Bounds {
    /// A box around nothing, which meets nothing.
    const NOTHING: Self = Self {
        low: [f64::INFINITY; 3],
        high: [f64::NEG_INFINITY; 3],
    };

    fn around(corners: &Corners) -> Self {
        let [a, b, c] = corners;
        Self {
            low: [0, 1, 2].map(|axis| a[axis].min(b[axis]).min(c[axis])),
            high: [0, 1, 2].map(|axis| a[axis].max(b[axis]).max(c[axis])),
        }
    }

    fn with(&self, other: &Self) -> Self {
        Self {
            low: [0, 1, 2].map(|axis| self.low[axis].min(other.low[axis])),
            high: [0, 1, 2].map(|axis| self.high[axis].max(other.high[axis])),
        }
    }

    /// Whether they share a point, be it on their faces.
    #[inline]
    fn meets(&self, other: &Self) -> bool {
        // Without early ends: three comparisons of pairs are cheaper than a missed guess.
        (0..3).fold(true, |met, axis| {
            met & (self.low[axis] <= other.high[axis]) & (other.low[axis] <= self.high[axis])
        })
    }

    /// Square of the least distance between two boxes, in mm2; infinite for a box around nothing.
    pub(super) fn gap_squared(&self, other: &Self) -> f64 {
        let gap = |axis: usize| {
            let apart = (self.low[axis] - other.high[axis]).max(other.low[axis] - self.high[axis]);
            apart.max(0.0)
        };
        let [x, y, z] = [0, 1, 2].map(gap);
        x * x + y * y + z * z
    }
}

/// The facets of a mesh in a tree of boxes.
#[derive(Clone, Debug)]
pub struct FacetTree {
    /// Facets by their place in the mesh, leaf by leaf.
    facets: Vec<u32>,
    /// Their corners, in the same order.
    corners: Vec<Corners>,
    /// Their boxes, in the same order.
    bounds: Vec<Bounds>,
    /// Boxes of the nodes; those of node k's children are at 2k + 1 and 2k + 2, and the last
    /// half of all nodes, a power of two, are the leaves.
    nodes: Vec<Bounds>,
}

impl FacetTree {
    /// A tree over all facets of a mesh.
    pub fn new(mesh: &Mesh) -> Self {
        let corners: Vec<Corners> = mesh.facets().collect();
        let facets = along_the_curve(&corners);
        let corners: Vec<Corners> = facets.iter().map(|at| corners[*at as usize]).collect();
        let bounds: Vec<Bounds> = corners.iter().map(Bounds::around).collect();
        let leaves = facets.len().div_ceil(FACETS_A_LEAF).next_power_of_two();
        let mut tree = Self {
            facets,
            corners,
            bounds,
            nodes: vec![Bounds::NOTHING; 2 * leaves - 1],
        };
        for node in (0..tree.nodes.len()).rev() {
            tree.nodes[node] = match tree.children(node) {
                Some([left, right]) => tree.nodes[left].with(&tree.nodes[right]),
                None => tree.bounds[tree.held(node)]
                    .iter()
                    .fold(Bounds::NOTHING, |all, one| all.with(one)),
            };
        }
        tree
    }

    /// Whether any two facets of this mesh, their boxes sharing a point, answer to `meet`: it is
    /// given their places in the mesh and their corners. Each pair is asked for once at the most,
    /// from several threads.
    pub fn any_own_pair(&self, meet: impl Fn([usize; 2], [&Corners; 2]) -> bool + Sync) -> bool {
        let level = SUBTREES.min(self.leaves());
        let subtrees = level - 1..2 * level - 1;
        subtrees.clone().into_par_iter().any(|node| {
            self.own(node, &meet)
                || (node + 1..subtrees.end).any(|other| self.cross(node, other, &meet))
        })
    }

    /// Pairs within one subtree.
    fn own(&self, node: usize, meet: &impl Fn([usize; 2], [&Corners; 2]) -> bool) -> bool {
        if let Some([left, right]) = self.children(node) {
            return self.own(left, meet) || self.own(right, meet) || self.cross(left, right, meet);
        }
        let held = self.held(node);
        held.clone()
            .any(|a| (a + 1..held.end).any(|b| self.pair(a, b, meet)))
    }

    /// Pairs of one facet from each of two subtrees.
    fn cross(
        &self,
        node: usize,
        far: usize,
        meet: &impl Fn([usize; 2], [&Corners; 2]) -> bool,
    ) -> bool {
        if !self.nodes[node].meets(&self.nodes[far]) {
            return false;
        }
        match (self.children(node), self.children(far)) {
            (Some(near), Some(far)) => near
                .iter()
                .any(|near| far.iter().any(|far| self.cross(*near, *far, meet))),
            (Some(near), None) => near.iter().any(|near| self.cross(*near, far, meet)),
            (None, Some(far)) => far.iter().any(|far| self.cross(node, *far, meet)),
            (None, None) => self
                .held(node)
                .filter(|a| self.bounds[*a].meets(&self.nodes[far]))
                .any(|a| self.held(far).any(|b| self.pair(a, b, meet))),
        }
    }

    fn pair(&self, a: usize, b: usize, meet: &impl Fn([usize; 2], [&Corners; 2]) -> bool) -> bool {
        let places = || [a, b].map(|at| self.facets[at] as usize);
        self.bounds[a].meets(&self.bounds[b])
            && meet(places(), [&self.corners[a], &self.corners[b]])
    }

    fn leaves(&self) -> usize {
        self.nodes.len() / 2 + 1
    }

    /// Nodes below a node; `None` for a leaf.
    pub(super) fn children(&self, node: usize) -> Option<[usize; 2]> {
        (node < self.nodes.len() / 2).then_some([2 * node + 1, 2 * node + 2])
    }

    /// What a leaf holds, in the order of the tree.
    pub(super) fn held(&self, leaf: usize) -> std::ops::Range<usize> {
        let (at, leaves) = (leaf - self.nodes.len() / 2, self.leaves());
        let from = |leaf: usize| leaf * self.facets.len() / leaves;
        from(at)..from(at + 1)
    }

    /// The box of a node.
    pub(super) fn node(&self, node: usize) -> &Bounds {
        &self.nodes[node]
    }

    /// A facet in the order of the tree: its place in the mesh, its corners and its box.
    pub(super) fn facet(&self, at: usize) -> (usize, &Corners, &Bounds) {
        (
            self.facets[at] as usize,
            &self.corners[at],
            &self.bounds[at],
        )
    }
}

/// Places of the facets, in the order in which the curve passes their middles.
fn along_the_curve(facets: &[Corners]) -> Vec<u32> {
    let all = facets
        .iter()
        .map(Bounds::around)
        .fold(Bounds::NOTHING, |all, one| all.with(&one));
    let extent = (0..3).fold(0.0, |widest: f64, axis| {
        widest.max(all.high[axis] - all.low[axis])
    });
    let steps = f64::from((1u32 << BITS_AN_AXIS) - 1);
    // Cubes, not boxes as long as the part: so leaves come out compact. The sum of the corners
    // is thrice the middle. A conversion from a float saturates, so no value is out of place.
    let scale = if extent > 0.0 {
        steps / (3.0 * extent)
    } else {
        0.0
    };
    let mut keys: Vec<u64> = facets
        .iter()
        .zip(0u64..)
        .map(|([a, b, c], place)| {
            let step = |axis: usize| (a[axis] + b[axis] + c[axis] - 3.0 * all.low[axis]) * scale;
            let curve = (0..3).fold(0, |key, axis| key | spread(step(axis) as u64) << axis);
            curve << 32 | place
        })
        .collect();
    keys.sort_unstable();
    keys.into_iter().map(|key| key as u32).collect()
}

/// The bits of a step along one axis, two places left free after each.
fn spread(step: u64) -> u64 {
    let step = step.min((1 << BITS_AN_AXIS) - 1);
    (0..BITS_AN_AXIS).fold(0, |bits, bit| bits | (step >> bit & 1) << (3 * bit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::sync::Mutex;

    /// Triangles that stand anywhere; the tree asks for no closed surface.
    fn soup(most: usize) -> impl Strategy<Value = Mesh> {
        let coordinates = prop::collection::vec(-5.0..5.0f64, 0..most * 6);
        coordinates.prop_map(|numbers| {
            let mut mesh = Mesh::default();
            for six in numbers.chunks_exact(6) {
                let [x, y, z] = [six[0], six[1], six[2]];
                let a = mesh.add(x, y, z);
                mesh.add(x + six[3] / 3.0, y, z + six[4] / 5.0);
                let c = mesh.add(x, y + six[5] / 3.0, z);
                mesh.triangles.push([a, a + 1, c]);
            }
            mesh
        })
    }

    /// Pairs whose boxes share a point, each compared with each.
    fn by_hand(mesh: &Mesh) -> Vec<[usize; 2]> {
        let boxes: Vec<Bounds> = mesh
            .facets()
            .map(|corners| Bounds::around(&corners))
            .collect();
        let pairs = (0..boxes.len()).flat_map(|i| (i + 1..boxes.len()).map(move |j| [i, j]));
        pairs.filter(|[i, j]| boxes[*i].meets(&boxes[*j])).collect()
    }

    proptest! {
        #[test]
        fn prop_every_pair_of_meeting_boxes_is_asked_for_once(mesh in soup(90)) {
            let tree = FacetTree::new(&mesh);
            let asked = Mutex::new(Vec::new());
            let note = |pair: [usize; 2], _: [&Corners; 2]| {
                asked.lock().unwrap().push(pair);
                false
            };
            prop_assert!(!tree.any_own_pair(note));
            let mut own: Vec<[usize; 2]> = std::mem::take(&mut *asked.lock().unwrap())
                .into_iter()
                .map(|[i, j]| [i.min(j), i.max(j)])
                .collect();
            own.sort_unstable();
            prop_assert_eq!(own, by_hand(&mesh));
        }
    }
}
