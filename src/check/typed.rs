//! What mends tell a maker to type, made from the names of declared keys: none can name a key
//! that a kit file has not.

use crate::assembly::Asked;
use crate::kit::KeyPath;
use crate::units::Length;
use std::fmt::Display;
use std::ops::Range;

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

/// What to type for another gap where the joint's own is asked for:
/// `` `gaps = { thread = "0.1 mm" }` ``.
pub(super) fn gap(asked: &Asked, wanted: Length, decimals: usize) -> String {
    // Adding zero turns a negative one into a plain one.
    let value = format!("{:.decimals$} mm", wanted.as_mm() + 0.0);
    format!("`{}`", asked.to_type(&value))
}

/// Where a kit's file asks for a joint's gap.
pub(super) fn gap_at(asked: Option<&Asked>) -> Option<Range<usize>> {
    asked.and_then(|asked| asked.at.clone())
}
