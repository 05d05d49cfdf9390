//! The pins of a mechanism that are pressed in through a hole, each as it lies on the bench: found from
//! the order in which it goes together.

use super::around::{ALL, Around, Lying, Standing};
use crate::assembly::{Assembly, Axis, Fit, InstanceId, MotionKind, Pose};
use crate::layout::pin;
use crate::sequence::{Order, Removed};
use crate::units::Length;
use nalgebra::Point3;

/// A face is sought so far around a pin, in mm: beyond the broken mouth of its hole, and within the least
/// cover that a layout leaves there.
const AROUND_PIN: f64 = 1.8;
/// A pin that ends further than this from the face of what holds it stands in a blind hole, in mm. Guess:
/// more than the depth of any end.
const BLIND: f64 = 4.0;

/// A pin while it is pressed.
pub(super) struct Pressed {
    pub(super) pin: InstanceId,
    /// What it is pressed into.
    pub(super) holder: InstanceId,
    pub(super) lying: Lying,
    /// The mechanism's turn.
    pub(super) turn: f64,
    /// All that is there already.
    pub(super) present: Vec<InstanceId>,
    /// The same on the bench.
    pub(super) around: Around,
    /// u and v of its axis.
    pub(super) at: [f64; 2],
    pub(super) radius: f64,
    /// w of the holder's face where it ends.
    pub(super) far_face: f64,
    /// w of the holder's face where it goes in.
    pub(super) near_face: f64,
}

impl Pressed {
    /// A square around its axis, so far from it, as u and v.
    pub(super) fn square(&self, half: f64) -> [[f64; 2]; 2] {
        self.at.map(|at| [at - half, at + half])
    }
}

/// All of them, in the order in which they go in.
pub(super) fn all(standing: Standing<'_>, order: &Order) -> Vec<Pressed> {
    let Order::Apart { removals, .. } = order else {
        return Vec::new();
    };
    let pressed = removals.iter().rev();
    pressed
        .filter_map(|removed| pressed_by(standing, removed))
        .collect()
}

/// What a pin is pressed into; none of what is no pressed pin.
fn holder_of(assembly: &Assembly, pin: InstanceId) -> Option<InstanceId> {
    let mut joints = assembly.joints.iter();
    let held = joints.find(|joint| joint.fit == Fit::Press && joint.between[0] == pin)?;
    Some(held.between[1])
}

fn pressed_by(standing: Standing<'_>, removed: &Removed) -> Option<Pressed> {
    let [pin] = removed.pieces[..] else {
        return None;
    };
    if removed.motion.kind != MotionKind::Straight {
        return None;
    }
    let holder = holder_of(standing.assembly, pin)?;
    let lying = Lying {
        axis: removed.motion.axis,
        // It goes in against the way that it leaves.
        positive: removed.motion.distance < Length::ZERO,
    };
    let alone = standing.around(&[pin], removed.turn, lying);
    let [u, v, w] = alone.within(|_| true, [ALL, ALL, ALL])?;
    // A flat makes it thinner one way, and its axis is not in the middle that way.
    let across = [u, v].map(|[low, high]| high - low);
    let radius = across[0].max(across[1]) / 2.0;
    let axis = pin::flat_height(Length::mm(radius * 2.0)).as_mm();
    let pose = standing.pose(pin, removed.turn);
    let [at_u, at_v, _] = lying.on_bench(pose.apply(Point3::new(0.0, 0.0, axis)));
    let at = [at_u, at_v];
    let around = standing.around(&removed.rest, removed.turn, lying);
    let [beside_u, beside_v] = at.map(|at| [at - radius - AROUND_PIN, at + radius + AROUND_PIN]);
    let [_, _, [far_face, near_face]] =
        around.within(|piece| piece == holder, [beside_u, beside_v, ALL])?;
    // A pin whose hole has a floor, or that has a head, is pressed by that and needs no hole under it.
    let through = (w[0] - far_face).abs() < BLIND && (w[1] - near_face).abs() < BLIND;
    through.then(|| Pressed {
        pin,
        holder,
        lying,
        turn: removed.turn,
        present: removed.rest.clone(),
        around,
        at,
        radius,
        far_face,
        near_face,
    })
}

/// Where an aid stands that serves a pin.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The pin.
    pub pin: InstanceId,
    /// What is there already when it is pressed.
    pub present: Vec<InstanceId>,
    /// The mechanism's turn then.
    pub turn: f64,
    /// Along which axis of the assembly the pin goes in, and whether towards its positive end.
    pub into: (Axis, bool),
    /// From the aid's print frame to the assembly, of every one of it that is used at once.
    pub poses: Vec<Pose>,
}

impl Place {
    /// Of an aid whose print frame lies along u, v and w, its origins at points of the bench.
    pub(super) fn of(pressed: &Pressed, origins: &[[f64; 3]]) -> Self {
        let poses = origins.iter().map(|origin| pressed.lying.pose(*origin));
        Self {
            pin: pressed.pin,
            present: pressed.present.clone(),
            turn: pressed.turn,
            into: (pressed.lying.axis, pressed.lying.positive),
            poses: poses.collect(),
        }
    }
    /// The same of one alone, by half a turn about w if it is turned.
    pub(super) fn turned(pressed: &Pressed, origin: [f64; 3], turned: bool) -> Self {
        let half = match turned {
            true => Pose::axes([-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]),
            false => Pose::identity(),
        };
        Self {
            poses: vec![half.then(&pressed.lying.pose(origin))],
            ..Self::of(pressed, &[])
        }
    }
}
