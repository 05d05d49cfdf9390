//! The formats of every folder that is written, and the one way on which they are.
//!
//! A new format is a file with a [`Format`] and a line in one of the lists here.

use super::bench::coupon_product::CouponProduct;
use super::bench::{coupon_form, coupon_list, coupon_sheet, trial_page, trial_plot, trial_report};
use super::file::OutFile;
use super::kit::{Product, bill, guide, report};
use super::part::files::PartFiles;
use crate::trial::Trial;
use std::error::Error;

/// The folder that `make` writes.
pub static KIT: Formats<Product> = Formats {
    each: &[&PartFiles, &bill::BillFile, &guide::GuideFile],
    listing: &report::ReportFile,
};

/// The folder that `coupon` writes.
pub static COUPON: Formats<CouponProduct> = Formats {
    each: &[&PartFiles, &coupon_sheet::SheetFile, &coupon_form::FormFile],
    listing: &coupon_list::ListFile,
};

/// The folder that `trial` writes.
pub static TRIAL: Formats<Trial> = Formats {
    each: &[&trial_page::PageFile, &trial_plot::PlotFile],
    listing: &trial_report::ReportFile,
};

/// One format: from a product to the files of it.
pub trait Format<P>: Sync {
    /// Its files, in the order in which reports list them.
    ///
    /// # Errors
    /// What keeps a file from being put together.
    fn files(&self, product: &P) -> Result<Vec<OutFile>, FormatError>;
}

/// The format that lists the files of all others and its own, by which a folder is known.
pub trait Listing<P>: Sync {
    /// Its file, relative to the folder.
    fn path(&self) -> &'static str;

    /// What its file holds. `files` are the names of all files, its own the last.
    ///
    /// # Errors
    /// What keeps it from being put together.
    fn bytes(&self, product: &P, files: &[String]) -> Result<Vec<u8>, FormatError>;
}

/// Why a file could not be put together.
#[derive(Debug, thiserror::Error)]
#[error("cannot put {what} together: {reason}")]
pub struct FormatError {
    what: &'static str,
    reason: Box<dyn Error + Send + Sync>,
}

impl FormatError {
    /// Of a reason, and what it keeps from being: `the bill`.
    pub fn of<E: Into<Box<dyn Error + Send + Sync>>>(what: &'static str) -> impl FnOnce(E) -> Self {
        move |reason| Self {
            what,
            reason: reason.into(),
        }
    }
}

/// The formats of one kind of product.
pub struct Formats<P: 'static> {
    /// In the order of their files.
    each: &'static [&'static dyn Format<P>],
    listing: &'static dyn Listing<P>,
}

impl<P> Formats<P> {
    /// All files of a product's folder; the one that lists them is the last.
    ///
    /// # Errors
    /// The first format that cannot be put together; no product can cause it.
    pub fn write(&self, product: &P) -> Result<Vec<OutFile>, FormatError> {
        let mut files = Vec::new();
        for format in self.each {
            files.append(&mut format.files(product)?);
        }
        let mut names: Vec<String> = files.iter().map(|file| file.path.clone()).collect();
        names.push(self.listing.path().into());
        let bytes = self.listing.bytes(product, &names)?;
        files.push(OutFile::new(self.listing.path(), bytes));
        Ok(files)
    }

    /// What the file holds, among all files, that lists them; empty if there is none.
    pub fn listing<'a>(&self, files: &'a [OutFile]) -> &'a [u8] {
        let found = files.iter().find(|file| file.path == self.listing.path());
        found.map_or(&[], |file| &file.bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;

    fn all(product: &Product) -> Vec<OutFile> {
        KIT.write(product).unwrap()
    }

    #[test]
    fn the_report_lists_every_file_and_itself() {
        let files = all(&fixture::nested());
        let report: serde_json::Value = serde_json::from_slice(KIT.listing(&files)).unwrap();
        let listed: Vec<_> = report["files"].as_array().unwrap().iter().collect();
        let written: Vec<_> = files.iter().map(|file| file.path.as_str()).collect();
        assert_eq!(listed, written);
        for name in ["parts/drive.stl", "bill.csv", "guide.md", "report.json"] {
            assert!(written.contains(&name), "{name}");
        }
    }

    #[test]
    fn a_bought_part_has_no_file() {
        let files = all(&fixture::nested_with_bought_pins());
        assert!(files.iter().all(|file| file.path != "parts/frame.stl"));
    }

    #[test]
    fn the_same_product_gives_the_same_bytes() {
        assert_eq!(all(&fixture::nested()), all(&fixture::nested()));
    }

    /// A format of two files, as a new one may have.
    struct Views;

    impl Format<Product> for Views {
        fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
            let mesh = |part: &str| {
                let parts = product.design.assembly.parts.iter().zip(&product.bodies);
                let mut named = parts.filter(|(each, _)| each.name == part);
                named
                    .next()
                    .map_or(0, |(_, body)| body.mesh().triangles.len())
            };
            let view = |part| OutFile::new(format!("views/{part}.txt"), mesh(part).to_string());
            Ok(vec![view("frame"), view("drive")])
        }
    }

    #[test]
    fn a_new_format_sees_bought_parts_and_is_listed_by_itself() {
        let formats = Formats {
            each: &[&Views, &PartFiles],
            listing: &report::ReportFile,
        };
        let files = formats.write(&fixture::nested_with_bought_pins()).unwrap();
        // The frame of the fixture is bought: four facets all the same.
        assert_eq!(files[0], OutFile::new("views/frame.txt", "4"));
        let report: serde_json::Value = serde_json::from_slice(formats.listing(&files)).unwrap();
        assert_eq!(report["files"][1], "views/drive.txt");
    }
}
