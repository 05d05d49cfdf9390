//! Stacked outlines of one kind, with straight lines between them; corners of the same index
//! belong together.

use super::facet::facets_a_turn;
use super::mesh::Mesh;
use crate::assembly::{Outline, RIB_DIRECTIONS};
use crate::units::{Angle, Length};

/// A mesh of stacked outlines; all are of one kind and turn counter-clockwise about the axis.
pub(super) fn mesh(levels: &[(Length, Outline)], tolerance: Length) -> Mesh {
    let arcs = levels
        .iter()
        .map(|(_, outline)| arc_radius(outline))
        .fold(Length::ZERO, Length::max);
    let facets = if arcs > Length::ZERO {
        facets_a_turn(arcs, tolerance)
    } else {
        0
    };
    let mut mesh = Mesh::default();
    let rings: Vec<Vec<u32>> = levels
        .iter()
        .map(|(z, outline)| {
            let corners = corners(outline, facets);
            corners
                .iter()
                .map(|[x, y]| mesh.add(*x, *y, z.as_mm()))
                .collect()
        })
        .collect();
    for pair in rings.windows(2) {
        wall(&mut mesh, &pair[0], &pair[1]);
    }
    cap(&mut mesh, &rings[0], false);
    cap(&mut mesh, &rings[rings.len() - 1], true);
    mesh
}

/// Radius of an outline's arcs; zero where it has none.
fn arc_radius(outline: &Outline) -> Length {
    match outline {
        Outline::Circle { diameter }
        | Outline::Keyed { diameter, .. }
        | Outline::Teardrop { diameter, .. }
        | Outline::Slotted { diameter, .. }
        | Outline::Ribbed { diameter, .. } => *diameter / 2.0,
        Outline::Square { .. }
        | Outline::Hexagon { .. }
        | Outline::Rectangle { .. }
        | Outline::Polygon(_) => Length::ZERO,
    }
}

/// Corners of an outline, its arcs cut as a full circle of `facets` is.
pub(super) fn corners(outline: &Outline, facets: usize) -> Vec<[f64; 2]> {
    match outline {
        Outline::Circle { diameter } => {
            let mut circle = arc(diameter.as_mm() / 2.0, Angle::ZERO, Angle::TURN, facets);
            circle.pop();
            circle
        }
        Outline::Square { side, corner } => {
            let (a, b) = (side.as_mm() / 2.0, side.as_mm() / 2.0 - corner.as_mm());
            vec![
                [a, -b],
                [a, b],
                [b, a],
                [-b, a],
                [-a, b],
                [-a, -b],
                [-b, -a],
                [b, -a],
            ]
        }
        Outline::Hexagon { across_flats } => {
            // Flats square to y, so corners on the x axis.
            let corner = across_flats.as_mm() / 2.0 / Angle::degrees(30.0).cos();
            (0..6)
                .map(|sixth| polar(corner, Angle::degrees(60.0 * f64::from(sixth))))
                .collect()
        }
        Outline::Rectangle { x, y } => {
            let (x, y) = (x.as_mm() / 2.0, y.as_mm() / 2.0);
            vec![[x, -y], [x, y], [-x, y], [-x, -y]]
        }
        Outline::Keyed {
            diameter,
            width,
            span,
        } => keyed(*diameter, *width, *span, facets),
        Outline::Teardrop { diameter, ceiling } => teardrop(*diameter, *ceiling, facets),
        Outline::Ribbed { diameter, tips } => ribbed(*diameter, *tips, facets),
        Outline::Slotted { diameter, reach } => slotted(*diameter, *reach, facets),
        Outline::Polygon(corners) => corners.iter().map(|c| c.map(Length::as_mm)).collect(),
    }
}

/// A circle with two keys along x.
fn keyed(diameter: Length, width: Length, span: Length, facets: usize) -> Vec<[f64; 2]> {
    let (radius, x, y) = (
        diameter.as_mm() / 2.0,
        span.as_mm() / 2.0,
        width.as_mm() / 2.0,
    );
    let start = Angle::from_sin((y / radius).min(1.0));
    // As many parts as half a circle takes, however wide the keys: outlines that are set in
    // from each other keep corners that belong together.
    let top = divided(radius, start, Angle::TURN / 2.0 - start, facets.div_ceil(2));
    let bottom = top.iter().map(|[x, y]| [-x, -y]);
    let mut corners = vec![[x, -y], [x, y]];
    corners.extend(&top);
    corners.extend([[-x, y], [-x, -y]]);
    corners.extend(bottom);
    corners
}

/// A circle closed at the top by two tangents at 45 degrees and a ceiling.
fn teardrop(diameter: Length, ceiling: Length, facets: usize) -> Vec<[f64; 2]> {
    let (radius, half) = (diameter.as_mm() / 2.0, ceiling.as_mm() / 2.0);
    // The tangents touch at 45 degrees and would meet at r sqrt 2.
    let top = radius * 2f64.sqrt() - half;
    let mut corners = arc(radius, Angle::degrees(135.0), Angle::degrees(405.0), facets);
    corners.extend([[half, top], [-half, top]]);
    corners
}

/// Half a circle towards +y, and straight sides to a level end.
fn slotted(diameter: Length, reach: Length, facets: usize) -> Vec<[f64; 2]> {
    let (radius, end) = (diameter.as_mm() / 2.0, -reach.as_mm());
    let mut corners = arc(radius, Angle::ZERO, Angle::TURN / 2.0, facets);
    corners.extend([[-radius, end], [radius, end]]);
    corners
}

/// Half of what a rib spans where it does not stand out: outlines with and without ribs have
/// corners that belong together.
const FLUSH_RIB: Angle = Angle::degrees(15.0);
/// What is left between two ribs that would cross, as half an angle.
const BETWEEN_RIBS: Angle = Angle::degrees(1.0);

/// A circle with three flat faces that stand in it.
///
/// Every rib and every arc between two has as many parts whatever the sizes, so that outlines
/// of different ribs can be stacked; the corners on a flat face lie in line.
fn ribbed(diameter: Length, tips: Length, facets: usize) -> Vec<[f64; 2]> {
    let (wall, tip) = (diameter.as_mm() / 2.0, tips.as_mm() / 2.0);
    let reach = if tip < wall {
        Angle::from_cos((tip / wall).max(0.0))
    } else {
        FLUSH_RIB
    };
    let directions = RIB_DIRECTIONS.map(Angle::degrees);
    let radius = |angle: Angle| {
        directions.iter().fold(wall, |least, direction| {
            let cos = (angle - *direction).cos();
            // A face bounds only what lies on its own side of the axis.
            if cos > 0.0 {
                least.min(tip / cos)
            } else {
                least
            }
        })
    };
    // Halfway to the neighbour a rib ends at the latest.
    let ends_before = |gap: Angle| reach.min(gap / 2.0 - BETWEEN_RIBS);
    let mut corners = Vec::new();
    let mut stretch = |from: Angle, to: Angle, spans: Angle| {
        let parts = parts(spans, facets);
        corners.extend((0..parts).map(|part| {
            let angle = from + (to - from) * (part as f64 / parts as f64);
            polar(radius(angle), angle)
        }));
    };
    let last = directions[directions.len() - 1] - Angle::TURN;
    let behind = std::iter::once(last).chain(directions);
    let ahead = directions.into_iter().skip(1);
    let ahead = ahead.chain(std::iter::once(directions[0] + Angle::TURN));
    for ((behind, rib), ahead) in behind.zip(directions).zip(ahead) {
        let from = rib - ends_before(rib - behind);
        let to = rib + ends_before(ahead - rib);
        // A flat face needs no parts, but the round that stands for one takes those of its span.
        stretch(from, rib, FLUSH_RIB);
        stretch(rib, to, FLUSH_RIB);
        stretch(to, ahead - ends_before(ahead - rib), ahead - rib);
    }
    corners
}

/// Parts of an arc of which a full circle has `facets`.
fn parts(arc: Angle, facets: usize) -> usize {
    (arc / Angle::TURN * facets as f64).ceil().max(1.0) as usize
}

/// Points of an arc, both ends included.
fn arc(radius: f64, from: Angle, to: Angle, facets: usize) -> Vec<[f64; 2]> {
    divided(radius, from, to, parts(to - from, facets))
}

/// Points of an arc in a given number of parts, both ends included.
fn divided(radius: f64, from: Angle, to: Angle, parts: usize) -> Vec<[f64; 2]> {
    let share = |part: usize| part as f64 / parts as f64;
    (0..=parts)
        .map(|part| polar(radius, from + (to - from) * share(part)))
        .collect()
}

/// The point at a radius and an angle.
fn polar(radius: f64, angle: Angle) -> [f64; 2] {
    let (sin, cos) = angle.sin_cos();
    [radius * cos, radius * sin]
}

/// Joins two rings of equal length.
fn wall(mesh: &mut Mesh, low: &[u32], high: &[u32]) {
    for index in 0..low.len() {
        let next = (index + 1) % low.len();
        mesh.triangles.push([low[index], low[next], high[next]]);
        mesh.triangles.push([low[index], high[next], high[index]]);
    }
}

/// Closes a ring from a vertex on the axis.
fn cap(mesh: &mut Mesh, ring: &[u32], up: bool) {
    let z = mesh.points[ring[0] as usize].z;
    let centre = mesh.add(0.0, 0.0, z);
    for (index, corner) in ring.iter().enumerate() {
        let next = ring[(index + 1) % ring.len()];
        mesh.triangles.push(if up {
            [centre, *corner, next]
        } else {
            [centre, next, *corner]
        });
    }
}
