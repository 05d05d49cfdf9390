//! The shaft rest: a bar that stands on the frame's floor under a shaft while a pin is pressed into that,
//! so that the shaft does not bend. It goes in through the slot, along the frame, and is pushed under.
//!
//! Print frame: x, y and z are u, v and w of the bench; it stands as it is used.

use super::around::ALL;
use super::block;
use super::pressed::{Place, Pressed};
use crate::assembly::{InstanceId, Shape};
use crate::units::Length;

/// Left between bar and shaft, in mm. Guess: what a hand pushes it under with; a shaft bends by no more.
const UNDER_SHAFT: f64 = 0.2;
/// Left beside it on its way down between shaft and frame, in mm. Guess.
const BESIDE: f64 = 0.8;
/// Its width, in mm: the most, and the least that stands. Guess.
const WIDTH: [f64; 2] = [8.0, 4.0];
/// Its length, in mm: the most, and the least that a hand gets hold of. Guess.
const LENGTH: [f64; 2] = [20.0, 10.0];
/// Left at either end between it and what is beside the shaft there, in mm. Guess.
const AT_ENDS: f64 = 1.5;

/// A shaft rest.
pub(super) struct ShaftRest {
    /// Along u, v and w.
    size: [f64; 3],
    /// Where it stands.
    pub(super) place: Place,
}

/// The shaft rest for a pin, if what holds it lies over a floor of the frame and leaves room for a bar on
/// its way there.
pub(super) fn shaft_rest(pin: &Pressed, frame: InstanceId, layer: Length) -> Option<ShaftRest> {
    let floor = floor(pin, frame)?;
    let height = Length::mm(pin.far_face - floor - UNDER_SHAFT)
        .down_to(layer)
        .as_mm();
    let [u, v] = pin.at;
    let along = [v - LENGTH[0] / 2.0, v + LENGTH[0] / 2.0];
    let shaft = pin
        .around
        .within(|piece| piece == pin.holder, [ALL, along, ALL])?;
    let middle = (shaft[2][0] + shaft[2][1]) / 2.0;
    // Beside the shaft at its widest, out to the frame.
    let at_axis = [middle - 0.5, middle + 0.5];
    let beside = pin.around.within(
        |piece| piece == frame,
        [[shaft[0][1], ALL[1]], along, at_axis],
    )?;
    let width = (beside[0][0] - shaft[0][1] - BESIDE).min(WIDTH[0]);
    // What else is under the shaft ends it.
    let under = [floor + 0.02, pin.far_face];
    let wide = [u - WIDTH[0], u + WIDTH[0]];
    let others = |piece: InstanceId| piece != frame && piece != pin.holder;
    let far = pin.around.within(others, [wide, [v, ALL[1]], under]);
    let near = pin.around.within(others, [wide, [ALL[0], v], under]);
    let ahead = far.map_or(ALL[1], |far| far[1][0] - v);
    let behind = near.map_or(ALL[1], |near| v - near[1][1]);
    let length = ((ahead.min(behind) - AT_ENDS) * 2.0).min(LENGTH[0]);
    (width >= WIDTH[1] && length >= LENGTH[1] && height >= WIDTH[1]).then(|| ShaftRest {
        size: [width, length, height],
        place: Place::of(pin, &[[u, v, floor]]),
    })
}

/// w of the frame's floor under a pin.
fn floor(pin: &Pressed, frame: InstanceId) -> Option<f64> {
    let [u, v] = pin.square(pin.radius);
    let under = [u, v, [ALL[0], pin.far_face]];
    let floor = pin.around.within(|piece| piece == frame, under)?;
    Some(floor[2][1])
}

impl ShaftRest {
    /// Whether what holds a pin lies over a floor of the frame at all.
    pub(super) fn is_for(pin: &Pressed, frame: InstanceId) -> bool {
        pin.holder != frame && floor(pin, frame).is_some()
    }

    /// Its shape, around its middle.
    pub(super) fn shape(&self) -> Shape {
        let [wide, long, height] = self.size;
        let span = [wide, long].map(|side| [-side / 2.0, side / 2.0]);
        Shape {
            base: block::standing(span, height),
            within: Vec::new(),
            joined: Vec::new(),
            cut: Vec::new(),
            genus: 0,
        }
    }
}
