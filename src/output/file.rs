//! A file as bytes; only `cli` writes it.

/// Name of the report, by which a folder is known as ours.
pub const REPORT: &str = "report.json";

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutFile {
    /// Relative to the folder, with `/` between its parts.
    pub path: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}
