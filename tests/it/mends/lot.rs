//! Mends of kits that were drawn by lot.

use super::followed::{By, fault, found, mendable};
use crate::random_kits::{accepts, drawn};
use rayon::prelude::*;

/// A seed of no meaning, how many kits of it are drawn, and which are meshed as well.
const SEED: u64 = 5;
const KITS: u64 = 8;
const MESHED: std::ops::Range<u64> = 25..28;

/// Faults of the ways in a kit of the lot, and how many ways were followed.
fn of_kit(number: u64, by: By) -> (Vec<String>, usize) {
    let text = drawn::accepted(SEED, number, accepts);
    let Some(before) = found(&text, by, false) else {
        return (Vec::new(), 0);
    };
    let mends = mendable(&before, false);
    let ways = mends
        .iter()
        .flat_map(|mend| mend.ways.iter().map(|way| (&mend.finding, way)));
    let ways: Vec<_> = ways.collect();
    let faults = ways.iter();
    let faults = faults.filter_map(|(finding, way)| fault(&text, &before, finding, way, by));
    (faults.collect(), ways.len())
}

fn all_lead_to_success(numbers: std::ops::Range<u64>, by: By, least: usize) {
    let each: Vec<(Vec<String>, usize)> = numbers
        .into_par_iter()
        .map(|number| of_kit(number, by))
        .collect();
    let followed: usize = each.iter().map(|(_, ways)| ways).sum();
    let faults: Vec<String> = each.into_iter().flat_map(|(faults, _)| faults).collect();
    assert!(
        faults.is_empty(),
        "{} of {followed}:\n{}",
        faults.len(),
        faults.join("\n")
    );
    assert!(followed >= least, "only {followed} ways were followed");
}

#[test]
fn what_kits_by_lot_are_told_to_type_mends_them() {
    all_lead_to_success(0..KITS, By::Sizes, 30);
}

#[test]
fn what_meshes_of_kits_by_lot_are_told_to_type_mends_them() {
    all_lead_to_success(MESHED, By::Meshes, 4);
}
