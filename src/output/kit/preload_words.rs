//! What is told of a preload spring: rows beside those on motion, and cautions.

use super::product::{Interval, PreloadMotion, Product};
use crate::units_told::number;

/// What it does, as rows of name and value; empty where there is none.
pub(super) fn rows(product: &Product) -> Vec<(&'static str, String)> {
    let preload = product.motion.preload.as_ref();
    preload.map_or_else(Vec::new, |preload| of(product, preload))
}

fn of(product: &Product, preload: &PreloadMotion) -> Vec<(&'static str, String)> {
    let told = product.kit.told();
    let PreloadMotion {
        figures,
        rate,
        lost_motion_turns,
        ..
    } = preload;
    let [least, most] = figures.force;
    let [first, last] = figures.torque;
    let mut rows = Vec::new();
    if let Some(lost) = lost_motion_turns {
        rows.push(("with the spring", left(*lost)));
    }
    rows.push((
        "spring",
        format!(
            "{} at turn 0, {} at the end of the stroke, {}; it holds against {}",
            told.fine_force(least),
            told.fine_force(most),
            told.spring_rate(*rate),
            told.fine_force(figures.needed())
        ),
    ));
    rows.push((
        "spring adds",
        format!(
            "up to {} at turn 0, {} at the end, to the torque at the head",
            told.torque(first),
            told.torque(last)
        ),
    ));
    rows
}

/// Turns that a reversal still loses, at the most, while the spring takes up the play: where it does
/// without doubt.
pub(in crate::output) fn lost(product: &Product) -> Option<f64> {
    let preload = product.motion.preload.as_ref()?;
    let [least, _] = preload.figures.force;
    let holds = least > preload.figures.needed();
    preload
        .lost_motion_turns
        .map(|lost| lost.high)
        .filter(|_| holds)
}

/// The same for the digest; none without a spring that holds.
pub(super) fn in_short(product: &Product) -> Option<String> {
    Some(match number(lost(product)?, 3).as_str() {
        "0" => "none at a reversal with the spring".into(),
        high => format!("up to {high} turns at each reversal with the spring"),
    })
}

/// What a reversal still loses.
fn left(lost: Interval) -> String {
    match number(lost.high, 3).as_str() {
        "0" => "no turns at a reversal: what bends is not counted".into(),
        high => format!(
            "0 to {high} turns at each reversal, by what the carriage turns; what bends is not counted"
        ),
    }
}

/// What to heed of a keeper that a spring presses on; none where there is none.
pub(super) fn caution(product: &Product) -> Option<String> {
    let preload = product.motion.preload.as_ref()?;
    let [force, _] = preload.figures.force;
    Some(format!(
        "A spring presses the keeper out with {} and more. Drive its pins in or out at turn 0 only, both \
         thumbs on the flange until they are in or the spring is loose, your face out of its line, eye \
         protection on.",
        product.kit.told().fine_force(force)
    ))
}
