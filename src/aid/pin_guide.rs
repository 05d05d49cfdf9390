//! The pin guide: a sleeve on a foot, which stands on the face where a pin goes in and keeps pin and punch
//! upright over its hole; it is lifted off over the pin's end, which is below the face by then.
//!
//! Print frame: x, y and z are u, v and w of the bench, the bore's axis at x = y = 0; it stands as it is
//! used.

use super::around::{ALL, Box3};
use super::block;
use super::pressed::{Place, Pressed};
use crate::assembly::{Gap, InstanceId, Shape};
use crate::layout::elements::{Line, here};
use crate::layout::proportions::{EDGE, OVERCUT};
use crate::units::Length;

/// Height in diameters of the pin, and at the least, in mm. Guess: a punch stands upright in it, and the
/// last wall's length of a pin does.
const HEIGHT: (f64, f64) = (3.0, 15.0);
/// Height of its foot, in mm. Guess.
const FOOT: f64 = 5.0;
/// Printed lines of the wall around its bore. Guess.
const WALL_LINES: f64 = 4.0;
/// The foot is wider than the sleeve by this at the least, a side, in mm: no two faces of both touch.
const WIDER: f64 = 0.3;
/// Half of the foot along the frame, in mm, where there is room; it narrows to the sleeve. Guess.
const HALF_FOOT: f64 = 9.0;
/// It bears on the face over this at either side, at the least, in mm. Guess.
const BEARS: f64 = 3.0;
/// Left between it and what stands on that face, in mm. Guess.
const OFF: f64 = 0.3;
/// What holds a pin lies below the face beside it by this at the most, in mm, or a punch would be guided far
/// above it. Guess: twice what an ear does.
const SUNK: f64 = 2.0;

/// A pin guide.
pub(super) struct PinGuide {
    bore: f64,
    sleeve: f64,
    /// From the bore's axis to the foot's ends along u, and half of it along v.
    foot: Foot,
    /// Of all of it.
    pub(super) height: Length,
    /// Where it stands for each pin.
    pub(super) places: Vec<Place>,
}

/// A foot, its longer end towards the lower u.
#[derive(Clone, Copy)]
struct Foot {
    long: f64,
    short: f64,
    half: f64,
}

/// Where a guide may stand.
struct Stand {
    /// w of the face.
    face: f64,
    /// As long as it has to be, and as wide as there is room.
    foot: Foot,
    /// Whether its longer end is wanted towards the higher u.
    turned: bool,
}

/// The guide for pins of one diameter, which go in with a gap, radial; with it all pins that it does not
/// suit. None where it suits no pin.
pub(super) fn pin_guide(
    pins: &[&Pressed],
    frame: InstanceId,
    gap: &Gap,
    [layer, line]: [Length; 2],
) -> Option<PinGuide> {
    let radius = pins.iter().map(|pin| pin.radius).fold(0.0, f64::max);
    let bore = radius + gap.drawn.as_mm();
    let sleeve = bore + line.as_mm() * WALL_LINES;
    let least = sleeve + WIDER;
    let stands = pins
        .iter()
        .filter_map(|pin| Some((pin, stand(pin, frame, least)?)));
    let stands: Vec<(&&Pressed, Stand)> = stands.collect();
    if stands.is_empty() {
        return None;
    }
    let feet = || stands.iter().map(|(_, stand)| stand.foot);
    let foot = Foot {
        long: feet().map(|foot| foot.long).fold(least, f64::max),
        short: feet().map(|foot| foot.short).fold(least, f64::max),
        half: feet().map(|foot| foot.half).fold(HALF_FOOT, f64::min),
    };
    let suits = |(pin, stand): &&(&&Pressed, Stand)| {
        is_free(pin, stand.face, foot.along_u(stand.turned), foot.half)
    };
    let places = stands.iter().filter(suits).map(|(pin, stand)| {
        let [u, v] = pin.at;
        Place::turned(pin, [u, v, stand.face], stand.turned)
    });
    let places: Vec<Place> = places.collect();
    let height = Length::mm((radius * 2.0 * HEIGHT.0).max(HEIGHT.1)).up_to(layer);
    (!places.is_empty()).then_some(PinGuide {
        bore,
        sleeve,
        foot,
        height,
        places,
    })
}

/// Where a guide may stand over a pin.
fn stand(pin: &Pressed, frame: InstanceId, least: f64) -> Option<Stand> {
    let [u, v] = pin.at;
    let along = [v - least, v + least];
    let beside = [u - 2.0 * HALF_FOOT, u + 2.0 * HALF_FOOT];
    let near = [pin.near_face - OFF, pin.near_face + SUNK];
    let [_, face] = pin.around.levels(frame, [beside, along, near])?;
    // How far beside the pin the face begins, beyond a slot or the broken mouth of a hole.
    let bears = |side: [f64; 2]| pin.around.level_face(frame, face, [side, along, ALL]);
    let low = u - bears([ALL[0], u])?[0][1];
    let high = bears([u, ALL[1]])?[0][0] - u;
    let turned = low < high;
    let end = |beside: f64| (beside + BEARS).max(least);
    let [long, short] = [end(low.max(high)), end(low.min(high))];
    let half = [HALF_FOOT, (HALF_FOOT + least) / 2.0, least];
    let feet = half.into_iter().map(|half| Foot { long, short, half });
    let mut free = feet.filter(|foot| is_free(pin, face, foot.along_u(turned), foot.half));
    let foot = free.next()?;
    Some(Stand { face, foot, turned })
}

impl Foot {
    /// From where to where it goes beside its axis along u.
    fn along_u(self, turned: bool) -> [f64; 2] {
        match turned {
            false => [-self.long, self.short],
            true => [-self.short, self.long],
        }
    }
}

/// Whether nothing stands on a face where a foot is put around a pin, the pin apart.
fn is_free(pin: &Pressed, face: f64, [low, high]: [f64; 2], half: f64) -> bool {
    let [u, v] = pin.at;
    let over: Box3 = [
        [u + low - OFF, u + high + OFF],
        [v - half - OFF, v + half + OFF],
        [face + 0.02, ALL[1]],
    ];
    pin.around.within(|_| true, over).is_none()
}

impl PinGuide {
    /// Its shape.
    pub(super) fn shape(&self) -> Shape {
        let (bore, sleeve, top) = (self.bore, self.sleeve, self.height.as_mm());
        let span = [self.foot.along_u(false), [-self.foot.half, self.foot.half]];
        let tower = Line::from(Length::mm(FOOT / 2.0), Length::mm(sleeve))
            .to(self.height - EDGE / 2.0, Length::mm(sleeve))
            .to(self.height, Length::mm(sleeve) - EDGE / 2.0);
        Shape {
            base: block::standing(span, FOOT),
            within: Vec::new(),
            joined: vec![here(tower.turned())],
            cut: vec![block::hole([0.0, 0.0], bore, top + OVERCUT.as_mm())],
            genus: 1,
        }
    }
}
