//! Print beds as files: what was written is read again by an XML reader, and held against the parts.

use crate::support::illustrated::illustrated;
use crate::support::shell::{preset, presets};
use netlead::assembly::{Made, PartId};
use netlead::output::bed_files::BedFiles;
use netlead::output::format::Format;
use netlead::output::kit::Product;
use netlead::printing_time::BETWEEN;
use std::io::{Cursor, Read};

/// What a bed's file holds.
struct Plate {
    title: String,
    objects: Vec<Object>,
    items: Vec<Item>,
}

struct Object {
    id: String,
    name: String,
    revision: String,
    points: Vec<[f64; 3]>,
    triangles: usize,
}

struct Item {
    object: String,
    /// Twelve numbers, row by row.
    transform: Vec<f64>,
}

fn plates(product: &Product) -> Vec<Plate> {
    let files = BedFiles.files(product).unwrap();
    assert!(files.iter().all(|file| BedFiles.owns(&file.path)));
    files.iter().map(|file| plate(&file.bytes)).collect()
}

fn plate(bytes: &[u8]) -> Plate {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    let mut model = archive.by_name("3D/3dmodel.model").unwrap();
    model.read_to_string(&mut text).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let root = document.root_element();
    assert_eq!(root.attribute("unit"), Some("millimeter"));
    let number = |node: &roxmltree::Node, name: &str| -> f64 {
        node.attribute(name).unwrap().parse().unwrap()
    };
    let objects = root
        .descendants()
        .filter(|node| node.tag_name().name() == "object");
    let objects = objects.map(|object| {
        let inside = |name: &'static str| {
            object
                .descendants()
                .filter(move |node| node.tag_name().name() == name)
        };
        Object {
            id: object.attribute("id").unwrap().into(),
            name: object.attribute("name").unwrap().into(),
            revision: object.attribute("partnumber").unwrap().into(),
            points: inside("vertex")
                .map(|node| ["x", "y", "z"].map(|axis| number(&node, axis)))
                .collect(),
            triangles: inside("triangle").count(),
        }
    });
    let items = root
        .descendants()
        .filter(|node| node.tag_name().name() == "item");
    let items = items.map(|item| Item {
        object: item.attribute("objectid").unwrap().into(),
        transform: item
            .attribute("transform")
            .unwrap()
            .split(' ')
            .map(|number| number.parse().unwrap())
            .collect(),
    });
    let title = root
        .descendants()
        .find(|node| node.tag_name().name() == "metadata");
    Plate {
        title: title.unwrap().text().unwrap().into(),
        objects: objects.collect(),
        items: items.collect(),
    }
}

impl Plate {
    /// The box around each piece on the bed.
    fn boxes(&self) -> Vec<[[f64; 3]; 2]> {
        let of = |item: &Item| {
            let object = self
                .objects
                .iter()
                .find(|object| object.id == item.object)
                .unwrap();
            let mut low = [f64::INFINITY; 3];
            let mut high = [f64::NEG_INFINITY; 3];
            for point in &object.points {
                for axis in 0..3 {
                    let moved = (0..3).map(|row| point[row] * item.transform[3 * row + axis]);
                    let at = moved.sum::<f64>() + item.transform[9 + axis];
                    low[axis] = low[axis].min(at);
                    high[axis] = high[axis].max(at);
                }
            }
            [low, high]
        };
        self.items.iter().map(of).collect()
    }
}

/// Positions are written to hundred-thousandths of a millimetre.
const WRITTEN: f64 = 2e-5;

#[test]
fn every_piece_lies_once_inside_its_bed_and_apart_from_others() {
    for name in presets() {
        let product = illustrated(&preset(&name));
        let room = product.job.as_ref().unwrap().room.map(|side| side.as_mm());
        for plate in plates(&product) {
            let boxes = plate.boxes();
            for (index, [low, high]) in boxes.iter().enumerate() {
                assert!(low[2].abs() < WRITTEN, "{name}: stands on the bed");
                for axis in 0..3 {
                    assert!(
                        low[axis] > -WRITTEN && high[axis] < room[axis] + WRITTEN,
                        "{name}"
                    );
                }
                for [other_low, other_high] in &boxes[..index] {
                    let apart = [0, 1].map(|axis| {
                        (low[axis] - other_high[axis]).max(other_low[axis] - high[axis])
                    });
                    assert!(apart[0].max(apart[1]) > BETWEEN - WRITTEN, "{name}");
                }
            }
        }
    }
}

#[test]
fn beds_hold_as_many_of_each_part_as_the_bill_asks_for_with_the_meshes_of_their_files() {
    for name in presets() {
        let product = illustrated(&preset(&name));
        let plates = plates(&product);
        for (index, part) in product.design.assembly.parts.iter().enumerate() {
            let written = product.written(PartId(index));
            let mut count = 0;
            for plate in &plates {
                let Some(object) = plate.objects.iter().find(|object| object.name == part.name)
                else {
                    continue;
                };
                count += plate
                    .items
                    .iter()
                    .filter(|item| item.object == object.id)
                    .count();
                let written = written.expect("what lies on a bed has a file");
                assert_eq!(object.triangles, written.triangles, "{name}: {}", part.name);
                let points: Vec<[f64; 3]> = written
                    .mesh
                    .points
                    .iter()
                    .map(|p| [p.x, p.y, p.z])
                    .collect();
                // As text they are the very numbers of the 32 bits.
                let told: Vec<[f32; 3]> = object
                    .points
                    .iter()
                    .map(|p| p.map(|value| value as f32))
                    .collect();
                let held: Vec<[f32; 3]> =
                    points.iter().map(|p| p.map(|value| value as f32)).collect();
                assert_eq!(told, held, "{name}: {}", part.name);
                let label = part.label.as_ref().expect("a printed part has a revision");
                assert_eq!(object.revision, label.revision);
            }
            let wanted = match part.made {
                Made::Printed => part.quantity,
                Made::Bought(_) => 0,
            };
            assert_eq!(count, wanted, "{name}: {}", part.name);
        }
    }
}

#[test]
fn no_transform_mirrors_and_the_title_is_the_kits() {
    let product = illustrated(&preset("desk-stage"));
    for plate in plates(&product) {
        assert_eq!(plate.title, "desk stage, bed 1");
        for item in &plate.items {
            let m = &item.transform;
            assert_eq!(m.len(), 12);
            let turned = m[0] * m[4] - m[1] * m[3];
            assert!((turned * m[8] - 1.0).abs() < 1e-12, "{m:?}");
        }
    }
}
