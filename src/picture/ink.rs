//! Where lines stand: outlines of pieces, steps in depth, creases; and hatching of cut faces.

use super::raster::{Buffer, NOTHING};
use super::surface::crease_cosine;
use super::tint::{INK_INDEX, PAPER_INDEX, Tint};
use std::ops::Range;

/// How strongly a dot is inked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Line {
    None,
    /// Edges between faces of one piece: the thin line of ISO 128-2.
    Thin,
    /// Outlines: the thick line.
    Thick,
}

/// A step in depth that is an edge, in mm, beside what a slanting face explains: a third of a thread's
/// depth at a pitch of 1 mm.
const STEP: f32 = 0.25;
/// How many times the slope of a face its depth may change from dot to dot and be one face still.
const SLOPE: f32 = 2.5;
/// Least share of a face's normal that looks at the eye which its slope is reckoned with.
const GRAZING: f32 = 0.08;
/// Distance of hatch lines, in dots at a hatch's own angle: 1.5 mm of paper at 12 dots a mm.
const HATCH: i64 = 18;
/// Width of a hatch line in dots.
const HATCH_LINE: i64 = 2;

/// Every dot's colour, as a number in the palette. `looks` are the pieces' tints and hatches, in
/// their order.
pub(super) fn inked(buffer: &Buffer, looks: &[(Tint, usize)], dot_mm: f32) -> Vec<u8> {
    let (width, height) = (buffer.width, buffer.height);
    let ground = Ground::new(buffer, looks);
    let mut colours = vec![PAPER_INDEX; width * height];
    let mut lines = Lines::new(buffer, dot_mm);
    for row in 0..height {
        let begin = row * width;
        let next = buffer.facet.get(begin + width..begin + 2 * width);
        let mut column = 0;
        // One facet at a time: most dots have neighbours of their own facet, and no line.
        for run in buffer.facet[begin..begin + width].chunk_by(|one, other| one == other) {
            let past = column + run.len();
            ground.fill(&mut colours, begin + column..begin + past, run[0]);
            if past < width {
                lines.mark(begin + past - 1, begin + past, true);
            }
            let below = next.map_or(&[][..], |next| &next[column..past]);
            for (dot, under) in (begin + column..).zip(below) {
                if *under != run[0] {
                    lines.mark(dot, dot + width, false);
                }
            }
            column = past;
        }
    }
    for dot in lines.marked {
        match lines.at[dot] {
            Line::None => {}
            Line::Thin => colours[dot] = INK_INDEX,
            Line::Thick => thicken(&mut colours, dot, (width, height)),
        }
    }
    colours
}

/// A thick line's dot, with those around it.
fn thicken(colours: &mut [u8], dot: usize, (width, height): (usize, usize)) {
    let (row, column) = (dot / width, dot % width);
    colours[dot] = INK_INDEX;
    if row > 0 {
        colours[dot - width] = INK_INDEX;
    }
    if column > 0 {
        colours[dot - 1] = INK_INDEX;
    }
    if row + 1 < height {
        colours[dot + width] = INK_INDEX;
    }
    if column + 1 < width {
        colours[dot + 1] = INK_INDEX;
    }
}

/// The lines of a picture, as far as they are marked.
struct Lines<'a> {
    buffer: &'a Buffer,
    dot_mm: f32,
    /// Of every dot.
    at: Vec<Line>,
    /// Where there is one; a dot may stand here twice.
    marked: Vec<usize>,
}

impl<'a> Lines<'a> {
    fn new(buffer: &'a Buffer, dot_mm: f32) -> Self {
        Self {
            buffer,
            dot_mm,
            at: vec![Line::None; buffer.facet.len()],
            marked: Vec::new(),
        }
    }

    /// Marks the line between two neighbouring dots, side by side or one above the other, if there is one.
    fn mark(&mut self, one: usize, other: usize, side_by_side: bool) {
        let buffer = self.buffer;
        let line = between(buffer, one, other, (side_by_side, self.dot_mm));
        if line == Line::None {
            return;
        }
        // The line stands on the nearer of the two, so that it does not widen what is behind.
        let nearer = match buffer.depth[one] >= buffer.depth[other] {
            true => one,
            false => other,
        };
        self.draw(nearer, line);
        if line == Line::Thin {
            self.draw(one, line);
        }
    }

    fn draw(&mut self, dot: usize, line: Line) {
        self.at[dot] = self.at[dot].max(line);
        self.marked.push(dot);
    }
}

fn between(buffer: &Buffer, one: usize, other: usize, (side_by_side, dot_mm): (bool, f32)) -> Line {
    let [a, b] = [one, other].map(|dot| buffer.facet[dot]);
    if a == NOTHING || b == NOTHING {
        return Line::Thick;
    }
    let [p, q] = [a, b].map(|facet| buffer.piece[facet as usize]);
    let [cut_a, cut_b] = [one, other].map(|dot| buffer.is_cut_face(dot));
    if p != q || cut_a != cut_b {
        return Line::Thick;
    }
    if cut_a {
        return Line::None;
    }
    let [n, m] = [a, b].map(|facet| buffer.normals[facet as usize]);
    let slope = |normal: &nalgebra::Vector3<f32>| {
        let along = if side_by_side { normal.x } else { normal.y };
        (along / normal.z.max(GRAZING)).abs()
    };
    let step = (buffer.depth[one] - buffer.depth[other]).abs();
    let explained = slope(&n).max(slope(&m)) * dot_mm * SLOPE;
    if step > explained + STEP {
        return Line::Thick;
    }
    match n.dot(&m) < crease_cosine() {
        true => Line::Thin,
        false => Line::None,
    }
}

/// Faces in their shades, cut ones with their hatching.
struct Ground<'a> {
    buffer: &'a Buffer,
    looks: &'a [(Tint, usize)],
    /// Of each piece the colours of all the lights that a dot may have.
    shades: Vec<[u8; LIGHTS]>,
}

/// What the light of a dot may be, counted.
const LIGHTS: usize = u8::MAX as usize + 1;

impl<'a> Ground<'a> {
    fn new(buffer: &'a Buffer, looks: &'a [(Tint, usize)]) -> Self {
        let shades = |(tint, _): &(Tint, usize)| {
            std::array::from_fn(|light| tint.index(light as f32 / f32::from(u8::MAX)))
        };
        Self {
            buffer,
            looks,
            shades: looks.iter().map(shades).collect(),
        }
    }

    /// Colours dots of one row in which one facet is seen.
    fn fill(&self, colours: &mut [u8], dots: Range<usize>, facet: u32) {
        let buffer = self.buffer;
        let Some(piece) = buffer.piece.get(facet as usize) else {
            return;
        };
        let piece = usize::from(*piece);
        let Some((shades, (tint, hatch))) = self.shades.get(piece).zip(self.looks.get(piece))
        else {
            return;
        };
        let lights = &buffer.light[dots.clone()];
        let colours = &mut colours[dots.clone()];
        if !buffer.is_cut_face(dots.start) {
            for (colour, light) in colours.iter_mut().zip(lights) {
                *colour = shades[usize::from(*light)];
            }
            return;
        }
        for (colour, dot) in colours.iter_mut().zip(dots) {
            *colour = match hatched(*hatch, dot % buffer.width, dot / buffer.width) {
                true => INK_INDEX,
                false => tint.cut(),
            };
        }
    }
}

/// How many kinds of hatching there are.
pub const HATCHES: usize = 6;
/// Ways in which cut faces are hatched: dots to the right and down from line to line, and how wide apart,
/// in shares of the usual distance. Touching pieces differ in angle or distance (ISO 128-3).
const WAYS: [(i64, i64, f64); HATCHES] = [
    (1, 1, 1.0),
    (1, -1, 1.0),
    (1, 2, 1.0),
    (1, -2, 1.0),
    (2, 1, 1.0),
    (1, 1, 0.6),
];

/// Whether a line of a hatch passes through a dot.
fn hatched(hatch: usize, column: usize, row: usize) -> bool {
    let (x, y, distance) = WAYS[hatch % HATCHES];
    let steep = ((x * x + y * y) as f64).sqrt();
    let along = x * column as i64 + y * row as i64;
    let period = (HATCH as f64 * distance * steep) as i64;
    let wide = (HATCH_LINE as f64 * steep) as i64;
    along.rem_euclid(period.max(1)) < wide
}
