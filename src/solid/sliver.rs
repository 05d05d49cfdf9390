//! Facets too thin for 32 bits are taken out of a mesh.
//!
//! Where an edge of one solid passes within a rounding of a corner or an edge of another, a boolean
//! leaves facets that are right in 64 bits, and collapsed or turned over once a file's 32 have moved
//! their corners. A needle goes by making its short edge one corner, a cap by turning its long edge
//! about: the surface moves by no more than a few steps of a 32-bit number. Meshes without such
//! facets stay as they are, bit by bit.

use super::mesh::Mesh;
use nalgebra::{Point3, Vector3};

/// Facets lower than this many steps of a 32-bit number are taken out: rounding moves each of two
/// corners by up to half a step in three directions, 1.73 steps in all, and twice that is left.
const THIN_STEPS: f64 = 4.0;
/// A step of 32-bit numbers, as a share of the number, at the most.
const STEP: f64 = f32::EPSILON as f64;
/// Passes over a mesh: each takes out what the one before it has laid free.
const MOST_PASSES: usize = 8;

/// The same surface, within a few steps of a 32-bit number, without facets thinner than those.
/// What cannot be taken out stays, for the proof of the written file to find.
pub(super) fn without_slivers(mesh: Mesh) -> Mesh {
    let thin: Vec<usize> = (0..mesh.triangles.len())
        .filter(|facet| is_thin(corners(&mesh, mesh.triangles[*facet])))
        .collect();
    if thin.is_empty() {
        return mesh;
    }
    let mut surface = Surface::of(mesh);
    let mut thin = thin;
    for _ in 0..MOST_PASSES {
        let changed = thin.iter().filter(|facet| surface.mend(**facet)).count();
        thin = surface.thin();
        if changed == 0 || thin.is_empty() {
            break;
        }
    }
    surface.mesh()
}

type Facet = [Point3<f64>; 3];

fn corners(mesh: &Mesh, facet: [u32; 3]) -> Facet {
    facet.map(|corner| mesh.points[corner as usize])
}

fn normal([a, b, c]: &Facet) -> Vector3<f64> {
    (b - a).cross(&(c - a))
}

/// The lengths of the sides, each from a corner to the next.
fn sides([a, b, c]: &Facet) -> [f64; 3] {
    [(b - a).norm(), (c - b).norm(), (a - c).norm()]
}

/// How near to each other corners may be for rounding to swap them.
fn reach(facet: &Facet) -> f64 {
    let coordinates = facet.iter().flat_map(|corner| corner.iter());
    coordinates.fold(0.0f64, |most, value| most.max(value.abs())) * STEP * THIN_STEPS
}

fn is_thin(facet: Facet) -> bool {
    let longest = sides(&facet).into_iter().fold(0.0, f64::max);
    normal(&facet).norm() <= longest * reach(&facet)
}

/// A mesh whose facets are known by their corners.
struct Surface {
    mesh: Mesh,
    /// Facets that were taken out.
    gone: Vec<bool>,
    /// The facets at each corner; those gone may still be named.
    at: Vec<Vec<u32>>,
}

impl Surface {
    fn of(mesh: Mesh) -> Self {
        let mut at = vec![Vec::new(); mesh.points.len()];
        for (facet, corners) in mesh.triangles.iter().enumerate() {
            for corner in corners {
                at[*corner as usize].push(facet as u32);
            }
        }
        Self {
            gone: vec![false; mesh.triangles.len()],
            mesh,
            at,
        }
    }

    fn mesh(self) -> Mesh {
        let Self { mut mesh, gone, .. } = self;
        let kept = mesh.triangles.iter().zip(gone).filter(|(_, gone)| !gone);
        mesh.triangles = kept.map(|(facet, _)| *facet).collect();
        mesh
    }

    fn thin(&self) -> Vec<usize> {
        let facets = 0..self.mesh.triangles.len();
        let thin = |facet: &usize| !self.gone[*facet] && is_thin(self.corners(*facet));
        facets.filter(thin).collect()
    }

    fn corners(&self, facet: usize) -> Facet {
        corners(&self.mesh, self.mesh.triangles[facet])
    }

    /// The facets at a corner.
    fn around(&self, corner: u32) -> Vec<usize> {
        let facets = self.at[corner as usize].iter().map(|facet| *facet as usize);
        facets
            .filter(|facet| !self.gone[*facet] && self.mesh.triangles[*facet].contains(&corner))
            .collect()
    }

    /// The corners that an edge leads to from this one.
    fn neighbours(&self, corner: u32) -> Vec<u32> {
        let facets = self.around(corner).into_iter();
        let mut all: Vec<u32> = facets
            .flat_map(|facet| self.mesh.triangles[facet])
            .filter(|other| *other != corner)
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Takes a facet out if it is thin and that can be done; whether it was.
    fn mend(&mut self, facet: usize) -> bool {
        let shape = self.corners(facet);
        if self.gone[facet] || !is_thin(shape) {
            return false;
        }
        let named = self.mesh.triangles[facet];
        let lengths = sides(&shape);
        let mut order = [0, 1, 2];
        order.sort_by(|x: &usize, y: &usize| lengths[*x].total_cmp(&lengths[*y]));
        let [shortest, _, longest] = order;
        if lengths[shortest] <= reach(&shape) {
            let (a, b) = (named[shortest], named[(shortest + 1) % 3]);
            return self.merge(a, b) || self.merge(b, a);
        }
        self.turn_edge(facet, longest)
    }

    /// Makes two corners of one edge one, at the place of the first.
    fn merge(&mut self, kept: u32, lost: u32) -> bool {
        let (near, far) = (self.neighbours(kept), self.neighbours(lost));
        // More common neighbours than the two beside the edge: the surface would close on itself.
        if near.iter().filter(|corner| far.contains(corner)).count() != 2 {
            return false;
        }
        let around = self.around(lost);
        let moved = |facet: usize| {
            self.mesh.triangles[facet].map(|corner| if corner == lost { kept } else { corner })
        };
        let (ends, stay): (Vec<usize>, Vec<usize>) = around
            .into_iter()
            .partition(|facet| self.mesh.triangles[*facet].contains(&kept));
        let spoils = |facet: &usize| {
            let (old, new) = (self.corners(*facet), corners(&self.mesh, moved(*facet)));
            !is_thin(old) && (is_thin(new) || normal(&old).dot(&normal(&new)) <= 0.0)
        };
        if stay.iter().any(spoils) {
            return false;
        }
        let moved: Vec<[u32; 3]> = stay.iter().map(|facet| moved(*facet)).collect();
        for (facet, corners) in stay.into_iter().zip(moved) {
            self.mesh.triangles[facet] = corners;
            self.at[kept as usize].push(facet as u32);
        }
        for facet in ends {
            self.gone[facet] = true;
        }
        true
    }

    /// Joins the corner opposite to an edge of a facet with the one opposite to it in its
    /// neighbour, in place of that edge.
    fn turn_edge(&mut self, facet: usize, edge: usize) -> bool {
        let named = self.mesh.triangles[facet];
        let [a, b, c] = [named[edge], named[(edge + 1) % 3], named[(edge + 2) % 3]];
        let beside: Vec<usize> = self
            .around(a)
            .into_iter()
            .filter(|other| *other != facet && self.mesh.triangles[*other].contains(&b))
            .collect();
        let &[other] = beside.as_slice() else {
            return false;
        };
        let opposite = self.mesh.triangles[other];
        let Some(d) = opposite.into_iter().find(|d| *d != a && *d != b) else {
            return false;
        };
        if c == d || self.neighbours(c).contains(&d) {
            return false;
        }
        let turned = [[a, d, c], [d, b, c]];
        let old = self.corners(other);
        let new = turned.map(|facet| corners(&self.mesh, facet));
        let thin_before = 1 + usize::from(is_thin(old));
        let thin_after = new.iter().filter(|facet| is_thin(**facet)).count();
        let folds = |facet: &Facet| {
            !is_thin(*facet) && !is_thin(old) && normal(facet).dot(&normal(&old)) <= 0.0
        };
        if thin_after >= thin_before || new.iter().any(folds) {
            return false;
        }
        self.mesh.triangles[facet] = turned[0];
        self.mesh.triangles[other] = turned[1];
        self.at[d as usize].push(facet as u32);
        self.at[c as usize].push(other as u32);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
    use crate::solid;
    use crate::units::{Length, real};

    fn written(mesh: &Mesh, genus: usize) -> Result<f64, solid::Unsound> {
        let mut bytes = vec![0; 80];
        bytes.extend((mesh.triangles.len() as u32).to_le_bytes());
        for facet in mesh.facets() {
            bytes.extend([0; 12]);
            for value in facet.iter().flat_map(|corner| corner.iter()) {
                bytes.extend((*value as f32 + 0.0).to_le_bytes());
            }
            bytes.extend([0; 2]);
        }
        solid::read_back(bytes, genus).map(|written| written.volume_mm3)
    }

    /// A plug of many faces with a square hole across it, one wall of which stands beside an
    /// upright edge of the plug by `off`.
    fn plug(off: f64) -> Shape {
        let mm = Length::mm;
        let prism = |outline: Outline, half: f64| {
            Solid::Prism(vec![(mm(-half), outline.clone()), (mm(half), outline)])
        };
        // Hexagons have a corner on the x axis and others at half of that.
        let plug = prism(
            Outline::Hexagon {
                across_flats: mm(16.7),
            },
            13.3,
        );
        let corner = 16.7 / 3f64.sqrt() / 2.0;
        let (low, high) = (corner + off - 2.9, corner + off);
        let square = Outline::Polygon(vec![
            [mm(low), mm(-2.3)],
            [mm(high), mm(-2.3)],
            [mm(high), mm(3.1)],
            [mm(low), mm(3.1)],
        ]);
        let across = Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]);
        let placed = |pose: Pose, solid| Placed { pose, solid };
        Shape {
            base: placed(Pose::identity(), plug),
            within: Vec::new(),
            joined: Vec::new(),
            cut: vec![placed(across, prism(square, 30.0))],
            genus: 1,
        }
    }

    #[test]
    fn a_wall_within_a_rounding_of_an_edge_leaves_a_sound_file_on_either_side_of_it() {
        let mut differ = 0;
        let offs =
            (-9..0).flat_map(|power| [1.0, 2.3, 4.9].map(|of| of * real::power_of_ten(power)));
        for off in offs.flat_map(|off| [-off, off]) {
            let shape = plug(off);
            let mesh = solid::mesh(&shape, Length::mm(0.01)).expect("a mesh");
            let volume =
                written(&mesh, shape.genus).unwrap_or_else(|fault| panic!("{off}: {fault}"));
            // What is cut away is 5.4 high; the rest of the plug does not change.
            let exact = solid::solid_mesh(&shape.base.solid, Length::mm(0.01)).volume_mm3();
            differ += usize::from((volume - exact).abs() > 1.0);
        }
        assert_eq!(differ, 54);
    }

    #[test]
    fn a_mesh_without_slivers_stays_as_it_is() {
        let mesh = solid::mesh(&plug(0.3), Length::mm(0.01)).expect("a mesh");
        let (points, triangles) = (mesh.points.clone(), mesh.triangles.clone());
        let same = without_slivers(mesh);
        assert_eq!((same.points, same.triangles), (points, triangles));
    }

    #[test]
    fn needles_and_caps_go_and_the_surface_stays_closed() {
        // A tetrahedron whose lowest edge has a corner a rounding beside its middle (two caps),
        // and whose top is two corners a rounding apart (two needles).
        let tiny = 1e-7;
        let points = [
            [0.0, 0.0, 0.0],
            [10.0, 0.0, 0.0],
            [5.0, 8.0, 0.0],
            [5.0, 3.0, 7.0],
            [5.0, 3.0, 7.0 + tiny],
            [5.0, tiny, 0.0],
        ];
        let triangles = vec![
            // The foot, a fan on the sixth corner, and the cap between it and the front.
            [0, 5, 2],
            [5, 1, 2],
            [0, 1, 5],
            // The front, and the sides; the needles stand between front and right, left and right.
            [1, 0, 3],
            [1, 3, 4],
            [2, 1, 4],
            [0, 2, 4],
            [0, 4, 3],
        ];
        let outwards = triangles.into_iter().map(|[a, b, c]| [a, c, b]).collect();
        let mesh = Mesh {
            points: points.map(Point3::from).to_vec(),
            triangles: outwards,
        };
        let before = mesh.volume_mm3();
        assert!(before > 0.0);
        let mended = without_slivers(mesh);
        assert!(mended.facets().all(|facet| !is_thin(facet)));
        let volume = written(&mended, 0).expect("a sound file");
        assert!((volume - before).abs() < 1e-4, "{volume} {before}");
    }
}
