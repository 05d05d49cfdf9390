//! What would make a kit quicker to print: one key changed at a time, each change judged whole, and
//! only those told by which nothing comes out worse.

use super::printer_file::Shelf;
use crate::check::{Finding, Outcome};
use crate::kit::{KeyPath, edit, key};
use crate::making;
use crate::output::kit::Product;
use crate::output::kit::bill::solid_mass;
use crate::output::page::savings::Saving;
use crate::printing_time::Minutes;
use crate::units::Length;
use crate::units_told::{Told, number};
use rayon::prelude::*;

/// Layer heights that are common (common practice), in mm.
const LAYERS: [f64; 7] = [0.08, 0.1, 0.12, 0.15, 0.2, 0.25, 0.3];
/// Fewest walls that are tried: fewer are for nothing that carries load (common practice).
const LEAST_WALLS: u32 = 3;
/// How much narrower a frame is tried: it comes in steps of two millimetres.
const NARROWER: [Length; 3] = [Length::mm(2.0), Length::mm(4.0), Length::mm(6.0)];
/// Least that is worth a reprint's thought, in minutes. Guess.
const WORTH_A_WORD: f64 = 10.0;
/// So many are told.
const TOLD: usize = 2;

/// The largest savings, each of another key, the largest first.
pub(super) fn of(text: &str, path: &str, shelf: &Shelf, product: &Product) -> Vec<Saving> {
    let Some(before) = product.job.as_ref().map(|job| job.whole) else {
        return Vec::new();
    };
    let tried = candidates(product);
    let found = tried.into_par_iter().filter_map(|(key, value)| {
        let edited = edit::with_value(text, key.as_str(), &value).ok()?;
        let read = making::read(path, &edited, shelf).ok()?;
        let other = read.judge(&|_| {}).ok()?;
        let after = other.job.as_ref()?.whole;
        let time = before.time.0 - after.time.0;
        let plastic = before.plastic_mm3 - after.plastic_mm3;
        (time >= WORTH_A_WORD && !is_worse(&product.findings, &other.findings)).then(|| Saving {
            key,
            value,
            time: Minutes(time),
            grams: solid_mass(plastic, &product.kit),
        })
    });
    let mut found: Vec<Saving> = found.collect();
    found.sort_by(|one, other| other.time.0.total_cmp(&one.time.0));
    let mut told: Vec<Saving> = Vec::new();
    for saving in found {
        if told.len() < TOLD && told.iter().all(|known| known.key != saving.key) {
            told.push(saving);
        }
    }
    told
}

/// Keys with what they might say.
fn candidates(product: &Product) -> Vec<(KeyPath, String)> {
    let kit = &product.kit;
    let thicker = |layer: &f64| *layer > kit.layer.as_mm() + SAME;
    let layer = LAYERS.into_iter().find(thicker);
    let layer = layer.map(|layer| (key::LAYER.name(), format!("\"{layer} mm\"")));
    let walls = product.job.as_ref().map(|job| job.walls);
    let walls = walls.filter(|walls| *walls > LEAST_WALLS);
    let walls = walls.map(|walls| (key::WALLS.name(), (walls - 1).to_string()));
    let side = product.design.frame_side.into_iter();
    let narrower = side.flat_map(|side| NARROWER.map(|less| side - less));
    let said = |side: Length| {
        let typed = match kit.told() {
            Told::Metric => format!("\"{} mm\"", number(side.as_mm(), 2)),
            Told::Inch => format!("\"{} in\"", number(side.as_inches(), 4)),
        };
        (key::FRAME_SIDE.name(), typed)
    };
    layer
        .into_iter()
        .chain(walls)
        .chain(narrower.map(said))
        .collect()
}

/// Layers that differ by less are one, in mm.
const SAME: f64 = 1e-6;

/// Whether something of a kit comes out worse than it was.
fn is_worse(before: &[Finding], after: &[Finding]) -> bool {
    let bad = |finding: &&Finding| match finding.outcome {
        Outcome::Fail | Outcome::Warn | Outcome::Note => true,
        Outcome::Pass | Outcome::Waived => false,
    };
    let was = |finding: &Finding| {
        let same = |old: &&Finding| old.id == finding.id && old.subject == finding.subject;
        before.iter().filter(same).map(|old| old.outcome).max()
    };
    let mut bad = after.iter().filter(bad);
    bad.any(|finding| was(finding).is_none_or(|was| was < finding.outcome))
}
