//! Bench aids in the report.

use super::aids;
use super::bill::solid_mass;
use super::product::{BenchAid, Product};
use super::report_numbers::rounded;
use crate::check::Finding;
use crate::output::words::outcome_word;
use serde::Serialize;

/// A bench aid.
#[derive(Clone, Debug, Serialize)]
pub(super) struct AidEntry {
    name: String,
    quantity: usize,
    purpose: String,
    revision: Option<String>,
    /// Relative to the folder.
    file: Option<String>,
    size_mm: [Option<f64>; 3],
    volume_mm3: Option<f64>,
    /// Printing one of it alone.
    time_min: Option<f64>,
    mass_g: Option<f64>,
    checks: Vec<AidCheckEntry>,
}

/// How a check of printed parts came out for it.
#[derive(Clone, Debug, Serialize)]
struct AidCheckEntry {
    id: &'static str,
    outcome: &'static str,
    message: String,
}

/// Its entry; `files` are those that are written.
pub(super) fn aid(product: &Product, made: &BenchAid, files: &[String]) -> AidEntry {
    let (part, written) = (&made.aid.part, &made.written);
    let check = |finding: &Finding| AidCheckEntry {
        id: finding.id,
        outcome: outcome_word(finding.outcome),
        message: finding.message.clone(),
    };
    AidEntry {
        name: part.name.clone(),
        quantity: part.quantity,
        purpose: aids::purpose(product, made),
        revision: part.label.as_ref().map(|label| label.revision.clone()),
        file: Some(made.file()).filter(|file| files.contains(file)),
        size_mm: written.size_mm.map(rounded),
        volume_mm3: rounded(written.volume_mm3),
        time_min: rounded(made.estimate.time.0),
        mass_g: rounded(solid_mass(made.estimate.plastic_mm3, &product.kit)),
        checks: made.findings.iter().map(check).collect(),
    }
}
