//! The moving model of the guide's page: what stands in the fragment is the kit, whole and safe, and
//! its pieces go apart and together as the order and the steps say.

use crate::support::illustrated::illustrated as drawn;
use crate::support::shell::{preset, presets};
use netlead::assembly::InstanceId;
use netlead::output::apart::Parting;
use netlead::output::kit::Product;
use netlead::output::viewer::{self, Packed, PackedMesh};
use netlead::solid::Mesh;
use serde_json::Value;
use std::sync::Arc;

/// A kit of each layout: nested, single, tandem, opposed.
const EACH_LAYOUT: [&str; 4] = [
    "desk-stage",
    "plain-stage",
    "slide-copier",
    "self-centring-vise",
];
/// Steps along each side of the box around a mesh that 16 bits tell.
const STEPS: f64 = 65_535.0;
/// Boxes that share less than this, in mm, lie side by side.
const BESIDE: f64 = 0.02;

/// A preset with its pictures.
fn illustrated(name: &str) -> Arc<Product> {
    drawn(&preset(name))
}

fn block(product: &Product) -> String {
    viewer::block(product).expect("a product with an album has a viewer")
}

/// The text of the element with an id.
fn held<'a>(block: &'a str, id: &str) -> &'a str {
    let from = block.find(&format!("id=\"{id}\"")).unwrap();
    let text = block[from..].split_once('>').unwrap().1;
    text.split("</script").next().unwrap()
}

fn told(block: &str) -> Value {
    serde_json::from_str(held(block, "viewer-kit")).unwrap()
}

/// Whether a number came through text.
fn same(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-12 * other.abs().max(1.0)
}

/// Numbers of a list.
fn numbers(list: &Value) -> Vec<f64> {
    let list = list.as_array().unwrap().iter();
    list.map(|number| number.as_f64().unwrap()).collect()
}

fn places(list: &Value) -> Vec<usize> {
    let list = list.as_array().unwrap().iter();
    list.map(|number| number.as_u64().unwrap() as usize)
        .collect()
}

/// The meshes of a fragment, read back.
fn read_back(block: &str) -> Vec<Mesh> {
    let told = told(block);
    let mechanisms = [&told["kit"], &told["plain"]];
    let parts = mechanisms
        .into_iter()
        .filter_map(|kit| kit["parts"].as_array());
    let triple = |list: &Value| <[f64; 3]>::try_from(numbers(list)).unwrap();
    let heads = parts.flatten().map(|part| {
        let head = &part["mesh"];
        PackedMesh {
            points: head["points"].as_u64().unwrap() as usize,
            facets: head["facets"].as_u64().unwrap() as usize,
            low: triple(&head["low"]),
            size: triple(&head["size"]),
        }
    });
    let packed = Packed {
        meshes: heads.collect(),
        text: held(block, "viewer-meshes").into(),
    };
    viewer::unpacked(&packed).expect("the data of the page")
}

#[test]
fn the_meshes_of_every_preset_come_back_to_within_half_a_step_of_their_box() {
    for name in presets() {
        let product = illustrated(&name);
        let album = product.album.as_ref().unwrap();
        let plain = album.plain.iter().flat_map(|twin| &twin.meshes);
        let meshes: Vec<&Mesh> = album.meshes.iter().chain(plain).collect();
        let back = read_back(&block(&product));
        assert_eq!(back.len(), meshes.len(), "{name}");
        for (mesh, back) in meshes.into_iter().zip(&back) {
            assert_eq!(mesh.triangles, back.triangles, "{name}");
            let most = mesh.size().map(|side| side / STEPS * 0.501 + 1e-12);
            for (point, back) in mesh.points.iter().zip(&back.points) {
                for (axis, most) in most.iter().enumerate() {
                    assert!((point[axis] - back[axis]).abs() <= *most, "{name}");
                }
            }
        }
    }
}

#[test]
fn nothing_that_a_kit_says_ends_an_element_of_the_page() {
    let mut product = (*illustrated("desk-stage")).clone();
    let plain = block(&product);
    let hostile = "</script><img src=x onerror=alert(1)><!--";
    product.kit.name = hostile.into();
    product.design.assembly.name = hostile.into();
    assert_eq!(
        block(&product),
        plain,
        "the name of a kit stands nowhere in it"
    );
    product.design.steps[0].text = hostile.into();
    product.design.assembly.instances[0].called = hostile.into();
    let block = block(&product);
    assert_eq!(
        block.matches("</script").count(),
        plain.matches("</script").count()
    );
    assert!(!block.contains("<img") && !block.contains("<!--"));
    let told = told(&block);
    assert_eq!(told["steps"][0]["text"], hostile);
    assert_eq!(told["kit"]["pieces"][0]["called"], hostile);
}

#[test]
fn the_same_product_gives_the_same_bytes() {
    let product = illustrated("desk-stage");
    assert_eq!(block(&product), block(&product.as_ref().clone()));
}

#[test]
fn a_product_without_pictures_has_no_viewer() {
    let mut product = (*illustrated("plain-stage")).clone();
    product.album = None;
    assert_eq!(viewer::block(&product), None);
}

#[test]
fn every_piece_has_its_pose_and_moves_at_its_rate() {
    for name in EACH_LAYOUT {
        let product = illustrated(name);
        let told = told(&block(&product));
        let pieces = told["kit"]["pieces"].as_array().unwrap();
        let instances = &product.design.assembly.instances;
        assert_eq!(pieces.len(), instances.len());
        for (index, (piece, instance)) in pieces.iter().zip(instances).enumerate() {
            let rate = product.rate(InstanceId(index)).unwrap();
            assert!(same(
                piece["advance_mm"].as_f64().unwrap(),
                rate.advance.as_mm()
            ));
            assert!(same(piece["turns"].as_f64().unwrap(), rate.turns));
            let rows = piece["pose"].as_array().unwrap();
            let pose = instance.pose.to_rows();
            for (row, expected) in rows.iter().zip(pose) {
                let row = numbers(row);
                let rows = row.iter().zip(expected);
                assert!(
                    rows.into_iter().all(|(a, b)| same(*a, b)),
                    "{name}: {}",
                    instance.name
                );
            }
        }
        let carriages = places(&told["kit"]["carriages"]);
        let advance = pieces[carriages[0]]["advance_mm"].as_f64().unwrap();
        let lead = product.motion.net_lead.as_mm();
        assert!((advance.abs() - lead).abs() < 1e-9, "{name}");
    }
}

#[test]
fn only_a_kit_that_is_no_plain_screw_has_one_beside_it() {
    for name in EACH_LAYOUT {
        let product = illustrated(name);
        let told = told(&block(&product));
        assert_eq!(
            told["plain"].is_null(),
            product.kit.layout == "single",
            "{name}"
        );
        if let Some(plain) = told["plain"].as_object() {
            // The wonder of the thing: it runs where the kit creeps.
            let carriage = places(&plain["carriages"])[0];
            let runs = plain["pieces"][carriage]["advance_mm"].as_f64().unwrap();
            let lead = product.motion.net_lead.as_mm();
            assert!(runs.abs() >= lead - 1e-9, "{name}: {runs}");
        }
    }
}

#[test]
fn steps_undo_every_removal_once_and_in_turn() {
    for name in presets() {
        let product = illustrated(&name);
        let told = told(&block(&product));
        let leavings = told["leavings"].as_array().unwrap();
        let removals = product.order.as_ref().unwrap().removals();
        assert_eq!(leavings.len(), removals.len(), "{name}");
        let steps = told["steps"].as_array().unwrap();
        assert_eq!(steps.len(), product.design.steps.len());
        let mut done = 0;
        for (step, of) in steps.iter().zip(&product.design.steps) {
            let [from, to] = places(&step["done"])[..] else {
                panic!("{name}: {step}");
            };
            assert_eq!(from, done, "{name}: {}", of.action);
            assert_eq!(to > from, of.motion.is_some(), "{name}: {}", of.action);
            // What a step puts in, it handles.
            for leaving in &leavings[leavings.len() - to..leavings.len() - from] {
                let taken = places(&leaving["taken"]);
                let handled = |piece: &usize| of.pieces.contains(&InstanceId(*piece));
                assert!(
                    taken.is_empty() || taken.iter().any(handled),
                    "{name}: {}",
                    of.action
                );
            }
            done = to;
        }
        assert_eq!(done, leavings.len(), "{name}");
    }
}

#[test]
fn every_piece_but_the_frame_leaves() {
    for name in presets() {
        let product = illustrated(&name);
        let told = told(&block(&product));
        let leavings = told["leavings"].as_array().unwrap();
        let assembly = &product.design.assembly;
        for (index, piece) in assembly.instances.iter().enumerate() {
            let leaves = leavings
                .iter()
                .any(|leaving| places(&leaving["taken"]).contains(&index));
            assert_eq!(
                leaves,
                InstanceId(index) != assembly.frame,
                "{name}: {}",
                piece.name
            );
        }
    }
}

#[test]
fn drawn_apart_no_two_pieces_hide_in_each_other() {
    for name in presets() {
        let product = illustrated(&name);
        let album = product.album.as_ref().unwrap();
        let (assembly, order) = (&product.design.assembly, product.order.as_ref());
        let parting = Parting::of(assembly, |piece| product.rate(piece), order, &album.meshes);
        let count = assembly.instances.len();
        let rooms: Vec<_> = (0..count)
            .map(|piece| {
                let moved = parting.moved(InstanceId(piece), parting.apart());
                let instance = &assembly.instances[piece];
                let mesh = &album.meshes[instance.part.0];
                mesh.placed(&moved.of(instance.pose)).bounds()
            })
            .collect();
        for one in 0..count {
            for other in 0..one {
                let shared = [0, 1, 2].map(|axis| {
                    let [a, b] = [rooms[one], rooms[other]];
                    a[1][axis].min(b[1][axis]) - a[0][axis].max(b[0][axis])
                });
                let pieces = &product.design.assembly.instances;
                assert!(
                    shared.iter().any(|shared| *shared < BESIDE),
                    "{name}: {} and {} share {shared:?}",
                    pieces[one].name,
                    pieces[other].name
                );
            }
        }
    }
}

#[test]
fn the_page_stays_small() {
    // What a page of two megabytes has to spare for it.
    const MOST_BYTES: usize = 600_000;
    for name in presets() {
        let bytes = block(&illustrated(&name)).len();
        assert!(bytes < MOST_BYTES, "{name}: {bytes} bytes");
    }
}
