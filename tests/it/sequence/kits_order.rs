//! Orders of kits: what a person would do, the same whatever the list says, and numbers.

use crate::support::bench::{Bench, in_parallel};
use crate::support::kept::Kept;
use crate::support::sizes::sizes;
use crate::support::{kits, mm};
use approx::assert_abs_diff_eq;
use netlead::assembly::{Assembly, InstanceId, MotionKind, Step};
use netlead::clearance::bodies;
use netlead::kit::Kit;
use netlead::layout::Design;
use netlead::motion::{StrokeRates, solve};
use netlead::sequence::{Order, Removed, Speaker, find, steps};
use netlead::solid::Mesh;
use netlead::units_told::Told;
use std::sync::Arc;

/// Chord tolerance of presets.
const CHORD: f64 = 0.01;

struct Planned {
    bench: Arc<Bench>,
    order: Order,
}

/// The plans that tests share.
static PLANS: Kept<Planned> = Kept::new();

impl Planned {
    fn new(kit: &Kit) -> Arc<Self> {
        PLANS.get(format!("{kit:?}"), || {
            let bench = Bench::kept(kit, CHORD);
            let design = &bench.design;
            let order = found(&design.assembly, design, &bench.meshes);
            Self { bench, order }
        })
    }

    fn assembly(&self) -> &Assembly {
        &self.bench.design.assembly
    }

    fn names(&self, removed: &Removed) -> Vec<&str> {
        let piece = |id: &InstanceId| self.assembly().instance(*id).name.as_str();
        let mut names: Vec<&str> = removed.pieces.iter().map(piece).collect();
        names.sort_unstable();
        names
    }

    /// What goes in, one after the other; the mechanism's own motion as `turn N`.
    fn insertions(&self) -> Vec<String> {
        let say = |removed: &&Removed| match removed.motion.kind {
            MotionKind::Driven => format!("turn {}", removed.turn),
            _ => self.names(removed).join(" + "),
        };
        self.order.insertions().iter().map(say).collect()
    }

    fn steps(&self) -> Vec<Step> {
        let speaker = Speaker {
            assembly: self.assembly(),
            told: Told::Metric,
        };
        steps(&self.order, &self.bench.design.script, &speaker)
    }
}

fn rates(assembly: &Assembly) -> StrokeRates {
    let rates = solve(assembly).unwrap();
    let direction = rates.stroke_direction().unwrap();
    rates.per_stroke_turn(direction)
}

fn found(assembly: &Assembly, design: &Design, meshes: &[Mesh]) -> Order {
    let pieces = bodies(assembly, meshes, mm(CHORD));
    let rates = rates(assembly);
    find(assembly, &rates, &design.course, meshes, &pieces, mm(CHORD))
}

#[test]
fn a_nested_kit_goes_together_at_the_assembly_turn_and_is_closed_at_turn_0() {
    let planned = Planned::new(&kits::m20_m12());
    assert_eq!(
        planned.insertions(),
        [
            "inner",
            "drive + inner",
            "carriage",
            "cross pin",
            "turn 0",
            "keeper",
            "keeper pin 2",
            "keeper pin 1",
        ]
    );
    // The keeper is why the rest comes first: at the assembly turn the carriage stands where
    // the keeper goes.
    let driven = planned
        .order
        .removals()
        .iter()
        .find(|removed| removed.is_driven());
    let wait = driven.unwrap().waits[0];
    let name = |piece: InstanceId| planned.assembly().instance(piece).name.as_str();
    assert_eq!(
        (name(wait.blocker), name(wait.blocked)),
        ("keeper", "carriage")
    );
}

#[test]
fn a_single_kit_goes_together_at_turn_0() {
    let told = Planned::new(&kits::m16()).insertions();
    // Downwards all that goes in along the axis, then all pins from the side.
    assert_eq!(told[..3], ["drive", "carriage", "keeper"]);
    assert!(
        told[3..].iter().all(|name| name.contains("pin")),
        "{told:?}"
    );
    assert_eq!(told.len(), 7);
}

#[test]
fn the_head_stands_off_the_frame_as_worked_out_by_hand() {
    // M20x2.5 and M12x1.75, 10 mm, layers of 0.2: Ls1 70.4, thread end 29.32 at a thread gap of
    // 0.25, so 41.1 mm at turn 0.
    let mut kit = kits::m20_m12();
    kit.layer = kits::said(mm(0.2));
    kit.sizes.thread_gap = Some(kits::said(mm(0.25)));
    let planned = Planned::new(&kit);
    let driven = planned
        .order
        .removals()
        .iter()
        .find(|removed| removed.is_driven());
    let touch = driven.unwrap().touch.unwrap();
    let sizes = &sizes(&planned.bench.design);
    assert_abs_diff_eq!(
        touch.travel.as_mm(),
        sizes.head_gap(0.0).as_mm(),
        epsilon = 1e-3
    );
    let told = planned.steps();
    let zero = told
        .iter()
        .find(|step| step.action == "go to turn 0")
        .unwrap();
    assert!(
        zero.text
            .contains("the underside of the hexagon stands 41.1 mm off the frame"),
        "{}",
        zero.text
    );
}

#[test]
fn every_kit_comes_apart_and_every_motion_has_the_layouts_own_words() {
    let each = kits::one_of_each();
    let told = in_parallel(&each, |(name, kit)| {
        let planned = Planned::new(kit);
        let own: Vec<String> = planned
            .steps()
            .iter()
            .filter(|step| step.action.starts_with("put in") || step.action.starts_with("screw in"))
            .map(|step| format!("{name}: {}", step.action))
            .collect();
        match &planned.order {
            Order::Apart { .. } => own,
            other => vec![format!("{name}: {other:?}")],
        }
    });
    assert_eq!(told.concat(), Vec::<String>::new());
}

#[test]
fn shuffled_and_renamed_pieces_give_the_same_order() {
    let planned = Planned::new(&kits::m20_m12());
    let design = &planned.bench.design;
    let count = design.assembly.instances.len();
    for shift in [1, 3, count - 1] {
        let mut assembly = design.assembly.clone();
        // Piece i of the new list is piece (i + shift) of the old one.
        assembly.instances.rotate_left(shift);
        let new = |old: InstanceId| InstanceId((old.0 + count - shift) % count);
        for (index, piece) in assembly.instances.iter_mut().enumerate() {
            piece.name = format!("piece {}", (index * 7) % 11);
        }
        for joint in &mut assembly.joints {
            joint.between = joint.between.map(new);
        }
        assembly.joints.reverse();
        assembly.frame = new(assembly.frame);
        assembly.drive = new(assembly.drive);
        assembly.carriages.leading = new(assembly.carriages.leading);
        let order = found(&assembly, design, &planned.bench.meshes);
        assert_eq!(order.removals().len(), planned.order.removals().len());
        for (was, is) in planned.order.removals().iter().zip(order.removals()) {
            let mut pieces: Vec<InstanceId> = was.pieces.iter().map(|piece| new(*piece)).collect();
            let mut others = is.pieces.clone();
            pieces.sort_unstable();
            others.sort_unstable();
            assert_eq!(pieces, others);
            assert_eq!((was.motion, was.turn), (is.motion, is.turn));
        }
    }
}
