//! The time of every stage of `make`, and the accuracy that the meshes have for it.
//!
//! `cargo bench` prints the accuracy first (volume error and facets against the bound for the
//! tolerance), then the times. Dated figures stand in `docs/benchmarks.md`.

#![expect(
    clippy::unwrap_used,
    reason = "a bench of a preset that cannot be made has nothing to measure"
)]

use divan::{Bencher, black_box};
use netlead::assembly::{Contour, Made, Part, Shape, Solid, ThreadForm, ThreadZone, Turned};
use netlead::clearance::{self, Clearance, Fineness};
use netlead::kit::{self, Kit};
use netlead::layout::{self, Design};
use netlead::load::Case;
use netlead::making::{self, InMemory};
use netlead::motion::StrokeRates;
use netlead::output::formats::KIT;
use netlead::output::part::stl;
use netlead::printer::Profile;
use netlead::printing_time::{Body, Job};
use netlead::solid::Mesh;
use netlead::thread::{Hand, Thread};
use netlead::units::{Angle, Length};
use netlead::{check, motion, sequence, solid};
use std::f64::consts::PI;

#[path = "../tests/it/support/exact.rs"]
#[expect(dead_code, reason = "the tests use what the benches do not")]
mod exact;

/// The preset of the README.
const PRESET: &str = include_str!("../presets/desk-stage.toml");
/// Chord tolerances, in mm.
const TOLERANCES: [f64; 3] = [0.05, 0.01, 0.002];
/// Those at which accuracy is told: from the coarsest that a kit may ask for.
const ALL_TOLERANCES: [f64; 5] = [0.2, 0.1, 0.05, 0.01, 0.002];
/// Length of the benched screw's thread, in mm.
const THREADED: f64 = 60.0;

fn main() {
    accuracy();
    divan::main();
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn preset() -> Kit {
    kit::read(PRESET, &check::ids()).unwrap().0
}

fn design() -> Design {
    let kit = preset();
    layout::design(&kit, &Profile::untuned_for(&kit)).unwrap()
}

/// A headless M20x2.5 screw: a run-out, 60 mm of thread and a chamfer.
fn screw() -> Turned {
    let thread = Thread::free(mm(20.0), mm(2.5), Hand::Right);
    let (crest, root) = (10.0, thread.minor_internal().as_mm() / 2.0);
    let neck = root - 0.05;
    let clear = crest + 1.0;
    Turned {
        outer: Contour {
            corners: exact::corners(&[
                (0.0, neck),
                (1.0, neck),
                (1.0 + clear - neck, clear),
                (THREADED - (clear - root + 0.5), clear),
                (THREADED, root - 0.5),
            ]),
            threads: vec![ThreadZone {
                z: [mm(0.0), mm(THREADED)],
                form: ThreadForm {
                    thread,
                    shift: Length::ZERO,
                    crest: mm(0.3),
                    external: true,
                },
            }],
        },
        bore: None,
    }
}

/// Facets that four strips a pitch need at the least: 4 (N at the crest + N at the root) for
/// each pitch of full thread, N = pi / acos(1 - t / r).
fn bound(low: f64, high: f64, tolerance: f64) -> f64 {
    let thread = Thread::free(mm(20.0), mm(2.5), Hand::Right);
    let steps = |radius: f64| PI / Angle::from_cos(1.0 - tolerance / radius).as_radians();
    let both = steps(10.0) + steps(thread.minor_internal().as_mm() / 2.0);
    4.0 * both * (high - low) / thread.pitch().as_mm()
}

/// Prints what the meshes of the benched screw are worth.
#[expect(clippy::print_stdout, reason = "a bench reports to whoever started it")]
fn accuracy() {
    let screw = screw();
    let volume = exact::turned_volume(&screw);
    let (low, high) = (10.0, 50.0);
    println!("M20x2.5, {THREADED} mm long, exact volume {volume:.3} mm3");
    println!("tolerance mm  facets  volume error  facets of full thread / bound");
    for tolerance in ALL_TOLERANCES {
        let mesh = solid::solid_mesh(&Solid::Turned(screw.clone()), mm(tolerance));
        let inside = mesh
            .facets()
            .filter(|[a, b, c]| (low..high).contains(&((a.z + b.z + c.z) / 3.0)))
            .count();
        println!(
            "{tolerance:<12}  {:>6}  {:>+11.4} %  {:.3}",
            mesh.triangles.len(),
            100.0 * (mesh.volume_mm3() - volume) / volume,
            inside as f64 / bound(low, high, tolerance)
        );
    }
}

#[divan::bench]
fn kit_reading(bencher: Bencher<'_, '_>) {
    let known = check::ids();
    bencher.bench(|| kit::read(black_box(PRESET), &known).is_ok());
}

#[divan::bench]
fn layout_of_the_preset(bencher: Bencher<'_, '_>) {
    let kit = preset();
    let profile = Profile::untuned_for(&kit);
    bencher.bench(|| layout::design(black_box(&kit), &profile).is_ok());
}

/// A coaxial solid, meshed along its creases.
#[divan::bench(args = TOLERANCES)]
fn meshing_a_screw(bencher: Bencher<'_, '_>, tolerance: f64) {
    let solid = Solid::Turned(screw());
    bencher.bench(|| solid::solid_mesh(black_box(&solid), mm(tolerance)));
}

fn printed(name: &str) -> Part {
    let parts = design().assembly.parts;
    let mut printed = parts.into_iter().filter(|part| part.made == Made::Printed);
    printed.find(|part| part.name == name).unwrap()
}

fn shape(name: &str) -> Shape {
    printed(name).shape
}

/// A whole part at the preset's tolerance: its solids, and the booleans that join them.
#[divan::bench(args = ["frame", "drive", "inner", "carriage", "keeper", "pin"])]
fn meshing_a_part(bencher: Bencher<'_, '_>, name: &str) {
    let (shape, tolerance) = (shape(name), *preset().tolerance);
    bencher.bench(|| solid::mesh(black_box(&shape), tolerance).is_ok());
}

/// Reading a written part back, welding it and proving it sound.
#[divan::bench(args = ["frame", "drive", "inner", "carriage", "keeper", "pin"])]
fn reading_back(bencher: Bencher<'_, '_>, name: &str) {
    let part = printed(name);
    let mesh = solid::mesh(&part.shape, *preset().tolerance).unwrap();
    let bytes = stl::write(&mesh, &part.name, "bench").unwrap();
    bencher
        .with_inputs(|| bytes.clone())
        .bench_values(|bytes| solid::read_back(bytes, part.shape.genus).is_ok());
}

/// Meshes of all parts of the preset, at its tolerance.
fn meshes(design: &Design) -> Vec<Mesh> {
    let tolerance = *preset().tolerance;
    let parts = design.assembly.parts.iter();
    parts
        .map(|part| solid::mesh(&part.shape, tolerance).unwrap())
        .collect()
}

/// What the checks cost: those of the design alone, and all, which also look at the meshes.
#[divan::bench(args = [false, true])]
fn judging(bencher: Bencher<'_, '_>, with_meshes: bool) {
    let (kit, design) = (preset(), design());
    let profile = Profile::untuned_for(&kit);
    let meshes = meshes(&design);
    let rates = motion::solve(&design.assembly).unwrap();
    let rates = rates.per_stroke_turn(rates.stroke_direction().unwrap());
    let case = Case {
        kit: &kit,
        profile: &profile,
        design: &design,
        rates: &rates,
    };
    let tolerance = *kit.tolerance;
    let pieces = clearance::bodies(&design.assembly, &meshes, tolerance);
    let (assembly, course) = (&design.assembly, &design.course);
    let bodies = check::Bodies {
        meshes: &meshes.iter().collect::<Vec<_>>(),
        clearance: &Clearance::of_meshes(
            assembly,
            &meshes,
            tolerance,
            &rates,
            design.ends_of_play(),
        ),
        order: &sequence::find(assembly, &rates, course, &meshes, &pieces, tolerance),
    };
    bencher.bench(|| {
        if with_meshes {
            check::all(black_box(&case), &bodies, check::Mends::Sought)
        } else {
            check::of_design(black_box(&case))
        }
    });
}

/// Filament, time and beds of the preset from its meshes.
#[divan::bench]
fn reckoning_the_print(bencher: Bencher<'_, '_>) {
    let (kit, design) = (preset(), design());
    let profile = Profile::untuned_for(&kit);
    let meshes = meshes(&design);
    bencher.bench(|| {
        let parts = design.assembly.parts.iter().zip(black_box(&meshes));
        let bodies: Vec<_> = parts
            .map(|(part, mesh)| Some((Body::of(mesh), part.quantity)))
            .collect();
        Job::new(&bodies, &profile.as_printed_by(&kit))
    });
}

/// What the least gaps of the preset are found from.
fn placed() -> (Design, StrokeRates, Vec<Mesh>) {
    let design = design();
    let rates = motion::solve(&design.assembly).unwrap();
    let direction = rates.stroke_direction().unwrap();
    let tolerance = *preset().tolerance;
    let parts = design.assembly.parts.iter();
    let meshes = parts.map(|part| solid::mesh(&part.shape, tolerance).unwrap());
    let meshes = meshes.collect();
    (design, rates.per_stroke_turn(direction), meshes)
}

/// Boxes and rings of every piece of the preset.
#[divan::bench]
fn bodies_of_the_preset(bencher: Bencher<'_, '_>) {
    let (design, _, meshes) = placed();
    let tolerance = *preset().tolerance;
    bencher.bench(|| clearance::bodies(&design.assembly, black_box(&meshes), tolerance).len());
}

/// The least gap of every pair of the preset through its whole stroke.
#[divan::bench]
fn clearance_of_the_preset(bencher: Bencher<'_, '_>) {
    let (design, rates, meshes) = placed();
    let tolerance = *preset().tolerance;
    let bodies = clearance::bodies(&design.assembly, &meshes, tolerance);
    let fineness = Fineness::of(&design.assembly, tolerance);
    let ends = design.ends_of_play();
    bencher.bench(|| {
        Clearance::through(&design.assembly, black_box(&bodies), &rates, ends, fineness)
            .pairs
            .len()
    });
}

/// The order of assembly: rings, who stands in whose way, and the search; bodies are given.
#[divan::bench]
fn planning_the_order(bencher: Bencher<'_, '_>) {
    let (design, rates, meshes) = placed();
    let tolerance = *preset().tolerance;
    bencher
        .with_inputs(|| clearance::bodies(&design.assembly, &meshes, tolerance))
        .bench_values(|pieces| {
            let (assembly, course) = (&design.assembly, &design.course);
            sequence::find(assembly, &rates, course, &meshes, &pieces, tolerance)
        });
}

/// Everything but writing the folder: text in, the bytes of all files out.
#[divan::bench]
fn making_the_preset(bencher: Bencher<'_, '_>) {
    let shelf = InMemory::none();
    bencher.bench(|| {
        let read = making::read("desk-stage.toml", black_box(PRESET), &shelf).unwrap();
        let product = read.work(&|_| ()).unwrap();
        KIT.write(&product).unwrap().len()
    });
}
