//! What the page's program is told of a kit: parts, pieces with poses and rates, the order, the steps.
//!
//! Lengths in mm, poses and points in the assembly's frame: +z from the drive head into the frame, a
//! positive turn clockwise seen from the drive head. Rates are those of one turn of the drive in the way
//! that carries out the stroke.

use super::apart;
use super::hatch::{self, Hatch};
use super::packed::{Packed, PackedMesh};
use crate::assembly::{Assembly, InstanceId};
use crate::layout::Design;
use crate::motion::Rate;
use crate::output::album::Twin;
use crate::output::album::eye_of;
use crate::output::kit::Product;
use crate::output::words::{capital, plain, turning_words};
use crate::picture::PART_COLOURS;
use crate::solid::Mesh;
use crate::units::Angle;
use serde::Serialize;

/// Decimals of a millimetre in which a gap is told.
const GAP: usize = 3;

/// All that the page's program is told, but for the meshes' bytes.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Shown {
    inches: bool,
    /// Of parts by their place in the kit, as the pictures have them.
    colours: &'static [[f64; 3]],
    /// The way to turn, with the place of the eye.
    turning: &'static str,
    kit: Mechanism,
    plain: Option<Mechanism>,
    /// What stands beside the plain screw.
    beside: &'static str,
    dial: Option<Dial>,
    gap: Option<Gap>,
    /// In the order of taking apart.
    leavings: Vec<apart::Told>,
    steps: Vec<Step>,
}

/// A mechanism.
#[derive(Clone, Debug, Serialize)]
struct Mechanism {
    /// Turns for the stroke.
    turns: f64,
    /// Pieces that are moved, the one whose travel is the stroke first.
    carriages: Vec<usize>,
    parts: Vec<Part>,
    pieces: Vec<Piece>,
}

#[derive(Clone, Debug, Serialize)]
struct Part {
    name: String,
    called: String,
    /// In the bill.
    number: usize,
    hatch: Hatch,
    mesh: PackedMesh,
}

#[derive(Clone, Debug, Serialize)]
struct Piece {
    part: usize,
    called: String,
    /// From the print frame to the assembly at turn 0: the upper three rows.
    pose: [[f64; 4]; 3],
    advance_mm: f64,
    turns: f64,
}

/// Ticks around the head.
#[derive(Clone, Debug, Serialize)]
struct Dial {
    ticks: u32,
    read: &'static str,
}

/// The least gap between pieces that do not touch.
#[derive(Clone, Debug, Serialize)]
struct Gap {
    words: String,
    pieces: [usize; 2],
    turn: f64,
    /// Between the nearest points, in the assembly at that turn.
    point: [f64; 3],
}

#[derive(Clone, Debug, Serialize)]
struct Step {
    title: String,
    text: String,
    /// How many leavings are undone before it, and after.
    done: [usize; 2],
    /// From which side it is seen, as its picture is, in degrees; none where nothing goes in.
    yaw: Option<f64>,
}

/// What is shown of a product, and its meshes: `meshes` of its parts, and those of its plain screw.
pub(super) fn shown(product: &Product, meshes: &[Mesh], twin: Option<&Twin>) -> (Shown, Packed) {
    let further = twin.into_iter().flat_map(|twin| &twin.meshes);
    let packed = Packed::of(meshes.iter().chain(further));
    let (own, others) = packed.meshes.split_at(meshes.len());
    let design = &product.design;
    let shown = Shown {
        inches: product.kit.inches,
        colours: &PART_COLOURS,
        turning: turning_words(product.motion.turning),
        kit: mechanism(design, own, |piece| product.rate(piece)),
        plain: twin.map(|twin| of_twin(twin, others)),
        beside: twin.map_or("", |twin| beside(product, twin)),
        dial: design.dial.as_ref().map(|ticks| Dial {
            ticks: ticks.count,
            read: ticks.read,
        }),
        gap: least_gap(product),
        leavings: apart::told(product, meshes),
        steps: steps(product),
    };
    (shown, packed)
}

fn of_twin(twin: &Twin, meshes: &[PackedMesh]) -> Mechanism {
    mechanism(&twin.design, meshes, |piece| {
        twin.rates.get(piece.0).copied()
    })
}

/// Its thread alone may lead the other way: one end of an opposed screw is left-hand.
fn beside(product: &Product, twin: &Twin) -> &'static str {
    let own = product.rate(product.design.assembly.drive);
    let other = twin.rates.get(twin.design.assembly.drive.0);
    let both = own.zip(other).map(|(own, other)| own.turns * other.turns);
    match both.is_some_and(|both| both < 0.0) {
        true => "the plain screw, turned the other way",
        false => "the plain screw, as many turns",
    }
}

fn mechanism(
    design: &Design,
    meshes: &[PackedMesh],
    rate: impl Fn(InstanceId) -> Option<Rate>,
) -> Mechanism {
    let assembly = &design.assembly;
    let all = assembly.carriages.all();
    Mechanism {
        turns: design.course.turns,
        carriages: all.map(|piece| piece.0).collect(),
        parts: parts(assembly, meshes),
        pieces: pieces(assembly, rate),
    }
}

fn parts(assembly: &Assembly, meshes: &[PackedMesh]) -> Vec<Part> {
    let numbers = assembly.item_numbers();
    let hatches = hatch::hatches(assembly);
    let told = assembly.parts.iter().zip(meshes).zip(numbers).zip(hatches);
    told.map(|(((part, mesh), number), hatch)| Part {
        name: part.name.clone(),
        called: plain(part.called),
        number,
        hatch,
        mesh: mesh.clone(),
    })
    .collect()
}

fn pieces(assembly: &Assembly, rate: impl Fn(InstanceId) -> Option<Rate>) -> Vec<Piece> {
    let pieces = assembly.instances.iter().enumerate();
    pieces
        .map(|(index, piece)| {
            let [x, y, z, _] = piece.pose.to_rows();
            // What nothing moves stands still.
            let rate = rate(InstanceId(index));
            Piece {
                part: piece.part.0,
                called: plain(&piece.called),
                pose: [x, y, z],
                advance_mm: rate.map_or(0.0, |rate| rate.advance.as_mm()),
                turns: rate.map_or(0.0, |rate| rate.turns),
            }
        })
        .collect()
}

fn least_gap(product: &Product) -> Option<Gap> {
    let (gap, between) = product.least_gap()?;
    let pairs = product.clearance.as_ref()?.pairs.iter();
    let mut found = pairs.filter(|pair| pair.between == between);
    let least = found.find_map(|pair| pair.least.filter(|least| least.gap == gap))?;
    let [one, other] = least.points;
    let called = between.map(|piece| plain(product.design.assembly.called(piece)));
    Some(Gap {
        words: format!(
            "{} between {} and {}, as drawn",
            product.kit.told().length(gap, GAP),
            called[0],
            called[1]
        ),
        pieces: between.map(|piece| piece.0),
        turn: least.at_turn,
        point: [0, 1, 2].map(|axis| (one[axis] + other[axis]) / 2.0),
    })
}

fn steps(product: &Product) -> Vec<Step> {
    let Some(order) = &product.order else {
        return Vec::new();
    };
    let steps = &product.design.steps;
    let ranges = apart::step_ranges(order, steps);
    let gestures = product.album.iter().flat_map(|album| &album.gestures);
    let told = steps.iter().zip(ranges).zip(gestures);
    told.map(|((step, done), gestures)| Step {
        yaw: (!gestures.is_empty()).then(|| {
            let [x, _, z] = eye_of(gestures);
            // With yaw 0 the eye stands off -x.
            Angle::of_point(-x, -z).as_degrees()
        }),
        title: capital(&step.action),
        text: plain(&step.text),
        done,
    })
    .collect()
}
