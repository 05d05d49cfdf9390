//! A part's file, read back and proved sound.
//!
//! Nothing is believed of a mesh until it has been rounded to the 32-bit floats that the file
//! holds: then equal corners are welded, and every edge must have exactly two facets that run
//! along it in opposite directions.

use super::crossing;
use super::mesh::Mesh;
use super::weld::{Place, weld};
use std::io::Cursor;

/// A part's binary STL and what was measured on it after reading it back.
#[derive(Clone, Debug)]
pub struct Written {
    /// The file.
    pub bytes: Vec<u8>,
    /// Number of facets.
    pub triangles: usize,
    /// Enclosed volume in cubic millimetres.
    pub volume_mm3: f64,
    /// Area of the surface in square millimetres.
    pub area_mm2: f64,
    /// Size of the bounding box in mm.
    pub size_mm: [f64; 3],
    /// Lowest corner of the bounding box in mm.
    pub low_mm: [f64; 3],
    /// The welded surface.
    pub mesh: Mesh,
}

/// Why a written mesh is not sound. This is a defect of the program, not of the kit.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unsound {
    /// The bytes are not a binary STL.
    #[error("the file cannot be read back: {0}")]
    Unreadable(String),
    /// A facet has two equal corners, or no area.
    #[error("facet {0} is collapsed")]
    Collapsed(usize),
    /// An edge does not have exactly one facet on each side.
    #[error("the edge from ({}, {}, {}) to ({}, {}, {}) has {forth} and {back} facets", .ends[0][0], .ends[0][1], .ends[0][2], .ends[1][0], .ends[1][1], .ends[1][2])]
    Open {
        /// Its ends.
        ends: [[f32; 3]; 2],
        /// Facets that run along it one way.
        forth: usize,
        /// Facets that run along it the other way.
        back: usize,
    },
    /// The surface falls into several bodies.
    #[error("the surface falls into {0} bodies")]
    Bodies(usize),
    /// The surface encloses no volume, or faces inwards.
    #[error("the volume is {0} mm3")]
    Volume(f64),
    /// The number of ways through the part is not the designed one.
    #[error("the part has {found} ways through it instead of {expected}")]
    Genus {
        /// On the mesh.
        found: i64,
        /// By design.
        expected: usize,
    },
    /// Facets cut each other.
    #[error("the surface cuts itself")]
    CutsItself,
}

/// Reads a binary STL back and proves it sound.
///
/// # Errors
///
/// The first fault found; see [`Unsound`].
pub fn read_back(bytes: Vec<u8>, genus: usize) -> Result<Written, Unsound> {
    let (mesh, places) = weld(&corners(&bytes)?);
    // The second is right only where facets have an area, and is heard only then.
    let (volume_mm3, meets_itself) = rayon::join(
        || closed(&mesh, &places, genus),
        || crossing::meets_itself(&mesh),
    );
    let volume_mm3 = volume_mm3?;
    if meets_itself {
        return Err(Unsound::CutsItself);
    }
    let bound = |pick: fn(f64, f64) -> f64, start: f64| {
        [0, 1, 2].map(|axis| mesh.points.iter().map(|p| p[axis]).fold(start, pick))
    };
    let (low_mm, high) = (
        bound(f64::min, f64::INFINITY),
        bound(f64::max, f64::NEG_INFINITY),
    );
    Ok(Written {
        triangles: mesh.triangles.len(),
        volume_mm3,
        area_mm2: mesh.area_mm2(),
        size_mm: [0, 1, 2].map(|axis| high[axis] - low_mm[axis]),
        low_mm,
        bytes,
        mesh,
    })
}

/// The facets of a file, each with three corners of its own.
fn corners(bytes: &[u8]) -> Result<Vec<[Place; 3]>, Unsound> {
    let unreadable = |error: std::io::Error| Unsound::Unreadable(error.to_string());
    stl_io::create_stl_reader(&mut Cursor::new(bytes))
        .map_err(unreadable)?
        .enumerate()
        .map(|(at, facet)| {
            let corners = facet.map_err(unreadable)?.vertices.map(|corner| corner.0);
            if corners.as_flattened().iter().all(|value| value.is_finite()) {
                Ok(corners)
            } else {
                Err(Unsound::Unreadable(format!(
                    "facet {at} has a corner that is not a finite number"
                )))
            }
        })
        .collect()
}

/// Proves that a surface is one closed body of this genus, and gives its volume in cubic
/// millimetres.
fn closed(mesh: &Mesh, places: &[Place], genus: usize) -> Result<f64, Unsound> {
    if let Some(facet) = mesh.facets().position(|facet| !crossing::has_area(&facet)) {
        return Err(Unsound::Collapsed(facet));
    }
    let edges = each_edge_has_two_sides(mesh, places)?;
    let bodies = count_bodies(mesh);
    if bodies != 1 {
        return Err(Unsound::Bodies(bodies));
    }
    let volume_mm3 = mesh.volume_mm3();
    if volume_mm3 <= 0.0 {
        return Err(Unsound::Volume(volume_mm3));
    }
    let euler = mesh.points.len() as i64 - edges as i64 + mesh.triangles.len() as i64;
    let found = 1 - euler / 2;
    if found != genus as i64 {
        return Err(Unsound::Genus {
            found,
            expected: genus,
        });
    }
    Ok(volume_mm3)
}

/// Gives the number of edges.
fn each_edge_has_two_sides(mesh: &Mesh, places: &[Place]) -> Result<usize, Unsound> {
    let mut edges = 0;
    let mut sides = Sides::of(mesh);
    for (low, sides) in sides.by_lower_end() {
        sides.sort_unstable();
        for edge in sides.chunk_by(|x, y| x.0 == y.0) {
            let forth = edge.iter().filter(|side| side.1).count();
            let back = edge.len() - forth;
            if (forth, back) != (1, 1) {
                let ends = [places[low], places[edge[0].0 as usize]];
                return Err(Unsound::Open { ends, forth, back });
            }
            edges += 1;
        }
    }
    Ok(edges)
}

/// The sides of all facets, gathered by the lower-numbered end of their edge.
struct Sides {
    /// Where those of each corner start, and where the last end.
    starts: Vec<u32>,
    /// The higher-numbered end, and whether the facet runs towards it.
    sides: Vec<(u32, bool)>,
}

impl Sides {
    /// Counts first, then puts each side in its place: a sort of all sides takes several times
    /// as long.
    fn of(mesh: &Mesh) -> Self {
        let each = || {
            let edges = |[a, b, c]: &[u32; 3]| [(*a, *b), (*b, *c), (*c, *a)];
            mesh.triangles.iter().flat_map(edges)
        };
        let mut starts = vec![0u32; mesh.points.len() + 1];
        for (from, to) in each() {
            starts[from.min(to) as usize + 1] += 1;
        }
        for corner in 1..starts.len() {
            starts[corner] += starts[corner - 1];
        }
        let mut next = starts.clone();
        let mut sides = vec![(0, false); mesh.triangles.len() * 3];
        for (from, to) in each() {
            let next = &mut next[from.min(to) as usize];
            sides[*next as usize] = (from.max(to), from < to);
            *next += 1;
        }
        Self { starts, sides }
    }

    fn by_lower_end(&mut self) -> impl Iterator<Item = (usize, &mut [(u32, bool)])> {
        let mut rest = self.sides.as_mut_slice();
        self.starts.windows(2).enumerate().map(move |(low, ends)| {
            let (here, after) =
                std::mem::take(&mut rest).split_at_mut((ends[1] - ends[0]) as usize);
            rest = after;
            (low, here)
        })
    }
}

fn count_bodies(mesh: &Mesh) -> usize {
    let mut leader: Vec<u32> = (0..mesh.points.len() as u32).collect();
    fn find(leader: &mut [u32], mut at: u32) -> u32 {
        while leader[at as usize] != at {
            leader[at as usize] = leader[leader[at as usize] as usize];
            at = leader[at as usize];
        }
        at
    }
    for [a, b, c] in &mesh.triangles {
        for other in [b, c] {
            let (x, y) = (find(&mut leader, *a), find(&mut leader, *other));
            leader[x.max(y) as usize] = x.min(y);
        }
    }
    // Every corner belongs to a facet, so every corner that leads itself leads a body.
    (0..)
        .zip(&leader)
        .filter(|(at, leader)| at == *leader)
        .count()
}
