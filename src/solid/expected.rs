//! How many facets a shape will take and how large it will be, before any is made.

use super::facet::facets_a_turn;
use super::turned::twisted_step;
use crate::assembly::{Contour, Outline, Placed, Pose, Shape, Solid};
use crate::units::Length;
use nalgebra::Point3;
use std::f64::consts::TAU;

/// Strips of a thread in each pitch: two flanks, the crest and the root.
const STRIPS: f64 = 4.0;
/// Pieces of a long facet in each longest side of one: halving stops between a half and a whole.
const HALVED: f64 = 1.5;

/// The facets of a shape's solids at a chord tolerance, tools included, and what they are divided
/// into when none may be longer than a side: those of a thread from its length in pitches, four
/// strips in each, two facets a column; of other curves two a column and corner. Booleans add and
/// drop some, and columns where creases meet come on top: a sixth to a quarter fewer than there are
/// (measured on kits of both layouts; a test of what drawing takes holds it).
pub fn expected_facets(shape: &Shape, tolerance: Length, side: Length) -> [f64; 2] {
    let base = std::iter::once(&shape.base);
    let all = base.chain(&shape.joined).chain(&shape.cut);
    let counts = all.map(|placed| of_solid(&placed.solid, tolerance, side));
    counts.fold([0.0; 2], added)
}

/// Sizes along x, y and z of a box around a shape in its print frame, its tools left out: no
/// less than its mesh has.
pub fn expected_size(shape: &Shape) -> [Length; 3] {
    let [low, high] = expected_box(shape, &Pose::identity());
    [0, 1, 2].map(|axis| Length::mm(high[axis] - low[axis]))
}

/// The least and the greatest x, y and z, in mm, of a shape where a pose puts it, its tools left out.
pub fn expected_box(shape: &Shape, pose: &Pose) -> [[f64; 3]; 2] {
    let solids = std::iter::once(&shape.base).chain(&shape.joined);
    let corners: Vec<Point3<f64>> = solids
        .flat_map(corners)
        .map(|corner| pose.apply(corner))
        .collect();
    let bound = |better: fn(f64, f64) -> f64, worst: f64| {
        [0, 1, 2].map(|axis| {
            let along = corners.iter().map(|corner| corner[axis]);
            along.fold(worst, better)
        })
    };
    [
        bound(f64::min, f64::INFINITY),
        bound(f64::max, f64::NEG_INFINITY),
    ]
}

fn added([a, b]: [f64; 2], [c, d]: [f64; 2]) -> [f64; 2] {
    [a + c, b + d]
}

/// Corners of a box around a solid, where it stands.
fn corners(placed: &Placed) -> Vec<Point3<f64>> {
    // Of each level: its height, and how far it reaches along x and y to either side.
    let levels: Vec<[f64; 3]> = match &placed.solid {
        Solid::Turned(turned) => {
            let corners = turned.outer.corners.iter();
            let threads = &turned.outer.threads;
            // A screw's contour runs clear of its crest.
            let crest = |z: Length| {
                let zone = threads.iter().find(|zone| zone.z[0] <= z && z <= zone.z[1]);
                zone.map(|zone| zone.form.thread.major() / 2.0 + zone.form.shift)
            };
            let within = |(z, radius): &(Length, Length)| {
                let radius = crest(*z).map_or(*radius, |crest| radius.min(crest)).as_mm();
                [z.as_mm(), radius, radius]
            };
            corners.map(within).collect()
        }
        Solid::Prism(levels) => {
            let level = |(z, outline): &(Length, Outline)| {
                let [x, y] = reach(outline);
                [z.as_mm(), x, y]
            };
            levels.iter().map(level).collect()
        }
    };
    let around = levels.iter().flat_map(|[z, x, y]| {
        [[-x, -y], [-x, *y], [*x, -y], [*x, *y]].map(|[x, y]| Point3::new(x, y, *z))
    });
    around.map(|corner| placed.pose.apply(corner)).collect()
}

/// How far an outline reaches along x and y, in mm.
pub(super) fn reach(outline: &Outline) -> [f64; 2] {
    let [x, y] = match outline {
        Outline::Circle { diameter } | Outline::Ribbed { diameter, .. } => [*diameter; 2],
        // Its roof of two tangents at 45 degrees stands out by less than a fifth, and its ceiling
        // cuts it off before.
        Outline::Teardrop { diameter, .. } => [*diameter; 2],
        Outline::Slotted { diameter, reach } => [*diameter, diameter.max(*reach * 2.0)],
        Outline::Square { side, .. } => [*side; 2],
        // The corners of a hexagon stand 2 / root 3 of its width apart.
        Outline::Hexagon { across_flats } => [*across_flats * (2.0 / 3f64.sqrt()), *across_flats],
        Outline::Rectangle { x, y } => [*x, *y],
        Outline::Keyed {
            diameter,
            width,
            span,
        } => [diameter.max(*span), diameter.max(*width)],
        Outline::Polygon(corners) => [0, 1].map(|axis| {
            let along = corners.iter().map(|corner| corner[axis].abs());
            along.fold(Length::ZERO, Length::max) * 2.0
        }),
    };
    [x.as_mm() / 2.0, y.as_mm() / 2.0]
}

fn of_solid(solid: &Solid, tolerance: Length, side: Length) -> [f64; 2] {
    match solid {
        Solid::Turned(turned) => {
            let bore = turned.bore.iter();
            let contours = std::iter::once(&turned.outer).chain(bore);
            let counts = contours.map(|contour| of_contour(contour, tolerance, side));
            counts.fold([0.0; 2], added)
        }
        Solid::Prism(levels) => {
            let most = levels
                .iter()
                .map(|(_, outline)| columns(outline, tolerance));
            let most = most.fold(0.0, f64::max);
            let steps = levels.windows(2);
            steps
                .map(|pair| strip(most, pair[1].0 - pair[0].0, side))
                .fold([0.0; 2], added)
        }
    }
}

/// A strip of columns: two facets each, halved until they are short.
fn strip(columns: f64, long: Length, side: Length) -> [f64; 2] {
    let facets = columns * 2.0;
    [facets, facets * (long.abs() / side * HALVED).max(1.0)]
}

fn of_contour(contour: &Contour, tolerance: Length, side: Length) -> [f64; 2] {
    let around = |radius: Length| facets_a_turn(radius, tolerance) as f64;
    let threads = contour.threads.iter().map(|zone| {
        let thread = &zone.form.thread;
        let pitches = (zone.z[1] - zone.z[0]) / thread.pitch();
        // Of two facets in each column one stands on either edge of its strip.
        let twisted = TAU / twisted_step(&zone.form, tolerance);
        let radii = [thread.major() / 2.0, thread.minor_internal() / 2.0];
        let columns: f64 = radii.map(|radius| around(radius).max(twisted)).iter().sum();
        [STRIPS * columns * pitches; 2]
    });
    let steps = contour.corners.windows(2).filter(|pair| {
        // A thread's own stretch is counted by its strips.
        let mut zones = contour.threads.iter();
        !zones.any(|zone| zone.z[0] <= pair[0].0 && pair[1].0 <= zone.z[1])
    });
    let steps = steps.map(|pair| {
        let ([z, radius], [end, end_radius]) = (pair[0].into(), pair[1].into());
        strip(around(radius.max(end_radius)), end - z, side)
    });
    threads.chain(steps).fold([0.0; 2], added)
}

/// Corners of an outline.
fn columns(outline: &Outline, tolerance: Length) -> f64 {
    match outline {
        Outline::Circle { diameter }
        | Outline::Keyed { diameter, .. }
        | Outline::Teardrop { diameter, .. }
        | Outline::Slotted { diameter, .. }
        | Outline::Ribbed { diameter, .. } => facets_a_turn(*diameter / 2.0, tolerance) as f64,
        Outline::Square { .. } => 8.0,
        Outline::Hexagon { .. } => 6.0,
        Outline::Rectangle { .. } => 4.0,
        Outline::Polygon(corners) => corners.len() as f64,
    }
}
