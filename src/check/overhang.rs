//! Faces that hang in the air while they are printed, found on the meshes.
//!
//! Facets that lean out by more than 45 degrees and do not lie on the bed are gathered into
//! connected areas. An area hangs on those of its edges from which a wall goes down. How far it
//! reaches from them, or spans between them, is what is judged. Flanks of threads are left
//! out: `layer-support` judges them; and so are round holes that are known to print. Lengths in mm, in the print frame.

use super::finding::{Outcome, Subject};
use super::rule::{Bodies, Judge, Judgement, Rule};
use crate::assembly::{Made, Outline, PartId, Placed, Shape, Solid, ThreadZone};
use crate::layout::proportions::{LONGEST_CEILING, ROUND_LYING_HOLE};
use crate::load::Case;
use crate::solid::Mesh;
use crate::thread::Thread;
use crate::units::{Angle, Length};
use nalgebra::{Point3, Vector3};
use rayon::prelude::*;

/// Rule: what hangs out of each part.
pub(super) const RULE: Rule = Rule {
    id: "overhang",
    about: "a face of a part hangs in the air while it is printed",
    why: "Plastic laid on air falls. A short ceiling between two walls holds like a bridge, and \
          a narrow ledge holds on its line; more than that droops or comes loose.",
    formula: "Connected areas that lean out by more than 45 degrees, but for the bed, the flanks \
              of threads, and round holes that lie down, are 6 mm wide at the most or have ribs \
              that carry their roof. An area held on two opposite sides spans at the most 8 mm, \
              as the ceiling of a teardrop does; one held on one side reaches out by 1.5 mm at \
              the most. Warns above, fails above thrice that.",
    source: "45 degrees and a reach of 0.5 to 1.5 mm: J. Adv. Ind. Tech. Appl. 2020; longest \
             bridge and round hole: common practice; thrice: guess",
    mend: "print that part with support, or another way up",
    judge: Judge::Bodies(judge, |_| Vec::new()),
};

/// Lean from upright beyond which a face wants to be held: 45 degrees, and half a degree for
/// the chords of cones that are drawn at 45.
const STEEPEST: Angle = Angle::degrees(45.5);
/// What chords and welded corners may add to the lean of a thread's flanks. Guess.
const FLANK_SLACK: Angle = Angle::degrees(3.0);
/// Facets nearer to the bed than this lie on it. Guess, far below a layer.
const ON_BED: f64 = 1e-3;
/// Longest bridge: the longest ceiling that a layout draws.
const SPAN: f64 = LONGEST_CEILING.as_mm();
/// Farthest reach of a ledge (a paper on overhangs: 0.5 to 1.5).
const REACH: f64 = 1.5;
/// Beyond so many times the limit a face fails. Guess.
const HOPELESS: f64 = 3.0;
/// Areas smaller than this are a line's matter, in mm2. Guess: a dot of a line's width.
const LEAST_AREA: f64 = 0.2;
/// From place to place in an area that is measured, in mm. Guess.
const GRAIN: f64 = 0.5;
/// Most steps along a facet's side: bounds the work, and the error to a 24th of the side.
const MOST_STEPS: u32 = 24;
/// Faces of threads and holes are sought this far around their radii. Guess, far above welded corners.
const AROUND: f64 = 0.1;
/// Cosine of the angle within which an axis stands upright; one less it, within which it lies.
const UPRIGHT_AXIS: f64 = 0.999;
/// A hole's wall faces its axis; its 45 degree mouths by 0.71 of it. Guess: a little less.
const LOOKS_AT_AXIS: f64 = 0.6;

fn judge(case: &Case<'_>, bodies: &Bodies<'_>) -> Vec<Judgement> {
    let parts = &case.design.assembly.parts;
    let each: Vec<Option<Judgement>> = parts
        .par_iter()
        .zip(bodies.meshes)
        .enumerate()
        .map(|(index, (part, mesh))| {
            (part.made == Made::Printed).then(|| judgement(case, PartId(index), mesh))
        })
        .collect();
    each.into_iter().flatten().collect()
}

pub(super) fn judgement(case: &Case<'_>, id: PartId, mesh: &Mesh) -> Judgement {
    let part = case.design.assembly.part(id);
    let name = &part.name;
    let areas = areas(mesh, &known(&part.shape));
    let worst = areas
        .iter()
        .filter(|area| area.size >= LEAST_AREA)
        .max_by(|a, b| a.excess().total_cmp(&b.excess()));
    let Some(worst) = worst else {
        return Judgement {
            outcome: Outcome::Pass,
            subject: Subject::Part(id),
            value: 0.0,
            limit: Some(REACH),
            unit: "mm",
            message: format!("no face of the {name} hangs out by more than 45 degrees"),
            mend: None,
            at: None,
        };
    };
    let excess = worst.excess();
    let (verb, limit) = worst.hold.limit();
    let [x, y, z] = worst.at;
    Judgement {
        outcome: if excess > HOPELESS {
            Outcome::Fail
        } else if excess > 1.0 {
            Outcome::Warn
        } else {
            Outcome::Pass
        },
        subject: Subject::Part(id),
        value: worst.hold.length(),
        limit: Some(limit),
        unit: "mm",
        message: format!(
            "a face of the {name} leans out by {:.0} degrees and {verb} {}, at most {} \
             ({:.0} by {:.0} mm, around x {x:.1}, y {y:.1}, z {z:.1} mm in its file)",
            worst.lean,
            case.length(Length::mm(worst.hold.length())),
            case.length(Length::mm(limit)),
            worst.across[0],
            worst.across[1]
        ),
        mend: Some(format!("print the {name} with support under that face").into()),
        at: None,
    }
}

/// How an area is held.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Hold {
    /// On two opposite sides, so far apart.
    Spans(f64),
    /// On one side, reaching out so far.
    Reaches(f64),
    /// On none: it begins in the air, and is so long.
    Floats(f64),
}

impl Hold {
    fn length(self) -> f64 {
        match self {
            Self::Spans(length) | Self::Reaches(length) | Self::Floats(length) => length,
        }
    }

    fn limit(self) -> (&'static str, f64) {
        match self {
            Self::Spans(_) => ("spans", SPAN),
            Self::Reaches(_) => ("reaches out by", REACH),
            Self::Floats(_) => ("begins in the air over", REACH),
        }
    }

    fn excess(self) -> f64 {
        self.length() / self.limit().1
    }

    /// This or another, whichever asks less.
    fn or(self, other: Self) -> Self {
        match other.excess() < self.excess() {
            true => other,
            false => self,
        }
    }
}

/// A connected area that leans out too far.
#[derive(Clone, Debug)]
struct Area {
    /// mm2.
    size: f64,
    /// Sides of the box around it, along x and y.
    across: [f64; 2],
    /// The place that is held worst.
    at: [f64; 3],
    /// Greatest lean from upright, in degrees.
    lean: f64,
    hold: Hold,
}

impl Area {
    fn excess(&self) -> f64 {
        self.hold.excess()
    }
}

/// Faces around an axis that are known to print, or are judged elsewhere.
struct Known {
    /// A point of the axis, and its unit direction.
    axis: [Vector3<f64>; 2],
    /// Along the axis from that point.
    along: [f64; 2],
    radius: [f64; 2],
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    /// Flanks of an upright thread, and the sine of the most that they lean.
    Thread { down: f64 },
    /// The wall of a round hole that lies, of this radius, its ribs, and its wider mouths.
    Hole { wall: f64 },
}

impl Known {
    /// Whether a facet is one of these faces; `down` is the sine of its lean.
    fn holds(&self, corners: &[Point3<f64>; 3], normal: &Vector3<f64>, down: f64) -> bool {
        let within =
            |value: f64, [low, high]: [f64; 2]| (low - AROUND..=high + AROUND).contains(&value);
        let [foot, axis] = &self.axis;
        let off = |corner: &Point3<f64>| {
            let from = corner.coords - foot;
            let along = from.dot(axis);
            (along, from - axis * along)
        };
        let here = corners.iter().all(|corner| {
            let (along, off) = off(corner);
            within(along, self.along) && within(off.norm(), self.radius)
        });
        here && match self.kind {
            Kind::Thread { down: most } => down <= most,
            // A hole's mouths look at its axis; nothing but the hole is nearer than its wall.
            Kind::Hole { wall } => corners.iter().all(|corner| {
                let (_, off) = off(corner);
                let far = off.norm();
                far <= wall + AROUND || normal.dot(&off) <= -LOOKS_AT_AXIS * far
            }),
        }
    }
}

/// The upright threads and the round lying holes of a shape.
fn known(shape: &Shape) -> Vec<Known> {
    let threads = std::iter::once(&shape.base)
        .chain(&shape.within)
        .chain(&shape.joined)
        .chain(&shape.cut)
        .flat_map(threads_of);
    threads
        .chain(shape.cut.iter().filter_map(lying_hole))
        .collect()
}

/// The axis of a placed solid: where its frame's origin comes to lie, and where its z points.
fn axis(placed: &Placed) -> [Vector3<f64>; 2] {
    let [foot, top] = [0.0, 1.0].map(|z| placed.pose.apply(Point3::new(0.0, 0.0, z)).coords);
    [foot, top - foot]
}

fn threads_of(placed: &Placed) -> Vec<Known> {
    let (Solid::Turned(turned), axis) = (&placed.solid, axis(placed)) else {
        return Vec::new();
    };
    if axis[1].z.abs() < UPRIGHT_AXIS {
        return Vec::new();
    }
    let contours = std::iter::once(&turned.outer).chain(&turned.bore);
    let faces = |zone: &ThreadZone| {
        let thread: &Thread = &zone.form.thread;
        let across = |diameter: Length| diameter.as_mm() / 2.0 + zone.form.shift.as_mm();
        Known {
            axis,
            along: zone.z.map(Length::as_mm),
            radius: [across(thread.minor_internal()), across(thread.major())],
            // The sine of the lean is the cosine of the flank angle.
            kind: Kind::Thread {
                down: (thread.form().flank_angle() - FLANK_SLACK).cos(),
            },
        }
    };
    contours
        .flat_map(|contour| contour.threads.iter().map(faces))
        .collect()
}

/// A round hole that lies: no wider than what prints round, or with ribs that carry its roof.
fn lying_hole(placed: &Placed) -> Option<Known> {
    // Along the axis, the wall's radius and that inside its ribs.
    let levels: Vec<[f64; 3]> = match &placed.solid {
        Solid::Turned(turned) => {
            let corners = turned.outer.corners.iter();
            let level = |(z, r): &(Length, Length)| [z, r, r].map(|length| length.as_mm());
            corners.map(level).collect()
        }
        Solid::Prism(levels) => {
            let level = |(z, outline): &(Length, Outline)| match outline {
                Outline::Ribbed { diameter, tips } => {
                    Some([*z, *diameter / 2.0, *tips / 2.0].map(Length::as_mm))
                }
                _ => None,
            };
            levels.iter().map(level).collect::<Option<_>>()?
        }
    };
    let (first, last) = (levels.first()?, levels.last()?);
    let axis = axis(placed);
    let lies = axis[1].z.abs() < 1.0 - UPRIGHT_AXIS;
    let least = |of: usize| levels.iter().map(|l| l[of]).fold(f64::INFINITY, f64::min);
    let ribbed = levels.iter().any(|[_, wall, tips]| wall - tips > ON_BED);
    // The ends are mouths, wider than the hole itself.
    let inside = levels.get(1..levels.len() - 1).unwrap_or_default();
    let wall = inside.iter().map(|l| l[1]).fold(least(1), f64::max);
    (lies && (ribbed || wall * 2.0 <= ROUND_LYING_HOLE.as_mm() + ON_BED)).then_some(Known {
        axis,
        along: [first[0], last[0]],
        radius: [least(2), first[1].max(last[1])],
        kind: Kind::Hole { wall },
    })
}

/// A facet that leans out too far.
struct Steep {
    triangle: [u32; 3],
    normal: Vector3<f64>,
    area: f64,
    lean: f64,
}

fn steep(mesh: &Mesh, known: &[Known], bed: f64) -> Vec<Steep> {
    let steepest = STEEPEST.sin();
    let lean_of = |triangle: &[u32; 3]| {
        let corners = triangle.map(|corner| mesh.points[corner as usize]);
        let [a, b, c] = corners;
        let across = (b - a).cross(&(c - a));
        // Most facets look up or aside.
        if across.z >= 0.0 {
            return None;
        }
        let twice = across.norm();
        let (normal, down) = (across / twice, -across.z / twice);
        let lies = || corners.iter().all(|corner| corner.z <= bed);
        let is_known = || {
            known
                .iter()
                .any(|faces| faces.holds(&corners, &normal, down))
        };
        let hangs = down > steepest && !lies() && !is_known();
        hangs.then(|| Steep {
            triangle: *triangle,
            normal,
            area: twice / 2.0,
            lean: Angle::from_sin(down.min(1.0)).as_degrees(),
        })
    };
    mesh.triangles.iter().filter_map(lean_of).collect()
}

/// The areas that hang out of a mesh, in the order of their first facets.
fn areas(mesh: &Mesh, known: &[Known]) -> Vec<Area> {
    let bed = mesh.bounds()[0][2] + ON_BED;
    let steep = steep(mesh, known, bed);
    if steep.is_empty() {
        return Vec::new();
    }
    let group = groups(&steep);
    let held = held(mesh, &steep, bed);
    let mut roots: Vec<usize> = group.clone();
    roots.sort_unstable();
    roots.dedup();
    let of = |root: &usize| {
        let facets: Vec<&Steep> = steep
            .iter()
            .zip(&group)
            .filter(|(_, of)| *of == root)
            .map(|(facet, _)| facet)
            .collect();
        let edges: Vec<[Point3<f64>; 2]> = held
            .iter()
            .filter(|(facet, _)| group[*facet] == *root)
            .map(|(_, edge)| edge.map(|corner| mesh.points[corner as usize]))
            .collect();
        area(mesh, &facets, &edges)
    };
    roots.iter().map(of).collect()
}

/// For each facet the first facet of those that it hangs together with, by shared corners.
fn groups(steep: &[Steep]) -> Vec<usize> {
    fn root(parent: &mut [usize], mut at: usize) -> usize {
        while parent[at] != at {
            parent[at] = parent[parent[at]];
            at = parent[at];
        }
        at
    }
    let mut parent: Vec<usize> = (0..steep.len()).collect();
    let mut corners: Vec<(u32, usize)> = steep
        .iter()
        .enumerate()
        .flat_map(|(index, facet)| facet.triangle.map(|corner| (corner, index)))
        .collect();
    corners.sort_unstable();
    for pair in corners.windows(2) {
        if pair[0].0 == pair[1].0 {
            let (a, b) = (root(&mut parent, pair[0].1), root(&mut parent, pair[1].1));
            parent[a.max(b)] = a.min(b);
        }
    }
    (0..steep.len()).map(|at| root(&mut parent, at)).collect()
}

/// Edges of steep facets that lie on the bed, or from which a wall goes down: the neighbour, no
/// steep facet itself, stands before the facet's face.
fn held(mesh: &Mesh, steep: &[Steep], bed: f64) -> Vec<(usize, [u32; 2])> {
    let sides = |[a, b, c]: [u32; 3]| [([a, b], c), ([b, c], a), ([c, a], b)];
    let mut edges: Vec<([u32; 2], usize)> = steep
        .iter()
        .enumerate()
        .flat_map(|(index, facet)| sides(facet.triangle).map(|(edge, _)| (edge, index)))
        .collect();
    edges.sort_unstable();
    let facet_at = |edge: [u32; 2]| {
        let found = edges.binary_search_by(|(other, _)| other.cmp(&edge)).ok()?;
        Some(edges[found].1)
    };
    let mut touched = vec![false; mesh.points.len()];
    for facet in steep {
        for corner in facet.triangle {
            touched[corner as usize] = true;
        }
    }
    let mut held = Vec::new();
    for triangle in &mesh.triangles {
        for ([a, b], third) in sides(*triangle) {
            if !(touched[a as usize] && touched[b as usize]) {
                continue;
            }
            // The neighbour runs along the edge the other way.
            let Some(index) = facet_at([b, a]) else {
                continue;
            };
            let away = mesh.points[third as usize] - mesh.points[a as usize];
            let lies = [a, b].iter().all(|at| mesh.points[*at as usize].z <= bed);
            let wall = facet_at([a, b]).is_none() && away.dot(&steep[index].normal) > 0.0;
            if lies || wall {
                held.push((index, [b, a]));
            }
        }
    }
    held
}

/// What there is to say of an area and the edges that hold it.
fn area(mesh: &Mesh, facets: &[&Steep], held: &[[Point3<f64>; 2]]) -> Area {
    let corners = || {
        let all = facets.iter().flat_map(|facet| facet.triangle);
        all.map(|corner| mesh.points[corner as usize])
    };
    let across = [0, 1].map(|axis| {
        let along = || corners().map(|corner| corner[axis]);
        along().fold(f64::NEG_INFINITY, f64::max) - along().fold(f64::INFINITY, f64::min)
    });
    let mut worst = (
        Hold::Reaches(0.0),
        corners().next().unwrap_or(Point3::origin()),
    );
    if held.is_empty() {
        worst.0 = Hold::Floats(across[0].max(across[1]));
    } else {
        let all: Vec<[Point3<f64>; 3]> = facets
            .iter()
            .map(|facet| facet.triangle.map(|corner| mesh.points[corner as usize]))
            .collect();
        let held_so = all.iter().flat_map(|facet| places(*facet));
        let held_so: Vec<_> = held_so
            .map(|place| (hold(&place, held, &all), place))
            .collect();
        worst = worst_of(&held_so).unwrap_or(worst);
        // Lines of a bridge all run one way: near its blind end, too, a tunnel's ceiling spans from
        // side to side.
        for eighth in 0..WAYS {
            if worst.0.excess() <= 1.0 {
                break;
            }
            let (sin, cos) = Angle::turns(f64::from(eighth) / f64::from(WAYS) / 2.0).sin_cos();
            // Where the worst place is not spanned, nothing is gained.
            if bridge(&worst.1, [cos, sin], held, &all).is_none() {
                continue;
            }
            let bridged = held_so.iter().map(|(hold, place)| {
                let spans = match hold.excess() > 1.0 {
                    true => bridge(place, [cos, sin], held, &all),
                    false => None,
                };
                (spans.map_or(*hold, |spans| hold.or(spans)), *place)
            });
            let bridged: Vec<_> = bridged.collect();
            if let Some(found) = worst_of(&bridged)
                && found.0.excess() < worst.0.excess()
            {
                worst = found;
            }
        }
    }
    Area {
        size: facets.iter().map(|facet| facet.area).sum(),
        across,
        at: [worst.1.x, worst.1.y, worst.1.z],
        lean: facets.iter().map(|facet| facet.lean).fold(0.0, f64::max),
        hold: worst.0,
    }
}

/// The place that is held worst.
fn worst_of(held: &[(Hold, Point3<f64>)]) -> Option<(Hold, Point3<f64>)> {
    let worse = |a: &&(Hold, _), b: &&(Hold, _)| a.0.excess().total_cmp(&b.0.excess());
    held.iter().max_by(worse).copied()
}

/// Directions that bridges are looked for in, over half a turn. Guess: a tunnel that
/// stands askew to all of them spans a fiftieth more.
const WAYS: u32 = 8;

/// Places of a facet on an even grid, corners included.
fn places([a, b, c]: [Point3<f64>; 3]) -> Vec<Point3<f64>> {
    let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
    let steps = (longest / GRAIN).ceil().clamp(1.0, f64::from(MOST_STEPS)) as u32;
    let mut places = Vec::new();
    for i in 0..=steps {
        for j in 0..=steps - i {
            let (u, v) = (f64::from(i), f64::from(j));
            places.push(a + ((b - a) * u + (c - a) * v) / f64::from(steps));
        }
    }
    places
}

/// How a place is held, seen from above: as a ledge by the nearest edge, or as a bridge by that
/// and one across from it, whichever asks less of it. No bridge crosses a hole in its area.
fn hold(place: &Point3<f64>, held: &[[Point3<f64>; 2]], facets: &[[Point3<f64>; 3]]) -> Hold {
    let to_edge = |edge: &[Point3<f64>; 2]| to_edge(place, edge);
    let nearest = held.iter().map(to_edge).min_by(|a, b| a.1.total_cmp(&b.1));
    let Some((first, near)) = nearest else {
        return Hold::Reaches(0.0);
    };
    let facing = |(off, far): &([f64; 2], f64)| {
        off[0] * first[0] + off[1] * first[1] <= -STRAIGHT * near * far
    };
    let across = held
        .iter()
        .map(to_edge)
        .filter(facing)
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let ledge = Hold::Reaches(near);
    match across {
        Some((off, far)) if is_over(place, off, facets) => ledge.or(Hold::Spans(near + far)),
        _ => ledge,
    }
}

/// The bridge over a place that runs one way, from edge to edge; `None` where nothing holds one of
/// its ends, or a hole is in the way.
fn bridge(
    place: &Point3<f64>,
    way: [f64; 2],
    held: &[[Point3<f64>; 2]],
    facets: &[[Point3<f64>; 3]],
) -> Option<Hold> {
    let sides = [1.0, -1.0].map(|sense| way.map(|part| part * sense));
    let to_end = |side: [f64; 2]| {
        let ends = held.iter().filter_map(|edge| along(place, side, edge));
        ends.min_by(f64::total_cmp)
    };
    let [one, other] = [to_end(sides[0])?, to_end(sides[1])?];
    let over = |side: [f64; 2], far: f64| is_over(place, side.map(|part| part * far), facets);
    // Longer ones ask more than any ledge that is let pass, and need not be looked at.
    let holds = one + other <= SPAN && over(sides[0], one) && over(sides[1], other);
    holds.then_some(Hold::Spans(one + other))
}

/// How far it is from a place to an edge, going one way.
fn along(place: &Point3<f64>, way: [f64; 2], [a, b]: &[Point3<f64>; 2]) -> Option<f64> {
    let (edge, off) = ([b.x - a.x, b.y - a.y], [a.x - place.x, a.y - place.y]);
    let cross = |a: [f64; 2], b: [f64; 2]| a[0] * b[1] - a[1] * b[0];
    let turned = cross(way, edge);
    if turned.abs() < BORDER {
        return None;
    }
    let (far, share) = (cross(off, edge) / turned, cross(off, way) / turned);
    (far >= 0.0 && (0.0..=1.0).contains(&share)).then_some(far)
}

/// Whether an area lies over all of the way from a place.
fn is_over(place: &Point3<f64>, way: [f64; 2], facets: &[[Point3<f64>; 3]]) -> bool {
    (1..8).all(|eighth: u32| {
        let share = f64::from(eighth) / 8.0;
        let way = [place.x + way[0] * share, place.y + way[1] * share];
        facets.iter().any(|facet| covers(facet, way))
    })
}

/// The way from a place to the nearest point of an edge, seen from above, and its length.
fn to_edge(place: &Point3<f64>, [a, b]: &[Point3<f64>; 2]) -> ([f64; 2], f64) {
    let (along, to) = ([b.x - a.x, b.y - a.y], [place.x - a.x, place.y - a.y]);
    let long = along[0] * along[0] + along[1] * along[1];
    let share = if long > 0.0 {
        ((along[0] * to[0] + along[1] * to[1]) / long).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let off = [along[0] * share - to[0], along[1] * share - to[1]];
    (off, (off[0] * off[0] + off[1] * off[1]).sqrt())
}

/// Whether a facet lies over a point, seen from above; its border counts.
fn covers(facet: &[Point3<f64>; 3], [x, y]: [f64; 2]) -> bool {
    let side = |a: &Point3<f64>, b: &Point3<f64>| (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
    let [a, b, c] = facet;
    let sides = [side(a, b), side(b, c), side(c, a)];
    sides.iter().all(|side| *side <= BORDER) || sides.iter().all(|side| *side >= -BORDER)
}

/// Cosine of the bend that a bridge may have: 30 degrees. Guess.
const STRAIGHT: f64 = 0.866;
/// Nearer to a facet's border than this it is on it, in mm2. Guess, far below a line.
const BORDER: f64 = 1e-6;
