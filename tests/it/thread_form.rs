//! Threads with 90 degrees between their flanks through the whole program, to show that nothing
//! but the thread's form knows an angle.
//!
//! No kit file offers the form, and no standard has it: flanks of 45 degrees, crest P/6, root P/5
//! wide. So all numbers here are hand calculations with tan 45 = 1 and sin 45 = 1 / root 2; the
//! 60 degree form would miss each by far. A mesh of such a thread is held against its exact
//! surface in `geometry/solids`, and what it overlaps out of phase in `geometry/interference`.

use crate::support::bench::Bench;
use crate::support::exact::{profile, right_angled};
use crate::support::written::proved;
use crate::support::{kits, mm};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use netlead::assembly::{Fit, Joint};
use netlead::check::{Bodies, Finding, Mends, Outcome, all, of_design};
use netlead::clearance::{Body, Clearance, FoundBy, PRECISION, Pair, Trajectory, bodies};
use netlead::kit::Kit;
use netlead::load::Case;
use netlead::motion::{AxialSection, Contact, PowerTrain, power_train};
use netlead::output::words::subject_name;
use netlead::printer::Profile;
use netlead::sequence::{Order, find};
use netlead::solid::{Mesh, mesh};
use netlead::strength::MatedThreads;
use netlead::thread::{Hand, Thread};
use netlead::units::{Force, Length};
use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// Chord tolerance of the meshes, in mm.
const TOLERANCE: f64 = 0.01;

/// Layer height and line width of the kit, in mm.
const LAYER: f64 = 0.15;
const LINE: f64 = 0.45;

/// Drawn radial gap of its threads: 0.04 wanted, a layer of 0.15, growth of 0.03 of both faces.
const DRAWN: f64 = 0.25;
/// The same as printed.
const PRINTED: f64 = DRAWN - 0.06;

fn right_angled_thread(major: f64, pitch: f64) -> Thread {
    Thread::of_form(right_angled(), mm(major), mm(pitch), Hand::Right)
}

/// 24 x 3: H = 1.5 mm, so d2 = 24 - 2 (1/2 - 1/6) H = 23, D1 = 24 - 2 (1 - 1/6 - 1/5) H = 22.1.
fn outer() -> Thread {
    right_angled_thread(24.0, 3.0)
}

/// 14 x 2.25: H = 1.125 mm, d2 = 13.25, D1 = 12.575.
fn inner() -> Thread {
    right_angled_thread(14.0, 2.25)
}

/// One inside the other: 0.75 mm in a turn.
fn kit() -> Kit {
    kits::kit(outer(), Some(inner()), 10.0)
}

/// The kit's pieces as meshes and as bodies that may meet.
struct Made {
    bench: Bench,
    meshes: Vec<Mesh>,
    bodies: Vec<Body>,
}

fn made(kit: &Kit) -> Made {
    let bench = Bench::new(kit, TOLERANCE);
    let parts = bench.design.assembly.parts.iter();
    let meshes: Vec<Mesh> = parts
        .map(|part| mesh(&part.shape, mm(TOLERANCE)).unwrap())
        .collect();
    let bodies = bodies(&bench.design.assembly, &meshes, mm(TOLERANCE));
    Made {
        bench,
        meshes,
        bodies,
    }
}

impl Made {
    fn threads(&self) -> impl Iterator<Item = &Joint> {
        let joints = self.bench.design.assembly.joints.iter();
        joints.filter(|joint| joint.fit == Fit::Thread)
    }

    fn clearance(&self) -> Clearance {
        let Bench { design, rates, .. } = &self.bench;
        let ends = design.ends_of_play();
        Clearance::of_meshes(&design.assembly, &self.meshes, mm(TOLERANCE), rates, ends)
    }

    fn findings(&self, kit: &Kit) -> Vec<Finding> {
        let Bench { design, rates, .. } = &self.bench;
        let assembly = &design.assembly;
        let order = find(
            assembly,
            rates,
            &design.course,
            &self.meshes,
            &self.bodies,
            mm(TOLERANCE),
        );
        assert!(matches!(order, Order::Apart { .. }));
        let case = Case {
            kit,
            profile: &Profile::untuned_for(kit),
            design,
            rates,
        };
        let clearance = self.clearance();
        let bodies = Bodies {
            meshes: &self.meshes.iter().collect::<Vec<_>>(),
            order: &order,
            clearance: &clearance,
        };
        all(&case, &bodies, Mends::Sought)
    }
}

#[test]
fn sizes_follow_from_flank_angle_flats_and_rounding() {
    let thread = outer();
    let near = |length: Length, wanted: f64| {
        assert_abs_diff_eq!(length.as_mm(), wanted, epsilon = 1e-12);
    };
    near(thread.pitch_diameter(), 23.0);
    near(thread.minor_internal(), 22.1);
    near(thread.depth(), 0.95);
    // Rounded out by H/12 more.
    near(thread.minor_external(), 22.1 - 2.0 * 1.5 / 12.0);
    near(thread.play(mm(0.3)), 0.6);
    // pi/4 of the mean of 23 and 21.85 squared.
    let stressed = PI / 4.0 * 22.425 * 22.425;
    assert_relative_eq!(
        thread.stress_area().as_square_mm(),
        stressed,
        max_relative = 1e-12
    );
    let [(from, crest), (to, _), (foot, root), (rises, _)] = thread.basic_profile_corners();
    near(to - from, 3.0 / 6.0);
    near(rises - foot, 3.0 / 5.0);
    near(crest - root, 0.95);
    // A flank of 45 degrees is as long along the axis as it is deep.
    near(foot - to, 0.95);
    // No standard has limits for it.
    assert_eq!(thread.limits(), None);
}

#[test]
fn every_part_of_a_kit_of_such_threads_is_sound_in_its_file() {
    let Made { bench, meshes, .. } = made(&kit());
    for (part, mesh) in bench.design.assembly.parts.iter().zip(&meshes) {
        let proof = proved(mesh, part.shape.genus);
        assert_eq!(proof.err(), None, "{}", part.name);
    }
}

#[test]
fn screws_have_twice_their_gap_of_play_and_turn_along_their_lead() {
    let made = made(&kit());
    let mut judged = 0;
    for joint in made.threads() {
        assert_abs_diff_eq!(joint.gap.unwrap().drawn.as_mm(), DRAWN, epsilon = 1e-12);
        assert_abs_diff_eq!(
            joint.axial_play.unwrap().as_mm(),
            2.0 * DRAWN,
            epsilon = 1e-12
        );
        let [male, female] = joint.between.map(|piece| &made.bodies[piece.0]);
        let pair = Pair::new(male, female);
        // What the meshes leave from flank to flank, both ways along the axis.
        let travel = |up: f64| {
            let met = pair.obstacle(&Trajectory::away([0.0, 0.0, up])).unwrap();
            met.free_travel.as_mm()
        };
        // Chords of both faces, square to the flank, at both ends.
        let chords = 4.0 * SQRT_2 * TOLERANCE;
        assert_abs_diff_eq!(travel(1.0) + travel(-1.0), 2.0 * DRAWN, epsilon = chords);
        let lead = joint.thread.as_ref().unwrap().thread.signed_lead();
        // The inner screw comes out of the drive screw the one way, the drive the other.
        let free = [true, false].map(|up| !pair.blocked(&Trajectory::unscrewed(lead, up)));
        assert!(free.contains(&true), "{}", joint.name);
        let other = lead * 1.1;
        assert!(
            [true, false]
                .iter()
                .all(|up| pair.blocked(&Trajectory::unscrewed(other, *up)))
        );
        judged += 1;
    }
    assert_eq!(judged, 2);
}

#[test]
fn the_stroke_leaves_room_for_that_play_at_both_ends() {
    let iso = kits::kit(
        Thread::free(mm(24.0), mm(3.0), Hand::Right),
        Some(Thread::free(mm(14.0), mm(2.25), Hand::Right)),
        10.0,
    );
    let [over, iso_over] = [kit(), iso].map(|kit| kits::design(&kit).course.over_travel);
    // Half of the play at either end, 2 c of each thread instead of 2 c tan 30, over 0.75 mm.
    let more = 2.0 * DRAWN * (1.0 - 1.0 / 3f64.sqrt());
    assert_abs_diff_eq!((over - iso_over) * 0.75, more, epsilon = 1e-12);
}

#[test]
fn flanks_stand_apart_by_the_sine_of_the_angle() {
    let made = made(&kit());
    let clearance = made.clearance();
    for joint in made.threads() {
        let pair = clearance
            .pairs
            .iter()
            .find(|pair| {
                joint
                    .between
                    .iter()
                    .all(|piece| pair.between.contains(piece))
            })
            .unwrap();
        assert_eq!(pair.overlap, None, "{}", joint.name);
        let least = pair.least.as_ref().unwrap();
        assert_eq!(least.by, FoundBy::Section, "{}", joint.name);
        assert_abs_diff_eq!(least.gap.as_mm(), DRAWN * FRAC_1_SQRT_2, epsilon = 1e-9);
    }
    // Off phase by e the flanks of 45 degrees stand (c - |e|) sin 45 apart.
    for (e, apart) in [(0.0, 0.2), (0.05, 0.15), (-0.2, 0.0), (0.3, -0.1)] {
        let gap = AxialSection::new(&outer(), mm(0.2), mm(e)).flank_gap();
        assert_abs_diff_eq!(gap.as_mm(), apart * FRAC_1_SQRT_2, epsilon = 1e-12);
    }
}

/// Torque to raise or, with a lead below zero, to lower a load on a screw, in N mm: F dm/2 (l + pi
/// mu dm sec a) / (pi dm - mu l sec a) (Shigley, 9th ed., eqs. 8-1, 8-2 and 8-5).
fn torque(force: f64, dm: f64, lead: f64, mu: f64) -> f64 {
    let friction = mu * SQRT_2;
    force * dm / 2.0 * (lead + PI * friction * dm) / (PI * dm - friction * lead)
}

#[test]
fn torque_takes_friction_over_the_cosine_of_the_angle() {
    let (load, friction) = (500.0, 0.2);
    let one = PowerTrain::new(vec![Contact::raising(&outer(), friction)], vec![]).unwrap();
    let raised = torque(load, 23.0, 3.0, friction);
    let near = |train: &PowerTrain, wanted: f64| {
        let found = train.torque(Force::newtons(load)).as_newton_mm();
        assert_relative_eq!(found, wanted, max_relative = 1e-12);
    };
    near(&one, raised);
    // Through the kit's joints: the drive raises, the inner screw lets down.
    let bench = Bench::new(&kit(), 0.05);
    let train = power_train(&bench.design.assembly, &bench.rates, friction, vec![]).unwrap();
    near(&train, raised + torque(load, 13.25, -2.25, friction));
}

#[test]
fn what_shears_is_as_wide_as_the_drawn_ridges_there() {
    const PLACES: u32 = 300_000;
    let (thread, gap, engaged) = (outer(), 0.25, 20.0);
    let mated = MatedThreads::with_gap(&thread, mm(gap));
    // Along the axis, the share of a pitch that the screw's ridge takes at the hole's crests, and
    // the hole's at the screw's.
    let share = |inside: &dyn Fn(f64) -> bool| {
        let places = (0..PLACES).map(|place| f64::from(place) / f64::from(PLACES) * 3.0);
        places.filter(|u| inside(*u)).count() as f64 / f64::from(PLACES)
    };
    let (bore, crest) = (22.1 / 2.0 + gap, 12.0);
    let screw = share(&|u| profile(&thread, u) > bore);
    let hole = share(&|u| profile(&thread, u) + gap < crest);
    for (found, radius, share) in [
        (mated.screw_shear(mm(engaged)), bore, screw),
        (mated.hole_shear(mm(engaged)), crest, hole),
    ] {
        let around = 2.0 * PI * radius * engaged;
        assert_relative_eq!(found.as_square_mm(), around * share, max_relative = 1e-4);
    }
}

#[test]
fn the_gap_that_tight_flanks_are_told_to_take_is_just_enough() {
    // 0.04 mm as printed: layers overlap by h - (g + h) sin 45 = 0.0157 mm, which takes 0.0221 mm
    // more of a radial gap.
    let gap = |wanted: f64| {
        let mut kit = kit();
        kit.gaps.thread = Some(kits::said(mm(wanted)));
        let bench = Bench::new(&kit, 0.05);
        let case = Case {
            kit: &kit,
            profile: &Profile::untuned_for(&kit),
            design: &bench.design,
            rates: &bench.rates,
        };
        let found = of_design(&case).into_iter();
        let mut tips = found.filter(|finding| finding.id == "as-printed");
        tips.find(|finding| subject_name(&bench.design.assembly, finding.subject) == "drive/frame")
            .unwrap()
    };
    let tight = gap(-0.11);
    assert_eq!(tight.outcome, Outcome::Warn);
    assert_abs_diff_eq!(
        tight.value.unwrap(),
        (0.04 + LAYER) * FRAC_1_SQRT_2 - LAYER,
        epsilon = 1e-6
    );
    // Whole hundredths.
    assert_eq!(
        tight.mend.unwrap(),
        "write `gaps = { thread = \"-0.080 mm\" }`"
    );
    assert_eq!(gap(-0.08).outcome, Outcome::Pass);
    assert_eq!(gap(-0.09).outcome, Outcome::Warn);
}

#[test]
fn every_rule_judges_such_a_kit_by_its_own_angle() {
    let kit = kit();
    let made = made(&kit);
    let findings = made.findings(&kit);
    let subject = |finding: &Finding| subject_name(&made.bench.design.assembly, finding.subject);
    let failing: Vec<&Finding> = findings
        .iter()
        .filter(|finding| finding.outcome == Outcome::Fail)
        .collect();
    assert!(failing.is_empty(), "{failing:#?}");
    let value = |id: &str, about: &str| {
        let mut of_rule = findings.iter().filter(|finding| finding.id == id);
        let found = of_rule.find(|finding| subject(finding).contains(about));
        found.unwrap().value.unwrap()
    };
    let near = |found: f64, wanted: f64| assert_abs_diff_eq!(found, wanted, epsilon = 1e-6);
    near(value("thread-gap", "frame"), DRAWN * FRAC_1_SQRT_2);
    // Round tips: the centres of both lines stand (g + h) sin 45 apart, less half a layer each.
    let tips = (PRINTED + LAYER) * FRAC_1_SQRT_2 - LAYER;
    near(value("as-printed", "frame"), tips);
    // Of the shallower thread, 0.7125 deep, the gap leaves room for three whole steps.
    let bearing = findings
        .iter()
        .filter(|finding| finding.id == "as-printed" && finding.unit == "1");
    let bearing: Vec<_> = bearing.filter_map(|finding| finding.value).collect();
    assert_eq!(bearing, [((0.7125 - PRINTED) / LAYER).floor()]);
    // As near as the section of the threads, less what chords and rounding may take.
    let mut near_threads = findings
        .iter()
        .filter(|finding| finding.id == "clearance" && subject(finding).contains("frame/drive"));
    let limit = near_threads.next().unwrap().limit.unwrap();
    let chords = 2.0 * TOLERANCE + PRECISION.as_mm();
    near(limit, DRAWN * FRAC_1_SQRT_2 - chords);
    // Each layer steps out by its height: a third of the line.
    near(value("layer-support", "layer"), 1.0 - LAYER / LINE);
    // Nothing hangs over by more than 45 degrees on these threads.
    let hangs = |finding: &&Finding| finding.id == "overhang" && finding.outcome != Outcome::Pass;
    assert_eq!(findings.iter().find(hangs), None);
}
