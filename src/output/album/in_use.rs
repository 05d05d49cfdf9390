//! Pictures of bench aids in use: what is there is pale, the aid and its pin stand out.

use super::stage::Stage;
use super::whole::{HEAD_SIDE, UP};
use crate::assembly::{Assembly, InstanceId, Pose};
use crate::motion::Rate;
use crate::picture::{Canvas, Item, Overlay, Picture, Reach, Sheet, Surface, Tint, View};
use crate::solid::Mesh;
use std::io;

/// Size on paper, in mm.
const SHEET: Sheet = Sheet {
    width: 104.0,
    height: 66.0,
    margin: 2.5,
};
/// Where the eye stands over an aid that lies under or on a piece: along its x, y and z.
const EYE: [f64; 3] = [0.62, 0.66, 0.45];

/// What an aid is shown with.
pub struct InUse {
    /// Of the picture.
    pub name: String,
    /// As people call the aid.
    pub called: &'static str,
    /// The pieces that are there.
    pub present: Vec<InstanceId>,
    /// The pin that it is for, with what is there.
    pub pin: Option<InstanceId>,
    /// The mechanism's turn.
    pub turn: f64,
    /// From the aid's print frame to the assembly, of every one of it.
    pub poses: Vec<Pose>,
}

/// Draws an aid in use, from coarse meshes of the parts in their order.
///
/// # Errors
/// None that a body can cause.
pub fn in_use(
    assembly: &Assembly,
    rates: &[Rate],
    meshes: &[Mesh],
    aid: &Mesh,
    shown: &InUse,
) -> io::Result<Picture> {
    let stage = Stage::new(assembly, rates, meshes);
    let surface = Surface::of(aid);
    let piece = |piece: &InstanceId, tint| stage.item(*piece, stage.pose(*piece, shown.turn), tint);
    let present = shown
        .present
        .iter()
        .filter_map(|present| piece(present, Tint::Pale));
    let pin = shown.pin.iter().filter_map(|pin| piece(pin, Tint::Part(1)));
    let mut items: Vec<Item<'_>> = present.chain(pin).collect();
    items.extend(shown.poses.iter().map(|pose| Item {
        surface: &surface,
        pose: *pose,
        tint: Tint::Spot,
        hatch: 0,
    }));
    let view = match (shown.pin, shown.poses.first()) {
        (Some(_), Some(pose)) => over(pose),
        (Some(_), None) | (None, _) => View::from(HEAD_SIDE, UP),
    };
    let canvas = Canvas::draw(view, &items, None, SHEET, Reach::All(&[]));
    let shows = format!("the {} in use", shown.called);
    Overlay::default().picture(&canvas, &shown.name, &shows)
}

/// From above what stands on z of an aid's print frame, whichever way that lies.
fn over(pose: &Pose) -> View {
    let rows = pose.to_rows();
    let column = |axis: usize| [0, 1, 2].map(|row: usize| rows[row][axis]);
    let [x, y, z] = [0, 1, 2].map(column);
    let eye = [0, 1, 2].map(|at: usize| EYE[0] * x[at] + EYE[1] * y[at] + EYE[2] * z[at]);
    View::from(eye, z)
}
