//! How many facets a shape will take, before any is made.

use super::facet::facets_a_turn;
use crate::assembly::{Contour, Outline, Shape, Solid};
use crate::units::Length;

/// Strips of a thread in each pitch: two flanks, the crest and the root.
const STRIPS: f64 = 4.0;

/// The facets of a shape's solids at a chord tolerance, tools included: those of a thread from
/// its length in pitches, four strips in each, two facets a column; of other curves two a column
/// and corner. Booleans add and drop some; within a third on parts with long threads (measured).
pub fn expected_facets(shape: &Shape, tolerance: Length) -> f64 {
    let base = std::iter::once(&shape.base);
    let all = base.chain(&shape.joined).chain(&shape.cut);
    all.map(|placed| of_solid(&placed.solid, tolerance)).sum()
}

fn of_solid(solid: &Solid, tolerance: Length) -> f64 {
    match solid {
        Solid::Turned(turned) => {
            let bore = turned.bore.iter().map(|bore| of_contour(bore, tolerance));
            of_contour(&turned.outer, tolerance) + bore.sum::<f64>()
        }
        Solid::Prism(levels) => {
            let columns = levels
                .iter()
                .map(|(_, outline)| columns(outline, tolerance));
            columns.sum::<f64>() * 2.0
        }
    }
}

fn of_contour(contour: &Contour, tolerance: Length) -> f64 {
    let around = |radius: Length| facets_a_turn(radius, tolerance) as f64;
    let threads = contour.threads.iter().map(|zone| {
        let thread = &zone.form.thread;
        let pitches = (zone.z[1] - zone.z[0]) / thread.pitch();
        // Of two facets in each column one stands on either edge of its strip.
        let columns = around(thread.major() / 2.0) + around(thread.minor_internal() / 2.0);
        STRIPS * columns * pitches
    });
    let corners = contour.corners.iter();
    threads.sum::<f64>() + corners.map(|(_, radius)| around(*radius)).sum::<f64>() * 2.0
}

/// Corners of an outline.
fn columns(outline: &Outline, tolerance: Length) -> f64 {
    match outline {
        Outline::Circle { diameter }
        | Outline::Keyed { diameter, .. }
        | Outline::Teardrop { diameter, .. }
        | Outline::Ribbed { diameter, .. } => facets_a_turn(*diameter / 2.0, tolerance) as f64,
        Outline::Square { .. } => 8.0,
        Outline::Hexagon { .. } => 6.0,
        Outline::Rectangle { .. } => 4.0,
        Outline::Polygon(corners) => corners.len() as f64,
    }
}
