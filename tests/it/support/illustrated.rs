//! Kits with their pictures, as `make` has them, each drawn once for all tests.

use super::kept::Kept;
use netlead::cli::pipeline::{self, Pictures};
use netlead::cli::printer_file::Shelf;
use netlead::output::kit::Product;
use std::path::Path;
use std::sync::Arc;

static DRAWN: Kept<Product> = Kept::new();

/// A kit that passes its checks, by its text.
pub(crate) fn illustrated(text: &str) -> Arc<Product> {
    DRAWN.get(text.into(), || {
        let read = pipeline::read("kit.toml", text, &Shelf::of(Path::new("kit.toml")));
        let read = read.unwrap_or_else(|_| panic!("{text}"));
        let product = read.judge_and_draw(Pictures::Drawn, &|_| {});
        let mut product = product.unwrap_or_else(|_| panic!("{text}"));
        read.cost_of_tuning(&mut product);
        read.what_gaps_shape(&mut product);
        product
    })
}
