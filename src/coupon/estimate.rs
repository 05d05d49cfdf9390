//! How long a print of several pieces takes, and whether they fit on one bed.
//!
//! All pieces grow together, so with the layers counted over the tallest:
//!
//! ```text
//! t = sum over layers of max(t_min, V_layer / Q) + moves
//! ```
//!
//! V is what the walls fill, n w A (1 - n w/d) with d = 4 V/A (exact for a round bar), and a
//! share of the rest. Off by -30 to +50 % until a timed print is at hand (derived; an M8 screw
//! 60 mm long at 0.2 mm layers comes to 45 minutes, of which V/Q alone says 8).

use super::Coupon;
use crate::printer::Profile;
use crate::solid::{Mesh, mesh};
use crate::units::Length;
use std::fmt;

/// A span of time, in minutes.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Minutes(pub f64);

impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} min", self.0)
    }
}

/// What a print takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Expected.
    pub time: Minutes,
    /// Likely at the least: -30 %.
    pub least: Minutes,
    /// Likely at the most: +50 %.
    pub most: Minutes,
    /// Filament, in cubic millimetres.
    pub plastic_mm3: f64,
}

/// A piece as an estimate sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Enclosed volume, in mm3.
    pub volume_mm3: f64,
    /// Area of the surface, in mm2.
    pub area_mm2: f64,
    /// Size along x, y and z, in mm.
    pub size_mm: [f64; 3],
}

/// Plastic laid in a second, in mm3. Guess, from a screw of 1.94 cm3 in 8 minutes.
const FLOW: f64 = 4.0;
/// Least time of a layer, in seconds, for it to cool (common practice).
const LEAST_LAYER: f64 = 8.0;
/// Going to a piece and beginning there, in seconds for each layer. Guess.
const MOVE: f64 = 0.5;
/// Share of the inside that is filled (common practice).
const INFILL: f64 = 0.2;
/// Likely least and most, of what is expected.
const LIKELY: [f64; 2] = [0.7, 1.5];
/// Room between pieces on a bed, in mm (common practice).
const BETWEEN: f64 = 5.0;
/// Chord tolerance of the meshes by which a print is judged before it is made.
const ROUGH: Length = Length::mm(0.1);

/// Bodies of a coupon's pieces, coarsely; a piece that cannot be meshed is left out, and is
/// told of when it is made.
pub(super) fn rough(coupon: &Coupon) -> Vec<Body> {
    let meshes = coupon
        .pieces
        .iter()
        .filter_map(|piece| mesh(&piece.shape, ROUGH).ok());
    meshes.map(|mesh| Body::of(&mesh)).collect()
}

impl Body {
    /// Of a mesh.
    pub fn of(mesh: &Mesh) -> Self {
        let span = |axis: usize| {
            let along = || mesh.points.iter().map(|point| point[axis]);
            along().fold(f64::NEG_INFINITY, f64::max) - along().fold(f64::INFINITY, f64::min)
        };
        Self {
            volume_mm3: mesh.volume_mm3(),
            area_mm2: mesh.area_mm2(),
            size_mm: [span(0), span(1), span(2)],
        }
    }

    /// Filament in it, in mm3.
    fn plastic(&self, profile: &Profile) -> f64 {
        let skin = profile.line.as_mm() * f64::from(profile.walls);
        // n w / d, with d = 4 V/A; at a half the walls meet.
        let share = (skin * self.area_mm2 / (4.0 * self.volume_mm3)).min(0.5);
        let walls = self.volume_mm3 * 4.0 * share * (1.0 - share);
        walls + INFILL * (self.volume_mm3 - walls)
    }
}

impl Estimate {
    /// Of pieces printed together.
    pub fn new(bodies: &[Body], profile: &Profile) -> Self {
        of(bodies, profile)
    }
}

/// What pieces take that are printed together.
pub(super) fn of(bodies: &[Body], profile: &Profile) -> Estimate {
    let layer = profile.layer.as_mm();
    let layers = |body: &Body| (body.size_mm[2] / layer).ceil().max(1.0);
    let plastic: Vec<f64> = bodies.iter().map(|body| body.plastic(profile)).collect();
    let tallest = bodies.iter().map(layers).fold(0.0, f64::max) as u32;
    let seconds: f64 = (0..tallest)
        .map(|layer| {
            let here = || {
                bodies
                    .iter()
                    .zip(&plastic)
                    .filter(|(b, _)| f64::from(layer) < layers(b))
            };
            let volume: f64 = here().map(|(body, plastic)| plastic / layers(body)).sum();
            (volume / FLOW).max(LEAST_LAYER) + MOVE * here().count() as f64
        })
        .sum();
    let time = |factor: f64| Minutes(seconds / 60.0 * factor);
    Estimate {
        time: time(1.0),
        least: time(LIKELY[0]),
        most: time(LIKELY[1]),
        plastic_mm3: plastic.iter().sum(),
    }
}

/// Whether pieces fit on a bed beside each other: rows of pieces, the deepest first, with
/// 5 mm between them. It never says yes to what does not fit.
pub fn fits_on(bodies: &[Body], bed: [Length; 3]) -> bool {
    let [wide, deep, high] = bed.map(Length::as_mm);
    let mut order: Vec<&Body> = bodies.iter().collect();
    order.sort_by(|a, b| b.size_mm[1].total_cmp(&a.size_mm[1]));
    let (mut x, mut y, mut row) = (0.0, 0.0, 0.0f64);
    for body in order {
        let [w, d, h] = body.size_mm;
        if x > 0.0 && x + w > wide {
            (x, y, row) = (0.0, y + row + BETWEEN, 0.0);
        }
        if w > wide || y + d > deep || h > high {
            return false;
        }
        x += w + BETWEEN;
        row = row.max(d);
    }
    true
}
