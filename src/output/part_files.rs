//! `parts/*.stl`: one file for every printed part or test piece, whatever its number.

use crate::assembly::PartId;
use crate::output::bench::coupon_product::CouponProduct;
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::kit::Product;
use crate::output::part::{is_path, path};

/// The format.
pub(super) struct PartFiles;

impl Format<Product> for PartFiles {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        let parts = (0..product.design.assembly.parts.len()).map(PartId);
        let file = |part| {
            let path = product.file_of(part)?;
            Some(OutFile::new(path, product.written(part)?.bytes.as_slice()))
        };
        Ok(parts.filter_map(file).collect())
    }

    fn owns(&self, name: &str) -> bool {
        is_path(name)
    }
}

impl Format<CouponProduct> for PartFiles {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        let pieces = product.coupon.pieces.iter().zip(&product.written);
        let file = pieces
            .map(|(piece, written)| OutFile::new(path(&piece.name), written.bytes.as_slice()));
        Ok(file.collect())
    }

    fn owns(&self, name: &str) -> bool {
        is_path(name)
    }
}
