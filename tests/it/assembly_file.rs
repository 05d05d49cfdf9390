//! The assembly's file: what was written is read again byte by byte, and its pieces stand and move as
//! those of the kit do.

use crate::support::illustrated::illustrated;
use crate::support::shell::preset;
use netlead::assembly::{InstanceId, Made, MotionKind, PartId, Turning};
use netlead::output::assembly_file::{ASSEMBLY, AssemblyFile, PATH, STROKE};
use netlead::output::format::Format;
use netlead::output::kit::Product;
use netlead::thread::Hand;
use netlead::units::Angle;
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A kit of each layout: nested, single, tandem, opposed, and further ones with bought parts.
const KITS: [&str; 6] = [
    "desk-stage",
    "plain-stage",
    "slide-copier",
    "self-centring-vise",
    "focus-stage",
    "fine-stop",
];
/// What 32 bits round places of a kit by, in mm.
const ROUNDED: f64 = 4e-5;
/// What rotations of 32 bits tell of turns.
const TURNED: f64 = 1e-5;

/// What a file holds.
struct Read {
    said: Value,
    numbers: Vec<u8>,
}

/// Keys of one piece: times in seconds and values.
type Keys = BTreeMap<(usize, String), (Vec<f64>, Vec<Vec<f64>>)>;

fn kit(name: &str) -> Arc<Product> {
    illustrated(&preset(name))
}

fn bytes(product: &Product) -> Vec<u8> {
    let mut files = AssemblyFile.files(product).unwrap();
    assert_eq!(files.len(), 1);
    assert!(AssemblyFile.owns(&files[0].path) && files[0].path == PATH);
    files.remove(0).bytes
}

impl Read {
    fn of(product: &Product) -> Self {
        let bytes = bytes(product);
        let whole = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
        assert_eq!(&bytes[..4], b"glTF");
        assert_eq!([whole(4), whole(8)], [2, bytes.len()]);
        let end = 20 + whole(12);
        assert_eq!(&bytes[16..20], b"JSON");
        assert_eq!(&bytes[end + 4..end + 8], b"BIN\0");
        assert_eq!(whole(end), bytes.len() - end - 8);
        Self {
            said: serde_json::from_slice(&bytes[20..end]).unwrap(),
            numbers: bytes[end + 8..].to_vec(),
        }
    }

    /// A list of numbers, as many together as its kind has.
    fn list(&self, index: &Value) -> Vec<Vec<f64>> {
        let count = |value: &Value| value.as_u64().unwrap() as usize;
        let accessor = &self.said["accessors"][count(index)];
        let view = &self.said["bufferViews"][count(&accessor["bufferView"])];
        let begin = count(&view["byteOffset"]);
        let held = &self.numbers[begin..begin + count(&view["byteLength"])];
        let numbers: Vec<f64> = match count(&accessor["componentType"]) {
            5123 => (held.chunks_exact(2))
                .map(|two| u16::from_le_bytes(two.try_into().unwrap()).into())
                .collect(),
            5125 => (held.chunks_exact(4))
                .map(|four| u32::from_le_bytes(four.try_into().unwrap()).into())
                .collect(),
            _ => (held.chunks_exact(4))
                .map(|four| f32::from_le_bytes(four.try_into().unwrap()).into())
                .collect(),
        };
        let together = match accessor["type"].as_str().unwrap() {
            "SCALAR" => 1,
            "VEC3" => 3,
            _ => 4,
        };
        let list: Vec<Vec<f64>> = numbers
            .chunks_exact(together)
            .map(<[f64]>::to_vec)
            .collect();
        assert_eq!(list.len(), count(&accessor["count"]));
        list
    }

    fn nodes(&self) -> &[Value] {
        self.said["nodes"].as_array().unwrap()
    }

    fn root(&self) -> &Value {
        let root = self.said["scenes"][0]["nodes"][0].as_u64().unwrap();
        &self.nodes()[root as usize]
    }

    /// Corners of the facets of a piece, as its node has them.
    fn corners(&self, piece: usize) -> Vec<[f64; 3]> {
        let mesh = self.nodes()[piece]["mesh"].as_u64().unwrap() as usize;
        let primitive = &self.said["meshes"][mesh]["primitives"][0];
        let points = self.list(&primitive["attributes"]["POSITION"]);
        let corners = self.list(&primitive["indices"]);
        let point = |corner: &Vec<f64>| <[f64; 3]>::try_from(&*points[corner[0] as usize]).unwrap();
        corners.iter().map(point).collect()
    }

    /// Of an animation, the keys of every node's rotation and translation.
    fn keys(&self, name: &str) -> Keys {
        let mut all = self.said["animations"].as_array().unwrap().iter();
        let animation = all.find(|animation| animation["name"] == name).unwrap();
        let channels = animation["channels"].as_array().unwrap().iter();
        let read = channels.map(|channel| {
            let sampler = &animation["samplers"][channel["sampler"].as_u64().unwrap() as usize];
            assert_eq!(sampler["interpolation"], "LINEAR");
            let times = self.list(&sampler["input"]).concat();
            assert!(
                times[0] == 0.0 && times.is_sorted_by(|a, b| a < b),
                "{times:?}"
            );
            let node = channel["target"]["node"].as_u64().unwrap() as usize;
            let path = channel["target"]["path"].as_str().unwrap().to_owned();
            ((node, path), (times, self.list(&sampler["output"])))
        });
        read.collect()
    }
}

/// A point turned by a quaternion.
fn turned(quaternion: &[f64], point: [f64; 3]) -> [f64; 3] {
    let [x, y, z, w] = <[f64; 4]>::try_from(quaternion).unwrap();
    let about = nalgebra::UnitQuaternion::from_quaternion(nalgebra::Quaternion::new(w, x, y, z));
    (about * nalgebra::Vector3::from(point)).into()
}

fn numbers(list: &Value) -> Vec<f64> {
    let list = list.as_array().unwrap().iter();
    list.map(|number| number.as_f64().unwrap()).collect()
}

/// Turns about the axis from the first key to the last, each step the short way round, as a reader of the
/// format takes it; none where there are no keys.
fn turns(keys: &Keys, piece: usize) -> f64 {
    let Some((_, rotations)) = keys.get(&(piece, "rotation".into())) else {
        return 0.0;
    };
    let steps = rotations.windows(2).map(|pair| {
        let [from, to] = [0, 1].map(|at| turned(&pair[at], [1.0, 0.0, 0.0]));
        let across = from[0] * to[1] - from[1] * to[0];
        let along = from[0] * to[0] + from[1] * to[1];
        let step = Angle::of_point(along, across) / Angle::turns(1.0);
        assert!(step.abs() < 0.2, "{step} turns from one key to the next");
        step
    });
    steps.sum()
}

/// The way from rest to the last key, in mm.
fn way(keys: &Keys, piece: usize) -> [f64; 3] {
    let last = keys.get(&(piece, "translation".into()));
    last.map_or([0.0; 3], |(_, ways)| {
        (**ways.last().unwrap()).try_into().unwrap()
    })
}

fn close(one: f64, other: f64, most: f64) -> bool {
    (one - other).abs() <= most
}

#[test]
fn every_piece_is_a_node_by_its_name_and_the_root_has_them_all() {
    for name in KITS {
        let product = kit(name);
        let read = Read::of(&product);
        let instances = &product.design.assembly.instances;
        let (root, pieces) = read.nodes().split_last().unwrap();
        assert_eq!(root, read.root());
        let named: Vec<_> = pieces.iter().map(|node| node["name"].as_str()).collect();
        let wanted: Vec<_> = instances.iter().map(|piece| Some(&*piece.name)).collect();
        assert_eq!(named, wanted, "{name}");
        let children: Vec<f64> = (0..instances.len()).map(|piece| piece as f64).collect();
        assert_eq!(numbers(&root["children"]), children);
        for (node, piece) in pieces.iter().zip(instances) {
            let part = product.design.assembly.part(piece.part);
            assert_eq!(node["extras"]["part"], *part.name);
            let mesh = node["mesh"].as_u64().unwrap() as usize;
            let primitive = &read.said["meshes"][mesh]["primitives"][0];
            let material = primitive["material"].as_u64().unwrap() as usize;
            let material = &read.said["materials"][material];
            assert_eq!(material["name"], *part.name);
            let metal = material["pbrMetallicRoughness"]["metallicFactor"].as_f64();
            let bought = matches!(part.made, Made::Bought(_));
            assert_eq!(metal, Some(f64::from(u8::from(bought))), "{}", part.name);
        }
    }
}

#[test]
fn at_rest_every_piece_stands_in_metres_where_the_assembly_has_it() {
    for name in KITS {
        let product = kit(name);
        let read = Read::of(&product);
        let root = read.root();
        let [rotation, scale] = ["rotation", "scale"].map(|key| numbers(&root[key]));
        for (index, piece) in product.design.assembly.instances.iter().enumerate() {
            let node = &read.nodes()[index];
            for moved in ["rotation", "translation", "scale", "matrix"] {
                assert!(node[moved].is_null(), "a piece at rest is not moved");
            }
            let mesh = product.bodies[piece.part.0].mesh();
            let corners = read.corners(index);
            assert_eq!(
                corners.len(),
                3 * mesh.triangles.len(),
                "{name}: {}",
                piece.name
            );
            let facets = mesh.triangles.iter().flatten();
            for (corner, point) in corners.into_iter().zip(facets) {
                let stands = piece.pose.apply(mesh.points[*point as usize]);
                // The head to the left, the V marks up, and what was behind to the front.
                let wanted = [stands.z, stands.y, -stands.x].map(|mm| mm / 1000.0);
                let told = turned(&rotation, corner);
                for axis in 0..3 {
                    let told = told[axis] * scale[axis];
                    assert!(
                        close(told, wanted[axis], ROUNDED / 1000.0),
                        "{name}: {}",
                        piece.name
                    );
                }
            }
        }
    }
}

#[test]
fn the_strokes_last_frame_is_the_stroke_and_every_turn_of_it() {
    for name in KITS {
        let product = kit(name);
        let keys = Read::of(&product).keys(STROKE);
        let course = &product.design.course;
        for (index, piece) in product.design.assembly.instances.iter().enumerate() {
            let after = product.rate(InstanceId(index)).unwrap().after(course.turns);
            let [x, y, z] = way(&keys, index);
            assert_eq!([x, y], [0.0; 2]);
            let most = 1e-6 * after.advance.as_mm().abs();
            assert!(
                close(z, after.advance.as_mm(), most),
                "{name}: {}: {z}",
                piece.name
            );
            let turns = turns(&keys, index);
            assert!(
                close(turns, after.turns, TURNED),
                "{name}: {}: {turns}",
                piece.name
            );
        }
        let carriage = product.design.assembly.carriages.leading.0;
        let travel = way(&keys, carriage)[2].abs();
        let stroke = course.stroke.as_mm();
        assert!(close(travel, stroke, 1e-6 * stroke), "{name}: {travel}");
    }
}

#[test]
fn the_drive_turns_as_the_words_say_and_goes_as_its_hand_leads() {
    let left = "name = \"left\"\nlayout = \"nested\"\ndrive = \"M20x2.5-LH\"\n\
                inner = \"M12x1.75-LH\"\nstroke = 10\nhand_torque = \"1.2 N m\"\n";
    let kits = KITS.map(kit).into_iter().chain([illustrated(left)]);
    let mut ways = Vec::new();
    for product in kits {
        let read = Read::of(&product);
        let keys = read.keys(STROKE);
        let assembly = &product.design.assembly;
        let drive = assembly.drive.0;
        // An eye before the head looks to the right: there the frame is.
        let root = numbers(&read.root()["rotation"]);
        let looks = turned(&root, [0.0, 0.0, 1.0]);
        assert!(close(looks[0], 1.0, 1e-6));
        let (_, rotations) = &keys[&(drive, "rotation".into())];
        // A point of the drive that stands up goes, clockwise for that eye, to its right: to the front.
        let up = turned(&root, turned(&rotations[0], [0.0, 1.0, 0.0]));
        let next = turned(&root, turned(&rotations[1], [0.0, 1.0, 0.0]));
        assert!(close(up[1], 1.0, 1e-6));
        let clockwise = next[2] > 0.0;
        assert_eq!(clockwise, product.motion.turning == Turning::Clockwise);
        let threads = assembly.thread_joints();
        let mut in_frame =
            threads.filter(|(_, joint, _)| joint.between == [assembly.drive, assembly.frame]);
        if let Some((_, _, joint)) = in_frame.next() {
            let into_the_frame = way(&keys, drive)[2] > 0.0;
            let right = joint.thread.hand() == Hand::Right;
            assert_eq!(into_the_frame, clockwise == right);
            ways.push((right, clockwise));
        }
    }
    assert!(
        ways.contains(&(true, true)) && ways.contains(&(false, false)),
        "{ways:?}"
    );
}

#[test]
fn the_assembly_begins_apart_and_ends_with_every_piece_in_its_place() {
    for name in KITS {
        let product = kit(name);
        let keys = Read::of(&product).keys(ASSEMBLY);
        let assembly = &product.design.assembly;
        for (index, piece) in assembly.instances.iter().enumerate() {
            let moved = ["rotation", "translation"].map(|path| keys.get(&(index, path.into())));
            let moves = moved.iter().any(Option::is_some);
            assert_eq!(
                moves,
                InstanceId(index) != assembly.frame,
                "{name}: {}",
                piece.name
            );
            if let Some((_, rotations)) = moved[0] {
                let end = rotations.last().unwrap();
                assert!(
                    end[..3].iter().all(|part| *part == 0.0),
                    "{name}: {}",
                    piece.name
                );
            }
            assert_eq!(way(&keys, index), [0.0; 3], "{name}: {}", piece.name);
            let begin = moved[1].map_or([0.0; 3], |(_, ways)| {
                <[f64; 3]>::try_from(&*ways[0]).unwrap()
            });
            let far = begin.iter().fold(0.0_f64, |far, way| far.max(way.abs()));
            assert!(!moves || far > 5.0, "{name}: {} is not apart", piece.name);
        }
    }
}

#[test]
fn what_is_screwed_in_turns_as_often_as_the_order_found_says() {
    let mut screwed = 0;
    for name in KITS {
        let product = kit(name);
        let keys = Read::of(&product).keys(ASSEMBLY);
        let removals = product.order.as_ref().unwrap().removals();
        for (index, piece) in product.design.assembly.instances.iter().enumerate() {
            let piece_id = InstanceId(index);
            let mut leaves = removals.iter().filter(|removed| {
                removed.motion.kind != MotionKind::Driven && removed.pieces.contains(&piece_id)
            });
            // At which turn of the mechanism it left, then what its own threads and those of what it
            // was part of turned it.
            let Some(first) = leaves.clone().next() else {
                continue;
            };
            let rate = product.rate(piece_id).unwrap();
            let own = rate.after(first.turn).turns;
            let away = own
                + leaves
                    .by_ref()
                    .map(|removed| removed.motion.turns)
                    .sum::<f64>();
            let turns = turns(&keys, index);
            assert!(
                close(turns, -away, TURNED),
                "{name}: {}: {turns}, {away}",
                piece.name
            );
            screwed += usize::from(away.abs() > 1.0);
        }
    }
    assert!(screwed >= KITS.len(), "{screwed}");
}

#[test]
fn the_same_product_gives_the_same_bytes_and_names_stay_text() {
    let product = kit("plain-stage");
    assert_eq!(bytes(&product), bytes(&product.as_ref().clone()));
    let mut product = (*product).clone();
    let hostile = "\"}],\u{202e}\\\u{7}\"</script>";
    product.kit.name = hostile.into();
    product.design.assembly.instances[0].name = hostile.into();
    product.design.assembly.name = hostile.into();
    let read = Read::of(&product);
    for told in [
        &read.nodes()[0]["name"],
        &read.root()["name"],
        &read.said["scenes"][0]["name"],
    ] {
        let told = told.as_str().unwrap();
        assert!(
            told.starts_with("\"}],") && told.ends_with("</script>"),
            "{told}"
        );
        assert!(!told.contains(['\u{7}', '\u{202e}']), "{told}");
    }
}

#[test]
fn without_pictures_the_file_is_the_same_without_bodies_there_is_none() {
    let product = kit("plain-stage");
    let mut other = (*product).clone();
    other.album = None;
    assert_eq!(bytes(&product), bytes(&other));
    other.order = None;
    let said = Read::of(&other).said;
    assert_eq!(said["animations"].as_array().unwrap().len(), 1);
    assert_eq!(said["animations"][0]["name"], STROKE);
    other.bodies = Default::default();
    assert!(AssemblyFile.files(&other).unwrap().is_empty());
    assert!(other.written(PartId(0)).is_none());
}
