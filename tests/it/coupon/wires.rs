//! A three-wire measurement over the mesh of a screw gives its pitch diameter.
//!
//! Machinery's Handbook, "Measuring screw threads by the three-wire method" (from memory):
//! E = M - W (1 + csc a) + (P/2) cot a, with a the half angle of the thread; at a = 30 degrees
//! E = M - 3 W + 0.86603 P. The best wire W = P / (2 cos a) touches at the pitch line.

use super::{kits, of};
use crate::support::written::proved;
use netlead::coupon::Extent;
use netlead::solid::{Mesh, mesh};
use netlead::thread::Thread;
use netlead::units::{Angle, Length};

/// Least distance from the axis at which a wire across the thread, lying in a groove at this
/// height, clears every corner and edge of the mesh's profile in the half-plane at `angle`.
fn seat(profile: &[[f64; 2]], wire: f64, height: f64) -> f64 {
    // Every point (rho, z) within a wire's radius of the height pushes it out.
    profile
        .iter()
        .filter(|[_, z]| (z - height).abs() < wire / 2.0)
        .map(|[rho, z]| rho + (wire * wire / 4.0 - (z - height) * (z - height)).sqrt())
        .fold(0.0, f64::max)
}

/// The profile of a mesh in a half-plane through the axis: densely spaced points (rho, z).
fn profile(mesh: &Mesh, angle: f64) -> Vec<[f64; 2]> {
    let (sin, cos) = Angle::radians(angle).sin_cos();
    let mut points = Vec::new();
    for corners in mesh.facets() {
        let aside = corners.map(|p| p.y * cos - p.x * sin);
        let ahead = |p: nalgebra::Point3<f64>| p.x * cos + p.y * sin;
        let mut cuts = Vec::new();
        for (i, j) in [(0, 1), (1, 2), (2, 0)] {
            if (aside[i] < 0.0) != (aside[j] < 0.0) {
                let share = aside[i] / (aside[i] - aside[j]);
                cuts.push(corners[i] + (corners[j] - corners[i]) * share);
            }
        }
        if let [a, b] = cuts[..]
            && ahead(a) > 0.0
            && ahead(b) > 0.0
        {
            points.extend((0..=200).map(|step| {
                let p = a + (b - a) * (f64::from(step) / 200.0);
                [ahead(p), p.z]
            }));
        }
    }
    points
}

/// Reading over three wires, two on one side and one opposite, and the pitch diameter.
fn measured(mesh: &Mesh, thread: &Thread, wire: f64, middle: f64) -> f64 {
    let pitch = thread.pitch().as_mm();
    let side = |angle: f64| {
        let points = profile(mesh, angle);
        // A wire settles in the deepest place within a pitch.
        (0..400)
            .map(|step| middle + pitch * f64::from(step) / 400.0)
            .map(|height| seat(&points, wire, height))
            .fold(f64::INFINITY, f64::min)
    };
    let over = side(0.3) + side(0.3 + std::f64::consts::PI) + wire;
    let half = Angle::degrees(30.0);
    over - wire * (1.0 + 1.0 / half.sin()) + pitch / 2.0 / half.tan()
}

#[test]
fn three_wires_over_a_drawn_plugs_mesh_give_its_pitch_diameter() {
    for kit in kits() {
        let coupon = of(&kit, Extent::Full);
        for ladder in &coupon.ladders {
            let Some(thread) = &ladder.thread else {
                continue;
            };
            let plug = format!("{}-plug", ladder.stem());
            let piece = coupon.pieces.iter().find(|piece| piece.name == plug);
            let shape = &piece.expect("a plug for every thread").shape;
            let tolerance = 0.01;
            let mesh = mesh(shape, Length::mm(tolerance)).expect("a mesh");
            let written = proved(&mesh, 0).expect("a sound plug");
            let pitch = thread.pitch().as_mm();
            let best = pitch / (2.0 * Angle::degrees(30.0).cos());
            let middle = written.size_mm[2] - 3.5 * pitch;
            for wire in [best, 0.95 * best, 1.1 * best] {
                let found = measured(&written.mesh, thread, wire, middle);
                let expected = thread.pitch_diameter().as_mm();
                // Facets lie up to the tolerance inside, on both sides.
                assert!(
                    found < expected + 0.003 && found > expected - 2.0 * tolerance - 0.003,
                    "{}: {found} for {expected} over {wire}",
                    ladder.name
                );
            }
        }
    }
}
