//! `bed-1.3mf` and so on: the parts or test pieces of each print bed, as many as are printed, where they
//! lie; `reprint-1.3mf` and so on: of a kit only what is to be printed again.

use super::bench::coupon_product::CouponProduct;
use super::file::OutFile;
use super::format::{Format, FormatError};
use super::kit::Product;
use super::part::{Object, bed_path, is_bed_path, is_reprint_path, print_bed, reprint_path};
use crate::printing_time::{Job, Place};

/// The format.
pub struct BedFiles;

impl Format<Product> for BedFiles {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        let name = &product.kit.name;
        let whole = beds(&product.job);
        let again = beds(&product.reprint);
        let whole = whole.map(|(number, places)| {
            let title = format!("{name}, bed {number}");
            bed_of_kit(product, bed_path(number), &title, places)
        });
        let again = again.map(|(number, places)| {
            let title = format!("{name}, to print again, bed {number}");
            bed_of_kit(product, reprint_path(number), &title, places)
        });
        whole.chain(again).collect()
    }

    fn owns(&self, name: &str) -> bool {
        is_bed_path(name) || is_reprint_path(name)
    }
}

impl Format<CouponProduct> for BedFiles {
    fn files(&self, product: &CouponProduct) -> Result<Vec<OutFile>, FormatError> {
        let pieces = product.coupon.pieces.iter().zip(&product.written);
        let objects: Vec<Object<'_>> = pieces
            .enumerate()
            .map(|(number, (piece, written))| Object {
                number,
                name: &piece.name,
                revision: "",
                written,
            })
            .collect();
        let beds = (1..).zip(&product.beds);
        beds.map(|(number, places)| {
            let title = format!("{}, test pieces, bed {number}", *product.kit.name);
            file(bed_path(number), &title, &objects, places)
        })
        .collect()
    }

    fn owns(&self, name: &str) -> bool {
        is_bed_path(name)
    }
}

/// The beds of a job with their numbers.
fn beds(job: &Option<Job>) -> impl Iterator<Item = (usize, &[Place])> {
    let beds = job.iter().flat_map(|job| &job.beds);
    (1..).zip(beds.map(|bed| bed.places.as_slice()))
}

/// A bed of a kit; its places name parts by their place in the assembly.
fn bed_of_kit(
    product: &Product,
    path: String,
    title: &str,
    places: &[Place],
) -> Result<OutFile, FormatError> {
    let parts = product.design.assembly.parts.iter().zip(&*product.bodies);
    // Bought parts have no file, and lie on no bed.
    let objects = parts.enumerate().filter_map(|(number, (part, body))| {
        let label = part.label.as_ref();
        Some(Object {
            number,
            name: &part.name,
            revision: label.map_or("", |label| label.revision.as_str()),
            written: body.written()?,
        })
    });
    file(path, title, &objects.collect::<Vec<_>>(), places)
}

fn file(
    path: String,
    title: &str,
    objects: &[Object<'_>],
    places: &[Place],
) -> Result<OutFile, FormatError> {
    let bytes = print_bed(title, objects, places).map_err(FormatError::of("a print bed"))?;
    Ok(OutFile::new(path, bytes))
}
