//! The formats of every folder that is written.
//!
//! A new format is a file with a [`Format`](super::format::Format) and a line in one of the lists
//! here.

use super::bench::coupon_product::CouponProduct;
use super::bench::{coupon_form, coupon_list, coupon_sheet, trial_page, trial_plot, trial_report};
use super::format::Formats;
use super::kit::{Product, bill, report};
use super::part_files::PartFiles;
use super::{aid_files, assembly_file, bed_files, guide, picture_files};
use crate::trial::Trial;

/// The folder that `make` writes.
pub static KIT: Formats<Product> = Formats {
    each: &[
        &PartFiles,
        &bed_files::BedFiles,
        &assembly_file::AssemblyFile,
        &aid_files::AidFiles,
        &bill::BillFile,
        &guide::GuideFile,
        &picture_files::PictureFiles,
        &guide::GuidePage,
    ],
    listing: &report::ReportFile,
};

/// The folder that `coupon` writes.
pub static COUPON: Formats<CouponProduct> = Formats {
    each: &[
        &PartFiles,
        &bed_files::BedFiles,
        &coupon_sheet::SheetFile,
        &coupon_sheet::SheetPage,
        &coupon_form::FormFile,
    ],
    listing: &coupon_list::ListFile,
};

/// The folder that `trial` writes.
pub static TRIAL: Formats<Trial> = Formats {
    each: &[
        &trial_page::PageFile,
        &trial_page::WebPage,
        &trial_plot::PlotFile,
    ],
    listing: &trial_report::ReportFile,
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::file::OutFile;
    use crate::output::format::{Format, FormatError};
    use crate::output::kit::fixture;
    use crate::output::record::{Record, digest};

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
    fn every_file_that_is_written_is_owned_and_recorded_with_its_digest() {
        let files = all(&fixture::nested());
        let record = Record::read(KIT.listing(&files)).unwrap();
        let mark = KIT.mark();
        for file in &files {
            assert!(mark.owns(&file.path), "{}", file.path);
            let recorded = file.path != mark.listing;
            assert_eq!(
                record.of(&file.path),
                recorded.then(|| digest(&file.bytes)).as_deref()
            );
        }
        for foreign in [
            "notes.txt",
            "parts/drive.gcode",
            "parts/a/b.stl",
            "parts/.stl",
        ] {
            assert!(!mark.owns(foreign), "{foreign}");
        }
        assert!(COUPON.mark().is_to_be_filled("form.toml"));
        assert!(!COUPON.mark().is_to_be_filled("coupon.md"));
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
                let parts = product.design.assembly.parts.iter().zip(&*product.bodies);
                let mut named = parts.filter(|(each, _)| each.name == part);
                named
                    .next()
                    .map_or(0, |(_, body)| body.mesh().triangles.len())
            };
            let view = |part| OutFile::new(format!("views/{part}.txt"), mesh(part).to_string());
            Ok(vec![view("frame"), view("drive")])
        }

        fn owns(&self, name: &str) -> bool {
            name.starts_with("views/")
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
