//! What printing bench aids takes, in words.

use super::bill;
use super::product::{BenchAid, Product};
use crate::printing_time::Minutes;

/// What printing one of it takes, and its size.
pub fn takes(product: &Product, aid: &BenchAid) -> String {
    let row = bill::aid_row(product, aid);
    let told = product.kit.told();
    let size = bill::size(&row, told).unwrap_or_default();
    let weight = bill::weight(&row).unwrap_or_default();
    format!(
        "{} x, {size}; {weight} and about {} each; {}",
        aid.aid.part.quantity,
        aid.estimate.time.told(),
        aid.aid.part.print_note
    )
}

/// How many there are, minutes one after the other, and grams.
fn sums(product: &Product) -> (usize, Minutes, f64) {
    let (mut pieces, mut minutes, mut grams) = (0, 0.0, 0.0);
    for aid in product.bench_aids() {
        let count = aid.aid.part.quantity;
        pieces += count;
        minutes += aid.estimate.time.0 * count as f64;
        grams += bill::solid_mass(aid.estimate.plastic_mm3, &product.kit) * count as f64;
    }
    (pieces, Minutes(minutes), grams)
}

/// What printing all of them takes; none where there are none.
pub fn total(product: &Product) -> Option<String> {
    let (pieces, minutes, grams) = sums(product);
    (pieces > 0).then(|| {
        format!(
            "All of them: about {} of printing, one after the other, and {grams:.0} g. They are no pieces of \
             the mechanism, lie on none of its print beds, and stay at the bench for the next one.",
            minutes.told()
        )
    })
}

/// The same for the digest; none where they were not asked for.
pub fn in_short(product: &Product) -> Option<String> {
    product.aids.as_ref()?;
    Some(match sums(product) {
        (0, ..) => "no bench aid helps here; the guide says why".into(),
        (pieces, minutes, grams) => format!(
            "bench/: {pieces} to print, about {}, {grams:.0} g",
            minutes.told()
        ),
    })
}
