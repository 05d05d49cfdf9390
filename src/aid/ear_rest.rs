//! The ear rest: a block with a pad, which stands under the ear of a carriage that a pin is pressed into,
//! while the frame around it lies on rests. The pad goes into the frame's slot, or meets an ear that
//! stands out of it.
//!
//! Print frame: x, y and z are u, v and w of the bench; it stands as it is used.

use super::around::{ALL, Box3};
use super::block;
use super::pressed::{Place, Pressed};
use super::rest::{AROUND_HOLE, Rest};
use crate::assembly::{InstanceId, Shape};
use crate::layout::LEAST_WALL_LINES;
use crate::layout::proportions::OVERCUT;
use crate::units::Length;

/// The pad is narrower than the ear by this, a side, in mm. Guess: more than the ear has room in its slot.
const INSIDE_EAR: f64 = 0.3;
/// The pad reaches so far along the frame from the outermost pins, in mm, at the most. Guess.
const ALONG: f64 = 11.0;
/// The block is wider than the pad by this, a side, in mm, as far as there is room: so that it stands. Guess.
const WIDER: [f64; 4] = [9.0, 6.0, 3.0, 0.0];
/// Left between the block beside the pad and what lies over it, in mm. Guess: what a rest's layers and a
/// frame's may be off by, several times.
const UNDER_FRAME: f64 = 1.0;
/// Least height of the block beside the pad, in mm. Guess.
const LEAST: f64 = 4.0;
/// Printed lines of the wall around the pad's holes, which carries the press. Guess.
const WALL_LINES: f64 = 4.0;
/// Least room around a pin in its hole, in mm. Guess: what an eye sets it by at the least.
const LEAST_AROUND: f64 = 0.5;

/// An ear rest.
pub(super) struct EarRest {
    /// u and v of the pad, and of the block below, v from the first pin.
    pad: [[f64; 2]; 2],
    block: [[f64; 2]; 2],
    /// From its bed: the block's top beside the pad, and the pad's.
    heights: [f64; 2],
    /// u, v from the first pin, and radius of its holes.
    holes: Vec<([f64; 2], f64)>,
    /// Where it stands for each pin.
    pub(super) places: Vec<Place>,
}

/// The ear rest for pins that go into one piece, while the frame lies on a rest.
pub(super) fn ear_rest(
    pins: &[&Pressed],
    rest: &Rest,
    [layer, line]: [Length; 2],
) -> Option<EarRest> {
    let first = pins.first()?;
    let level = first.far_face;
    let bed = rest.level - rest.height;
    let holder = |piece: InstanceId| piece == first.holder;
    let face = first
        .around
        .level_face(first.holder, level, [ALL, near(pins), ALL])?;
    let u = [face[0][0] + INSIDE_EAR, face[0][1] - INSIDE_EAR];
    let room = line.as_mm() * WALL_LINES;
    let holes = pins.iter().map(|pin| {
        let beside = (pin.at[0] - u[0]).min(u[1] - pin.at[0]) - room - pin.radius;
        (pin.at, pin.radius + beside.clamp(LEAST_AROUND, AROUND_HOLE))
    });
    let holes: Vec<([f64; 2], f64)> = holes.collect();
    let least = line.as_mm() * LEAST_WALL_LINES;
    let walled = |([at, _], radius): &([f64; 2], f64)| {
        at - radius - u[0] >= least && u[1] - at - radius >= least
    };
    let mut pairs = holes.windows(2);
    let apart = pairs.all(|pair| {
        let beside = (pair[0].0[0] - pair[1].0[0]).abs();
        beside - pair[0].1 - pair[1].1 >= least
    });
    if !holes.iter().all(walled) || !apart {
        return None;
    }
    // As long as the ear, and beyond its end where a hole is near to that.
    let along = holes.iter().fold(face[1], |[low, high], ([_, v], radius)| {
        [low.min(v - radius - room), high.max(v + radius + room)]
    });
    let pad = [u, along];
    let height = Length::mm(level - bed).down_to(layer).as_mm();
    let all_free = |room: &Box3| {
        let mut each = pins.iter();
        each.all(|pin| pin.around.within(|_| true, *room).is_none())
    };
    let pad_free = all_free(&[pad[0], pad[1], [bed, level - 0.02]]);
    let around = WIDER.into_iter().find_map(|wider| {
        let u = [pad[0][0] - wider, pad[0][1] + wider];
        let over = first.around.within(
            |piece| !holder(piece),
            [u, pad[1], [ALL[0], level + ALL[1]]],
        );
        let lowest = over.map_or(level, |over| over[2][0]).min(level);
        let top = Length::mm(lowest - UNDER_FRAME - bed)
            .down_to(layer)
            .as_mm();
        (top >= LEAST).then_some((u, top))
    });
    let (u, top) = around?;
    if !pad_free {
        return None;
    }
    let origin = first.at[1];
    let from_origin = |[u, v]: [[f64; 2]; 2]| [u, v.map(|at| at - origin)];
    let places = pins.iter().map(|pin| Place::of(pin, &[[0.0, origin, bed]]));
    let holes = holes.into_iter();
    Some(EarRest {
        places: places.collect(),
        pad: from_origin(pad),
        block: from_origin([u, pad[1]]),
        heights: [top, height],
        holes: holes
            .map(|([u, v], radius)| ([u, v - origin], radius))
            .collect(),
    })
}

/// Along which stretch a pad may stand for pins.
fn near(pins: &[&Pressed]) -> [f64; 2] {
    let places = pins.iter().map(|pin| pin.at[1]);
    let [low, high] = places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| {
        [low.min(at), high.max(at)]
    });
    [low - ALONG, high + ALONG]
}

impl EarRest {
    /// Its shape, with the first pin at y = 0.
    pub(super) fn shape(&self) -> Shape {
        let [top, pad] = self.heights;
        let [block_u, v] = self.block;
        let beyond = OVERCUT.as_mm();
        let along = [v[0] - beyond, v[1] + beyond];
        let beside = [
            [block_u[0] - beyond, self.pad[0][0]],
            [self.pad[0][1], block_u[1] + beyond],
        ];
        let is_wider = block_u[0] < self.pad[0][0];
        let sides = beside.into_iter().filter(|_| is_wider);
        let mut cut: Vec<_> = sides
            .map(|u| block::cut_above([u, along], top, pad))
            .collect();
        let holes = self.holes.iter();
        cut.extend(holes.map(|(at, radius)| block::hole(*at, *radius, pad)));
        Shape {
            base: block::standing(self.block, pad),
            within: Vec::new(),
            joined: Vec::new(),
            cut,
            genus: self.holes.len(),
        }
    }
}
