//! Every part of a kit by itself: how long its mesh takes, and the solids that it is made from,
//! for others to do the same with.
//!
//! `cargo bench --bench operands` prints the times of the README's preset. With `-- --into FOLDER`,
//! and a kit file if another is meant, it writes there, too: `parts.json`, and for each solid its
//! corners (`.points`, 64-bit floats, x y z in mm in the part's print frame) and its facets
//! (`.facets`, 32-bit integers, three corners each), both little-endian.
//! `benches/against_kernel.py` reads them.

#![expect(
    clippy::unwrap_used,
    reason = "a bench of a kit that cannot be made has nothing to measure"
)]
#![expect(clippy::print_stdout, reason = "a bench reports to whoever started it")]

use netlead::assembly::{Part, Placed, Shape};
use netlead::printer::Profile;
use netlead::solid::{self, Mesh};
use netlead::units::Length;
use netlead::{check, kit, layout};
use serde_json::{Value, json};
use std::fs;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::Instant;

/// The preset of the README.
const PRESET: &str = include_str!("../presets/desk-stage.toml");
/// Chord tolerances, in mm.
const TOLERANCES: [f64; 3] = [0.05, 0.01, 0.002];
/// Times that each mesh is made; the median counts.
const RUNS: usize = 15;

fn main() {
    // What else is given is for all benches alike, and not for this one.
    let mut given = std::env::args().skip_while(|word| word != "--into").skip(1);
    let folder = given.next().map(PathBuf::from);
    let kit_file = given.next().filter(|word| !word.starts_with("--"));
    let text = kit_file.map_or_else(|| PRESET.into(), |path| fs::read_to_string(path).unwrap());
    let kit = kit::read(&text, &check::ids()).unwrap().0;
    let design = layout::design(&kit, &Profile::untuned_for(&kit)).unwrap();
    let mut told = Vec::new();
    println!("part, tolerance mm, facets, median ms");
    for tolerance in TOLERANCES {
        for part in &design.assembly.parts {
            let mut one = timed(part, tolerance);
            println!(
                "{}, {tolerance}, {}, {:.3}",
                part.name, one["facets"], one["ms"]
            );
            if let Some(folder) = &folder {
                one["solids"] = solids(&part.shape, tolerance, folder, told.len());
            }
            told.push(one);
        }
    }
    if let Some(folder) = &folder {
        fs::write(folder.join("parts.json"), Value::from(told).to_string()).unwrap();
    }
}

/// A part's mesh, and the median of the times it takes by the clock.
fn timed(part: &Part, tolerance: f64) -> Value {
    let chord = Length::mm(tolerance);
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            black_box(solid::mesh(black_box(&part.shape), chord).unwrap());
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    let mesh = solid::mesh(&part.shape, chord).unwrap();
    json!({
        "part": part.name,
        "tolerance": tolerance,
        "ms": times[RUNS / 2],
        "facets": mesh.triangles.len(),
        "volume": mesh.volume_mm3(),
    })
}

/// Writes the solids of a shape; gives their files, by what becomes of them.
fn solids(shape: &Shape, tolerance: f64, folder: &Path, part: usize) -> Value {
    let write = |role: &str, solids: &[Placed]| -> Vec<String> {
        let solids = solids.iter().enumerate();
        solids
            .map(|(at, placed)| {
                let name = format!("{part}-{role}-{at}");
                let mesh = solid::solid_mesh(&placed.solid, Length::mm(tolerance));
                written(&mesh.placed(&placed.pose), &folder.join(&name));
                name
            })
            .collect()
    };
    json!({
        "base": write("base", std::slice::from_ref(&shape.base)),
        "within": write("within", &shape.within),
        "joined": write("joined", &shape.joined),
        "cut": write("cut", &shape.cut),
    })
}

fn written(mesh: &Mesh, path: &Path) {
    let points = mesh
        .points
        .iter()
        .flat_map(|point| [point.x, point.y, point.z]);
    let points: Vec<u8> = points.flat_map(f64::to_le_bytes).collect();
    let facets = mesh.triangles.iter().flatten();
    let facets: Vec<u8> = facets.flat_map(|corner| corner.to_le_bytes()).collect();
    fs::write(path.with_extension("points"), points).unwrap();
    fs::write(path.with_extension("facets"), facets).unwrap();
}
