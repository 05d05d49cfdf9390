//! Print beds as files: what was written is read again by an XML reader, and held against the parts.

use crate::support::illustrated::illustrated;
use crate::support::shell::{done, netlead, preset, presets, refused, room, stderr, unfolded};
use netlead::assembly::{Made, PartId};
use netlead::output::bed_files::BedFiles;
use netlead::output::format::Format;
use netlead::output::kit::Product;
use netlead::printing_time::{BETWEEN, BRIM, is_slender};
use std::collections::BTreeMap;
use std::fs;
use std::io::{Cursor, Read};
use std::path::Path;

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
    assert!(
        files
            .iter()
            .all(|file| Format::<Product>::owns(&BedFiles, &file.path))
    );
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
            revision: object.attribute("partnumber").unwrap_or_default().into(),
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

impl Plate {
    /// Width of the brim that each piece wants: that of a slender one.
    fn brims(&self, product: &Product) -> Vec<f64> {
        let of = |item: &Item| {
            let object = self.objects.iter().find(|object| object.id == item.object);
            let parts = product.design.assembly.parts.iter();
            let index = parts
                .enumerate()
                .find(|(_, part)| part.name == object.unwrap().name);
            let (index, _) = index.unwrap();
            match is_slender(product.written(PartId(index)).unwrap().size_mm) {
                true => BRIM,
                false => 0.0,
            }
        };
        self.items.iter().map(of).collect()
    }

    /// How many pieces of each object lie on it.
    fn counted(&self) -> BTreeMap<String, usize> {
        let mut counted = BTreeMap::new();
        for item in &self.items {
            let object = self.objects.iter().find(|object| object.id == item.object);
            *counted.entry(object.unwrap().name.clone()).or_default() += 1;
        }
        counted
    }
}

/// Positions are written to hundred-thousandths of a millimetre.
const WRITTEN: f64 = 2e-5;

#[test]
fn every_piece_lies_once_inside_its_bed_and_apart_from_others() {
    for name in presets() {
        let product = illustrated(&preset(&name));
        let room = product
            .job
            .as_ref()
            .unwrap()
            .room
            .size
            .map(|side| side.as_mm());
        for plate in plates(&product) {
            let boxes = plate.boxes();
            let brims = plate.brims(&product);
            for (index, [low, high]) in boxes.iter().enumerate() {
                assert!(low[2].abs() < WRITTEN, "{name}: stands on the bed");
                for axis in 0..3 {
                    let brim = if axis < 2 { brims[index] } else { 0.0 };
                    assert!(
                        low[axis] > brim - WRITTEN && high[axis] + brim < room[axis] + WRITTEN,
                        "{name}"
                    );
                }
                for ([other_low, other_high], other_brim) in boxes[..index].iter().zip(&brims) {
                    let wanted = BETWEEN + brims[index] + other_brim;
                    let apart = [0, 1].map(|axis| {
                        (low[axis] - other_high[axis]).max(other_low[axis] - high[axis])
                    });
                    assert!(apart[0].max(apart[1]) > wanted - WRITTEN, "{name}");
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

/// A kit of which some parts are slender: a fine thread and a long stroke.
const SLENDER: &str = "name = \"long\"\nhand_torque = 0.5\nlayout = \"nested\"\ndrive = \"M16x2\"\n\
                       inner = \"M8\"\nstroke = 12\ntolerance = 0.1\n";

#[test]
fn slender_parts_lie_together_with_others_or_apart_as_the_kit_or_its_profile_says() {
    let room = room();
    let at = |name: &str| room.path().join(name);
    fs::write(at("together.toml"), SLENDER).unwrap();
    fs::write(at("apart.toml"), format!("{SLENDER}slender = \"apart\"\n")).unwrap();
    fs::write(at("lent.toml"), format!("{SLENDER}printer = \"garage\"\n")).unwrap();
    let profile = "schema = \"netlead-printer/1\"\nname = \"garage\"\nlayer = 0.15\nline = 0.45\nwalls = 4\n\
                   bed = [220, 220, 250]\nmaterial = \"PLA\"\nslender = \"apart\"\n\
                   [correction]\ncontour = 0\nhole = 0\nfirst_layer = 0\n";
    fs::write(at("garage.printer.toml"), profile).unwrap();
    let mixed = |kit: &str| {
        let folder = format!("out-{kit}");
        done(room.path(), &["make", kit, "--out", &folder]);
        let report = fs::read_to_string(at(&folder).join("report.json")).unwrap();
        let report: serde_json::Value = serde_json::from_str(&report).unwrap();
        let slender = |name: &str| {
            let parts = report["parts"].as_array().unwrap();
            let part = parts.iter().find(|part| part["name"] == name).unwrap();
            let size = [0, 1, 2].map(|axis| part["size_mm"][axis].as_f64().unwrap());
            is_slender(size)
        };
        let beds = beds_of(&at(&folder), "bed-");
        let of_bed =
            |bed: &Plate| -> Vec<bool> { bed.counted().keys().map(|name| slender(name)).collect() };
        let kinds: Vec<Vec<bool>> = beds.iter().map(of_bed).collect();
        let all = kinds.concat();
        assert!(all.contains(&true) && all.contains(&false), "{all:?}");
        kinds
            .iter()
            .any(|bed| bed.contains(&true) && bed.contains(&false))
    };
    assert!(mixed("together.toml"));
    assert!(!mixed("apart.toml"));
    assert!(!mixed("lent.toml"));
    let guide = fs::read_to_string(at("out-apart.toml").join("guide.md")).unwrap();
    assert!(guide.contains("room for a brim around the"), "{guide}");
    assert!(guide.contains("on beds of their own"));
}

/// The beds of a folder whose files begin so, by number.
fn beds_of(folder: &Path, begins: &str) -> Vec<Plate> {
    let file = |number: usize| fs::read(folder.join(format!("{begins}{number}.3mf"))).ok();
    (1..).map_while(file).map(|bytes| plate(&bytes)).collect()
}

const KIT: &str = "name = \"stage\"\nhand_torque = 0.5\nlayout = \"nested\"\ndrive = \"M20x2.5\"\n\
                   inner = \"M12x1.75\"\nstroke = 10\ntolerance = 0.1\n";

#[test]
fn what_changed_since_the_last_run_lies_on_a_bed_of_its_own_where_that_is_asked_for() {
    let room = room();
    let kit = room.path().join("kit.toml");
    fs::write(&kit, KIT).unwrap();
    // Nothing stands there yet that anything could have changed against.
    let first = netlead(room.path(), &["make", "kit.toml", "--reprint", "changed"]);
    assert!(first.status.success(), "{}", stderr(&first));
    assert!(unfolded(&stderr(&first)).contains("held no earlier run of this kit"));
    let folder = room.path().join("out/stage");
    assert!(beds_of(&folder, "reprint-").is_empty());
    // A wider thread in the frame: its part alone is another.
    let joint = "[gaps.joint]\n\"drive/frame\" = 0.2\n";
    fs::write(&kit, format!("{KIT}{joint}")).unwrap();
    let page = done(room.path(), &["make", "kit.toml", "--reprint", "changed"]);
    let report: serde_json::Value =
        serde_json::from_slice(&fs::read(folder.join("report.json")).unwrap()).unwrap();
    let mut again = beds_of(&folder, "reprint-");
    let bed = again.pop().unwrap();
    assert!(again.is_empty());
    assert_eq!(bed.title, "stage, to print again, bed 1");
    let counted = bed.counted();
    let told: Vec<&str> = counted.keys().map(String::as_str).collect();
    let said = unfolded(&page);
    assert!(
        said.contains(&format!("reprint {}", told.join(", "))),
        "{said}"
    );
    assert_eq!(told, ["frame"]);
    assert!(said.contains("reprint-1.3mf: one piece, about"), "{said}");
    assert_eq!(report["reprint"]["beds"], 1);
    let guide = fs::read_to_string(folder.join("guide.md")).unwrap();
    assert!(guide.contains("Only what is to be printed again, from `reprint-1.3mf` on:"));
    // The whole kit lies on its beds all the same.
    assert!(
        beds_of(&folder, "bed-")
            .iter()
            .map(|bed| bed.items.len())
            .sum::<usize>()
            > 1
    );
    // Another run, with nothing changed, has none.
    let page = unfolded(&done(
        room.path(),
        &["make", "kit.toml", "--reprint", "changed"],
    ));
    assert!(page.contains("nothing: all parts may stay"), "{page}");
    assert!(beds_of(&folder, "reprint-").is_empty());
}

#[test]
fn named_parts_lie_on_a_bed_of_their_own_and_a_name_that_is_none_is_refused() {
    let room = room();
    fs::write(room.path().join("kit.toml"), KIT).unwrap();
    let wrong = refused(
        room.path(),
        2,
        &["make", "kit.toml", "--reprint", "frame,spindle"],
    );
    let wrong = unfolded(&wrong);
    assert!(
        wrong.contains("`spindle`, which is no printed part"),
        "{wrong}"
    );
    assert!(
        wrong.contains("frame") && wrong.contains("keeper"),
        "{wrong}"
    );
    assert!(!room.path().join("out").exists());
    done(
        room.path(),
        &["make", "kit.toml", "--reprint", "keeper, frame"],
    );
    let folder = room.path().join("out/stage");
    let bed = beds_of(&folder, "reprint-").pop().unwrap();
    let wanted = ["frame", "keeper"].map(|name| (name.to_owned(), 1));
    assert_eq!(bed.counted(), BTreeMap::from(wanted));
}

#[test]
fn test_pieces_lie_on_beds_each_once() {
    let room = room();
    fs::write(room.path().join("kit.toml"), KIT).unwrap();
    for (folder, set) in [("full", &[][..]), ("quick", &["--quick"])] {
        done(
            room.path(),
            &[&["coupon", "kit.toml", "--out", folder], set].concat(),
        );
        let list = fs::read(room.path().join(folder).join("coupon.json")).unwrap();
        let list: serde_json::Value = serde_json::from_slice(&list).unwrap();
        let beds = beds_of(&room.path().join(folder), "bed-");
        let mut laid: Vec<String> = beds
            .iter()
            .flat_map(|bed| bed.counted().into_keys())
            .collect();
        let items: usize = beds.iter().map(|bed| bed.items.len()).sum();
        assert_eq!(items, laid.len());
        laid.sort_unstable();
        let pieces = list["pieces"].as_array().unwrap().iter();
        let mut wanted: Vec<&str> = pieces
            .map(|piece| piece["name"].as_str().unwrap())
            .collect();
        wanted.sort_unstable();
        assert_eq!(laid, wanted);
        assert_eq!(list["one_bed"], beds.len() == 1);
    }
}
