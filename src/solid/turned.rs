//! Solids coaxial with z, threads included, meshed directly along their creases.
//!
//! A coaxial surface, thread and all, is one radius r(angle, z). Its creases are straight
//! lines in the (angle, z) plane: corners of the contour lie level, corners of the thread's
//! profile rise with the lead, and where thread and contour cut each other the crossing rises
//! at a slope of its own. Two lines meet only at a few *critical* angles. With a column of
//! vertices at each of those, and evenly spaced columns between them, no two lines cross
//! inside a strip between neighbouring columns: every cell is a trapezoid between two creases.
//! Stretches between wide steps keep columns of their own and meet in the step's flat ring. Where
//! critical angles are many for the mesh asked for, their columns end where nothing meets ([`short`]).

mod short;

use super::facet::{facets_of_step, step_within};
use super::mesh::Mesh;
use crate::assembly::{Contour, ThreadForm, ThreadZone, Turned};
use crate::units::{Angle, Length};
use std::f64::consts::TAU;

/// Vertices of one column nearer than this in z and radius are one vertex, in mm: ten times
/// the spacing of 32-bit floats at 128 mm, a hundredth of the finest useful tolerance.
const WELD: f64 = 1e-4;

/// Critical angles nearer than this are one, in radians. Over it a crease of lead L that runs
/// out on a 45 degree cone drifts by 2.4 L / (2 pi) times this, which must stay below [`WELD`]
/// for leads up to 20 mm: else corners that belong together come out in the wrong order. At a
/// radius of 16 mm it is still eighty times the spacing of 32-bit floats.
const SAME_ANGLE: f64 = 1e-5;

/// A mesh of a coaxial solid, its curves within `tolerance` of it.
pub(super) fn mesh(turned: &Turned, tolerance: Length) -> Mesh {
    let mut mesh = Mesh::default();
    // Each surface has columns of its own: a bore may need fewer than the screw around it, and only
    // the end faces have to join the two.
    let outer = lay(&turned.outer, tolerance, &mut mesh, false);
    disc(&mut mesh, &outer.first, false);
    match &turned.bore {
        None => disc(&mut mesh, &outer.last, true),
        Some(contour) => {
            let bore = lay(contour, tolerance, &mut mesh, true);
            disc(&mut mesh, &bore.first, true);
            annulus(&mut mesh, &outer.last, &bore.last, true);
        }
    }
    mesh
}

/// Adds the surface of a contour to a mesh; `inward` for a bore, whose outside is its axis.
fn lay(contour: &Contour, tolerance: Length, mesh: &mut Mesh, inward: bool) -> Rims {
    let mut bands = bands(contour, tolerance).into_iter();
    let first = bands.next().unwrap_or_default();
    let mut rims = Skin::new(&first, tolerance).lay(mesh, inward);
    for band in bands {
        let above = Skin::new(&band, tolerance).lay(mesh, inward);
        let radius = |ring: &Ring| {
            let corner = mesh.points[ring.corners[0] as usize];
            corner.x * corner.x + corner.y * corner.y
        };
        let narrows = radius(&rims.last) > radius(&above.first);
        // A step faces up where the solid becomes narrower and down where it becomes wider; of a
        // bore the other way round.
        if narrows {
            annulus(mesh, &rims.last, &above.first, !inward);
        } else {
            annulus(mesh, &above.first, &rims.last, inward);
        }
        rims.last = above.last;
    }
    rims
}

/// A step must be this many chord tolerances wide to part two bands: then the chords of its
/// two rings, each within one tolerance of its circle, stay clear of each other.
const TOLERANCES_IN_A_STEP: f64 = 4.0;

/// A contour cut at its steps, so that each stretch takes no more columns than its own
/// radius and threads ask for.
fn bands(contour: &Contour, tolerance: Length) -> Vec<Contour> {
    let mut bands = Vec::new();
    let mut corners: Vec<(Length, Length)> = Vec::new();
    for (z, radius) in &contour.corners {
        let wide = |(last_z, last): &(Length, Length)| {
            z == last_z && (*radius - *last).abs() > tolerance * TOLERANCES_IN_A_STEP
        };
        // A band has some height, so at least two corners.
        let parts = corners.len() > 1 && corners.last().is_some_and(wide);
        let last = contour.corners.last().is_some_and(|(top, _)| z == top);
        if parts && !last {
            bands.push(std::mem::take(&mut corners));
        }
        corners.push((*z, *radius));
    }
    bands.push(corners);
    bands
        .into_iter()
        .map(|corners| {
            let holds = |ends: &[Length; 2]| {
                let span = corners.first().zip(corners.last());
                // A thread's end is a sum of lengths and the band's a corner of the contour: equal
                // but for rounding.
                let near = Length::mm(WELD);
                span.is_some_and(|(low, high)| low.0 - near <= ends[0] && ends[1] <= high.0 + near)
            };
            let threads = contour.threads.iter().filter(|zone| holds(&zone.z));
            Contour {
                threads: threads.cloned().collect(),
                corners,
            }
        })
        .collect()
}

/// A ring of vertices with their angles, ascending.
struct Ring {
    angles: Vec<f64>,
    corners: Vec<u32>,
}

/// The lowest and the highest ring of a skin.
struct Rims {
    first: Ring,
    last: Ring,
}

/// A point of the surface in the half-plane of one angle.
#[derive(Clone, Copy)]
struct Spot {
    z: f64,
    r: f64,
}

impl Spot {
    fn same(self, other: Self) -> bool {
        (self.z - other.z).abs() < WELD && (self.r - other.r).abs() < WELD
    }
}

/// A crease between two columns: where it starts, at the lower angle, and where it ends.
#[derive(Clone, Copy)]
struct Crease {
    from: Spot,
    to: Spot,
    /// z half-way, by which creases are ordered.
    middle: f64,
}

/// The surface of one contour, cut into strips.
struct Skin<'a> {
    contour: &'a Contour,
    /// Corners in mm.
    corners: Vec<Spot>,
    /// Angles of the columns, ascending, in [0, one turn).
    columns: Vec<f64>,
    /// Of each column, whether it stands only where creases meet.
    short: Vec<bool>,
}

impl<'a> Skin<'a> {
    fn new(contour: &'a Contour, tolerance: Length) -> Self {
        let corners: Vec<Spot> = contour
            .corners
            .iter()
            .map(|(z, r)| Spot {
                z: z.as_mm(),
                r: r.as_mm(),
            })
            .collect();
        let mut skin = Self {
            contour,
            corners,
            columns: Vec::new(),
            short: Vec::new(),
        };
        let widest = skin.widest_step(tolerance);
        let facets = facets_of_step(Angle::radians(widest));
        let critical = skin.critical_angles();
        skin.columns = spread(critical.clone(), TAU / facets as f64);
        if !critical.is_empty() && short::crowded(&skin, skin.columns.len(), tolerance) {
            (skin.columns, skin.short) =
                short::columns(critical, facets, widest).into_iter().unzip();
        }
        skin
    }

    /// The widest step from column to column that keeps the surface within `tolerance`, in radians.
    fn widest_step(&self, tolerance: Length) -> f64 {
        let round = step_within(Length::mm(self.greatest_radius()), tolerance).as_radians();
        let of_zone = |zone: &ThreadZone| {
            let form = &zone.form;
            let slanting = self
                .lines_in(&zone.z)
                .map(|line| slanting_step(form, line, tolerance));
            slanting.fold(twisted_step(form, tolerance), f64::min)
        };
        self.contour
            .threads
            .iter()
            .map(of_zone)
            .fold(round, f64::min)
    }

    /// The greatest radius that the surface has anywhere.
    fn greatest_radius(&self) -> f64 {
        let reach = |spot: &Spot| match self.zone_inside(spot.z) {
            Some(form) if form.external => spot.r.min(crest(form)),
            Some(form) => spot.r.max(crest(form)),
            None => spot.r,
        };
        self.corners.iter().map(reach).fold(0.0, f64::max)
    }

    /// The thread in whose stretch, ends excluded, this height lies.
    fn zone_inside(&self, z: f64) -> Option<&'a ThreadForm> {
        let inside = |ends: &[Length; 2]| ends[0].as_mm() + WELD < z && z < ends[1].as_mm() - WELD;
        self.contour
            .threads
            .iter()
            .find(|zone| inside(&zone.z))
            .map(|zone| &zone.form)
    }

    /// Angles at which creases meet: a profile corner on a line of the contour, or a contour
    /// corner on a flank.
    fn critical_angles(&self) -> Vec<f64> {
        let mut angles = Vec::new();
        for zone in &self.contour.threads {
            let form = &zone.form;
            let mut note = |z: f64, u: f64| {
                // A crest at every pitch: the same angle returns `starts` times a turn.
                let lead = form.thread.signed_lead().as_mm();
                for start in 0..form.thread.starts() {
                    let rise =
                        z - form.crest.as_mm() - u + f64::from(start) * form.thread.pitch().as_mm();
                    // The signed lead: of a left-hand thread the crest falls with the angle, and
                    // the same height is reached the other way round.
                    angles.push((rise / lead).rem_euclid(1.0) * TAU);
                }
            };
            for (low, high) in self.lines_in(&zone.z) {
                for corner in profile(form) {
                    let along = (corner.r - low.r) / (high.r - low.r);
                    if along.is_finite() && (0.0..=1.0).contains(&along) {
                        note(low.z + along * (high.z - low.z), corner.z);
                    }
                }
            }
            for spot in self
                .corners
                .iter()
                .filter(|spot| self.zone_inside(spot.z).is_some())
            {
                for (low, high) in sides(form) {
                    let along = (spot.r - low.r) / (high.r - low.r);
                    if along.is_finite() && (0.0..=1.0).contains(&along) {
                        note(spot.z, low.z + along * (high.z - low.z));
                    }
                }
            }
        }
        angles
    }

    /// Lines of the contour within a stretch.
    fn lines_in(&self, ends: &[Length; 2]) -> impl Iterator<Item = (Spot, Spot)> + '_ {
        let [bottom, top] = ends.map(Length::as_mm);
        self.corners
            .windows(2)
            .map(|pair| (pair[0], pair[1]))
            .filter(move |(low, high)| low.z >= bottom - WELD && high.z <= top + WELD)
            .filter(|(low, high)| high.z > low.z)
    }

    /// The creases between the columns at `from` and `to`, from the lowest to the highest.
    fn creases(&self, from: f64, to: f64) -> Vec<Crease> {
        // Judged half-way between columns: at a column creases meet, and which is the higher would
        // be decided by rounding.
        let middle = 0.5 * (from + to);
        let mut creases = Vec::new();
        for spot in &self.corners {
            let covered = self.zone_inside(spot.z).is_some_and(|form| {
                let thread = radius(form, middle, spot.z);
                if form.external {
                    thread < spot.r
                } else {
                    thread > spot.r
                }
            });
            if !covered {
                creases.push(Crease {
                    from: *spot,
                    to: *spot,
                    middle: spot.z,
                });
            }
        }
        let level = creases.len();
        for zone in &self.contour.threads {
            for line in self.lines_in(&zone.z) {
                thread_creases(&zone.form, line, [from, middle, to], &mut creases);
            }
        }
        if creases.len() > level {
            // Stable: the two corners of a step keep their order.
            creases.sort_by(|a, b| a.middle.total_cmp(&b.middle));
        }
        creases
    }

    /// Adds the surface to a mesh; `inward` for a bore, whose outside is its axis.
    fn lay(&self, mesh: &mut Mesh, inward: bool) -> Rims {
        let count = self.columns.len();
        let strips: Vec<Vec<Crease>> = (0..count)
            .map(|strip| {
                let from = self.columns[strip];
                let to = self
                    .columns
                    .get(strip + 1)
                    .copied()
                    .unwrap_or(self.columns[0] + TAU);
                self.creases(from, to)
            })
            .collect();
        let laid = mesh.points.len();
        let mut columns: Vec<Column> = (0..count)
            .map(|column| {
                let before = &strips[(column + count - 1) % count];
                Column::new(mesh, self.columns[column], before, &strips[column])
            })
            .collect();
        if self.short.contains(&true) {
            short::shorten(self, &strips, &mut columns, mesh, laid);
        }
        for (strip, creases) in strips.iter().enumerate() {
            let (left, right) = (&columns[strip], &columns[(strip + 1) % count]);
            for cell in 0..creases.len() - 1 {
                let left_side = &left.corners[left.after[cell]..=left.after[cell + 1]];
                let right_side = &right.corners[right.before[cell]..=right.before[cell + 1]];
                zip(mesh, left_side, right_side, inward);
            }
        }
        let ring = |pick: fn(&Column) -> u32| Ring {
            angles: self.columns.clone(),
            corners: columns.iter().map(pick).collect(),
        };
        Rims {
            first: ring(|column| column.corners[0]),
            last: ring(|column| column.corners[column.corners.len() - 1]),
        }
    }
}

/// The vertices at one angle, with where the creases of both neighbouring strips meet them.
struct Column {
    corners: Vec<u32>,
    /// For each crease of the strip before, the vertex at which it ends.
    before: Vec<usize>,
    /// For each crease of the strip after, the vertex at which it starts.
    after: Vec<usize>,
}

impl Column {
    fn new(mesh: &mut Mesh, angle: f64, ending: &[Crease], starting: &[Crease]) -> Self {
        let (sin, cos) = Angle::radians(angle).sin_cos();
        let mut column = Self {
            corners: Vec::new(),
            before: Vec::new(),
            after: Vec::new(),
        };
        let mut last: Option<Spot> = None;
        let (mut i, mut j) = (0, 0);
        while i < ending.len() || j < starting.len() {
            let end = ending.get(i).map(|crease| crease.to);
            let start = starting.get(j).map(|crease| crease.from);
            let next = match (end, start) {
                // Creases of both sides are merged as two sorted lists; those that differ by less
                // than the weld share a vertex, or a hair-thin facet would stand between them.
                (Some(end), Some(start)) if end.same(start) || end.z <= start.z => end,
                (Some(end), None) => end,
                (_, Some(start)) => start,
                (None, None) => unreachable!("the loop ends when both are exhausted"),
            };
            if !last.is_some_and(|last| last.same(next)) {
                column
                    .corners
                    .push(mesh.add(next.r * cos, next.r * sin, next.z));
                last = Some(next);
            }
            let here = column.corners.len() - 1;
            if end.is_some_and(|end| end.same(next)) {
                column.before.push(here);
                i += 1;
            }
            if start.is_some_and(|start| start.same(next)) {
                column.after.push(here);
                j += 1;
            }
        }
        column
    }
}

/// Radius of a thread's crest, gap included.
fn crest(form: &ThreadForm) -> f64 {
    (form.thread.major() / 2.0 + form.shift).as_mm()
}

/// The widest step at which facets stay within `tolerance` of a thread's flanks, in radians.
///
/// A facet's side that leads from root to crest within half a step h either way passes the middle
/// not half-way but h D / (2 r) nearer to the crest's column, D the depth of the flank and r the
/// radius. There the flank stands higher or lower by k L / (2 pi) times that, k its slope and L the
/// lead, beside the sagitta r h^2 / 2 of a chord; square to the flank both are less by the sine of
/// its angle (derived). The twist counts where leads are long for the diameter, as with several
/// starts, and the finer the tolerance the more: it goes with h and not with its square.
pub(super) fn twisted_step(form: &ThreadForm, tolerance: Length) -> f64 {
    let [_, outer, inner, _] = profile(form);
    let (sin, cos) = form.thread.form().flank_angle().sin_cos();
    let rise = form.thread.lead().as_mm() / TAU * cos / sin;
    let twist = sin * rise * (outer.r - inner.r) / (2.0 * inner.r);
    let sagitta = sin * outer.r / 2.0;
    let root = (twist * twist + 4.0 * sagitta * tolerance.as_mm()).sqrt();
    (root - twist) / sagitta
}

/// Share of the tolerance by which a slanting crease may stray further: what it costs a thread of
/// one start, whose creases nearly all slant less, in columns would buy nothing that is seen.
/// Chosen.
const SLANT_SLACK: f64 = 0.03;

/// The widest step at which the crease between a flank and a line of the contour stays within
/// `tolerance` of its chord, in radians.
///
/// It is a spiral whose radius changes by q for each radian, and whose sagitta over half a step h is
/// (r^2 + 2 q^2) / sqrt(r^2 + q^2) h^2 / 2 (derived from a spiral's curvature). Against a line that
/// rises by s for each mm, q = k s / (k - s) L / (2 pi).
fn slanting_step(form: &ThreadForm, (bottom, top): (Spot, Spot), tolerance: Length) -> f64 {
    let [_, outer, inner, _] = profile(form);
    if bottom.r.max(top.r) < inner.r || bottom.r.min(top.r) > outer.r {
        // It meets no flank.
        return f64::INFINITY;
    }
    let slope = ((top.r - bottom.r) / (top.z - bottom.z)).abs();
    let (sin, cos) = form.thread.form().flank_angle().sin_cos();
    let flank = cos / sin;
    let q = (flank * slope / (flank - slope)).abs() * form.thread.lead().as_mm() / TAU;
    let radius = (outer.r * outer.r + 2.0 * q * q) / (outer.r * outer.r + q * q).sqrt();
    let step = 2.0 * (2.0 * tolerance.as_mm() * (1.0 + SLANT_SLACK) / radius).sqrt();
    // One that leads from root to crest within a step has a column at either end. So has what runs
    // level with a flank, of which q is no number.
    if q * step <= outer.r - inner.r {
        step
    } else {
        f64::INFINITY
    }
}

/// Corners of one period of the profile, (u, r), u from the crest's centre: both ends of the
/// crest flat, then both ends of the root flat.
fn profile(form: &ThreadForm) -> [Spot; 4] {
    form.thread.basic_profile_corners().map(|(u, r)| Spot {
        z: u.as_mm(),
        r: (r + form.shift).as_mm(),
    })
}

/// The four sides of one period: crest, falling flank, root, rising flank.
fn sides(form: &ThreadForm) -> [(Spot, Spot); 4] {
    let [a, b, c, d] = profile(form);
    let next = Spot {
        z: a.z + form.thread.pitch().as_mm(),
        r: a.r,
    };
    [(a, b), (b, c), (c, d), (d, next)]
}

/// z of the crest centre that leads the thread at this angle.
fn crest_at(form: &ThreadForm, angle: f64) -> f64 {
    form.crest.as_mm() + form.thread.signed_lead().as_mm() * angle / TAU
}

/// Radius of the thread's own surface.
fn radius(form: &ThreadForm, angle: f64, z: f64) -> f64 {
    let pitch = form.thread.pitch().as_mm();
    let sides = sides(form);
    let first = sides[0].0.z;
    let u = (z - crest_at(form, angle) - first).rem_euclid(pitch) + first;
    let side = sides.into_iter().find(|(_, high)| u <= high.z);
    let (low, high) = side.unwrap_or(sides[3]);
    low.r + (high.r - low.r) * (u - low.z) / (high.z - low.z)
}

/// Creases that a thread makes along one line of the contour: its own corners where it
/// governs, and its crossings with the line.
fn thread_creases(
    form: &ThreadForm,
    (bottom, top): (Spot, Spot),
    [from, middle, to]: [f64; 3],
    creases: &mut Vec<Crease>,
) {
    let pitch = form.thread.pitch().as_mm();
    let slope = (top.r - bottom.r) / (top.z - bottom.z);
    let contour = |z: f64| bottom.r + slope * (z - bottom.z);
    let governs = |r: f64, z: f64| {
        if form.external {
            r < contour(z)
        } else {
            r > contour(z)
        }
    };
    // A height where two lines join belongs to the upper one, so that a corner of the thread that
    // passes a corner of the contour is not lost between them.
    let within = |z: f64| bottom.z <= z && z < top.z;
    let base = crest_at(form, middle);
    let periods = |z: f64| ((z - base) / pitch).floor() as i64;
    // One period more at either end: a flank may begin outside of the line and reach into it.
    for period in periods(bottom.z) - 1..=periods(top.z) + 1 {
        let shift = period as f64 * pitch;
        let rise = |angle: f64| crest_at(form, angle) + shift;
        for (low, high) in sides(form) {
            let [z, end] = [low, high].map(|corner| rise(middle) + corner.z);
            let governing = governs(low.r, z);
            if within(z) && governing {
                let at = |angle: f64| Spot {
                    z: rise(angle) + low.z,
                    r: low.r,
                };
                creases.push(Crease {
                    from: at(from),
                    to: at(to),
                    middle: z,
                });
            }
            // Of a side, one end governs and the other does not: else they do not meet. Where they
            // meet, by itself, would come out beyond the side by rounding where the line is level
            // with its end.
            if governing == governs(high.r, end) {
                continue;
            }
            // profile(z) = low.r + flank (z - rise - low.z) meets contour(z).
            let flank = (high.r - low.r) / (high.z - low.z);
            let crossing = |angle: f64| {
                let start = rise(angle) + low.z;
                (bottom.r - slope * bottom.z - low.r + flank * start) / (flank - slope)
            };
            let z = crossing(middle).clamp(z, end);
            if within(z) {
                let at = |angle: f64| {
                    let z = crossing(angle);
                    Spot { z, r: contour(z) }
                };
                creases.push(Crease {
                    from: at(from),
                    to: at(to),
                    middle: z,
                });
            }
        }
    }
}

/// Columns at all given angles, and evenly between them, no two further apart than `step`.
fn spread(mut fixed: Vec<f64>, step: f64) -> Vec<f64> {
    fixed.sort_by(f64::total_cmp);
    fixed.dedup_by(|b, a| *b - *a < SAME_ANGLE);
    if fixed.is_empty() {
        fixed.push(0.0);
    } else if fixed.len() > 1 && fixed[0] + TAU - fixed[fixed.len() - 1] < SAME_ANGLE {
        fixed.pop();
    }
    let mut columns = Vec::new();
    for (index, start) in fixed.iter().enumerate() {
        let end = fixed.get(index + 1).copied().unwrap_or(fixed[0] + TAU);
        let parts = ((end - start) / step).ceil().max(1.0);
        columns.extend((0..parts as usize).map(|part| start + (end - start) * part as f64 / parts));
    }
    columns
}

/// Fills the area between two chains of vertices that run upwards side by side.
fn zip(mesh: &mut Mesh, left: &[u32], right: &[u32], inward: bool) {
    let point = |mesh: &Mesh, corner: u32| mesh.points[corner as usize];
    let (mut i, mut j) = (0, 0);
    while i + 1 < left.len() || j + 1 < right.len() {
        let raise_left = if i + 1 == left.len() {
            false
        } else if j + 1 == right.len() {
            true
        } else {
            let over = point(mesh, left[i + 1]) - point(mesh, right[j]);
            let under = point(mesh, left[i]) - point(mesh, right[j + 1]);
            // The shorter diagonal, so that no facet is longer and thinner than it has to be.
            over.norm_squared() <= under.norm_squared()
        };
        let third = if raise_left {
            left[i + 1]
        } else {
            right[j + 1]
        };
        triangle(mesh, [left[i], right[j], third], inward);
        if raise_left {
            i += 1;
        } else {
            j += 1;
        }
    }
}

/// Adds a facet, turned over if asked; none where two corners of a short column are one.
fn triangle(mesh: &mut Mesh, [a, b, c]: [u32; 3], turned_over: bool) {
    if a != b && b != c && c != a {
        mesh.triangles
            .push(if turned_over { [a, c, b] } else { [a, b, c] });
    }
}

/// Closes a ring by a flat disc that faces up or down.
fn disc(mesh: &mut Mesh, ring: &Ring, up: bool) {
    let z = mesh.points[ring.corners[0] as usize].z;
    let centre = mesh.add(0.0, 0.0, z);
    for (index, corner) in ring.corners.iter().enumerate() {
        let next = ring.corners[(index + 1) % ring.corners.len()];
        triangle(mesh, [centre, *corner, next], !up);
    }
}

/// Closes the gap between two rings of one height by a flat annulus that faces up or down.
fn annulus(mesh: &mut Mesh, outer: &Ring, inner: &Ring, up: bool) {
    // Both are walked once around from the outer ring's first corner, as turns past it.
    let past = |angle: f64| (angle - outer.angles[0]).rem_euclid(TAU);
    let by_past = |a: &usize, b: &usize| past(inner.angles[*a]).total_cmp(&past(inner.angles[*b]));
    let first = (0..inner.corners.len()).min_by(by_past).unwrap_or(0);
    let walk = |ring: &Ring, start: usize| -> Vec<(f64, u32)> {
        let len = ring.corners.len();
        let step = |index: usize| {
            let at = (start + index) % len;
            (
                past(ring.angles[at]) + TAU * (index / len) as f64,
                ring.corners[at],
            )
        };
        (0..=len).map(step).collect()
    };
    let (outer, inner) = (walk(outer, 0), walk(inner, first));
    let (mut i, mut j) = (0, 0);
    while i + 1 < outer.len() || j + 1 < inner.len() {
        let (a, b) = (outer[i].1, inner[j].1);
        let outer_next = outer.get(i + 1).map_or(f64::INFINITY, |next| next.0);
        let inner_next = inner.get(j + 1).map_or(f64::INFINITY, |next| next.0);
        if outer_next <= inner_next {
            triangle(mesh, [a, outer[i + 1].1, b], !up);
            i += 1;
        } else {
            triangle(mesh, [a, inner[j + 1].1, b], !up);
            j += 1;
        }
    }
}
