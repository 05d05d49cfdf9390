//! Walls too thin for the printer's lines, found on the meshes.
//!
//! Each part is cut by level planes, as the printer cuts it. From many places of each outline a
//! straight line goes into the metal, square to the face, to where it comes out again. Only
//! upright faces that are nearly parallel make a wall: not the flanks and crests of threads,
//! chamfers, edges or corners.

use super::{Bodies, Case, Judge, Judgement, Rule, not_below};
use crate::assembly::Made;
use crate::solid::{Mesh, Stretch, sections};
use crate::units::Length;
use rayon::prelude::*;

/// Rule: the thinnest wall of each part, in printed lines.
pub(super) const RULE: Rule = Rule {
    id: "thin-wall",
    about: "a wall of a part is too thin for the printer's lines",
    why: "A wall is made of whole printed lines. One of a single line splits, and one between \
          one and two comes out with a gap or a bulge inside.",
    formula: "Each part is cut a millimetre apart (200 times if it is taller than 200 mm), and \
              its walls measured square to their faces, at every facet and a millimetre apart \
              on long ones: from an upright face (within 30 degrees) to one within 8 degrees of \
              parallel. Thickness over line width. Fails below 2 lines, warns below 3. Walls \
              of more than 6 lines are not measured.",
    source: "common practice: two lines are the least wall, three carry load; which faces make \
             a wall, and how densely they are measured: guess",
    mend: "print a narrower line, or set the size that makes the wall thin",
    judge: Judge::Bodies(judge),
};

/// Fewest printed lines in a wall (common practice).
const FEWEST_LINES: f64 = 2.0;
/// Lines below which a wall is worth a warning (common practice).
const GOOD_LINES: f64 = 3.0;
/// Walls of more lines are not measured. Guess: twice what passes.
const MOST_LINES: f64 = 6.0;
/// From section to section, in mm. Guess.
const STEP: f64 = 1.0;
/// Most sections of a part. Guess.
const MOST_SECTIONS: f64 = 200.0;
/// From place to place along an outline, in mm. Guess.
const ALONG: f64 = 1.0;
/// Upright part of the unit normal up to which a face is a wall's: 30 degrees.
const UPRIGHT: f64 = 0.5;
/// Cosine of the angle between two faces up to which they are parallel: 8 degrees. Guess: what
/// lies farther apart tapers to an edge, and is no wall.
const PARALLEL: f64 = 0.99;
/// Nearer than this the way out is the face itself, in mm: rounding of 32-bit corners.
const ITSELF: f64 = 1e-4;
/// Sections are sorted into strips of this width along x, in mm. Guess, for speed alone.
const STRIP: f64 = 2.0;

fn judge(case: &Case<'_>, bodies: &Bodies<'_>) -> Vec<Judgement> {
    let parts = &case.design.assembly.parts;
    let each: Vec<Option<Judgement>> = parts
        .par_iter()
        .zip(bodies.meshes)
        .map(|(part, mesh)| (part.made == Made::Printed).then(|| judgement(case, &part.name, mesh)))
        .collect();
    each.into_iter().flatten().collect()
}

fn judgement(case: &Case<'_>, name: &str, mesh: &Mesh) -> Judgement {
    let line = *case.kit.line;
    let wall = thinnest(mesh, line.as_mm() * MOST_LINES);
    let (least, good) = (line * FEWEST_LINES, line * GOOD_LINES);
    let thickness = wall.map_or(line * MOST_LINES, |wall| Length::mm(wall.thickness));
    let message = match wall {
        None => format!(
            "no wall of the {name} is thinner than {MOST_LINES} printed lines, {}",
            case.length(thickness)
        ),
        Some(wall) => format!(
            "the thinnest wall of the {name} is {}, {:.1} printed lines, {} above the bed and \
             {} from its axis; at least {FEWEST_LINES} lines, {}, better {GOOD_LINES}",
            case.length(thickness),
            thickness / line,
            case.kit.told().length(Length::mm(wall.z), 1),
            case.kit.told().length(Length::mm(wall.off_axis()), 1),
            case.length(least)
        ),
    };
    Judgement {
        outcome: not_below(thickness.as_mm(), least.as_mm(), good.as_mm(), good.as_mm()),
        subject: name.into(),
        value: thickness.as_mm(),
        limit: Some(least.as_mm()),
        unit: "mm",
        message,
        mend: Some(format!(
            "write `line = \"{:.2} mm\"` or less, or change what makes the wall thin (`sizes`)",
            (thickness / GOOD_LINES).down_to(Length::mm(0.01)).as_mm()
        )),
        at: case.kit.line.at.clone(),
    }
}

/// A wall, in mm.
#[derive(Clone, Copy, Debug)]
struct Wall {
    thickness: f64,
    at: [f64; 2],
    z: f64,
}

impl Wall {
    fn off_axis(&self) -> f64 {
        let [x, y] = self.at;
        (x * x + y * y).sqrt()
    }
}

/// The thinnest wall of a part in its print frame, up to a thickness; of equals the lowest.
fn thinnest(mesh: &Mesh, most: f64) -> Option<Wall> {
    let [low, high] = mesh.bounds();
    let (foot, height) = (low[2], high[2] - low[2]);
    let step = STEP.max(height / MOST_SECTIONS);
    // A part has some height, and no more sections than it is allowed.
    let count = (height / step).round().clamp(1.0, MOST_SECTIONS);
    let start = foot + step.min(height) / 2.0;
    let sections = sections(mesh, start, step, count as usize);
    let walls: Vec<Option<Wall>> = sections
        .par_iter()
        .enumerate()
        .map(|(index, section)| {
            let z = start + index as f64 * step - foot;
            thinnest_of(section, most).map(|(thickness, at)| Wall { thickness, at, z })
        })
        .collect();
    let walls = walls.into_iter().flatten();
    walls.min_by(|a, b| a.thickness.total_cmp(&b.thickness))
}

/// The thinnest wall of one section and where it was measured.
fn thinnest_of(section: &[Stretch], most: f64) -> Option<(f64, [f64; 2])> {
    let strips = Strips::of(section);
    let mut least: Option<(f64, [f64; 2])> = None;
    for stretch in section.iter().filter(|stretch| stretch.lean <= UPRIGHT) {
        let along = [
            stretch.to[0] - stretch.from[0],
            stretch.to[1] - stretch.from[1],
        ];
        let long = (along[0] * along[0] + along[1] * along[1]).sqrt();
        let places = (long / ALONG).ceil().max(1.0);
        for place in 0..places as u32 {
            let share = (f64::from(place) + 0.5) / places;
            let at = [0, 1].map(|axis| stretch.from[axis] + along[axis] * share);
            let reach = least.map_or(most, |(thickness, _)| thickness);
            if let Some(thickness) = strips.through(at, stretch.inward, reach) {
                least = Some((thickness, at));
            }
        }
    }
    least
}

/// Stretches of a section by strips of x.
struct Strips<'a> {
    section: &'a [Stretch],
    low: f64,
    strips: Vec<Vec<u32>>,
}

impl<'a> Strips<'a> {
    fn of(section: &'a [Stretch]) -> Self {
        let xs = || section.iter().flat_map(|s| [s.from[0], s.to[0]]);
        let low = xs().fold(f64::INFINITY, f64::min);
        let high = xs().fold(f64::NEG_INFINITY, f64::max);
        let count = if high > low {
            ((high - low) / STRIP) as usize + 1
        } else {
            1
        };
        let mut sorted = Self {
            section,
            low,
            strips: vec![Vec::new(); count],
        };
        for (index, stretch) in (0..).zip(section) {
            let (a, b) = (stretch.from[0], stretch.to[0]);
            for strip in sorted.range(a.min(b), a.max(b)) {
                sorted.strips[strip].push(index);
            }
        }
        sorted
    }

    /// Strips that an interval of x touches.
    fn range(&self, from: f64, to: f64) -> std::ops::RangeInclusive<usize> {
        let strip =
            |x: f64| (((x - self.low) / STRIP).max(0.0) as usize).min(self.strips.len() - 1);
        strip(from)..=strip(to)
    }

    /// From a place into the metal: how far it is to the other side, if that is nearer than
    /// `reach` and a wall's.
    fn through(&self, at: [f64; 2], into: [f64; 2], reach: f64) -> Option<f64> {
        let end = at[0] + into[0] * reach;
        let mut nearest = reach;
        let mut faces = None;
        for strip in self.range(at[0].min(end), at[0].max(end)) {
            for index in &self.strips[strip] {
                let other = &self.section[*index as usize];
                if let Some(distance) = crossing(at, into, other)
                    && distance > ITSELF
                    && distance < nearest
                {
                    nearest = distance;
                    faces = Some(other);
                }
            }
        }
        let other = faces?;
        let facing = -(other.inward[0] * into[0] + other.inward[1] * into[1]);
        (other.lean <= UPRIGHT && facing >= PARALLEL).then_some(nearest)
    }
}

/// Distance from a point along a unit direction to where it crosses a stretch.
fn crossing(at: [f64; 2], into: [f64; 2], other: &Stretch) -> Option<f64> {
    let to = [other.from[0] - at[0], other.from[1] - at[1]];
    let along = [other.to[0] - other.from[0], other.to[1] - other.from[1]];
    let across = into[0] * along[1] - into[1] * along[0];
    if across == 0.0 {
        return None;
    }
    let share = (to[0] * into[1] - to[1] * into[0]) / across;
    let distance = (to[0] * along[1] - to[1] * along[0]) / across;
    (0.0..=1.0).contains(&share).then_some(distance)
}
