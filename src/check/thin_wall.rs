//! Walls too thin for the printer's lines, found on the meshes.
//!
//! Each part is cut by level planes, as the printer cuts it. From many places of each outline a
//! straight line goes into the metal, square to the face, to where it comes out again. Only
//! upright faces that are nearly parallel make a wall: not the flanks and crests of threads,
//! chamfers, edges or corners.

use super::finding::Subject;
use super::mend::Proposal;
use super::rule::{Bodies, Judge, Judgement, Rule, not_below};
use super::typed::{self, HUNDREDTH};
use crate::assembly::{Made, PartId};
use crate::kit::key;
use crate::load::{Case, Change};
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
              its walls measured square to their faces, a place for every millimetre of outline: \
              from an upright face (within 30 degrees) to one within 8 degrees of parallel. \
              Thickness over line width. Fails below 2 lines, warns below 3. Walls of more than \
              6 lines are not measured.",
    source: "common practice: two lines are the least wall, three carry load; which faces make \
             a wall, and how densely they are measured: guess",
    mend: "print a narrower line, or set the size that makes the wall thin",
    judge: Judge::Bodies(judge, |_| Vec::new()),
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
/// Outline from place to place, in mm. Guess.
const ALONG: f64 = 1.0;
/// Upright part of the unit normal up to which a face is a wall's: 30 degrees.
const UPRIGHT: f64 = 0.5;
/// Cosine of the angle between two faces up to which they are parallel: 8 degrees. Guess: what
/// lies farther apart tapers to an edge, and is no wall.
const PARALLEL: f64 = 0.99;
/// Nearer than this the way out is the face itself, in mm: rounding of 32-bit corners.
const ITSELF: f64 = 1e-4;
/// Sections are sorted into square cells of this side, in mm. Guess, for speed alone.
const CELL: f64 = 2.0;

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

pub(super) fn judgement(case: &Case<'_>, part: PartId, mesh: &Mesh) -> Judgement {
    let name = &case.design.assembly.part(part).name;
    let line = *case.kit.line;
    let wall = thinnest(mesh, line.as_mm() * MOST_LINES);
    let (least, good) = (line * FEWEST_LINES, line * GOOD_LINES);
    let thickness = wall.map_or(line * MOST_LINES, |wall| Length::mm(wall.thickness));
    let narrower = (thickness / GOOD_LINES).down_to(HUNDREDTH);
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
        subject: Subject::Part(part),
        value: thickness.as_mm(),
        limit: Some(least.as_mm()),
        unit: "mm",
        message,
        mend: Some(
            Proposal::first_of([Change::Line(narrower)])
                .beside(format!(
                    "change what makes the wall thin ({})",
                    typed::table(key::TAPPED_WALL.name())
                ))
                .into(),
        ),
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
    let cells = Cells::of(section);
    let mut least: Option<(f64, [f64; 2])> = None;
    // Outline passed since the last place; short stretches share one.
    let mut passed = 0.0;
    for stretch in section.iter().filter(|stretch| stretch.lean <= UPRIGHT) {
        let along = [
            stretch.to[0] - stretch.from[0],
            stretch.to[1] - stretch.from[1],
        ];
        let long = (along[0] * along[0] + along[1] * along[1]).sqrt();
        passed += long;
        let places = (passed / ALONG).floor();
        passed -= places * ALONG;
        for place in 0..places as u32 {
            let share = (f64::from(place) + 0.5) / places;
            let at = [0, 1].map(|axis| stretch.from[axis] + along[axis] * share);
            let reach = least.map_or(most, |(thickness, _)| thickness);
            if let Some(thickness) = cells.through(at, stretch.inward, reach) {
                least = Some((thickness, at));
            }
        }
    }
    least
}

/// Stretches of a section by square cells, row by row.
struct Cells<'a> {
    section: &'a [Stretch],
    low: [f64; 2],
    /// Cells along x and y.
    count: [usize; 2],
    /// Where each cell's stretches begin in `held`; one more at the end.
    begin: Vec<u32>,
    held: Vec<u32>,
}

impl<'a> Cells<'a> {
    fn of(section: &'a [Stretch]) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for end in section.iter().flat_map(|s| [s.from, s.to]) {
            low = [0, 1].map(|axis| low[axis].min(end[axis]));
            high = [0, 1].map(|axis| high[axis].max(end[axis]));
        }
        // Nothing has one cell; a conversion from a float saturates.
        let count = [0, 1].map(|axis| ((high[axis] - low[axis]).max(0.0) / CELL) as usize + 1);
        let mut cells = Self {
            section,
            low,
            count,
            begin: Vec::new(),
            held: Vec::new(),
        };
        // Counted, then laid in place in the order of the stretches, the last first.
        let around = |stretch: &Stretch| cells.around(stretch.from, stretch.to);
        let mut begin = vec![0_u32; count[0] * count[1] + 1];
        for cell in section.iter().flat_map(around) {
            begin[cell] += 1;
        }
        for cell in 1..begin.len() {
            begin[cell] += begin[cell - 1];
        }
        let all = begin.last().map_or(0, |all| *all as usize);
        let mut held = vec![0_u32; all];
        for (index, stretch) in section.iter().enumerate().rev() {
            for cell in around(stretch) {
                begin[cell] -= 1;
                held[begin[cell] as usize] = index as u32;
            }
        }
        (cells.begin, cells.held) = (begin, held);
        cells
    }

    /// Cells that the box around two points touches.
    fn around(&self, a: [f64; 2], b: [f64; 2]) -> impl Iterator<Item = usize> + use<> {
        let cell = |axis: usize, at: f64| {
            let cell = ((at - self.low[axis]) / CELL).max(0.0) as usize;
            cell.min(self.count[axis] - 1)
        };
        let [x, y] = [0, 1].map(|axis| {
            let (low, high) = (a[axis].min(b[axis]), a[axis].max(b[axis]));
            cell(axis, low)..=cell(axis, high)
        });
        let wide = self.count[0];
        y.flat_map(move |row| x.clone().map(move |column| row * wide + column))
    }

    /// From a place into the metal: how far it is to the other side, if that is nearer than
    /// `reach` and a wall's.
    fn through(&self, at: [f64; 2], into: [f64; 2], reach: f64) -> Option<f64> {
        let end = [0, 1].map(|axis| at[axis] + into[axis] * reach);
        let mut nearest = reach;
        let mut faces = None;
        for cell in self.around(at, end) {
            let held = self.begin[cell] as usize..self.begin[cell + 1] as usize;
            for index in &self.held[held] {
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
    let share = to[0] * into[1] - to[1] * into[0];
    // The share of the stretch is share / across; most are refused before anything is divided.
    let within = if across > 0.0 {
        (0.0..=across).contains(&share)
    } else {
        across < 0.0 && (across..=0.0).contains(&share)
    };
    within.then(|| (to[0] * along[1] - to[1] * along[0]) / across)
}
