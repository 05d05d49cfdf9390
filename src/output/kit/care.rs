//! Running in and grease, and where seam and infill go: facts of common practice and of published
//! measurements, for the filament of the kit.

use super::product::Product;
use crate::assembly::{Fit, Made, Part, Perimeters};
use crate::printing_time::INFILL;
use crate::strength::Material;
use crate::units_told::percent;

/// Running in and grease, in the order in which it is done.
pub(crate) fn running_in(product: &Product) -> Vec<String> {
    let mut lines: Vec<String> = [
        "Before grease: scrape strings and the flare of first layers out of the threads and brush them. \
         No solvent.",
        "Run it in dry, by hand and without load: the whole stroke ten times each way, blow the dust out, \
         and again until it runs evenly. Not with a drill: the heat of rubbing softens the plastic (common \
         practice).",
        "Then a thin film on the flanks of the threads and on what slides: silicone grease, plain or with \
         PTFE, or dry PTFE. None on pins, crush ribs or their holes, since a greased press comes loose \
         (common practice).",
        "After ten runs wipe off what comes out, and once more after an hour of use, for it picks up dust \
         of the layers. Renew it when it squeaks.",
        "No mineral oil, no petroleum grease, no penetrating spray, no solvent near the plastic.",
    ]
    .map(String::from)
    .into();
    lines.push(attacked(product.kit.material).into());
    lines.push(format!(
        "Try the grease on {} first: bend it, leave it overnight, and look for fine cracks.",
        spare(product)
    ));
    lines.push(match product.kit.greased {
        true => "Forces here are reckoned for greased threads.".into(),
        false => "Forces here are reckoned for dry threads. Greased, the same hand presses harder: write \
                  `grease = true` in the kit and check again before the grease goes in."
            .into(),
    });
    lines
}

/// What is known to harm a filament, and by whom that was found.
fn attacked(material: Material) -> &'static str {
    match material {
        Material::Pla => {
            "Engine oil cost printed PLA about 36 % of its strength in tension (Hozdic and Hozdic, \
             Materials 16 (2023) 6342, from its abstract); strong alkali harms it too (from memory)."
        }
        Material::Petg => {
            "A lubricating oil cost printed PETG strength (Rihar and Hozdic, Polymers 18 (2026) 654, from \
             its abstract); strong alkali harms it too (from memory)."
        }
        Material::Abs | Material::Asa => {
            "ABS and ASA under stress may crack in greases and oils: a test standard of the motor trade \
             (FLTM BO 127-03) wants a trial of each. Ester oils, brake fluid, acetone and cleaners with \
             limonene harm them (from memory)."
        }
    }
}

/// What of a kit may be spoilt by a trial.
fn spare(product: &Product) -> &'static str {
    let parts = &product.design.assembly.parts;
    let spare = |part: &Part| part.spares > 0 && part.made == Made::Printed;
    match parts.iter().any(spare) {
        true => "a spare pin",
        false => "a scrap of the same filament",
    }
}

/// What a part's print note adds: how its inside is filled, and where the seam goes.
pub(crate) fn print_note(product: &Product, index: usize) -> String {
    let assembly = &product.design.assembly;
    let Some(part) = assembly.parts.get(index) else {
        return String::new();
    };
    let inside = match part.perimeters {
        // Its words say so already.
        Perimeters::Solid => String::new(),
        Perimeters::Lines(_) => format!(", infill {}", percent(INFILL)),
    };
    let threads = |male: bool| {
        let mut joints = assembly.joints.iter();
        joints.any(|joint| {
            let piece = joint.between[usize::from(!male)];
            joint.fit == Fit::Thread && assembly.instance(piece).part.0 == index
        })
    };
    let marked = match part.mark.is_empty() {
        true => "",
        false => "marks and ",
    };
    let pressed = assembly.joints.iter().any(|joint| {
        joint.fit == Fit::Press && assembly.instance(joint.between[0]).part.0 == index
    });
    if pressed || part.grade.is_some() {
        return format!("{inside}, seam at an end");
    }
    let seam = match (threads(true), threads(false)) {
        // A round screw has no corner: a seam in one line can be scraped off its flanks.
        (true, _) => format!("seam in one line, away from {marked}flats: scrape it off the thread"),
        (false, true) => {
            format!(
                "seam on an outer corner, away from {marked}its thread; scrape what stands in the hole"
            )
        }
        (false, false) => {
            format!("seam on an outer corner, away from {marked}what slides or is pressed")
        }
    };
    format!("{inside}, {seam}")
}
