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

impl OutFile {
    /// A file that holds text or bytes.
    pub fn new(path: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self {
            path: path.into(),
            bytes: bytes.into(),
        }
    }
}
