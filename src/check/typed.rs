//! What mends tell a maker to type, made from the names of declared keys: none can name a key
//! that a kit file has not.

use crate::assembly::Asked;
use crate::kit::KeyPath;
use crate::units::Length;
use std::fmt::Display;
use std::ops::Range;

/// Steps in which layers, lines, gaps and offsets are proposed: what a maker types.
pub(super) const HUNDREDTH: Length = Length::mm(0.01);

/// What to type for a key with its table: `` `gaps = { thread = "0.1 mm" }` ``.
pub(super) fn in_table(key: KeyPath, value: impl Display) -> String {
    let (table, leaf) = parted(key);
    format!("`{table} = {{ {leaf} = {value} }}`")
}

/// The table of a key: `` `gaps` ``.
pub(super) fn table(key: KeyPath) -> String {
    format!("`{}`", parted(key).0)
}

/// Table and rest of a key; of one that stands in none, itself twice.
fn parted(key: KeyPath) -> (&'static str, &'static str) {
    key.parted().unwrap_or((key.as_str(), key.as_str()))
}

/// Where a kit's file asks for a joint's gap.
pub(super) fn gap_at(asked: Option<&Asked>) -> Option<Range<usize>> {
    asked.and_then(|asked| asked.at.clone())
}
