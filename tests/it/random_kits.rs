//! A kit that is accepted comes out whole, at the edges of what may be drawn and at random.

#[path = "../../examples/random_kits/drawn.rs"]
mod drawn;

use netlead::cli::pipeline::{self, Refusal};
use netlead::cli::printer_file::Shelf;
use netlead::kit::edit;
use rayon::prelude::*;
use std::path::Path;

/// A seed of no meaning, and how many kits of it are worked out.
const SEED: u64 = 1;
const SAMPLE: u64 = 40;

fn worked(text: &str) -> Result<(), Refusal> {
    let shelf = Shelf::of(Path::new("kit.toml"));
    let read = pipeline::read("kit.toml", text, &shelf)?;
    read.work(&|_| {}).map(|_| ())
}

fn thin_walled(inner: &str, tolerance: f64) -> String {
    format!(
        "name = \"thin\"\nlayout = \"nested\"\ndrive = \"M24x3\"\ninner = \"{inner}\"\nstroke = 5\n\
         gaps.thread = 0.04\nlayer = 0.25\ntolerance = {tolerance}\n"
    )
}

fn rejection(text: &str) -> String {
    match worked(text) {
        Err(Refusal::Rejected(problems)) => anstream::adapter::strip_str(&problems).to_string(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_thin_wall_keeps_a_ring_of_end_face_at_every_tolerance_or_is_refused() {
    // The bore of M24x3 over 20 to 18 leaves from less than may be drawn to 1.4 mm.
    for tolerance in [0.02, 0.1, 0.2] {
        for inner in [
            "18x2.5", "18.2x2.5", "18.5x2.5", "18.8x2.5", "19x2.5", "20x2.5",
        ] {
            let text = thin_walled(inner, tolerance);
            if let Err(Refusal::Broken(what)) = worked(&text) {
                panic!("{text}{what}");
            }
        }
        assert_eq!(worked(&thin_walled("18x2.5", tolerance)), Ok(()));
    }
}

#[test]
fn a_thread_too_coarse_for_its_diameter_is_refused_with_a_pitch_that_works() {
    let text = "name = \"coarse\"\nlayout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"4x3-LH\"\nstroke = 5\n";
    let said = rejection(text);
    let (_, pitch) = said
        .split_once("write a pitch of at most ")
        .expect("a mend");
    let pitch = pitch.split(' ').next().unwrap();
    let mended = edit::with_value(text, "inner", &format!("4x{pitch}-LH")).unwrap();
    if let Err(refusal) = worked(&mended) {
        assert!(
            !format!("{refusal:?}").contains("too coarse"),
            "{refusal:?}"
        );
        assert!(matches!(refusal, Refusal::Rejected(_)), "{refusal:?}");
    }
}

#[test]
fn random_kits_end_in_a_verdict_or_a_refusal() {
    let each: Vec<Option<String>> = (0..SAMPLE)
        .into_par_iter()
        .map(|number| {
            let text = drawn::kit(SEED, number);
            match worked(&text) {
                Err(Refusal::Broken(what)) => panic!("kit {number}: {what}\n{text}"),
                Err(Refusal::Rejected(why)) => Some(why),
                Ok(()) => None,
            }
        })
        .collect();
    let accepted = each.iter().filter(|refused| refused.is_none()).count();
    assert!(
        accepted * 8 >= each.len(),
        "only {accepted} were accepted: {each:?}"
    );
}
