//! Meshes and where they lie on a bed, to a file of the 3D Manufacturing Format.
//!
//! Core specification 1.3 (3MF Consortium; from memory): an OPC package, which is a ZIP archive with the
//! types of its parts and a relation to the model, and a model in XML. One object is one part, in the
//! coordinates of its own file, with its revision as its part number; each of its pieces is an item of the
//! build with a transform. Millimetres. It has a title and no date, so that the same bed gives the same
//! bytes.

use crate::output::words::plain;
use crate::picture::escaped;
use crate::printing_time::Place;
use crate::solid::Written;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};
use zip::result::ZipResult;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// A part or test piece, of which any number lie on the bed.
#[derive(Clone, Copy, Debug)]
pub struct Object<'a> {
    /// By which places name it.
    pub number: usize,
    /// Its name.
    pub name: &'a str,
    /// Its revision; empty if it has none.
    pub revision: &'a str,
    /// Its file.
    pub written: &'a Written,
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

/// A bed with a title. Places name their object as their piece; what has no place on this bed is left out.
///
/// # Errors
/// What the archive's writer refuses.
pub fn print_bed(title: &str, objects: &[Object<'_>], places: &[Place]) -> ZipResult<Vec<u8>> {
    let model = model(title, objects, places);
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(EFFORT))
        .last_modified_time(DateTime::default());
    let parts = [
        ("[Content_Types].xml", TYPES),
        ("_rels/.rels", RELATIONS),
        (MODEL, &model),
    ];
    for (name, text) in parts {
        archive.start_file(name, options)?;
        archive.write_all(text.as_bytes())?;
    }
    Ok(archive.finish()?.into_inner())
}

/// The model of a bed.
fn model(title: &str, objects: &[Object<'_>], places: &[Place]) -> String {
    let mut xml = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xml:lang=\"en\" \
         xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n\
         <metadata name=\"Title\">{}</metadata>\n<resources>\n",
        escaped(&plain(title))
    );
    for each in objects {
        if places.iter().any(|place| place.piece == each.number) {
            object(&mut xml, each);
        }
    }
    xml.push_str("</resources>\n<build>\n");
    for place in places {
        if let Some(object) = objects.iter().find(|each| each.number == place.piece) {
            item(&mut xml, place, object.written);
        }
    }
    xml.push_str("</build>\n</model>\n");
    xml
}

/// Number of an object in the file; they begin at 1.
fn id(number: usize) -> usize {
    number + 1
}

/// A part as its file holds it.
fn object(xml: &mut String, object: &Object<'_>) {
    // Writing into a text cannot fail.
    let _ = write!(
        xml,
        "<object id=\"{}\" type=\"model\" name=\"{}\"",
        id(object.number),
        escaped(&plain(object.name))
    );
    if !object.revision.is_empty() {
        let _ = write!(xml, " partnumber=\"{}\"", escaped(object.revision));
    }
    xml.push_str("><mesh><vertices>\n");
    let mesh = &object.written.mesh;
    for point in &mesh.points {
        // As the file of the part has it: 32 bits, in their shortest letters.
        let [x, y, z] = [point.x, point.y, point.z].map(narrow);
        let _ = writeln!(xml, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    }
    xml.push_str("</vertices><triangles>\n");
    for [a, b, c] in &mesh.triangles {
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
