//! Pictures of parts as they stand on the bed.

use super::stage::{Extent, Stage};
use crate::assembly::{Part, Pose};
use crate::picture::{Canvas, Item, Overlay, Picture, Reach, Sheet, Surface, Tint, View};
use crate::solid::Mesh;
use crate::units::Angle;
use nalgebra::Point3;
use std::io;

/// How steeply it is looked down at, as a share of the level distance.
const STEEP: f64 = 0.62;
/// Ways to look from, about the bed: halves of right angles, a little aside, so that no face is seen
/// edge on.
const WAYS: usize = 8;
const ASIDE: f64 = 0.07;
/// What it counts to see a part across its length, beside seeing its marks.
const BROAD: f64 = 0.4;
/// What of the bed is drawn around a part, in mm.
const BED: f64 = 4.0;

/// Size on paper, in mm.
const SHEET: Sheet = Sheet {
    width: 60.0,
    height: 46.0,
    margin: 1.5,
};

/// A part, by its number in the assembly, with the edge of its bed.
pub(super) fn on_bed(stage: &Stage<'_>, index: usize, part: &Part) -> io::Result<Picture> {
    let shows = format!("{} as it stands on the bed", part.called);
    let name = format!("part-{}", part.name);
    match stage.surface(index) {
        Some(surface) => drawn(
            surface,
            eye(surface, marked_side(stage, index)),
            &name,
            &shows,
        ),
        None => Ok(Picture::of(&name, &shows, [SHEET.width, SHEET.height], "")),
    }
}

/// A body that is no part of a mechanism, as it stands on the bed. `marked` is where the side looks that
/// bears its marks, in x and y of the print frame.
///
/// # Errors
/// None that a body can cause.
pub fn body_on_bed(mesh: &Mesh, name: &str, marked: [f64; 2]) -> io::Result<Picture> {
    let surface = Surface::of(mesh);
    let shows = format!("{name} as it stands on the bed");
    drawn(&surface, eye(&surface, marked), name, &shows)
}

/// A surface seen from an eye, with the edge of its bed.
fn drawn(surface: &Surface, eye: [f64; 3], name: &str, shows: &str) -> io::Result<Picture> {
    let item = Item {
        surface,
        pose: Pose::identity(),
        tint: Tint::Part(0),
        hatch: 0,
    };
    let around = Extent::of(surface.points().iter().copied());
    let corners = [
        [around.low[0] - BED, around.low[1] - BED],
        [around.high[0] + BED, around.low[1] - BED],
        [around.high[0] + BED, around.high[1] + BED],
        [around.low[0] - BED, around.high[1] + BED],
    ]
    .map(|[x, y]| Point3::new(x, y, around.low[2]));
    let view = View::from(eye, [0.0, 0.0, 1.0]);
    let canvas = Canvas::draw(view, &[item], None, SHEET, Reach::All(&corners));
    let mut overlay = Overlay::default();
    for side in 0..corners.len() {
        let next = corners[(side + 1) % corners.len()];
        overlay.seen_line(&canvas, [corners[side], next]);
    }
    overlay.picture(&canvas, name, shows)
}

/// Where the side of a part that bears its marks looks on the bed: +y of the assembly.
fn marked_side(stage: &Stage<'_>, index: usize) -> [f64; 2] {
    let mut pieces = stage.assembly.instances.iter();
    let placed = pieces.find(|piece| piece.part.0 == index);
    placed.map_or([0.0, 0.0], |piece| {
        let rows = piece.pose.to_rows();
        // What the pose turns to +y, in the print frame: a row of its matrix.
        [rows[1][0], rows[1][1]]
    })
}

/// From where a body is seen, so that a side of it is.
fn eye(surface: &Surface, [x, y]: [f64; 2]) -> [f64; 3] {
    let ways = (0..WAYS).map(|way| {
        let at = Angle::turns((way as f64 + 0.5) / WAYS as f64 + ASIDE);
        let (sin, cos) = at.sin_cos();
        [cos, sin, STEEP]
    });
    // What lies long is seen across its length; else any side does.
    let size = Extent::of(surface.points().iter().copied());
    let long = [0, 1].map(|axis| size.high[axis] - size.low[axis]);
    let across = (long[0] - long[1]) / (long[0] + long[1]).max(f64::MIN_POSITIVE);
    let looks_at = |eye: &[f64; 3]| {
        let broad = across * (eye[1] * eye[1] - eye[0] * eye[0]);
        eye[0] * x + eye[1] * y + BROAD * broad
    };
    ways.max_by(|a, b| looks_at(a).total_cmp(&looks_at(b)))
        .unwrap_or([1.0, -1.0, STEEP])
}
