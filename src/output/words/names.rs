//! Names of what a kit chooses, findings in a line, and the cautions.

use super::text::plain;
use crate::assembly::{Assembly, InstanceId, JointId, PartId, Signal, Turning};
use crate::check::{Finding, Outcome, Subject};
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

/// Cautions that hold of every kit, the gravest first.
pub const CAUTIONS: [(Signal, &str); 7] = [
    (
        Signal::Warning,
        "A hand tool for light holding. Not for lifting, hanging or holding up people or loads: it can \
         let go without a sign, and what falls kills. Nobody stands under it or in front of it.",
    ),
    (
        Signal::Warning,
        "Not a rated device: prints differ, and no figure here is a working load limit. Who counts on \
         one may stand in the way when it breaks.",
    ),
    (
        Signal::Warning,
        "Wear eye protection when driving pins, bystanders too: a pin that slips or splits flies. Press \
         them in with a vice or a soft mallet, never against your hand.",
    ),
    (
        Signal::Caution,
        "Keep fingers out of the closing gap and away from the ends of the carriage: it closes with many \
         times the force of the hand that turns it.",
    ),
    (
        Signal::Caution,
        "Turn by hand. A wrench or a drill driver can break it, as the forces say, and pieces fly: if \
         one is used at all, then at its lowest speed and clutch, and never to the end stop.",
    ),
    (
        Signal::Caution,
        "Plastic creeps and softens, and what it holds comes loose: release the load when you leave, and \
         keep it from heat, sun and cars. Look for whitening, cracks and worn threads, and throw away \
         what shows them.",
    ),
    (
        Signal::Notice,
        "Local law, workplace rules and qualified people come before anything written here.",
    ),
];

/// The gravest of the cautions in short, for a page on which the whole list would be skipped.
pub const CAUTION_IN_SHORT: &str = "Not for lifting or holding up people or loads, and no rated \
     device. Keep fingers out of the closing gap; wear eye protection when pressing pins. Local \
     rules and qualified people come first.";

/// The gravest of all in a line, for the digest.
pub const CAUTION_IN_A_LINE: &str =
    "not for lifting, not rated; eye protection for pins; local law";

/// What a finding is about, as data name it: `drive`, `drive/frame`, `load`.
pub fn subject_name(assembly: &Assembly, subject: Subject) -> String {
    named(
        subject,
        |part| assembly.part(part).name.clone(),
        |piece| assembly.instance(piece).name.clone(),
        |joint| assembly.joint(joint).between,
    )
}

/// What a finding is about, as people are told: `drive screw`, `drive screw/frame`.
pub fn subject_called(assembly: &Assembly, subject: Subject) -> String {
    named(
        subject,
        |part| plain(assembly.part_called(part)),
        |piece| plain(assembly.called(piece)),
        |joint| assembly.joint(joint).between,
    )
}

/// A finding in one line: `drive-wall (drive screw): message`.
pub fn finding_line(assembly: &Assembly, finding: &Finding) -> String {
    let subject = subject_called(assembly, finding.subject);
    format!("{} ({subject}): {}", finding.id, plain(&finding.message))
}

/// Names of what a finding is about, those of parts and pieces told in some way.
fn named(
    subject: Subject,
    part: impl Fn(PartId) -> String,
    piece: impl Fn(InstanceId) -> String,
    between: impl Fn(JointId) -> [InstanceId; 2],
) -> String {
    let pair = |pieces: [InstanceId; 2]| pieces.map(&piece).join("/");
    match subject {
        Subject::Part(id) => part(id),
        Subject::Piece(id) => piece(id),
        Subject::Joint(joint) => pair(between(joint)),
        Subject::Pair(pieces) => pair(pieces),
        Subject::Fit(fit) => fit.word().into(),
        Subject::Fits => "fits".into(),
        Subject::Layer => "layer".into(),
        Subject::Load => "load".into(),
        Subject::Hand => "hand".into(),
        Subject::Kit => "kit".into(),
    }
}

/// Grams in a cubic centimetre: common figures of filament data sheets (ASA from memory).
pub fn density(material: Material) -> f64 {
    match material {
        Material::Pla => 1.24,
        Material::Petg => 1.27,
        Material::Abs => 1.04,
        Material::Asa => 1.07,
    }
}
