//! Names of what a kit chooses, findings in a line, and the cautions.

use super::text::plain;
use crate::assembly;
use crate::assembly::Turning;
use crate::check::{Finding, Outcome};
use crate::strength::Material;

/// Usual name of a filament.
pub fn material_name(material: Material) -> &'static str {
    match material {
        Material::Pla => "PLA",
        Material::Petg => "PETG",
        Material::Abs => "ABS",
        Material::Asa => "ASA",
    }
}

/// The way to turn, with the place of the eye.
pub fn turning_words(turning: Turning) -> &'static str {
    match turning {
        Turning::Clockwise => "clockwise, seen from the drive head",
        Turning::CounterClockwise => "counter-clockwise, seen from the drive head",
    }
}

/// Word for an outcome, as contracts and people read it.
pub fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Note => "note",
        Outcome::Warn => "warn",
        Outcome::Fail => "fail",
        Outcome::Waived => "waived",
    }
}

/// A piece as people call it: the screws by their whole names.
pub fn spoken(piece: &str) -> String {
    plain(assembly::spoken(piece))
}

/// Cautions, the gravest first.
pub const CAUTIONS: [&str; 7] = [
    "A hand tool for light holding. Not for lifting, hanging or holding up people or loads; \
     nobody stands under it or in front of it.",
    "Not a rated device: prints differ, and no figure here is a working load limit.",
    "Keep fingers out of the closing gap and away from the ends of the carriage.",
    "Wear eye protection when driving pins, bystanders too. Press them in with a vice or a \
     soft mallet, never against your hand.",
    "Turn by hand. A wrench or a drill driver can break it, as the forces say: if one is used at \
     all, then at its lowest speed and clutch, and never to the end stop.",
    "Plastic creeps and softens: release the load when you leave, and keep it from heat, sun \
     and cars. Look for whitening, cracks and worn threads, and throw away what shows them.",
    "Local law, workplace rules and qualified people come before anything written here.",
];

/// The gravest of the cautions in short, for a page on which the whole list would be skipped.
pub const CAUTION_IN_SHORT: &str = "Not for lifting or holding up people or loads, and no rated \
     device. Keep fingers out of the closing gap; wear eye protection when pressing pins. Local \
     rules and qualified people come first.";

/// A finding in one line: `drive-wall (drive): message`.
pub fn finding_line(finding: &Finding) -> String {
    // A joint is named after its two pieces.
    let pieces: Vec<String> = finding.subject.split('/').map(spoken).collect();
    let subject = pieces.join("/");
    let message = plain(&finding.message);
    if subject.is_empty() {
        format!("{}: {message}", finding.id)
    } else {
        format!("{} ({subject}): {message}", finding.id)
    }
}
