//! Stretches of a solid that no other solid of its part reaches, kept out of the booleans and
//! sewn back in afterwards.
//!
//! A thread has nearly all facets of a screw, and a boolean takes its time for each of them,
//! though it changes only the head. So a solid is cut at heights at which a ring of its edges
//! lies level: the crowded stretch between two rings is taken out, flat lids close what is left,
//! and the booleans work on that. Where the lids come out of the booleans with the rings as they
//! went in, they are exchanged for the stretch. Nothing else can have become of it: a connected
//! surface that meets no other surface of the part is kept or dropped as one.
//!
//! Everything is in the part's print frame, in mm; stretches lie between two heights.

use super::mesh::Mesh;
use super::orientation::turn;
use crate::assembly::{Contour, ThreadZone};
use crate::units::Length;
use nalgebra::Point3;
use std::collections::{BTreeMap, BTreeSet};

/// A stretch of fewer facets is not worth a seam. Guess: a boolean takes about a microsecond
/// for each facet, and a seam about a hundred.
const LEAST_FACETS: usize = 400;

/// Room that a stretch must have around it, in mm: far more than the kernel moves anything,
/// far less than a gap. Guess.
const ROOM: f64 = 0.01;

/// How far beyond the crests of a tapped hole a ring is laid through its countersink, in mm.
/// Derived: a countersink goes on by half a millimetre, and the ring must lie inside the part.
const BEYOND_CRESTS: f64 = 0.1;

/// A contour with a corner on each of its countersinks just beyond the thread's crests: the
/// surface is the same, and a stretch may end at the ring.
pub(super) fn ringed(contour: &Contour) -> Contour {
    let mut corners: Vec<(Length, Length)> = Vec::new();
    for corner in &contour.corners {
        let ring = corners
            .last()
            .and_then(|last| ring_between(contour, *last, *corner));
        corners.extend(ring);
        corners.push(*corner);
    }
    Contour {
        corners,
        threads: contour.threads.clone(),
    }
}

/// Where a line of a contour passes the crests of a tapped hole that it is the countersink of.
fn ring_between(
    contour: &Contour,
    low: (Length, Length),
    high: (Length, Length),
) -> Option<(Length, Length)> {
    let holds = |zone: &&ThreadZone| zone.z[0] <= low.0 && high.0 <= zone.z[1];
    let form = &contour.threads.iter().find(holds)?.form;
    let beyond = Length::mm(BEYOND_CRESTS);
    let radius = form.thread.major() / 2.0 + form.shift + beyond;
    let share = (radius - low.1) / (high.1 - low.1);
    let passes = low.1.min(high.1) < radius - beyond && radius + beyond < low.1.max(high.1);
    (passes && low.0 < high.0 && !form.external).then(|| (low.0 + (high.0 - low.0) * share, radius))
}

/// The heights, and the distances from the z axis, between which something lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reach {
    z: [f64; 2],
    radius: [f64; 2],
}

impl Reach {
    const NOTHING: Self = Self {
        z: [f64::INFINITY, f64::NEG_INFINITY],
        radius: [f64::INFINITY, f64::NEG_INFINITY],
    };

    /// Of each facet of a mesh.
    pub(super) fn of_facets(mesh: &Mesh) -> Vec<Self> {
        mesh.facets().map(|facet| Self::of(&facet)).collect()
    }

    fn of(facet: &[Point3<f64>; 3]) -> Self {
        let [a, b, c] = facet;
        let far = |p: &Point3<f64>| (p.x * p.x + p.y * p.y).sqrt();
        let turns = [[a, b], [b, c], [c, a]].map(|[p, q]| p.x * q.y - q.x * p.y);
        // A facet of an end face may cover the axis though none of its edges comes near it.
        let around = turns.iter().all(|t| *t >= 0.0) || turns.iter().all(|t| *t <= 0.0);
        let nearest = [[a, b], [b, c], [c, a]].map(|[p, q]| edge_from_axis(p, q));
        Self {
            z: [a.z.min(b.z).min(c.z), a.z.max(b.z).max(c.z)],
            radius: [
                if around {
                    0.0
                } else {
                    nearest.into_iter().fold(f64::INFINITY, f64::min)
                },
                far(a).max(far(b)).max(far(c)),
            ],
        }
    }

    fn with(self, other: Self) -> Self {
        let both = |a: [f64; 2], b: [f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
        Self {
            z: both(self.z, other.z),
            radius: both(self.radius, other.radius),
        }
    }

    fn near(&self, other: &Self) -> bool {
        let close = |a: [f64; 2], b: [f64; 2]| a[0] <= b[1] + ROOM && b[0] <= a[1] + ROOM;
        close(self.z, other.z) && close(self.radius, other.radius)
    }
}

/// Least distance of an edge from the z axis.
fn edge_from_axis(p: &Point3<f64>, q: &Point3<f64>) -> f64 {
    let (x, y) = (q.x - p.x, q.y - p.y);
    let length = x * x + y * y;
    let share = if length > 0.0 {
        (-(p.x * x + p.y * y) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (x, y) = (p.x + share * x, p.y + share * y);
    (x * x + y * y).sqrt()
}

/// A stretch that was taken out of a solid.
#[derive(Debug)]
pub(super) struct Spared {
    /// Its facets, as they are in the solid.
    stretch: Mesh,
    /// The edges along which it was cut, as pairs of its corners in the direction in which the
    /// lids of what was left run along them.
    seams: Vec<[u32; 2]>,
}

/// Takes the longest stretch out of a solid that none of `others` comes near. Gives what is
/// left, closed by flat lids, and the stretch; `None` if there is none worth it.
pub(super) fn split(mesh: &Mesh, own: &[Reach], others: &[&[Reach]]) -> Option<(Mesh, Spared)> {
    if own.len() < LEAST_FACETS {
        return None;
    }
    let slabs: Vec<(bool, Vec<u32>)> = slabs(own)
        .into_iter()
        .map(|(reach, facets)| (free(reach, others), facets))
        .collect();
    let stretch = slabs
        .chunk_by(|below, above| below.0 == above.0)
        .filter(|run| run[0].0)
        .map(|run| run.iter().flat_map(|slab| slab.1.iter().copied()).collect())
        // One stretch a solid, the longest: every seam costs a pass over all facets of the part.
        .max_by_key(Vec::<u32>::len)?;
    // What nothing reaches at all is a body of its own, which has no ring to be cut at.
    if stretch.len() < LEAST_FACETS || stretch.len() == own.len() {
        return None;
    }
    let mut out = vec![false; own.len()];
    for facet in &stretch {
        out[*facet as usize] = true;
    }
    let pick = |taken: bool| -> Vec<[u32; 3]> {
        let facets = mesh.triangles.iter().zip(&out);
        facets
            .filter(|(_, out)| **out == taken)
            .map(|(facet, _)| *facet)
            .collect()
    };
    let (taken, mut left) = (pick(true), pick(false));
    let mut points = mesh.points.clone();
    let seams = seams(&left, &taken, mesh);
    for ring in rings(&seams)? {
        let z = points[ring[0][0] as usize].z;
        let centre = points.len() as u32;
        points.push(Point3::new(0.0, 0.0, z));
        let turns = |edge: &[u32; 2]| {
            let [from, to] = edge.map(|corner| &points[corner as usize]);
            turn([0, 1], [&points[centre as usize], from, to])
        };
        // A fan from the axis is a lid only if all of the ring is seen from there in one turn.
        // Exact signs say so, since a facet that is folded over would spoil the boolean.
        let way = turns(&ring[0]);
        let flat = |edge: &[u32; 2]| points[edge[0] as usize].z == z;
        if way == 0 || !ring.iter().all(|edge| flat(edge) && turns(edge) == way) {
            return None;
        }
        left.extend(ring.iter().map(|[from, to]| [*from, *to, centre]));
    }
    let (left, _) = compact(&points, &left);
    let (stretch, places) = compact(&points, &taken);
    let seams = seams
        .iter()
        .map(|edge| edge.map(|corner| places[corner as usize]))
        .collect();
    Some((left, Spared { stretch, seams }))
}

/// Sews a stretch back into a part; `cut` if its solid was taken away from the part. `None` if
/// the lids are not all there.
pub(super) fn sew(part: &Mesh, spared: &Spared, cut: bool) -> Option<Mesh> {
    let way = |[from, to]: [u32; 2]| if cut { [to, from] } else { [from, to] };
    let Spared { stretch, seams } = spared;
    let level: BTreeSet<u64> = seams
        .iter()
        .map(|edge| stretch.points[edge[0] as usize].z.to_bits())
        .collect();
    // Adding zero, so that a zero is one place whatever its sign.
    let place = |point: &Point3<f64>| [0, 1, 2].map(|axis| (point[axis] + 0.0).to_bits());
    let level_corner = |corner: u32| level.contains(&part.points[corner as usize].z.to_bits());
    let known: BTreeMap<[u64; 3], u32> = (0..part.points.len() as u32)
        .filter(|corner| level_corner(*corner))
        .map(|corner| (place(&part.points[corner as usize]), corner))
        .collect();
    let mut corners: Vec<Option<u32>> = vec![None; stretch.points.len()];
    for corner in seams.iter().flatten() {
        // To the last bit, or not at all: a corner that is merely near would leave a crack. Where
        // one is missing the part is made without this saving.
        let found = known.get(&place(&stretch.points[*corner as usize]))?;
        corners[*corner as usize] = Some(*found);
    }
    let seam: BTreeSet<[u32; 2]> = seams
        .iter()
        .map(|edge| way(edge.map(|corner| corners[corner as usize].unwrap_or_default())))
        .collect();
    // The kernel may have divided the lids otherwise than they went in, so they are found anew, as
    // what the rings enclose.
    let lids = lids(part, &seam)?;
    let mut sewn = Mesh {
        points: part.points.clone(),
        triangles: Vec::with_capacity(part.triangles.len() + stretch.triangles.len()),
    };
    let facets = part.triangles.iter().zip(0u32..);
    let stay = facets
        .filter(|(_, at)| !lids.contains(at))
        .map(|(facet, _)| *facet);
    sewn.triangles.extend(stay);
    let mut corner = |corner: u32| {
        *corners[corner as usize].get_or_insert_with(|| {
            sewn.points.push(stretch.points[corner as usize]);
            (sewn.points.len() - 1) as u32
        })
    };
    for [a, b, c] in &stretch.triangles {
        let [a, b, c] = [*a, *b, *c].map(&mut corner);
        sewn.triangles.push(if cut { [a, c, b] } else { [a, b, c] });
    }
    // The lids' centres are left over.
    Some(compact(&sewn.points, &sewn.triangles).0)
}

/// Level facets of a part within rings of edges; `None` if they leave the rings' planes.
fn lids(part: &Mesh, seam: &BTreeSet<[u32; 2]>) -> Option<BTreeSet<u32>> {
    let edges = |[a, b, c]: [u32; 3]| [[a, b], [b, c], [c, a]];
    let z = |corner: u32| part.points[corner as usize].z;
    let mut beside: BTreeMap<[u32; 2], u32> = BTreeMap::new();
    for (facet, at) in part.triangles.iter().zip(0u32..) {
        if z(facet[0]) == z(facet[1]) && z(facet[1]) == z(facet[2]) {
            beside.extend(edges(*facet).map(|edge| (edge, at)));
        }
    }
    let mut lids = BTreeSet::new();
    let mut open: Vec<[u32; 2]> = seam.iter().copied().collect();
    while let Some(edge) = open.pop() {
        let facet = *beside.get(&edge)?;
        if lids.insert(facet) {
            let around = edges(part.triangles[facet as usize]).into_iter();
            open.extend(
                around
                    .filter(|edge| !seam.contains(edge))
                    .map(|[from, to]| [to, from]),
            );
        }
    }
    Some(lids)
}

/// A solid's facets by the heights at which no facet passes, from the lowest to the highest.
fn slabs(facets: &[Reach]) -> Vec<(Reach, Vec<u32>)> {
    let mut order: Vec<u32> = (0..facets.len() as u32).collect();
    order.sort_by(|a, b| {
        let [a, b] = [a, b].map(|facet| facets[*facet as usize].z);
        a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1]))
    });
    let mut slabs: Vec<(Reach, Vec<u32>)> = Vec::new();
    for facet in order {
        let reach = facets[facet as usize];
        match slabs.last_mut() {
            // Level facets close what is below them, or open what is above.
            Some((slab, held))
                if reach.z[0] < slab.z[1] || reach.z[1] == slab.z[1] || slab.z[0] == slab.z[1] =>
            {
                *slab = slab.with(reach);
                held.push(facet);
            }
            _ => slabs.push((Reach::NOTHING.with(reach), vec![facet])),
        }
    }
    slabs
}

/// Whether nothing comes near.
fn free(slab: Reach, others: &[&[Reach]]) -> bool {
    others
        .iter()
        .all(|other| !other.iter().any(|facet| slab.near(facet)))
}

/// Edges between what is left and what was taken, against the direction of what is left.
fn seams(left: &[[u32; 3]], taken: &[[u32; 3]], mesh: &Mesh) -> Vec<[u32; 2]> {
    let level =
        |[from, to]: &[u32; 2]| mesh.points[*from as usize].z == mesh.points[*to as usize].z;
    let edges = |facets: &[[u32; 3]]| -> BTreeSet<[u32; 2]> {
        let edges = facets
            .iter()
            .flat_map(|[a, b, c]| [[*a, *b], [*b, *c], [*c, *a]]);
        edges.filter(level).collect()
    };
    let taken = edges(taken);
    // The edge of what was taken runs against that of what is left, as a lid's edge must.
    let against = edges(left).into_iter().map(|[from, to]| [to, from]);
    against.filter(|edge| taken.contains(edge)).collect()
}

/// Edges put in rings, one for each height; `None` if they do not make one ring each.
fn rings(seams: &[[u32; 2]]) -> Option<Vec<Vec<[u32; 2]>>> {
    let mut next: BTreeMap<u32, u32> = seams.iter().map(|[from, to]| (*from, *to)).collect();
    if next.len() != seams.len() {
        return None;
    }
    let mut rings = Vec::new();
    while let Some((first, _)) = next.first_key_value() {
        let (first, mut ring) = (*first, Vec::new());
        let mut from = first;
        while let Some(to) = next.remove(&from) {
            ring.push([from, to]);
            from = to;
        }
        if from != first {
            return None;
        }
        rings.push(ring);
    }
    Some(rings)
}

/// A mesh of some facets with no more corners than they have; also gives where each corner
/// went, or any number for one that no facet has.
fn compact(points: &[Point3<f64>], facets: &[[u32; 3]]) -> (Mesh, Vec<u32>) {
    let mut places = vec![u32::MAX; points.len()];
    let mut mesh = Mesh::default();
    for facet in facets {
        let corners = facet.map(|corner| {
            let place = &mut places[corner as usize];
            if *place == u32::MAX {
                *place = mesh.points.len() as u32;
                mesh.points.push(points[corner as usize]);
            }
            *place
        });
        mesh.triangles.push(corners);
    }
    (mesh, places)
}
