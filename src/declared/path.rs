//! Paths of keys: `head.across_flats` is the key `across_flats` of the table `head`.

/// The key without its table.
pub(crate) fn leaf(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or(path)
}
