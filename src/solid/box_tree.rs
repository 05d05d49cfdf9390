//! A mesh to a tree of boxes around its facets, which finds facets that may meet.
//!
//! Facets are put in the order in which a Z-shaped curve through space passes their middles
//! (Morton, "A computer oriented geodetic data base", 1966), and neighbours on the curve share a
//! leaf. The order depends on the mesh alone, so the same mesh always gives the same tree. What
//! the boxes keep apart is apart, see [`StepBox`].

use super::mesh::Mesh;
use super::step_box::{StepBox, Steps};
use rayon::prelude::*;
use std::ops::Range;

/// Facets that share a leaf at the most. Guess: with more of them too many pairs are compared,
/// with fewer the tree itself costs more than it spares.
const FACETS_A_LEAF: usize = 4;

/// Steps of the curve along an axis are 2 to this power: three axes and a facet's number then
/// fit one 64-bit key. On a part of 100 mm a step is 0.1 mm, about the size of a facet.
const BITS_AN_AXIS: u32 = 10;

/// Subtrees that are searched side by side. Guess: many times the cores, so that none is idle
/// for long while another works on a crowded corner of the mesh.
const SUBTREES: usize = 64;

/// The facets of a mesh in a tree of boxes.
pub(super) struct FacetTree {
    /// Facets by their place in the mesh, leaf by leaf.
    facets: Vec<u32>,
    /// Their boxes, in the same order.
    boxes: Vec<StepBox>,
    /// Boxes of the nodes; those of node k's children are at 2k + 1 and 2k + 2, and the last
    /// half of all nodes, a power of two, are the leaves.
    nodes: Vec<StepBox>,
    /// Where each leaf starts in that order, and where the last ends.
    starts: Vec<u32>,
}

impl FacetTree {
    /// A tree over all facets of a mesh.
    pub(super) fn new(mesh: &Mesh) -> Self {
        let steps = Steps::over(&mesh.points);
        let places: Vec<_> = mesh.points.iter().map(|point| steps.place(point)).collect();
        let around = |facet: &[u32; 3]| StepBox::around(facet.map(|at| places[at as usize]));
        let boxes: Vec<StepBox> = mesh.triangles.iter().map(around).collect();
        let facets = along_the_curve(&boxes);
        let leaves = facets.len().div_ceil(FACETS_A_LEAF).next_power_of_two();
        let start = |leaf: usize| (leaf * facets.len() / leaves) as u32;
        let mut tree = Self {
            starts: (0..=leaves).map(start).collect(),
            boxes: facets.iter().map(|at| boxes[*at as usize]).collect(),
            facets,
            nodes: vec![StepBox::NOTHING; 2 * leaves - 1],
        };
        for node in (0..tree.nodes.len()).rev() {
            tree.nodes[node] = match tree.children(node) {
                Some([left, right]) => tree.nodes[left].with(&tree.nodes[right]),
                None => tree.boxes[tree.held(node)]
                    .iter()
                    .fold(StepBox::NOTHING, |all, one| all.with(one)),
            };
        }
        tree
    }

    /// Whether any two facets, their boxes sharing a point, answer to `meet`, which is given their
    /// places in the mesh. Each pair is asked for once at the most, from several threads; some are
    /// whose boxes are a step apart.
    pub(super) fn any_pair(&self, meet: impl Fn([usize; 2]) -> bool + Sync) -> bool {
        let level = SUBTREES.min(self.leaves());
        let subtrees = level - 1..2 * level - 1;
        subtrees.clone().into_par_iter().any(|node| {
            self.own(node, &meet)
                || (node + 1..subtrees.end).any(|other| self.cross(node, other, &meet))
        })
    }

    /// Pairs within one subtree.
    fn own(&self, node: usize, meet: &impl Fn([usize; 2]) -> bool) -> bool {
        if let Some([left, right]) = self.children(node) {
            return self.own(left, meet) || self.own(right, meet) || self.cross(left, right, meet);
        }
        let held = self.held(node);
        held.clone()
            .any(|a| self.meets_any(a, a + 1..held.end, meet))
    }

    /// Pairs of one facet from each of two subtrees.
    fn cross(&self, node: usize, far: usize, meet: &impl Fn([usize; 2]) -> bool) -> bool {
        if !self.nodes[node].meets(&self.nodes[far]) {
            return false;
        }
        match (self.children(node), self.children(far)) {
            (Some([left, right]), Some([far_left, far_right])) => {
                self.cross(left, far_left, meet)
                    || self.cross(left, far_right, meet)
                    || self.cross(right, far_left, meet)
                    || self.cross(right, far_right, meet)
            }
            // All leaves are on one level, and both subtrees have their tops on one.
            _ => {
                let (held, bounds) = (self.held(far), &self.nodes[far]);
                self.held(node)
                    .any(|a| self.boxes[a].meets(bounds) && self.meets_any(a, held.clone(), meet))
            }
        }
    }

    /// Pairs of one facet and some others.
    #[inline]
    fn meets_any(
        &self,
        a: usize,
        others: Range<usize>,
        meet: &impl Fn([usize; 2]) -> bool,
    ) -> bool {
        let (bounds, facet) = (&self.boxes[a], self.facets[a] as usize);
        let others = self.boxes[others.clone()].iter().zip(&self.facets[others]);
        for (other, far) in others {
            if bounds.meets(other) && meet([facet, *far as usize]) {
                return true;
            }
        }
        false
    }

    fn leaves(&self) -> usize {
        self.starts.len() - 1
    }

    /// Nodes below a node; `None` for a leaf.
    fn children(&self, node: usize) -> Option<[usize; 2]> {
        (node < self.nodes.len() / 2).then_some([2 * node + 1, 2 * node + 2])
    }

    /// What a leaf holds, in the order of the tree.
    #[inline]
    fn held(&self, leaf: usize) -> Range<usize> {
        let at = leaf - self.nodes.len() / 2;
        self.starts[at] as usize..self.starts[at + 1] as usize
    }
}

/// Places of the facets, in the order in which the curve passes their middles.
fn along_the_curve(boxes: &[StepBox]) -> Vec<u32> {
    let mut keys: Vec<u64> = boxes
        .iter()
        .zip(0u64..)
        .map(|(one, place)| {
            let [x, y, z] = one.middle().coarse(BITS_AN_AXIS).map(spread);
            (x | y << 1 | z << 2) << 32 | place
        })
        .collect();
    keys.sort_unstable();
    keys.into_iter().map(|key| key as u32).collect()
}

/// The bits of a step along one axis, two places left free after each: the upper half of every
/// run of bits is moved up, until runs are single bits.
fn spread(step: u64) -> u64 {
    let parted = |bits: u64, shift: u32, runs: u64| (bits | bits << shift) & runs;
    let halves = parted(step, 16, 0x0300_00ff);
    let quarters = parted(halves, 8, 0x0300_f00f);
    let pairs = parted(quarters, 4, 0x030c_30c3);
    parted(pairs, 2, 0x0924_9249)
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

    /// Pairs whose exact boxes share a point, each compared with each.
    fn by_hand(mesh: &Mesh) -> Vec<[usize; 2]> {
        let facets: Vec<_> = mesh.facets().collect();
        let end = |at: usize, axis: usize, pick: fn(f64, f64) -> f64| {
            let [a, b, c] = facets[at].map(|corner| corner[axis]);
            pick(pick(a, b), c)
        };
        let reaches =
            |i: usize, j: usize, axis: usize| end(i, axis, f64::min) <= end(j, axis, f64::max);
        let pairs = (0..facets.len()).flat_map(|i| (i + 1..facets.len()).map(move |j| [i, j]));
        pairs
            .filter(|[i, j]| (0..3).all(|axis| reaches(*i, *j, axis) && reaches(*j, *i, axis)))
            .collect()
    }

    proptest! {
        #[test]
        fn prop_every_pair_of_meeting_boxes_is_asked_for_and_no_pair_twice(mesh in soup(90)) {
            let tree = FacetTree::new(&mesh);
            let asked = Mutex::new(Vec::new());
            let note = |[i, j]: [usize; 2]| {
                asked.lock().unwrap().push([i.min(j), i.max(j)]);
                false
            };
            prop_assert!(!tree.any_pair(note));
            let mut asked = asked.into_inner().unwrap();
            asked.sort_unstable();
            prop_assert!(asked.windows(2).all(|two| two[0] != two[1]));
            let meeting = by_hand(&mesh);
            let missed = meeting.iter().find(|pair| asked.binary_search(pair).is_err());
            prop_assert_eq!(missed, None);
            // A step is so small that boxes of this soup hardly ever stand within one.
            prop_assert!(asked.len() <= meeting.len() + 1);
        }
    }
}
