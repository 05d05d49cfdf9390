//! `bed-1.3mf` and so on: the parts of each print bed, as many as are printed, where they lie.
//!
//! 3D Manufacturing Format, core specification 1.3 (3MF Consortium; from memory): an OPC package, which
//! is a ZIP archive with the types of its parts and a relation to the model, and a model in XML. One
//! object is one part, in the coordinates of its own file, with its revision as its part number; each of
//! its pieces is an item of the build with a transform. Millimetres. It has a title and no date, so that
//! one kit gives the same bytes.

use super::file::OutFile;
use super::format::{Format, FormatError};
use super::kit::Product;
use crate::assembly::PartId;
use crate::output::words::plain;
use crate::picture::escaped;
use crate::printing_time::{Bed, Place};
use crate::solid::Written;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// The format.
pub struct BedFiles;

/// File of a bed, by its number from 1, relative to the folder.
pub fn path(number: usize) -> String {
    format!("bed-{number}.3mf")
}

/// Types of the parts of the package.
const TYPES: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
    <Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
    <Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\
    <Default Extension=\"model\" ContentType=\"application/vnd.ms-package.3dmanufacturing-3dmodel+xml\"/>\
    </Types>\n";
/// Which part of the package is the model.
const RELATIONS: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
    <Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
    <Relationship Target=\"/3D/3dmodel.model\" Id=\"rel0\" \
    Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>\n";
/// Where the model stands in the package.
const MODEL: &str = "3D/3dmodel.model";
/// DEFLATE's effort, of 9: at 3 the file is a twentieth larger than at 6, in a third of the time (measured).
const EFFORT: i64 = 3;

impl Format<Product> for BedFiles {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        let beds = product.job.iter().flat_map(|job| &job.beds);
        (1..)
            .zip(beds)
            .map(|(number, bed)| {
                let model = model(product, bed, number);
                let bytes = package(&model).map_err(FormatError::of("a print bed"))?;
                Ok(OutFile::new(path(number), bytes))
            })
            .collect()
    }

    fn owns(&self, name: &str) -> bool {
        let inside = name.strip_prefix("bed-");
        let number = inside.and_then(|rest| rest.strip_suffix(".3mf"));
        number.is_some_and(|number| {
            !number.is_empty() && number.bytes().all(|letter| letter.is_ascii_digit())
        })
    }
}

/// The archive around a model.
fn package(model: &str) -> zip::result::ZipResult<Vec<u8>> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(EFFORT))
        .last_modified_time(DateTime::default());
    let parts = [
        ("[Content_Types].xml", TYPES),
        ("_rels/.rels", RELATIONS),
        (MODEL, model),
    ];
    for (name, text) in parts {
        archive.start_file(name, options)?;
        archive.write_all(text.as_bytes())?;
    }
    Ok(archive.finish()?.into_inner())
}

/// The model of a bed.
fn model(product: &Product, bed: &Bed, number: usize) -> String {
    let title = format!("{}, bed {number}", plain(&product.kit.name));
    let mut xml = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xml:lang=\"en\" \
         xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n\
         <metadata name=\"Title\">{}</metadata>\n<resources>\n",
        escaped(&title)
    );
    for (part, _) in &bed.pieces {
        if let Some(written) = product.written(PartId(*part)) {
            object(&mut xml, product, *part, written);
        }
    }
    xml.push_str("</resources>\n<build>\n");
    for place in &bed.places {
        if let Some(written) = product.written(PartId(place.piece)) {
            item(&mut xml, place, written);
        }
    }
    xml.push_str("</build>\n</model>\n");
    xml
}

/// Number of a part's object; they begin at 1.
fn id(part: usize) -> usize {
    part + 1
}

/// A part as its file holds it.
fn object(xml: &mut String, product: &Product, part: usize, written: &Written) {
    let part_made = product.design.assembly.part(PartId(part));
    let number = part_made
        .label
        .as_ref()
        .map(|label| label.revision.as_str());
    // Writing into a text cannot fail.
    let _ = writeln!(
        xml,
        "<object id=\"{}\" type=\"model\" name=\"{}\" partnumber=\"{}\"><mesh><vertices>",
        id(part),
        escaped(&part_made.name),
        escaped(number.unwrap_or_default())
    );
    for point in &written.mesh.points {
        // As the file of the part has it: 32 bits, in their shortest letters.
        let [x, y, z] = [point.x, point.y, point.z].map(narrow);
        let _ = writeln!(xml, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    }
    xml.push_str("</vertices><triangles>\n");
    for [a, b, c] in &written.mesh.triangles {
        let _ = writeln!(xml, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    }
    xml.push_str("</triangles></mesh></object>\n");
}

/// A number that was read from 32 bits, as those.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the mesh was read back from 32-bit floats"
)]
fn narrow(value: f64) -> f32 {
    value as f32 + 0.0
}

/// A piece where it lies: turned about z, then moved, as rows of the transform of the core
/// specification, which multiplies points from the left.
fn item(xml: &mut String, place: &Place, written: &Written) {
    let [low, size] = [written.low_mm, written.size_mm];
    let (turn, corner) = match place.turned {
        // x goes to y, y to -x: the box then reaches from -(low + size) to -low along x.
        true => ("0 1 0 -1 0 0 0 0 1", [-(low[1] + size[1]), low[0]]),
        false => ("1 0 0 0 1 0 0 0 1", [low[0], low[1]]),
    };
    let [x, y] = [0, 1].map(|axis| place.corner[axis] - corner[axis]);
    let z = -low[2] + 0.0;
    let _ = writeln!(
        xml,
        "<item objectid=\"{}\" transform=\"{turn} {x:.5} {y:.5} {z:.5}\"/>",
        id(place.piece)
    );
}
