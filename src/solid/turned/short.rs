//! Columns that stand only where creases meet.
//!
//! The critical angles of a thread's ends are as many as they are however coarse the mesh is: at
//! 0.2 mm they are half of the columns of an M20, and every one runs through the whole thread.
//! Where that is too much, columns are spread evenly as if there were none, and the critical ones
//! stand beside them but for the stretches in which every crease goes straight on: there each
//! corner moves along its crease to the column before it. Corners keep their order along every
//! crease and cells stay between two creases, so no facet is turned over.

use super::{Column, Crease, SAME_ANGLE, Skin, WELD, crest, profile};
use crate::solid::facet::step_within;
use crate::solid::mesh::Mesh;
use crate::units::Length;
use std::f64::consts::TAU;

/// Columns of a thread may cost so many times what its crest and root ask for by themselves;
/// beyond it some are made short. Chosen: coarse meshes have no use for more.
const MOST_OVER_THE_BOUND: f64 = 1.2;

/// Share of the distance between even columns by which one may be moved, so that they stay
/// apart. Guess.
const MOST_MOVED: f64 = 0.25;

/// Columns, ascending from the first critical angle, each with whether it is short.
pub(super) type Columns = Vec<(f64, bool)>;

/// Parts of a turn that a chord within a tolerance of a circle asks for, unrounded.
fn parts(radius: f64, tolerance: Length) -> f64 {
    TAU / step_within(Length::mm(radius), tolerance).as_radians()
}

/// Whether so many columns through all of a skin are too many for its threads.
///
/// Of four strips a pitch with two facets each, crest and root ask for 4 (N at the crest + N at
/// the root) facets a pitch; columns through both take 8 each (derived).
pub(super) fn crowded(skin: &Skin<'_>, columns: usize, tolerance: Length) -> bool {
    let asked = skin.contour.threads.iter().map(|zone| {
        let root = profile(&zone.form)[2].r;
        parts(crest(&zone.form), tolerance) + parts(root, tolerance)
    });
    let asked = asked.fold(0.0, f64::max);
    asked > 0.0 && 2.0 * columns as f64 > MOST_OVER_THE_BOUND * asked
}

/// Even columns through everything, `facets` a turn, and short ones at the other critical
/// angles. Even ones move to critical angles as far as the `widest` step, in radians, leaves room
/// for it.
pub(super) fn columns(mut critical: Vec<f64>, facets: usize, widest: f64) -> Columns {
    critical.sort_by(f64::total_cmp);
    critical.dedup_by(|b, a| *b - *a < SAME_ANGLE);
    if critical.len() > 1 && critical[0] + TAU - critical[critical.len() - 1] < SAME_ANGLE {
        critical.pop();
    }
    let Some(first) = critical.first().copied() else {
        return Columns::new();
    };
    let step = TAU / facets as f64;
    // Two neighbours may both move, so half of the room each.
    let room = (widest - step) / 2.0;
    let reach = room.clamp(SAME_ANGLE, MOST_MOVED * step);
    let off = |angle: f64, even: f64| (angle - even).abs();
    let mut through: Vec<f64> = (0..facets)
        .map(|part| first + step * part as f64)
        .map(|even| {
            let nearest = critical
                .iter()
                .copied()
                .min_by(|a, b| off(*a, even).total_cmp(&off(*b, even)));
            nearest
                .filter(|angle| off(*angle, even) <= reach)
                .unwrap_or(even)
        })
        .collect();
    through.dedup();
    let short = critical.iter().filter(|angle| !through.contains(angle));
    let mut columns: Columns = short.map(|angle| (*angle, true)).collect();
    columns.extend(through.iter().map(|angle| (*angle, false)));
    columns.sort_by(|a, b| a.0.total_cmp(&b.0));
    columns
}

/// A crease that ends at a corner of a column and one that starts there, if there is one of
/// each.
#[derive(Clone, Copy)]
enum Through {
    None,
    One(usize),
    Several,
}

impl Through {
    fn of(ends: &[usize], corners: usize) -> Vec<Self> {
        let mut through = vec![Self::None; corners];
        for (crease, corner) in ends.iter().enumerate() {
            through[*corner] = match through[*corner] {
                Self::None => Self::One(crease),
                Self::One(_) | Self::Several => Self::Several,
            };
        }
        through
    }
}

/// Takes the corners at which nothing happens out of the short columns: each becomes the corner
/// before it on its crease. `laid` is how many points the mesh had before these columns.
pub(super) fn shorten(
    skin: &Skin<'_>,
    strips: &[Vec<Crease>],
    columns: &mut [Column],
    mesh: &mut Mesh,
    laid: usize,
) {
    // Of every point laid, the one that takes its place; columns come in order, so a corner's own
    // place is known when the next column asks for it.
    let mut onto: Vec<u32> = (laid..mesh.points.len()).map(|at| at as u32).collect();
    // The first column is a whole one, so none before it is asked for.
    for at in (1..columns.len()).filter(|at| skin.short[*at]) {
        let width = |strip: usize| {
            let next = skin.columns.get(strip + 1).copied();
            next.unwrap_or(skin.columns[0] + TAU) - skin.columns[strip]
        };
        let (here, before) = (&columns[at], &columns[at - 1]);
        let widths = [width(at - 1), width(at)];
        let straight = straight_on(here, [&strips[at - 1], &strips[at]], widths);
        let alone = |low: usize, high: usize| before.after[high] - before.after[low] == 1;
        for corner in 1..here.corners.len().saturating_sub(1) {
            // Its neighbours go straight on too: the cells that a stretch ends with have their
            // corners on two lines as well.
            let Some(crease) = straight[corner] else {
                continue;
            };
            let beside = straight[corner - 1].is_some() && straight[corner + 1].is_some();
            if beside && alone(crease - 1, crease) && alone(crease, crease + 1) {
                let place = before.corners[before.after[crease]] as usize;
                onto[here.corners[corner] as usize - laid] = onto[place - laid];
            }
        }
    }
    put(columns, mesh, laid, &onto);
}

/// Of each corner of a column, the crease of the strip before that goes straight on in the strip
/// after.
fn straight_on(
    column: &Column,
    [ending, starting]: [&[Crease]; 2],
    widths: [f64; 2],
) -> Vec<Option<usize>> {
    let count = column.corners.len();
    let ends = Through::of(&column.before, count);
    let starts = Through::of(&column.after, count);
    let bends = |end: &Crease, start: &Crease| {
        let slopes = |pick: fn(&super::Spot) -> f64| {
            let slope =
                |crease: &Crease, width: f64| (pick(&crease.to) - pick(&crease.from)) / width;
            (slope(end, widths[0]) - slope(start, widths[1])).abs() * (widths[0] + widths[1])
        };
        slopes(|spot| spot.z).max(slopes(|spot| spot.r)) >= WELD
    };
    ends.into_iter()
        .zip(starts)
        .map(|pair| match pair {
            (Through::One(end), Through::One(start)) => {
                (!bends(&ending[end], &starting[start])).then_some(end)
            }
            _ => None,
        })
        .collect()
}

/// Puts every corner where it went, and drops the points that are left over.
fn put(columns: &mut [Column], mesh: &mut Mesh, laid: usize, onto: &[u32]) {
    let mut places = vec![0u32; onto.len()];
    let mut kept = laid;
    for (point, place) in onto.iter().enumerate() {
        if *place as usize == laid + point {
            mesh.points[kept] = mesh.points[laid + point];
            places[point] = kept as u32;
            kept += 1;
        }
    }
    mesh.points.truncate(kept);
    for corner in columns.iter_mut().flat_map(|column| &mut column.corners) {
        *corner = places[onto[*corner as usize - laid] as usize - laid];
    }
}
