//! What mends tell a maker to type, made from the names of declared keys: none can name a key
//! that a kit file has not.

use crate::assembly::Fit;
use crate::kit::{KeyPath, Kit, Said, key};
use crate::units::Length;
use std::fmt::Display;

/// A line to type: `` `layer = "0.2 mm"` ``.
pub(super) fn line(key: KeyPath, value: impl Display) -> String {
    format!("`{} = {value}`", key.as_str())
}

/// The same in the table of the key: `` `gaps = { thread = "0.1 mm" }` ``.
pub(super) fn in_table(key: KeyPath, value: impl Display) -> String {
    let (table, leaf) = parted(key);
    format!("`{table} = {{ {leaf} = {value} }}`")
}

/// The line of a key alone, to stand in its table: `` `torque = "2 N m"` in `load` ``.
pub(super) fn under_table(key: KeyPath, value: impl Display) -> String {
    let (table, leaf) = parted(key);
    format!("`{leaf} = {value}` in `{table}`")
}

/// The table of a key: `` `gaps` ``.
pub(super) fn table(key: KeyPath) -> String {
    format!("`{}`", parted(key).0)
}

/// Table and rest of a key; of one that stands in none, itself twice.
fn parted(key: KeyPath) -> (&'static str, &'static str) {
    let path = key.as_str();
    path.rsplit_once('.').unwrap_or((path, path))
}

/// A length in mm, as a kit file has it.
pub(super) fn mm(length: Length, decimals: usize) -> String {
    // No length is told as less than nothing by rounding alone.
    format!("\"{:.decimals$} mm\"", length.as_mm() + 0.0)
}

/// The gap of a kind of fit: its key, and what the kit says; none of a fit that has no key.
pub(super) fn asked_gap(kit: &Kit, fit: Fit) -> Option<(KeyPath, &Said<Length>)> {
    let gaps = &kit.gaps;
    match fit {
        Fit::Thread => Some((key::GAP_THREAD.name(), &gaps.thread)),
        Fit::Slide => Some((key::GAP_SLIDE.name(), &gaps.slide)),
        Fit::Locate => Some((key::GAP_LOCATE.name(), &gaps.locate)),
        Fit::Swivel => Some((key::GAP_SWIVEL.name(), &gaps.swivel)),
        Fit::Press => Some((key::GAP_PRESS.name(), &gaps.press)),
        Fit::Seat | Fit::Stop => None,
    }
}

/// What to do about pins that bear too little.
pub(super) fn thicker_pins() -> String {
    format!(
        "take thicker pins ({}) or bought ones ({})",
        key::PINS_DIAMETER.name(),
        key::PINS_BUY.name()
    )
}
