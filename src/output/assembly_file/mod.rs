//! `assembly.glb`: the whole mechanism, piece by piece, with its motion and the way it goes together.
//!
//! glTF 2.0 (Khronos Group; ISO/IEC 12113:2022; from memory) in one binary file, of what every reader of
//! the format knows: no extension, no compression, no picture. One node is one piece, under its name in the
//! report. Its vertices are those of the part's file, set where the piece stands at turn 0, so that a node at
//! rest has no transform, and one that moves turns about the mechanism's axis and goes along it: an even
//! turn and an even shift between two keys are then the piece's motion itself and nothing near it.
//!
//! The format wants metres, y up and the front towards +z. The root node turns the assembly's frame, which
//! is in millimetres with the V marks towards +y and +z from the drive head into the frame, so that the
//! front shows what the pictures show: V marks up, the drive head on the left.

mod glb;
mod look;
mod scene;
mod timeline;
mod tracks;
mod vertices;

use super::apart::Parting;
use super::file::OutFile;
use super::format::{Format, FormatError};
use super::kit::Product;
use super::part::PartBody;
use crate::assembly::InstanceId;
use crate::output::words::plain;
use crate::solid::Mesh;
use glb::Buffer;
use rayon::prelude::*;
use scene::{Animation, Asset, Extras, Node, Piece, Scene, Whole};
use std::collections::BTreeMap;
use timeline::Timeline;
use vertices::Vertices;

pub use timeline::{STROKE_SECONDS_A_TURN, WAY_SECONDS};

/// The format.
pub struct AssemblyFile;

/// The file, relative to the folder.
pub const PATH: &str = "assembly.glb";
/// Names of the two animations.
pub const STROKE: &str = "stroke";
/// See [`STROKE`].
pub const ASSEMBLY: &str = "assembly";

/// Metres in a millimetre.
const METRES: f64 = 1e-3;
/// Sine and cosine of 45 degrees: a quarter of a turn about y, as a quaternion.
const HALF_OF_A_QUARTER: f64 = std::f64::consts::FRAC_1_SQRT_2;

impl Format<Product> for AssemblyFile {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        // What was not drawn has no bodies.
        if product.bodies.len() < product.design.assembly.parts.len() {
            return Ok(Vec::new());
        }
        let (said, binary) = whole(product);
        let bytes = glb::file(&said, &binary).map_err(FormatError::of("the assembly's file"))?;
        Ok(vec![OutFile::new(PATH, bytes)])
    }

    fn owns(&self, name: &str) -> bool {
        name == PATH
    }
}

/// All that the file says, and its numbers.
fn whole(product: &Product) -> (Whole, Vec<u8>) {
    let mut buffer = Buffer::default();
    let assembly = &product.design.assembly;
    let shown = drawn(product);
    let materials = look::materials(assembly, shown.keys().copied());
    let meshes = scene::meshes(assembly, &shown, &mut buffer);
    let bodies: Vec<&Mesh> = product.bodies.iter().map(PartBody::mesh).collect();
    let rate = |piece: InstanceId| product.rate(piece);
    let parting = Parting::of(assembly, rate, product.order.as_ref(), &bodies);
    let timelines = [
        (STROKE, Timeline::of_stroke(product.design.course.turns)),
        (ASSEMBLY, Timeline::of_assembly(&parting)),
    ];
    let animations = timelines.into_iter().map(|(name, timeline)| {
        let pieces = (0..assembly.instances.len()).map(InstanceId);
        let tracks = pieces.map(|piece| timeline.track(&parting, piece));
        Animation::of(name, tracks, &mut buffer)
    });
    let animations: Vec<Animation> = animations.flatten().collect();
    let (binary, lists) = buffer.finished();
    let whole = Whole {
        asset: Asset {
            version: "2.0",
            generator: concat!("netlead ", env!("CARGO_PKG_VERSION")),
            extras: Extras {
                units: "metres; millimetres under the root node",
                stroke_seconds_a_turn: STROKE_SECONDS_A_TURN,
            },
        },
        scene: 0,
        scenes: vec![Scene {
            name: plain(&product.kit.name),
            nodes: [assembly.instances.len()],
        }],
        nodes: nodes(product),
        meshes,
        materials,
        animations,
        lists,
    };
    (whole, binary)
}

/// The vertices of every part of which there are pieces.
fn drawn(product: &Product) -> BTreeMap<usize, Vertices> {
    let instances = &product.design.assembly.instances;
    let bodies = product.bodies.par_iter().enumerate();
    let used = bodies.filter(|(part, _)| instances.iter().any(|piece| piece.part.0 == *part));
    used.map(|(part, body)| (part, Vertices::of(body.mesh())))
        .collect()
}

/// A node for every piece, in their order, and the root behind them.
fn nodes(product: &Product) -> Vec<Node> {
    let assembly = &product.design.assembly;
    let numbers = assembly.item_numbers();
    let pieces = assembly.instances.iter().enumerate();
    let piece = |(index, piece): (usize, &crate::assembly::Instance)| Node {
        name: plain(&piece.name),
        mesh: Some(index),
        extras: Some(Piece {
            part: plain(&assembly.part(piece.part).name),
            item: numbers[piece.part.0],
        }),
        ..Node::default()
    };
    let root = Node {
        name: plain(&assembly.name),
        children: (0..assembly.instances.len()).collect(),
        rotation: Some([0.0, HALF_OF_A_QUARTER, 0.0, HALF_OF_A_QUARTER]),
        scale: Some([METRES; 3]),
        ..Node::default()
    };
    pieces.map(piece).chain([root]).collect()
}
