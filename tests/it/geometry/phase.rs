//! Where crests and grooves stand, measured on the meshes of assembled pieces.
//!
//! A mesh is cut by the half-plane of one angle. Where the cut passes the pitch line going up
//! and coming down again lies a ridge of the screw, or a groove of the hole: its centre is
//! half-way between.

use crate::support::bench::Bench;
use crate::support::kits;
use netlead::assembly::Fit;
use netlead::solid::Mesh;
use netlead::thread::Thread;
use netlead::units::{Angle, Length};

/// Chord tolerance of these meshes, in mm.
const TOLERANCE: f64 = 0.01;

/// Cuts run beside the angle asked for, so that no vertex lies on them. In turns; the rise of
/// the thread over it is taken off again.
const BESIDE: f64 = 1e-3;

/// z of the centres between passing `radius` outwards and inwards again, from the lowest, in
/// the half-plane at an angle, given in turns.
fn centres(mesh: &Mesh, turns: f64, radius: f64) -> Vec<f64> {
    let (sin, cos) = Angle::turns(turns).sin_cos();
    let mut passes: Vec<(f64, bool)> = Vec::new();
    for facet in mesh.facets() {
        let spots: Vec<(f64, f64)> = (0..3)
            .filter_map(|side| {
                let (a, b) = (facet[side], facet[(side + 1) % 3]);
                let across = |p: &nalgebra::Point3<f64>| cos * p.y - sin * p.x;
                let (from, to) = (across(&a), across(&b));
                let at = a + (b - a) * (from / (from - to));
                let rho = cos * at.x + sin * at.y;
                (from * to < 0.0 && rho > 0.0).then_some((rho, at.z))
            })
            .collect();
        let [(r0, z0), (r1, z1)] = spots[..] else {
            continue;
        };
        if (r0 - radius) * (r1 - radius) < 0.0 {
            let z = z0 + (z1 - z0) * (radius - r0) / (r1 - r0);
            passes.push((z, (r1 - r0) * (z1 - z0) > 0.0));
        }
    }
    passes.sort_by(|a, b| a.0.total_cmp(&b.0));
    passes
        .windows(2)
        .filter(|pair| pair[0].1 && !pair[1].1)
        .map(|pair| 0.5 * (pair[0].0 + pair[1].0))
        .collect()
}

/// Centres that repeat with the pitch, at an angle of zero, modulo the pitch.
fn at_angle_zero(mesh: &Mesh, thread: &Thread, radius: f64, [low, high]: [Length; 2]) -> Vec<f64> {
    let pitch = thread.pitch().as_mm();
    let rise = thread.signed_lead().as_mm() * BESIDE;
    centres(mesh, BESIDE, radius)
        .into_iter()
        .filter(|z| (low.as_mm()..high.as_mm()).contains(z))
        .map(|z| (z - rise) - pitch * ((z - rise) / pitch).round())
        .collect()
}

#[test]
fn crests_and_grooves_share_their_height_at_angle_zero() {
    for (name, kit) in kits::one_of_each() {
        let bench = Bench::kept(&kit, TOLERANCE);
        let assembly = &bench.design.assembly;
        for joint in assembly
            .joints
            .iter()
            .filter(|joint| joint.fit == Fit::Thread)
        {
            let in_hole = joint.thread.as_ref().unwrap();
            let thread = &in_hole.thread;
            let line = thread.pitch_diameter().as_mm() / 2.0;
            let gap = joint.gap.unwrap().drawn.as_mm();
            let [male, female] = joint.between.map(|piece| bench.mesh_at(piece, 0.0));
            // Chords pull both flanks of a ridge alike, so its centre stays.
            let crests = at_angle_zero(&male, thread, line, in_hole.male);
            let grooves = at_angle_zero(&female, thread, line + gap, in_hole.female);
            for (what, found, [low, high]) in [
                ("crests", crests, in_hole.male),
                ("grooves", grooves, in_hole.female),
            ] {
                let count = (high - low) / thread.pitch();
                assert!(
                    found.len() as f64 >= count - 1.5,
                    "{name}: {} of {count}",
                    found.len()
                );
                // The rule: a crest's and a groove's centre both stand at z = 0 at turn 0.
                let off = found.iter().fold(0.0, |most: f64, z| most.max(z.abs()));
                assert!(off < 2e-3, "{name}: {what} of {} off by {off}", joint.name);
            }
        }
    }
}

#[test]
fn crests_and_grooves_share_their_height_after_turns_that_are_not_whole() {
    for kit in [kits::opposite_hands(), kits::left_single()] {
        let bench = Bench::kept(&kit, TOLERANCE);
        let turns = 2.37;
        for joint in bench
            .design
            .assembly
            .joints
            .iter()
            .filter(|j| j.fit == Fit::Thread)
        {
            let in_hole = joint.thread.as_ref().unwrap();
            let thread = &in_hole.thread;
            let line = thread.pitch_diameter().as_mm() / 2.0;
            let gap = joint.gap.unwrap().drawn.as_mm();
            let [male, female] = joint.between.map(|piece| bench.mesh_at(piece, turns));
            let moved = |ends: [Length; 2], piece: usize| {
                let advance = bench.rates.of(joint.between[piece]).after(turns).advance;
                ends.map(|end| end + advance)
            };
            let crests = at_angle_zero(&male, thread, line, moved(in_hole.male, 0));
            let grooves = at_angle_zero(&female, thread, line + gap, moved(in_hole.female, 1));
            let pitch = thread.pitch().as_mm();
            for crest in &crests {
                let apart = crest - grooves[0];
                let apart = apart - pitch * (apart / pitch).round();
                assert!(apart.abs() < 4e-3, "{}: {apart}", joint.name);
            }
        }
    }
}
