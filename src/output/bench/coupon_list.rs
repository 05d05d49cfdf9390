//! The list of test pieces and files by which a coupon's folder is known as ours.

use super::coupon_product::CouponProduct;
use crate::coupon::{Extent, Piece};
use crate::output::format::{FormatError, Listing};
use crate::output::part::path;
use crate::solid::Written;
use serde::{Deserialize, Serialize};

/// Name of the list.
pub(crate) const LIST: &str = "coupon.json";
/// How the schema of every version of it begins.
pub(crate) const LIST_FAMILY: &str = "netlead-coupon/";
/// Schema of the list that is written.
const SCHEMA: &str = "netlead-coupon/1";

/// The format.
pub(crate) struct ListFile;

impl Listing<CouponProduct> for ListFile {
    fn path(&self) -> &'static str {
        LIST
    }

    fn family(&self) -> &'static str {
        LIST_FAMILY
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
    set: String,
    estimate_min: Span,
    one_bed: bool,
    pieces: Vec<Entry<'a>>,
    files: &'a [String],
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

/// What a list says was asked for: the full set, the quick one, or the ladder of one joint.
pub(crate) fn set(extent: &Extent) -> String {
    match extent {
        Extent::Full => "the full set".into(),
        Extent::Quick => "the quick set".into(),
        Extent::Break => "the set to be broken".into(),
        Extent::Joint(joint) => format!("the ladder of {joint}"),
    }
}

/// Which set a list of any version is of; `None` if it does not say.
pub(crate) fn set_of(list: &[u8]) -> Option<String> {
    #[derive(Deserialize)]
    struct Old {
        set: String,
    }
    serde_json::from_slice(list).ok().map(|old: Old| old.set)
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
        set: set(&product.extent),
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
    }
}
