//! What the file says in words: nodes, meshes, materials and animations, as the format names them.

use super::glb::{Buffer, Lists};
use super::tracks::Track;
use super::vertices::Vertices;
use crate::assembly::{Assembly, Instance, Pose};
use crate::output::words::plain;
use nalgebra::{Point3, Vector3};
use serde::Serialize;
use std::collections::BTreeMap;

/// All of it.
#[derive(Debug, Default, Serialize)]
pub(super) struct Whole {
    pub(super) asset: Asset,
    pub(super) scene: usize,
    pub(super) scenes: Vec<Scene>,
    pub(super) nodes: Vec<Node>,
    pub(super) meshes: Vec<MeshOf>,
    pub(super) materials: Vec<Material>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) animations: Vec<Animation>,
    #[serde(flatten)]
    pub(super) lists: Lists,
}

#[derive(Debug, Default, Serialize)]
pub(super) struct Asset {
    pub(super) version: &'static str,
    pub(super) generator: &'static str,
    pub(super) extras: Extras,
}

#[derive(Debug, Default, Serialize)]
pub(super) struct Extras {
    pub(super) units: &'static str,
    pub(super) stroke_seconds_a_turn: f64,
}

#[derive(Debug, Serialize)]
pub(super) struct Scene {
    pub(super) name: String,
    pub(super) nodes: [usize; 1],
}

#[derive(Debug, Default, Serialize)]
pub(super) struct Node {
    pub(super) name: String,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) children: Vec<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) mesh: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) rotation: Option<[f64; 4]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) scale: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) extras: Option<Piece>,
}

/// Of which part a piece is, and its number in the parts list.
#[derive(Debug, Serialize)]
pub(super) struct Piece {
    pub(super) part: String,
    pub(super) item: usize,
}

#[derive(Debug, Serialize)]
pub(super) struct MeshOf {
    name: String,
    primitives: [Primitive; 1],
}

#[derive(Debug, Serialize)]
struct Primitive {
    attributes: Attributes,
    indices: usize,
    material: usize,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "UPPERCASE")]
struct Attributes {
    position: usize,
    normal: usize,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Material {
    pub(super) name: String,
    pub(super) pbr_metallic_roughness: Surface,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Surface {
    pub(super) base_color_factor: [f64; 4],
    pub(super) metallic_factor: f64,
    pub(super) roughness_factor: f64,
}

#[derive(Debug, Serialize)]
pub(super) struct Animation {
    name: &'static str,
    channels: Vec<Channel>,
    samplers: Vec<Sampler>,
}

#[derive(Debug, Serialize)]
struct Channel {
    sampler: usize,
    target: Target,
}

#[derive(Debug, Serialize)]
struct Target {
    node: usize,
    path: &'static str,
}

#[derive(Debug, Serialize)]
struct Sampler {
    input: usize,
    interpolation: &'static str,
    output: usize,
}

/// A mesh for every piece, in their order. Pieces of one part share its facets and its material.
pub(super) fn meshes(
    assembly: &Assembly,
    shown: &BTreeMap<usize, Vertices>,
    buffer: &mut Buffer,
) -> Vec<MeshOf> {
    let mut indices = BTreeMap::new();
    let materials: BTreeMap<usize, usize> = shown.keys().copied().zip(0..).collect();
    let mut mesh = |piece: &Instance| {
        let part = piece.part.0;
        let vertices = shown.get(&part)?;
        let indices = indices.entry(part).or_insert_with(|| {
            let facets = vertices.facets.as_flattened();
            buffer.corners(facets, vertices.each.len())
        });
        let indices = *indices;
        let (positions, normals) = placed(vertices, &piece.pose);
        Some(MeshOf {
            name: plain(&assembly.part(piece.part).name),
            primitives: [Primitive {
                attributes: Attributes {
                    position: buffer.positions(&positions),
                    normal: buffer.normals(&normals),
                },
                indices,
                material: materials.get(&part).copied()?,
            }],
        })
    };
    assembly.instances.iter().filter_map(&mut mesh).collect()
}

/// Vertices where a piece stands.
fn placed(vertices: &Vertices, pose: &Pose) -> (Vec<[f32; 3]>, Vec<[f32; 3]>) {
    let origin = pose.apply(Point3::origin());
    let turned = |normal: Vector3<f32>| {
        let end = pose.apply(Point3::from(normal.cast::<f64>()));
        (end - origin).normalize()
    };
    let each = vertices.each.iter();
    each.map(|(point, normal)| {
        let point: [f32; 3] = pose.apply(*point).cast::<f32>().into();
        let normal: [f32; 3] = turned(*normal).cast::<f32>().into();
        (point, normal)
    })
    .unzip()
}

impl Animation {
    /// Of the tracks of all pieces, in their order; `None` where nothing moves.
    pub(super) fn of(
        name: &'static str,
        tracks: impl Iterator<Item = Track>,
        buffer: &mut Buffer,
    ) -> Option<Self> {
        let mut animation = Self {
            name,
            channels: Vec::new(),
            samplers: Vec::new(),
        };
        for (node, track) in tracks.enumerate() {
            if let Some((times, rotations)) = track.rotations() {
                let ends = [buffer.seconds(&times), buffer.rotations(&rotations)];
                animation.channel(node, "rotation", ends);
            }
            if let Some((times, shifts)) = track.translations() {
                let ends = [buffer.seconds(&times), buffer.shifts(&shifts)];
                animation.channel(node, "translation", ends);
            }
        }
        (!animation.channels.is_empty()).then_some(animation)
    }

    fn channel(&mut self, node: usize, path: &'static str, [input, output]: [usize; 2]) {
        self.channels.push(Channel {
            sampler: self.samplers.len(),
            target: Target { node, path },
        });
        self.samplers.push(Sampler {
            input,
            interpolation: "LINEAR",
            output,
        });
    }
}
