//! The binary file: a head, what it says as JSON, and its numbers, each list of them behind the other.
//!
//! All in little-endian order and on steps of four bytes (glTF 2.0, chapter 4, GLB-stored glTF; from memory).

use serde::Serialize;

/// `glTF`, the version, and the kinds of the two chunks.
const MAGIC: &[u8; 4] = b"glTF";
const VERSION: u32 = 2;
const JSON: &[u8; 4] = b"JSON";
const BINARY: &[u8; 4] = b"BIN\0";
/// Bytes of the file's head, and of the head of a chunk.
const HEAD: usize = 12;
const CHUNK_HEAD: usize = 8;
/// Everything begins on such a step.
const STEP: usize = 4;
/// Kinds of numbers: 16 bits and 32 bits without sign, and 32-bit floats.
const SHORT: u32 = 5123;
const LONG: u32 = 5125;
const FLOAT: u32 = 5126;
/// What a list is for: attributes of vertices, and which of them make facets.
const ATTRIBUTES: u32 = 34962;
const FACETS: u32 = 34963;
/// So many vertices 16 bits can tell apart; the last number is kept for something else.
const MOST_SHORT: usize = u16::MAX as usize;

/// Lists of numbers, one behind the other.
#[derive(Debug, Default)]
pub(super) struct Buffer {
    bytes: Vec<u8>,
    views: Vec<View>,
    accessors: Vec<Accessor>,
    /// Times that are known, which many pieces share.
    times: Vec<(Vec<f32>, usize)>,
}

/// What a list of numbers is.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
struct Accessor {
    buffer_view: usize,
    component_type: u32,
    count: usize,
    #[serde(rename = "type")]
    kind: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    min: Vec<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    max: Vec<f64>,
}

/// Where a list of numbers stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
struct View {
    buffer: usize,
    byte_offset: usize,
    byte_length: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    target: Option<u32>,
}

/// How long all of it is.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
struct BufferLength {
    byte_length: usize,
}

/// What is said of all lists.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Lists {
    accessors: Vec<Accessor>,
    buffer_views: Vec<View>,
    buffers: Vec<BufferLength>,
}

impl Buffer {
    /// Places of vertices, in mm.
    pub(super) fn positions(&mut self, points: &[[f32; 3]]) -> usize {
        let accessor = self.floats("VEC3", points, Some(ATTRIBUTES));
        let bound = |pick: fn(f32, f32) -> f32, start: f32| {
            let axes = [0, 1, 2].iter();
            let bounds = axes.map(|axis| points.iter().map(|p| p[*axis]).fold(start, pick));
            bounds.map(f64::from).collect()
        };
        self.bound(
            accessor,
            bound(f32::min, f32::INFINITY),
            bound(f32::max, f32::NEG_INFINITY),
        )
    }

    /// Normals of vertices.
    pub(super) fn normals(&mut self, normals: &[[f32; 3]]) -> usize {
        self.floats("VEC3", normals, Some(ATTRIBUTES))
    }

    /// Corners of facets, of so many vertices.
    pub(super) fn corners(&mut self, corners: &[u32], vertices: usize) -> usize {
        let short = || corners.iter().map(|corner| u16::try_from(*corner));
        let begin = self.bytes.len();
        let kind = match vertices <= MOST_SHORT && short().all(|corner| corner.is_ok()) {
            true => {
                let bytes = short().flatten().flat_map(u16::to_le_bytes);
                self.bytes.extend(bytes);
                SHORT
            }
            false => {
                let bytes = corners.iter().flat_map(|corner| corner.to_le_bytes());
                self.bytes.extend(bytes);
                LONG
            }
        };
        self.ends(begin, ("SCALAR", kind, corners.len()), Some(FACETS))
    }

    /// Times of keys, in seconds, ascending.
    pub(super) fn seconds(&mut self, times: &[f64]) -> usize {
        let times: Vec<f32> = times.iter().map(|time| narrow(*time)).collect();
        if let Some((_, known)) = self.times.iter().find(|(known, _)| *known == times) {
            return *known;
        }
        let each: Vec<[f32; 1]> = times.iter().map(|time| [*time]).collect();
        let accessor = self.floats("SCALAR", &each, None);
        let end = |time: Option<&f32>| time.map(|time| f64::from(*time)).into_iter().collect();
        self.bound(accessor, end(times.first()), end(times.last()));
        self.times.push((times, accessor));
        accessor
    }

    /// Rotations as quaternions.
    pub(super) fn rotations(&mut self, rotations: &[[f64; 4]]) -> usize {
        let each: Vec<[f32; 4]> = rotations.iter().map(|each| each.map(narrow)).collect();
        self.floats("VEC4", &each, None)
    }

    /// Ways, in mm.
    pub(super) fn shifts(&mut self, shifts: &[[f64; 3]]) -> usize {
        let each: Vec<[f32; 3]> = shifts.iter().map(|each| each.map(narrow)).collect();
        self.floats("VEC3", &each, None)
    }

    /// The bytes, and what is said of them.
    pub(super) fn finished(self) -> (Vec<u8>, Lists) {
        let lists = Lists {
            buffers: vec![BufferLength {
                byte_length: self.bytes.len(),
            }],
            accessors: self.accessors,
            buffer_views: self.views,
        };
        (self.bytes, lists)
    }

    fn floats<const N: usize>(
        &mut self,
        kind: &'static str,
        each: &[[f32; N]],
        target: Option<u32>,
    ) -> usize {
        let begin = self.bytes.len();
        let numbers = each.as_flattened().iter();
        self.bytes
            .extend(numbers.flat_map(|number| number.to_le_bytes()));
        self.ends(begin, (kind, FLOAT, each.len()), target)
    }

    /// A list that began somewhere ends here.
    fn ends(
        &mut self,
        begin: usize,
        (kind, component_type, count): (&'static str, u32, usize),
        target: Option<u32>,
    ) -> usize {
        self.views.push(View {
            buffer: 0,
            byte_offset: begin,
            byte_length: self.bytes.len() - begin,
            target,
        });
        padded(&mut self.bytes, 0);
        self.accessors.push(Accessor {
            buffer_view: self.views.len() - 1,
            component_type,
            count,
            kind,
            min: Vec::new(),
            max: Vec::new(),
        });
        self.accessors.len() - 1
    }

    fn bound(&mut self, accessor: usize, min: Vec<f64>, max: Vec<f64>) -> usize {
        if let Some(told) = self.accessors.get_mut(accessor) {
            told.min = min;
            told.max = max;
        }
        accessor
    }
}

/// As 32 bits hold it; a zero without sign.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the format holds 32-bit floats"
)]
fn narrow(value: f64) -> f32 {
    value as f32 + 0.0
}

/// Fills up to the next step.
fn padded(bytes: &mut Vec<u8>, with: u8) {
    bytes.resize(bytes.len().next_multiple_of(STEP), with);
}

/// The file, of what it says and its numbers.
///
/// # Errors
/// What cannot be said as JSON.
pub(super) fn file(said: &impl Serialize, binary: &[u8]) -> serde_json::Result<Vec<u8>> {
    let mut json = serde_json::to_vec(said)?;
    padded(&mut json, b' ');
    let length = HEAD + 2 * CHUNK_HEAD + json.len() + binary.len();
    let mut bytes = Vec::with_capacity(length);
    bytes.extend(MAGIC);
    bytes.extend(VERSION.to_le_bytes());
    bytes.extend(counted(length));
    for (kind, chunk) in [(JSON, json.as_slice()), (BINARY, binary)] {
        bytes.extend(counted(chunk.len()));
        bytes.extend(kind);
        bytes.extend(chunk);
    }
    Ok(bytes)
}

/// A number of bytes as the file has it. What takes four gigabytes is refused as too much to draw long
/// before.
fn counted(bytes: usize) -> [u8; 4] {
    u32::try_from(bytes).unwrap_or(u32::MAX).to_le_bytes()
}
