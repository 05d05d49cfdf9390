//! The gauge for the distance that the last step measures: a plate with an end that goes in and, behind a
//! step, a length that does not.
//!
//! Print frame: it lies on its side; its length, which measures, lies along x, so that outlines measure,
//! whose place a printer's profile knows, and not layers; +y is the way out.

use super::around::{ALL, Lying, ROUNDING, Standing};
use crate::assembly::{Axis, InstanceId, Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{groove, here, prism};
use crate::layout::proportions::{BED_EDGE, EDGE, OVERCUT};
use crate::layout::{Between, LastCheck};
use crate::printer::{Profile, Term};
use crate::units::Length;
use nalgebra::Point3;

/// What is judged is known so many times better than it may differ (common practice: four to one).
pub const BETTER: f64 = 4.0;
/// Standard deviations to either side that its length is told with: 19 of 20.
const DEVIATIONS: f64 = 1.96;
/// Left between the plate's front and what it would meet there, in mm. Guess.
const BEFORE: f64 = 0.8;
/// How far it goes in at the least, in mm, so that it is held by both faces; and how far at the most. Guess.
const DEEP: [f64; 2] = [2.5, 6.0];
/// Left between the plate's step and what it meets, in mm, where it is said to stand. Derived: rounding.
const AT_STEP: f64 = 0.05;
/// Length of the plate behind its step, in mm: the second length, and what a hand holds. Guess.
const HANDLE: f64 = 18.0;
/// Thickness, in mm: the most, and the least. Guess.
const THICK: [f64; 2] = [5.0, 3.0];
/// Left beside it in a slot, in mm a side. Guess.
const BESIDE: f64 = 0.5;

/// A gauge.
pub(super) struct Gauge {
    /// The lengths of its end and behind its step, as they should come out.
    pub(super) lengths: [Length; 2],
    /// What they may be off by, in 19 of 20 prints.
    pub(super) error: Length,
    /// The same as drawn, in mm.
    drawn: [f64; 2],
    /// How far the first goes in, in mm.
    deep: f64,
    thick: f64,
    /// From its print frame to the assembly, as it stands between the faces where they are as far apart as
    /// its first length is.
    pub(super) pose: Pose,
    /// The mechanism's turn there.
    pub(super) turn: f64,
}

/// Why there is no gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoGauge {
    /// A printer does not make a length well enough for the window: what it may be off by.
    Coarse(Length),
    /// The faces do not stand opposite to each other far enough for a plate.
    NoRoom,
}

/// The gauge of a mechanism, where the mechanism's own turn is so many net turns from turn 0 for each mm
/// that the faces come apart.
pub(super) fn gauge(
    standing: Standing<'_>,
    check: &LastCheck,
    profile: &Profile,
) -> Result<Gauge, NoGauge> {
    let [least, most] = check.window;
    let error = error(profile, most);
    if error * BETTER > (most - least) / 2.0 {
        return Err(NoGauge::Coarse(error));
    }
    // No right one is refused for the gauge's own error, as far as a wrong one is not let pass.
    let beyond = check.wrong.map_or(error, |wrong| {
        let left = (wrong - (most - least)) / 2.0;
        error.min(left.max(Length::ZERO))
    });
    let lengths = [least - beyond, most + beyond];
    let drawn = lengths.map(|length| drawn(profile, length).as_mm());
    let turn = turn_at(standing, check, drawn[0]).ok_or(NoGauge::NoRoom)?;
    let room = room(standing, check, turn, drawn[1] - drawn[0]).ok_or(NoGauge::NoRoom)?;
    let deep = (room.step - room.front).min(DEEP[1] + room.step - room.faces[0]);
    let [one, other] = room.faces;
    let bears = one.min(other) - (room.step - deep);
    if bears < DEEP[0] || room.thick < THICK[1] {
        return Err(NoGauge::NoRoom);
    }
    Ok(Gauge {
        pose: room.pose(standing, check, turn, deep),
        lengths,
        error,
        drawn,
        deep,
        thick: room.thick.min(THICK[0]),
        turn,
    })
}

/// What a printed length may be off by, in 19 of 20 prints: two outer faces, their own scatter and the
/// print's, and the error of what is known of the printer.
fn error(profile: &Profile, length: Length) -> Length {
    let along = |scale| {
        let known = [(scale, length.as_mm()), (Term::OuterGrowth, 2.0)];
        profile.variance_of(&known)
    };
    // Whichever way it lies on the bed.
    let known = along(Term::ScaleX).max(along(Term::ScaleY));
    let (within, between) = (profile.within.as_mm(), profile.between.as_mm() * 2.0);
    let variance = known + 2.0 * within * within + between * between;
    Length::mm(variance.sqrt() * DEVIATIONS)
}

/// As it is drawn, so that it comes out as it should: m = L (1 + s) + 2 u.
fn drawn(profile: &Profile, length: Length) -> Length {
    let scale = (profile.value(Term::ScaleX) + profile.value(Term::ScaleY)) / 2.0;
    (length - Length::mm(profile.value(Term::OuterGrowth) * 2.0)) / (1.0 + scale)
}

/// The turn at which the faces are so far apart, in mm.
fn turn_at(standing: Standing<'_>, check: &LastCheck, apart: f64) -> Option<f64> {
    let [one, other] = check.pieces.map(|piece| standing.rates.get(piece.0));
    let per_turn = other?.advance - one?.advance;
    let [from, to] = check.faces;
    let turn = (Length::mm(apart) - (to - from)) / per_turn;
    turn.is_finite().then_some(turn)
}

/// Where a plate may stand between the faces; all in mm from the axis, on the way out.
struct Room {
    /// Where its front may stand, clear of what is between the faces.
    front: f64,
    /// Where either face ends.
    faces: [f64; 2],
    /// Where the plate's step meets the first piece.
    step: f64,
    thick: f64,
    /// The way out.
    out: [f64; 3],
}

/// The plate stands on edge beside the drive screw, on -x, where no house has an index bar; between the
/// carriages it is let down through the slot. Its second length is longer by `step`; the mechanism stands at
/// a turn, by which a head's lobes are where they are.
fn room(standing: Standing<'_>, check: &LastCheck, turn: f64, step: f64) -> Option<Room> {
    match check.between {
        Between::FrameAnd(_) => beside_screw(standing, check, turn, step),
        Between::Carriages => from_above(standing, check, step),
    }
}

/// How the mechanism lies while it is looked at: u is -x, v is z, w is y.
const LYING: Lying = Lying {
    axis: Axis::Y,
    positive: false,
};

/// How far a piece has gone along the axis at a turn.
fn gone(standing: Standing<'_>, piece: InstanceId, turn: f64) -> Length {
    let rate = standing.rates.get(piece.0);
    rate.map_or(Length::ZERO, |rate| rate.after(turn).advance)
}

fn beside_screw(standing: Standing<'_>, check: &LastCheck, turn: f64, step: f64) -> Option<Room> {
    let half = THICK[0] / 2.0;
    let band = [[0.0, ALL[1]], ALL, [-half, half]];
    let [drive, frame] = check.pieces;
    let around = standing.around(&check.pieces, turn, LYING);
    let at = |piece, face: Length| (face + gone(standing, piece, turn)).as_mm();
    let (head, outer) = (at(drive, check.faces[0]), at(frame, check.faces[1]));
    let reach = |piece, face| Some(around.end_face(piece, face, band)?[0]);
    let ([head_in, head_out], [frame_in, frame_out]) = (reach(drive, head)?, reach(frame, outer)?);
    let at_step = [band[0], [head - step, head], band[2]];
    let rim = around.within(|piece| piece == drive, at_step)?[0][1];
    Some(Room {
        front: head_in.max(frame_in) + BEFORE,
        faces: [head_out, frame_out],
        step: rim + AT_STEP,
        thick: THICK[0],
        out: [-1.0, 0.0, 0.0],
    })
}

fn from_above(standing: Standing<'_>, check: &LastCheck, step: f64) -> Option<Room> {
    let [near, far] = check.pieces;
    let faces = check.faces.map(Length::as_mm);
    let up = |piece, face| {
        let points = points_on(standing, piece, face);
        let heights = points.iter().map(|point| point.y);
        let top = heights.fold(f64::NEG_INFINITY, f64::max);
        // As wide as the rib is where it ends above.
        let at_top = points.iter().filter(|point| point.y > top - EDGE.as_mm());
        let beside = at_top.map(|point| point.x.abs());
        let wide = beside.fold(f64::INFINITY, f64::min);
        (top.is_finite() && wide.is_finite()).then_some((top, wide))
    };
    let (top, wide) = up(near, faces[0])?;
    let (other, _) = up(far, faces[1])?;
    // What lies between them, under the slot: shafts and their sleeve.
    let between = [faces[0] + ROUNDING, faces[1] - ROUNDING];
    let pieces = (0..standing.assembly.instances.len()).map(InstanceId);
    let inside: Vec<InstanceId> = pieces
        .filter(|piece| *piece != standing.assembly.frame)
        .collect();
    let half = wide - BESIDE;
    let around = standing.around(&inside, 0.0, LYING);
    let under = around.within(|_| true, [[-half, half], between, ALL])?;
    let at_step = [faces[0] - step, faces[0]];
    let first = standing.around(&[near], 0.0, LYING);
    let rim = first.within(|_| true, [[-half, half], at_step, ALL])?[2][1];
    Some(Room {
        front: under[2][1] + BEFORE,
        faces: [top, other],
        step: rim + AT_STEP,
        thick: half * 2.0,
        out: [0.0, 1.0, 0.0],
    })
}

/// Corners of a piece on a plane of z, at turn 0.
fn points_on(standing: Standing<'_>, piece: InstanceId, z: f64) -> Vec<Point3<f64>> {
    let instance = standing.assembly.instance(piece);
    let Some(mesh) = standing.meshes.get(instance.part.0) else {
        return Vec::new();
    };
    let points = mesh.points.iter().map(|point| instance.pose.apply(*point));
    points
        .filter(|point| (point.z - z).abs() < ROUNDING)
        .collect()
}

impl Room {
    /// From the gauge's print frame to between the faces.
    fn pose(&self, standing: Standing<'_>, check: &LastCheck, turn: f64, deep: f64) -> Pose {
        let [_, other] = check.pieces;
        let from = check.faces[1] + gone(standing, other, turn);
        let out = self.out;
        // x against the axis, from the face that is further from the drive head; y outwards, z square to both.
        let side = [out[1], -out[0], 0.0];
        let thick = self.thick.min(THICK[0]) / 2.0;
        let at = |axis: usize| Length::mm(out[axis] * (self.step - deep) + side[axis] * -thick);
        Pose::axes([0.0, 0.0, -1.0], out, side).shifted(at(0), at(1), from)
    }
}

impl Gauge {
    /// Its shape: its first length from x = 0, its front at y = 0.
    pub(super) fn shape(&self) -> Shape {
        let [goes, stays] = self.drawn;
        let (deep, end) = (self.deep, self.deep + HANDLE);
        // Star-shaped about a place behind the step, before its first length ends.
        let middle = [goes / 2.0, deep + HANDLE / 2.0];
        let corners = |set_in: f64| {
            let outline = [
                [set_in, set_in],
                [goes - set_in, set_in],
                [goes - set_in, deep + set_in],
                [stays - set_in, deep + set_in],
                [stays - set_in, end - set_in],
                [set_in, end - set_in],
            ];
            let placed = outline.map(|[x, y]| [x - middle[0], y - middle[1]].map(Length::mm));
            Outline::Polygon(placed.into())
        };
        let thick = Length::mm(self.thick);
        let solid = Solid::Prism(vec![
            (Length::ZERO, corners(BED_EDGE.as_mm())),
            (BED_EDGE, corners(0.0)),
            (thick, corners(0.0)),
        ]);
        let [x, y] = middle.map(Length::mm);
        Shape {
            base: Placed {
                pose: Pose::shift(x, y, Length::ZERO),
                solid,
            },
            within: Vec::new(),
            joined: Vec::new(),
            cut: vec![self.mark()],
            genus: 0,
        }
    }

    /// A V across the handle's end, by which the length that does not go in is told.
    fn mark(&self) -> Placed {
        let [_, stays] = self.drawn;
        let thick = Length::mm(self.thick);
        // It opens to +y, upright.
        Placed {
            pose: Pose::shift(
                Length::mm(stays / 2.0),
                Length::mm(self.deep + HANDLE),
                Length::ZERO,
            ),
            ..here(prism(-OVERCUT, thick + OVERCUT, groove(1.0)))
        }
    }
}
