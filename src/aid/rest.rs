//! The rest: a block on which the frame lies while a pin is pressed, with a hole under the pin, and
//! cheeks that find the frame's sides where those end there. Two carry a frame; one would let it tip.
//!
//! Print frame: x, y and z are u, v and w of the bench; it stands as it is used.

use super::around::{ALL, Box3};
use super::block::{self, Span2};
use super::pressed::{Place, Pressed};
use crate::assembly::{InstanceId, Outline, Placed, Pose, Shape, Solid};
use crate::layout::proportions::{EDGE, OVERCUT};
use crate::units::Length;

/// Least height, in mm: a pin that is driven out comes free of the wall that holds it before it meets the
/// bench, and a hand gets at what lies on it. Guess.
const LEAST_HEIGHT: f64 = 12.0;
/// Greatest height, in mm: what stands out further is no matter for a block. Guess.
const MOST_HEIGHT: f64 = 40.0;
/// Left between what hangs beside it and the bench, in mm. Guess.
const OVER_BENCH: f64 = 2.0;
/// What stands out less than this is a foot on which the frame lies by itself, in mm; more than any foot
/// that is there for that. Guess.
const FOOT: f64 = 3.0;
/// Height and thickness of a cheek, in mm. Guess: finds the side, and bends no more than a finger makes it.
const CHEEK: [f64; 2] = [4.0, 4.0];
/// A hole is wider than its pin by this, a side, in mm. Guess: what an eye sets it by.
pub(super) const AROUND_HOLE: f64 = 1.5;
/// Wall between a hole and the block's end, in mm. Guess: more than what carries load.
const BESIDE_HOLE: [f64; 2] = [2.0, 5.0];
/// Wall between two holes, at the least: nearer ones are one, in mm. Guess.
const BETWEEN_HOLES: f64 = 3.0;
/// From a hole's middle to the block's far end, in mm: so that it stands by itself. Guess.
const FAR_END: f64 = 14.0;
/// A fence of the frame, as its foot, stays this far off the block, in mm. Guess: five times a slide.
const OFF_FENCE: f64 = 1.0;
/// An ear ends this far inside the frame's face at the most, in mm. Guess: twice what layouts draw.
const EAR_SUNK: f64 = 2.0;
/// A rest beside an ear stays so far off the nearest pin in it, in mm: further than the ear's own rest goes.
const BESIDE_EAR: f64 = 13.0;
/// Places that are tried for the other rest, and from one to the next, in mm. Guess.
const OTHERS: u32 = 20;
const STEP: f64 = 3.0;
/// Left of what a check of free room looks at, in mm: faces that touch are no obstacle. Derived.
const SKIN: f64 = 0.02;

/// How the frame lies on rests, and what they are like.
#[derive(Clone)]
pub(super) struct Rest {
    /// w of the frame's face that lies on it.
    pub(super) level: f64,
    /// From its bed to that face.
    pub(super) height: f64,
    /// u of its sides.
    sides: [f64; 2],
    /// Where the frame's own sides end, with a gap, where it has cheeks.
    cheeks: [Option<f64>; 2],
    /// Its holes along u.
    holes: Vec<Hole>,
    /// From the holes to its ends along v, towards the lower and towards the higher.
    ends: [f64; 2],
    /// Where two of it stand for each pin, as far as there is room.
    pub(super) places: Vec<Place>,
}

/// A hole, longer along u where several pins share it.
#[derive(Clone, Copy, PartialEq)]
struct Hole {
    /// u of its middles at either end.
    from: f64,
    to: f64,
    radius: f64,
}

/// The rest for all pins of one way in; `gap` is what a side of the frame is given in it. None where the
/// frame lies better by itself, or on nothing that could be printed.
pub(super) fn rest(pins: &[&Pressed], frame: InstanceId, gap: f64, layer: Length) -> Option<Rest> {
    let first = pins.first()?;
    let is_frame = |piece: InstanceId| piece == frame;
    let whole = first.around.within(is_frame, [ALL, ALL, ALL])?;
    let held: Vec<&&Pressed> = pins.iter().filter(|pin| pin.holder == frame).collect();
    let level = match held.first() {
        Some(pin) => pin.far_face,
        None => face_beside(first, frame)?,
    };
    let (sides, cheeks) = across(first, frame, (whole, level), gap)?;
    let height = height(pins, whole, level, layer)?;
    let mut rest = Rest {
        level,
        height,
        sides,
        cheeks,
        holes: Vec::new(),
        ends: [FAR_END; 2],
        places: Vec::new(),
    };
    rest.find_holes(&held, whole[1]);
    if !rest.is_walled() {
        return None;
    }
    Some(rest)
}

/// w of the frame's face beside the slot in which a pin's ear ends.
fn face_beside(pin: &Pressed, frame: InstanceId) -> Option<f64> {
    let [_, v] = pin.square(pin.radius);
    let near = [pin.far_face - EAR_SUNK, pin.far_face + SKIN];
    Some(pin.around.levels(frame, [ALL, v, near])?[0])
}

/// u of a block's sides and of its cheeks, for a frame that reaches so far in all and lies on a level face: a
/// cheek where its side ends there, with a gap; none where something of it, as a foot, goes on further down.
fn across(
    pin: &Pressed,
    frame: InstanceId,
    (whole, level): (Box3, f64),
    gap: f64,
) -> Option<([f64; 2], [Option<f64>; 2])> {
    let reaches =
        |u: [f64; 2], w: [f64; 2]| pin.around.within(|piece| piece == frame, [u, whole[1], w]);
    let middle = pin.around.level_face(frame, level, [ALL, ALL, ALL])?[0];
    let middle = (middle[0] + middle[1]) / 2.0;
    let lower = [ALL[0], level - SKIN];
    let fences = [[ALL[0], middle], [middle, ALL[1]]].map(|u| reaches(u, lower));
    if let [Some(one), Some(other)] = fences
        && level - one[2][0].min(other[2][0]) < FOOT
    {
        return None;
    }
    let beside = reaches(ALL, [level - SKIN, level + CHEEK[0]])?[0];
    let side = |side: usize| {
        let out = if side == 0 { -1.0 } else { 1.0 };
        match fences[side] {
            Some(fence) => (fence[0][1 - side] - OFF_FENCE * out, None),
            None => {
                let cheek = beside[side] + gap * out;
                (cheek + CHEEK[1] * out, Some(cheek))
            }
        }
    };
    let [(low, low_cheek), (high, high_cheek)] = [side(0), side(1)];
    Some(([low, high], [low_cheek, high_cheek]))
}

/// From the bed to the frame's face: all that hangs beside a frame is held off the bench.
fn height(pins: &[&Pressed], whole: Box3, level: f64, layer: Length) -> Option<f64> {
    let lowest = |pin: &&Pressed| {
        let along = [ALL, whole[1], ALL];
        Some(pin.around.within(|_| true, along)?[2][0])
    };
    let hangs = pins.iter().filter_map(lowest).fold(level, f64::min);
    let height = (level - hangs + OVER_BENCH).max(LEAST_HEIGHT);
    let height = Length::mm(height).up_to(layer).as_mm();
    (height <= MOST_HEIGHT).then_some(height)
}

impl Rest {
    /// Finds where it stands for pins that are pressed while the frame lies on it; its height is settled.
    pub(super) fn stand(&mut self, pins: &[&Pressed], frame: InstanceId) {
        for pin in pins {
            let is_frame = |piece: InstanceId| piece == frame;
            let Some(whole) = pin.around.within(is_frame, [ALL, ALL, ALL]) else {
                continue;
            };
            self.places
                .extend(self.stands(pin, pin.holder == frame, whole[1]));
        }
    }

    fn find_holes(&mut self, pins: &[&&Pressed], frame: [f64; 2]) {
        let mut holes: Vec<Hole> = pins
            .iter()
            .map(|pin| Hole {
                from: pin.at[0],
                to: pin.at[0],
                radius: pin.radius + AROUND_HOLE,
            })
            .collect();
        holes.sort_by(|one, other| one.from.total_cmp(&other.from));
        for hole in holes {
            match self.holes.last_mut() {
                Some(last) if hole.from - last.to < last.radius + hole.radius + BETWEEN_HOLES => {
                    last.to = last.to.max(hole.to);
                    last.radius = last.radius.max(hole.radius);
                }
                _ => self.holes.push(hole),
            }
        }
        let [least, most] = BESIDE_HOLE;
        let radius = self
            .holes
            .iter()
            .map(|hole| hole.radius)
            .fold(0.0, f64::max);
        // It ends with the frame's end, where a pin stands near to that.
        let from_end = pins.iter().map(|pin| frame[1] - pin.at[1]);
        let near = from_end.fold(radius + most, f64::min);
        self.ends = [FAR_END, near.max(radius + least)];
    }

    /// Whether its holes leave a wall at its sides.
    fn is_walled(&self) -> bool {
        let [least, _] = BESIDE_HOLE;
        let mut holes = self.holes.iter();
        holes.all(|hole| {
            let [from, to] = [hole.from - hole.radius, hole.to + hole.radius];
            from - self.sides[0] >= least && self.sides[1] - to >= least
        })
    }

    /// From its holes' middles.
    fn span(&self) -> Span2 {
        [self.sides, [-self.ends[0], self.ends[1]]]
    }

    /// Where two of it stand for a pin, one right under that if the frame holds it, else beside what holds it,
    /// if all is free there that they take.
    fn stands(&self, pin: &Pressed, is_held: bool, frame: [f64; 2]) -> Option<Place> {
        if is_held && (pin.far_face - self.level).abs() > SKIN {
            return None;
        }
        let [back, ahead] = self.ends;
        let one = match is_held {
            true => pin.at[1],
            false => pin.at[1] - BESIDE_EAR - ahead,
        };
        let bed = self.level - self.height;
        // The other as far from it as the frame goes.
        let ends = [frame[0] + back + 1.0, frame[1] - ahead - 1.0];
        let others = (0..OTHERS).flat_map(|step| {
            let step = f64::from(step) * STEP;
            [ends[0] + step, ends[1] - step]
        });
        let apart = |other: &f64| (one - other).abs();
        let stands = |other: &f64| apart(other) > back + ahead && self.is_free(pin, *other);
        let others = others.filter(stands);
        let other = others.max_by(|a, b| apart(a).total_cmp(&apart(b)))?;
        let at = |v: f64| [0.0, v, bed];
        self.is_free(pin, one)
            .then(|| Place::of(pin, &[at(one), at(other)]))
    }

    /// Whether nothing stands where it would, its holes at v.
    fn is_free(&self, pin: &Pressed, at: f64) -> bool {
        let [u, v] = self.span();
        let v = v.map(|end| end + at);
        let bed = self.level - self.height;
        let mut taken = vec![[u, v, [bed, self.level - SKIN]]];
        let [low, high] = self.cheeks;
        let over = [bed, self.level + CHEEK[0]];
        taken.extend(low.map(|at| [[u[0], at - SKIN], v, over]));
        taken.extend(high.map(|at| [[at + SKIN, u[1]], v, over]));
        let free = |room: &Box3| pin.around.within(|_| true, *room).is_none();
        taken.iter().all(free)
    }

    /// Its shape; its holes' middles are at y = 0.
    pub(super) fn shape(&self) -> Shape {
        let span = self.span();
        let [u, v] = span;
        let has_cheeks = self.cheeks.iter().any(Option::is_some);
        let top = self.height + if has_cheeks { CHEEK[0] } else { 0.0 };
        let beyond = OVERCUT.as_mm();
        let mut cut = Vec::new();
        if has_cheeks {
            let [low, high] = [0, 1].map(|side| {
                let open = u[side] + if side == 0 { -beyond } else { beyond };
                self.cheeks[side].unwrap_or(open)
            });
            cut.push(channel([low, high], v, [self.height, top]));
        }
        let holes = self.holes.iter();
        cut.extend(holes.map(|hole| hole.cut(self.height)));
        Shape {
            base: block::standing(span, top),
            within: Vec::new(),
            joined: Vec::new(),
            cut,
            genus: self.holes.len(),
        }
    }

    /// Whether it has holes.
    pub(super) fn has_holes(&self) -> bool {
        !self.holes.is_empty()
    }

    /// Takes the holes of another, where the frame lies in both just alike and this has none of its own: then
    /// one kind of block does for both ways in.
    pub(super) fn made_as(&mut self, other: &Self) {
        let near = |one: Option<f64>, other: Option<f64>| {
            one.zip(other)
                .is_some_and(|(one, other)| (one - other).abs() < SKIN)
        };
        let mut cheeks = self.cheeks.into_iter().zip(other.cheeks);
        let alike = cheeks.all(|(one, other)| near(one, other));
        if alike && self.holes.is_empty() {
            self.holes.clone_from(&other.holes);
            self.ends = other.ends;
        }
    }

    /// Whether it is the same block as another.
    pub(super) fn is_made_as(&self, other: &Self) -> bool {
        let form = |rest: &Self| (rest.sides, rest.cheeks, rest.ends);
        form(self) == form(other) && self.holes == other.holes
    }
}

impl Hole {
    fn cut(&self, top: f64) -> Placed {
        if self.to - self.from < SKIN {
            return block::hole([self.from, 0.0], self.radius, top);
        }
        let ends = [self.from - self.radius, self.to + self.radius];
        block::window([ends, [-self.radius, self.radius]], top)
    }
}

/// What is cut out between the cheeks, wider at their tops.
fn channel(u: [f64; 2], v: [f64; 2], [from, top]: [f64; 2]) -> Placed {
    let wide = Length::mm(u[1] - u[0]);
    let long = Length::mm(v[1] - v[0]) + OVERCUT * 2.0;
    let level = |at: Length, more: Length| {
        let x = wide + more * 2.0;
        (at, Outline::Rectangle { x, y: long })
    };
    let [from, top] = [from, top].map(Length::mm);
    Placed {
        pose: Pose::shift(
            Length::mm((u[0] + u[1]) / 2.0),
            Length::mm((v[0] + v[1]) / 2.0),
            Length::ZERO,
        ),
        solid: Solid::Prism(vec![
            level(from, Length::ZERO),
            level(top - EDGE, Length::ZERO),
            level(top + OVERCUT, EDGE + OVERCUT),
        ]),
    }
}
