//! Kits with their pictures, as `make` has them, each drawn once for all tests.

use super::kept::Kept;
use netlead::making::{self, InMemory, Pictures};
use netlead::output::kit::Product;
use std::sync::Arc;

static DRAWN: Kept<Product> = Kept::new();

/// A kit that passes its checks, by its text.
pub(crate) fn illustrated(text: &str) -> Arc<Product> {
    DRAWN.get(text.into(), || {
        let read = making::read("kit.toml", text, &InMemory::none());
        let read = read.unwrap_or_else(|_| panic!("{text}"));
        let product = read.judge_and_draw(Pictures::Drawn, &|_| {});
        let mut product = product.unwrap_or_else(|_| panic!("{text}"));
        read.cost_of_tuning(&mut product);
        read.what_gaps_shape(&mut product);
        product
    })
}
