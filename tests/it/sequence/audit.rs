//! Verdicts of every pair, walked in sampled poses of the meshes by a second collision library.
//!
//! What is called free must not be hit in any pose; what is called blocked must be hit in one,
//! unless only rings object. Coarse here; `AUDIT_POSES=400 cargo test --release --test sequence
//! audit` looks at so many poses of each way.

use super::pieces::Puzzle;
use super::puzzles;
use crate::support::bench::in_parallel;
use crate::support::{kits, mm};
use netlead::assembly::{Fit, Pose};
use netlead::clearance::bodies;
use netlead::kit::Kit;
use netlead::motion::solve;
use netlead::sequence::{Move, Obstacles, Passage, Scene};
use netlead::solid::{Mesh, mesh};
use parry3d_f64::math::{Pose as Place, Vector};
use parry3d_f64::query::intersection_test;
use parry3d_f64::shape::TriMesh;
use std::f64::consts::TAU;

/// Poses of each way.
fn poses() -> u32 {
    let asked = std::env::var("AUDIT_POSES").ok();
    asked.and_then(|asked| asked.parse().ok()).unwrap_or(8)
}

/// Chord tolerance of the kits, in mm: coarse, for speed.
const CHORD: f64 = 0.05;
/// First pose of a way, in mm: faces that touch at the start count as hit.
const OFF: f64 = 0.05;
/// How far beyond where a piece is said to meet another it is looked for, in mm.
const BEYOND: [f64; 7] = [0.01, 0.03, 0.1, 0.3, 0.7, 1.5, 4.0];

/// A mesh for the second library.
fn hull(mesh: &Mesh) -> TriMesh {
    let points = mesh.points.iter().map(|p| Vector::new(p.x, p.y, p.z));
    TriMesh::new(points.collect(), mesh.triangles.clone()).unwrap()
}

/// Whether a piece, moved so far along a way, hits another.
fn hits(moving: &TriMesh, still: &TriMesh, way: Move, travel: f64) -> bool {
    let direction = way.direction().vector();
    let [x, y, z] = direction.map(|along| along * travel);
    let turn = match way {
        Move::Straight(_) => 0.0,
        Move::Helical { lead, .. } => z / lead * TAU,
    };
    let place = Place::new(Vector::new(x, y, z), Vector::new(0.0, 0.0, turn));
    let stays = Place::identity();
    let met = intersection_test(&place, moving, &stays, still);
    met.unwrap().intersecting
}

/// What was found in a scene.
#[derive(Debug, Default)]
struct Found {
    free: usize,
    blocked: usize,
    wrong: Vec<String>,
    unconfirmed: Vec<String>,
}

/// Walks every verdict of a scene, at turn 0. `meshes` stand in the assembly, in the order of the
/// caller's list; `skip` names pairs that overlap as drawn.
fn audit(scene: &Scene<'_>, meshes: &[Mesh], skip: &[[usize; 2]]) -> Found {
    let hulls: Vec<TriMesh> = meshes.iter().map(hull).collect();
    let extent = meshes.iter().flat_map(|mesh| mesh.bounds()).flatten();
    let far = 2.0 * extent.fold(0.0f64, |far, at| far.max(at.abs()));
    let count = scene.pieces();
    let pairs: Vec<[usize; 2]> = (0..count)
        .flat_map(|a| (0..count).filter(move |b| *b != a).map(move |b| [a, b]))
        .filter(|pair| {
            let [a, b] = pair.map(|piece| scene.named(piece));
            !skip.contains(&[a, b]) && !skip.contains(&[b, a])
        })
        .collect();
    let each = in_parallel(&pairs, |[a, b]| {
        let mut found = Found::default();
        let (moving, still) = (&hulls[scene.named(*a)], &hulls[scene.named(*b)]);
        for way in scene.moves() {
            let say = || format!("{} past {}: {way:?}", scene.named(*a), scene.named(*b));
            match scene.passage(*a, *b, *way, 0) {
                Passage::Free => {
                    found.free += 1;
                    let steps = poses();
                    // Not on whole turns: shares of a way that no lead divides.
                    let hit = (0..steps).any(|step| {
                        let share = f64::from(step) / f64::from(steps);
                        hits(moving, still, *way, OFF + far * share * share)
                    });
                    if hit {
                        found.wrong.push(say());
                    }
                }
                passage => {
                    found.blocked += 1;
                    let travel = scene.free_travel(*a, *b, *way, 0).unwrap_or(0.0);
                    let confirmed = BEYOND
                        .iter()
                        .any(|beyond| hits(moving, still, *way, travel + beyond));
                    if !confirmed && passage == Passage::Blocked {
                        found.unconfirmed.push(say());
                    }
                }
            }
        }
        found
    });
    each.into_iter().fold(Found::default(), |mut all, found| {
        all.free += found.free;
        all.blocked += found.blocked;
        all.wrong.extend(found.wrong);
        all.unconfirmed.extend(found.unconfirmed);
        all
    })
}

fn puzzle(puzzle: &Puzzle) {
    let found = audit(&puzzle.scene(), &puzzle.meshes, &[]);
    shown("puzzle", &found);
    judged(&found);
}

/// Prints what was looked at: for whoever asks with `--nocapture`.
#[expect(
    clippy::print_stdout,
    reason = "an audit reports to whoever asked for it"
)]
fn shown(what: &str, found: &Found) {
    println!(
        "{what}: {} free, {} hit; {} blocked, {} not confirmed",
        found.free,
        found.wrong.len(),
        found.blocked,
        found.unconfirmed.len()
    );
}

/// Nothing free is hit; hardly anything blocked is never hit.
fn judged(found: &Found) {
    assert!(found.wrong.is_empty(), "{found:?}");
    assert!(found.free > 0 && found.blocked > 0, "{found:?}");
    assert!(found.unconfirmed.len() * 50 <= found.blocked, "{found:?}");
}

#[test]
fn verdicts_of_puzzles_hold_in_sampled_poses() {
    for each in puzzles::all() {
        puzzle(&each);
    }
}

fn of_kit(kit: &Kit) {
    let design = kits::design(kit);
    let assembly = &design.assembly;
    let rates = solve(assembly).unwrap();
    let rates = rates.per_stroke_turn(rates.stroke_direction().unwrap());
    let parts = assembly.parts.iter();
    let meshes: Vec<Mesh> = parts
        .map(|part| mesh(&part.shape, mm(CHORD)).unwrap())
        .collect();
    let pieces = bodies(assembly, &meshes, mm(CHORD));
    let scene = Scene::new(
        assembly,
        &rates,
        &design.course,
        &meshes,
        &pieces,
        mm(CHORD),
    );
    let placed: Vec<Mesh> = assembly
        .instances
        .iter()
        .map(|piece| placed(&meshes[piece.part.0], &piece.pose))
        .collect();
    // Faces that are pressed or lie flush touch on their way out, and touching counts as a hit.
    let touching = assembly.joints.iter().filter(|joint| {
        let gap = joint.gap.map_or(0.0, |gap| gap.drawn.as_mm());
        joint.fit == Fit::Press || gap < 2.0 * CHORD
    });
    let skip: Vec<[usize; 2]> = touching
        .map(|joint| joint.between.map(|piece| piece.0))
        .collect();
    let found = audit(&scene, &placed, &skip);
    shown("kit", &found);
    judged(&found);
}

fn placed(mesh: &Mesh, pose: &Pose) -> Mesh {
    mesh.placed(pose)
}

#[test]
fn verdicts_of_a_nested_kit_hold_in_sampled_poses() {
    of_kit(&kits::m20_m12());
}

#[test]
fn verdicts_of_a_left_hand_single_kit_hold_in_sampled_poses() {
    of_kit(&kits::left_single());
}
