//! What stands in whose way, and how near pieces come, audited on sampled poses by the boolean
//! kernel, which shares nothing with the comparisons that it judges.

use crate::support::bench::{Bench, in_parallel};
use crate::support::body::shared;
use crate::support::shell::project;
use crate::support::{kits, mm};
use netlead::assembly::{InstanceId, Pose};
use netlead::check::Outcome;
use netlead::clearance::{Body, Clearance, Pair, Trajectory, bodies};
use netlead::kit::{Kit, edit};
use netlead::making::{self, InMemory};
use netlead::units::Length;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Chord tolerance of the audited meshes, in mm: coarse, since every pose costs a boolean.
const TOLERANCE: f64 = 0.05;
/// What rounding leaves where faces slide on each other, in mm3.
const TOUCH: f64 = 1e-6;
/// Distances along a way that is called free, in mm.
const SAMPLES: [f64; 5] = [0.3, 1.7, 6.0, 19.0, 47.0];
/// How far beyond its first meeting a piece is pushed, in mm.
const BEYOND: f64 = 0.4;
/// The straight ways out.
const WAYS: [[f64; 3]; 6] = [
    [1.0, 0.0, 0.0],
    [-1.0, 0.0, 0.0],
    [0.0, 1.0, 0.0],
    [0.0, -1.0, 0.0],
    [0.0, 0.0, 1.0],
    [0.0, 0.0, -1.0],
];

struct Placed {
    bench: Arc<Bench>,
    bodies: Vec<Body>,
}

fn placed(kit: &Kit) -> Placed {
    let bench = Bench::kept(kit, TOLERANCE);
    let bodies = bodies(&bench.design.assembly, &bench.meshes, mm(TOLERANCE));
    Placed { bench, bodies }
}

impl Placed {
    fn count(&self) -> usize {
        self.bodies.len()
    }

    /// Volume that two pieces share with the first moved along a way.
    fn shared(&self, a: usize, b: usize, way: [f64; 3], by: f64) -> f64 {
        let [x, y, z] = way.map(|along| mm(along * by));
        let start: Pose = self.bench.pose(InstanceId(a), 0.0);
        let moved = self.bench.posed(InstanceId(a), &start.shifted(x, y, z));
        shared(&moved, &self.bench.at(InstanceId(b), 0.0))
    }

    /// How far the first of two pieces goes freely along a way; `None` where nothing ends it.
    fn free_travel(&self, a: usize, b: usize, way: [f64; 3]) -> Option<f64> {
        // Press faces overlap by chords alone; they are relieved, and share that much.
        let pair = Pair::new(&self.bodies[a], &self.bodies[b]).relieved(mm(2.0 * TOLERANCE));
        let met = pair.obstacle(&Trajectory::away(way))?;
        Some(met.free_travel.as_mm())
    }

    /// What the kernel objects to in the answers about a pair, the one moved along a way and the
    /// other against it. Both put the pieces in the same poses to each other, so the kernel is
    /// asked once for each distance.
    fn objections(&self, [a, b]: [usize; 2], way: [f64; 3]) -> Vec<String> {
        let against = way.map(|along| -along);
        let mut volumes = BTreeMap::new();
        let mut shared = |by: f64| {
            let kept = volumes.entry(by.to_bits());
            *kept.or_insert_with(|| self.shared(a, b, way, by))
        };
        let answers = [([a, b], way), ([b, a], against)];
        let objections = answers.into_iter().filter_map(|([moved, still], way)| {
            let names = [moved, still].map(|piece| self.bench.name(InstanceId(piece)));
            match self.free_travel(moved, still, way) {
                Some(travel) => {
                    let volume = shared(travel + BEYOND);
                    (volume <= TOUCH).then(|| format!("{names:?} {way:?} not met at {travel}"))
                }
                None => SAMPLES.into_iter().find_map(|by| {
                    let volume = shared(by);
                    (volume > 1.0).then(|| format!("{names:?} {way:?} meet at {by}: {volume}"))
                }),
            }
        });
        objections.collect()
    }
}

#[test]
fn no_straight_way_is_called_free_that_is_not_nor_blocked_that_is() {
    for kit in [kits::m20_m12(), kits::m16()] {
        let placed = placed(&kit);
        let count = placed.count();
        let pairs: Vec<[usize; 2]> = (0..count)
            .flat_map(|a| (a + 1..count).map(move |b| [a, b]))
            .collect();
        let found = in_parallel(&pairs, |pair| {
            let objections = WAYS.iter().map(|way| placed.objections(*pair, *way));
            objections.collect::<Vec<_>>().concat()
        });
        assert_eq!(found.concat(), Vec::<String>::new());
    }
}

#[test]
fn pieces_that_leave_a_gap_share_no_room_at_any_sampled_turn() {
    for (name, kit) in kits::one_of_each() {
        let bench = Bench::kept(&kit, TOLERANCE);
        let meshes = &bench.meshes;
        let found = || {
            let (assembly, ends) = (&bench.design.assembly, bench.design.ends_of_play());
            Clearance::of_meshes(assembly, meshes, Length::mm(TOLERANCE), &bench.rates, ends)
        };
        let clearance = found();
        assert_eq!(clearance, found(), "{name}: the same kit, other answers");
        let course = bench.design.course.turns;
        let clear = clearance.pairs.iter().filter(|pair| pair.overlap.is_none());
        let clear: Vec<[InstanceId; 2]> = clear.map(|pair| pair.between).collect();
        let met = in_parallel(&clear, |[a, b]| {
            [0.0, 0.37 * course, course]
                .map(|turn| shared(&bench.at(*a, turn), &bench.at(*b, turn)))
        });
        for (pair, volumes) in clear.iter().zip(met) {
            let names = pair.map(|piece| bench.name(piece));
            assert!(
                volumes.iter().all(|volume| *volume <= TOUCH),
                "{name}: {names:?} {volumes:?}"
            );
        }
        // Thread, slide and stop pairs are among those that come near.
        let near = clearance
            .pairs
            .iter()
            .filter(|pair| pair.least.is_some())
            .count();
        assert!(near >= 3, "{name}: {near}");
    }
}

#[test]
fn pins_pressed_by_a_hair_are_not_taken_for_an_overlap() {
    // Flat ribs graze round pins: their edges enter a pin and leave it again.
    let presets = ["board-stop", "plain-stage"];
    let presses = [-0.06, -0.05, -0.045, -0.04, -0.035, -0.03];
    let tried: Vec<(&str, f64)> = presets
        .into_iter()
        .flat_map(|preset| presses.map(|press| (preset, press)))
        .collect();
    let found = in_parallel(&tried, |(preset, press)| {
        let file = project("presets").join(preset).with_extension("toml");
        let text = std::fs::read_to_string(file).unwrap();
        let press = format!("\"{press} mm\"");
        let text = edit::with_value(&text, "gaps.press", &press).unwrap();
        let read = making::read("kit.toml", &text, &InMemory::none());
        let product = read.unwrap().work(&|_| {}).unwrap();
        let clearances = product.findings.into_iter();
        let clearances = clearances.filter(|finding| finding.id == "clearance");
        let mut open = clearances.filter(|finding| finding.outcome > Outcome::Note);
        open.next().map(|finding| finding.message)
    });
    for (tried, found) in tried.iter().zip(found) {
        assert_eq!(found, None, "{tried:?}");
    }
}
