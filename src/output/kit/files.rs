//! All files of a kit's folder, with the report that lists them.

use super::product::Product;
use super::report::Report;
use super::{bill, guide};
use crate::assembly::PartId;
use crate::output::file::{OutFile, REPORT};

/// Why the files could not be put together.
#[derive(Debug, thiserror::Error)]
pub enum FilesError {
    /// The bill.
    #[error("cannot put the bill together: {0}")]
    Bill(#[from] csv::Error),
    /// The report.
    #[error("cannot put the report together: {0}")]
    Report(#[from] serde_json::Error),
}

/// The files of a product; the report is the last of them.
///
/// # Errors
/// None that a product can cause.
pub fn all(product: &Product) -> Result<Vec<OutFile>, FilesError> {
    let mut files: Vec<OutFile> = (0..product.design.assembly.parts.len())
        .map(PartId)
        .filter_map(|part| {
            Some(OutFile {
                path: product.file_of(part)?,
                bytes: product.written(part)?.bytes.clone(),
            })
        })
        .collect();
    files.push(OutFile {
        path: "bill.csv".into(),
        bytes: bill::csv(&bill::rows(product))?,
    });
    files.push(OutFile {
        path: "guide.md".into(),
        bytes: guide::text(product).into_bytes(),
    });
    let mut names: Vec<String> = files.iter().map(|file| file.path.clone()).collect();
    names.push(REPORT.into());
    files.push(OutFile {
        path: REPORT.into(),
        bytes: Report::new(product, &names).to_json()?.into_bytes(),
    });
    Ok(files)
}

/// The report among the files; empty if there is none.
pub fn report(files: &[OutFile]) -> &[u8] {
    let found = files.iter().find(|file| file.path == REPORT);
    found.map_or(&[], |file| &file.bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;

    #[test]
    fn the_report_lists_every_file_and_itself() {
        let files = all(&fixture::nested()).unwrap();
        let report: serde_json::Value = serde_json::from_slice(report(&files)).unwrap();
        let listed: Vec<_> = report["files"].as_array().unwrap().iter().collect();
        let written: Vec<_> = files.iter().map(|file| file.path.as_str()).collect();
        assert_eq!(listed, written);
        for name in ["parts/drive.stl", "bill.csv", "guide.md", "report.json"] {
            assert!(written.contains(&name), "{name}");
        }
    }

    #[test]
    fn a_bought_part_has_no_file() {
        let files = all(&fixture::nested_with_bought_pins()).unwrap();
        assert!(files.iter().all(|file| file.path != "parts/frame.stl"));
    }

    #[test]
    fn the_same_product_gives_the_same_bytes() {
        assert_eq!(
            all(&fixture::nested()).unwrap(),
            all(&fixture::nested()).unwrap()
        );
    }
}
