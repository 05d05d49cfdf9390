//! The list of test pieces and files by which a coupon's folder is known as ours.

use super::coupon_form::{FORM_FILE, form};
use super::coupon_product::CouponProduct;
use crate::coupon::Piece;
use crate::output::format::{FormatError, Listing};
use crate::output::part::path;
use crate::solid::Written;
use serde::Serialize;
use std::collections::BTreeMap;

/// Name of the list.
pub const LIST: &str = "coupon.json";
/// How the schema of every version of it begins.
pub const LIST_FAMILY: &str = "netlead-coupon/";
/// Schema of the list that is written.
const SCHEMA: &str = "netlead-coupon/1";

/// The format.
pub struct ListFile;

impl Listing<CouponProduct> for ListFile {
    fn path(&self) -> &'static str {
        LIST
    }

    fn bytes(&self, product: &CouponProduct, files: &[String]) -> Result<Vec<u8>, FormatError> {
        let list = list(product, files);
        let mut text = serde_json::to_string_pretty(&list).map_err(FormatError::of("the list"))?;
        text.push('\n');
        Ok(text.into_bytes())
    }
}

#[derive(Serialize)]
struct List<'a> {
    schema: &'static str,
    kit: &'a str,
    estimate_min: Span,
    one_bed: bool,
    pieces: Vec<Entry<'a>>,
    files: &'a [String],
    as_written: BTreeMap<&'static str, String>,
}

#[derive(Serialize)]
struct Span {
    low: f64,
    nominal: f64,
    high: f64,
}

#[derive(Serialize)]
struct Entry<'a> {
    name: &'a str,
    file: String,
    triangles: usize,
    volume_mm3: f64,
    size_mm: [f64; 3],
    genus: usize,
}

/// Rounded to a tenth: more would be pretence.
fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

fn list<'a>(product: &'a CouponProduct, files: &'a [String]) -> List<'a> {
    let entry = |(piece, written): (&'a Piece, &Written)| Entry {
        name: &piece.name,
        file: path(&piece.name),
        triangles: written.triangles,
        volume_mm3: written.volume_mm3,
        size_mm: written.size_mm,
        genus: piece.shape.genus,
    };
    let estimate = product.estimate;
    List {
        schema: SCHEMA,
        kit: &product.kit.name.value,
        estimate_min: Span {
            low: tenth(estimate.least.0),
            nominal: tenth(estimate.time.0),
            high: tenth(estimate.most.0),
        },
        one_bed: product.one_bed,
        pieces: product
            .coupon
            .pieces
            .iter()
            .zip(&product.written)
            .map(entry)
            .collect(),
        files,
        as_written: [(FORM_FILE, form(product))].into(),
    }
}
