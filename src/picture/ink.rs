//! Where lines stand: outlines of pieces, steps in depth, creases; and hatching of cut faces.

use super::raster::{Buffer, NOTHING};
use super::surface::crease_cosine;
use super::tint::{INK_INDEX, PAPER_INDEX, Tint};

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
    let mut colours = ground(buffer, looks);
    let (width, height) = (buffer.width, buffer.height);
    let mut lines = vec![Line::None; width * height];
    for row in 0..height {
        let begin = row * width;
        let here = &buffer.facet[begin..begin + width];
        for (column, pair) in here.windows(2).enumerate() {
            if pair[0] != pair[1] {
                let dot = begin + column;
                mark(buffer, &mut lines, dot, dot + 1, (true, dot_mm));
            }
        }
        let Some(below) = buffer.facet.get(begin + width..begin + 2 * width) else {
            continue;
        };
        for (column, (one, other)) in here.iter().zip(below).enumerate() {
            if one != other {
                let dot = begin + column;
                mark(buffer, &mut lines, dot, dot + width, (false, dot_mm));
            }
        }
    }
    for (dot, line) in lines.iter().enumerate() {
        match line {
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

/// Marks the line between two neighbouring dots, if there is one.
fn mark(buffer: &Buffer, lines: &mut [Line], one: usize, other: usize, across: (bool, f32)) {
    let line = between(buffer, one, other, across);
    if line == Line::None {
        return;
    }
    // The line stands on the nearer of the two, so that it does not widen what is behind.
    let nearer = match buffer.depth[one] >= buffer.depth[other] {
        true => one,
        false => other,
    };
    lines[nearer] = lines[nearer].max(line);
    if line == Line::Thin {
        lines[one] = lines[one].max(line);
    }
}

fn between(buffer: &Buffer, one: usize, other: usize, (level, dot_mm): (bool, f32)) -> Line {
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
        let along = if level { normal.x } else { normal.y };
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
fn ground(buffer: &Buffer, looks: &[(Tint, usize)]) -> Vec<u8> {
    // Of each piece the colours of all the lights that a dot may have.
    let shades: Vec<[u8; 256]> = looks
        .iter()
        .map(|(tint, _)| std::array::from_fn(|light| tint.index(light as f32 / f32::from(u8::MAX))))
        .collect();
    let mut colours = vec![PAPER_INDEX; buffer.facet.len()];
    let dots = buffer.facet.iter().zip(&buffer.light);
    for (dot, (colour, (facet, light))) in colours.iter_mut().zip(dots).enumerate() {
        if *facet == NOTHING {
            continue;
        }
        let piece = usize::from(buffer.piece[*facet as usize]);
        let Some((shades, (tint, hatch))) = shades.get(piece).zip(looks.get(piece)) else {
            continue;
        };
        *colour = match buffer.is_cut_face(dot) {
            true => match hatched(*hatch, dot % buffer.width, dot / buffer.width) {
                true => INK_INDEX,
                false => tint.cut(),
            },
            false => shades[usize::from(*light)],
        };
    }
    colours
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
