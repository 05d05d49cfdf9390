//! A part's file, read back and proved sound.
//!
//! Nothing is believed of a mesh until it has been rounded to the 32-bit floats that the file
//! holds: then equal corners are welded, and every edge must have exactly two facets that run
//! along it in opposite directions.

use super::kernel::Operand;
use super::mesh::Mesh;
use nalgebra::Point3;
use std::collections::BTreeMap;
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
    let facets = stl_io::create_stl_reader(&mut Cursor::new(&bytes))
        .and_then(Iterator::collect::<Result<Vec<_>, _>>)
        .map_err(|error| Unsound::Unreadable(error.to_string()))?;
    let corners: Vec<[[f32; 3]; 3]> = facets
        .iter()
        .map(|facet| facet.vertices.map(|v| v.0))
        .collect();
    let (mesh, places) = weld(&corners);
    each_facet_has_area(&mesh)?;
    let edges = each_edge_has_two_sides(&mesh, &places)?;
    let bodies = count_bodies(&mesh);
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
    let operand = Operand::new(&mesh).map_err(|refused| Unsound::Unreadable(refused.0))?;
    if operand.meets_itself() {
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
        triangles: corners.len(),
        volume_mm3,
        area_mm2: mesh.area_mm2(),
        size_mm: [0, 1, 2].map(|axis| high[axis] - low_mm[axis]),
        low_mm,
        bytes,
        mesh,
    })
}

/// Equal corners become one; also gives the corners' 32-bit places.
fn weld(facets: &[[[f32; 3]; 3]]) -> (Mesh, Vec<[f32; 3]>) {
    let mut order: Vec<(u32, [u32; 3])> = facets
        .iter()
        .flatten()
        .enumerate()
        .map(|(at, place)| (at as u32, place.map(f32::to_bits)))
        .collect();
    order.sort_unstable_by_key(|(at, bits)| (*bits, *at));
    let mut index = vec![0u32; order.len()];
    let mut places: Vec<[f32; 3]> = Vec::new();
    let mut last = None;
    for (at, bits) in order {
        if last != Some(bits) {
            places.push(bits.map(f32::from_bits));
            last = Some(bits);
        }
        index[at as usize] = (places.len() - 1) as u32;
    }
    let mesh = Mesh {
        points: places
            .iter()
            .map(|p| Point3::from(p.map(f64::from)))
            .collect(),
        triangles: index.chunks_exact(3).map(|t| [t[0], t[1], t[2]]).collect(),
    };
    (mesh, places)
}

fn each_facet_has_area(mesh: &Mesh) -> Result<(), Unsound> {
    let flat = |(facet, [a, b, c]): (usize, [Point3<f64>; 3])| {
        ((b - a).cross(&(c - a)).norm_squared() == 0.0).then_some(facet)
    };
    match mesh.facets().enumerate().find_map(flat) {
        Some(facet) => Err(Unsound::Collapsed(facet)),
        None => Ok(()),
    }
}

/// Gives the number of edges.
fn each_edge_has_two_sides(mesh: &Mesh, places: &[[f32; 3]]) -> Result<usize, Unsound> {
    let mut sides: Vec<(u32, u32, bool)> = Vec::with_capacity(mesh.triangles.len() * 3);
    for [a, b, c] in &mesh.triangles {
        for (from, to) in [(*a, *b), (*b, *c), (*c, *a)] {
            sides.push((from.min(to), from.max(to), from < to));
        }
    }
    sides.sort_unstable();
    let mut edges = 0;
    for edge in sides.chunk_by(|x, y| (x.0, x.1) == (y.0, y.1)) {
        let forth = edge.iter().filter(|side| side.2).count();
        let back = edge.len() - forth;
        if (forth, back) != (1, 1) {
            let ends = [places[edge[0].0 as usize], places[edge[0].1 as usize]];
            return Err(Unsound::Open { ends, forth, back });
        }
        edges += 1;
    }
    Ok(edges)
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
    let leaders: BTreeMap<u32, ()> = mesh
        .triangles
        .iter()
        .map(|facet| (find(&mut leader, facet[0]), ()))
        .collect();
    leaders.len()
}
