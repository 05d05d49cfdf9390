//! `bench/*.stl`: one file for every kind of bench aid, whatever its number.

use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::kit::{BenchAid, Product};
use crate::output::part::is_aid_path;

/// The format.
pub struct AidFiles;

impl Format<Product> for AidFiles {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        let aids = product.bench_aids();
        let file = |aid: &BenchAid| OutFile::new(aid.file(), aid.written.bytes.as_slice());
        Ok(aids.map(file).collect())
    }

    fn owns(&self, name: &str) -> bool {
        is_aid_path(name)
    }
}
