//! The index bar: a bar on the frame beside the drive screw's head, along which that travels; the ticks
//! of its dial are read at the bar's edge.
//!
//! It lies on the frame's +y face with its edge over the axis, so that the edge stands in the middle of
//! the frame's V, and is held by the heads of two pins along y, which are pressed into blind holes of the
//! tapped wall. Print frame: the face that lies on the frame is on the bed, its length along y, its edge
//! at +x.

use super::build::{Builder, Name, Note};
use super::elements::{Bore, Line, blind_hole};
use super::feature::Head;
use super::gaps::{Gaps, JointGapDrawn};
use super::letters::Panel;
use super::limits::Bound;
use super::member::Press;
use super::pin;
use super::proportions::*;
use super::recipe::Recipe;
use super::words::{BENCH, going};
use crate::assembly::{
    Axis, Constraint, Fit, Gap, InstanceId, JointId, Made, MotionKind, Outline, PartId, Perimeters,
    Placed, Pose, Shape, Solid, Step, Wording,
};
use crate::kit::{Kit, key};
use crate::thread::Thread;
use crate::units::Length;

/// Width of the bar. Guess: a pin, and seven lines on either side of it.
const WIDTH: Length = Length::mm(12.0);
/// Thickness of the bar. Guess: stiff enough to be leaned on by a finger.
const THICKNESS: Length = Length::mm(4.0);
/// What its bevel leaves of that at the edge: thin, so that the eye need not stand right over it. Guess.
const EDGE_LEFT: Length = Length::mm(1.2);
/// It reaches this far beyond the dial at turn 0. Guess.
const BEYOND_DIAL: Length = Length::mm(1.0);
/// And ends so far before the tapped wall does. Guess.
const BEFORE_WALL: Length = Length::mm(2.0);
/// Where its pins stand, as shares of the tapped wall. Guess: as far apart as their mouths allow.
const PINS_AT: [f64; 2] = [0.25, 0.7];
/// Left between a pin's hole and the tapped hole behind it. Guess: four lines.
const OVER_THREAD: Length = Length::mm(2.0);
/// A pin stands so many of its diameters deep in the frame at the least (common practice for pressed
/// pins in soft material).
const DEEP: f64 = 1.2;
/// A pin's hole is deeper than the pin goes by this. Guess: strings and a lead-in.
const FLOOR_ROOM: Length = Length::mm(0.5);
/// Height of a pin's head, which holds the bar; pliers draw the pin out by it, since no punch reaches
/// behind it. Guess.
const PIN_HEAD: Length = Length::mm(2.0);
/// A pin's head is wider than its shank by this. Guess: what holds, and does not hang over where it is
/// printed lying on its flat.
const HEAD_OVER_PIN: Length = Length::mm(3.0);
/// Thickest pin: it carries nothing. Guess.
const THICKEST: Length = Length::mm(4.0);
/// Between a hole's mouth and the frame's end. Guess.
const BESIDE_MOUTH: Length = Length::mm(0.3);

/// Gaps of the joints of an index bar.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct IndexGaps {
    /// Of each pin: where it is pressed into the frame, and through the bar.
    pins: [[JointGapDrawn; 2]; 2],
}

impl IndexGaps {
    /// Where the kit asks for a dial, which travels.
    pub(super) fn new(gaps: &mut Gaps<'_>) -> Option<Self> {
        gaps.has_dial().then(|| Self {
            pins: [
                [
                    gaps.press_printed("index pin 1/frame"),
                    gaps.locate("index pin 1/index bar"),
                ],
                [
                    gaps.press_printed("index pin 2/frame"),
                    gaps.locate("index pin 2/index bar"),
                ],
            ],
        })
    }
}

/// What the bar stands beside.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beside {
    /// z of the face under the head at turn 0.
    pub(super) head_face: Length,
    /// The tapped wall.
    pub(super) wall: Length,
    /// Widest radius of the tapped hole in it.
    pub(super) mouth: Length,
}

impl Beside {
    /// A drive screw's thread in a tapped wall, drawn with a gap.
    pub(super) fn new(
        head_face: Length,
        wall: Length,
        thread: &Thread,
        gap: &JointGapDrawn,
    ) -> Self {
        Self {
            head_face,
            wall,
            mouth: mouth(thread, gap),
        }
    }
}

/// Of a tapped hole, as wide as lengths leave room for.
fn mouth(thread: &Thread, gap: &JointGapDrawn) -> Length {
    let gap = gap.allowed.max(gap.drawn());
    thread.major() / 2.0 + gap + CHAMFER_BEYOND_THREAD
}

/// Least height of the face that the bar lies on above the axis of a drive screw; nothing without a
/// dial.
pub(super) fn least_face(head: &dyn Head, thread: &Thread, gap: &JointGapDrawn) -> Length {
    match head.dial() {
        Some(_) => least_over(mouth(thread, gap)).max((head.around() + HEAD_ON_TABLE) / 2.0),
        None => Length::ZERO,
    }
}

/// What the thinnest pins need above a tapped hole.
fn least_over(mouth: Length) -> Length {
    mouth + OVER_THREAD + LEAST_PIN * DEEP
}

/// The shortest tapped wall that holds the thinnest pins.
fn least_wall() -> Length {
    (LEAST_PIN / 2.0 + EDGE + BESIDE_MOUTH) / PINS_AT[0]
}

/// An index bar, sized.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct IndexBar {
    gaps: IndexGaps,
    /// y of the frame's face.
    face: Length,
    /// The tapped wall.
    wall: Length,
    /// Radius of the tapped hole's mouth.
    mouth: Length,
    /// Where it begins and ends in the assembly.
    span: [Length; 2],
    /// Diameter of its pins.
    pin: Length,
    /// Of their holes in the frame.
    depth: Length,
}

/// The bar's pieces.
#[derive(Clone, Copy)]
pub(super) struct IndexPieces {
    bar: InstanceId,
    pins: [InstanceId; 2],
    /// Where each pin is pressed into the frame.
    presses: [JointId; 2],
}

impl IndexBar {
    /// Beside a head with a dial, on a frame's face at y.
    pub(super) fn new(
        gaps: Option<IndexGaps>,
        head: &dyn Head,
        beside: Beside,
        face: Length,
    ) -> Option<Self> {
        let (gaps, dial) = gaps.zip(head.dial())?;
        let Beside {
            head_face,
            wall,
            mouth,
        } = beside;
        let deepest = face - mouth - OVER_THREAD;
        let beside_mouth = (wall * PINS_AT[0] - EDGE - BESIDE_MOUTH) * 2.0;
        let pin = THICKEST
            .min(deepest / DEEP)
            .min(beside_mouth)
            .down_to(HALF)
            .max(LEAST_PIN);
        Some(Self {
            gaps,
            face,
            wall,
            mouth,
            span: [head_face - dial.height - BEYOND_DIAL, wall - BEFORE_WALL],
            pin,
            depth: (pin * (DEEP * 2.0)).min(deepest),
        })
    }

    /// Bounds of what it stands on; `side` is the frame's, where the kit may set that.
    pub(super) fn bounds(&self, side: Option<Length>) -> Vec<Bound> {
        let side = side.map(|side| {
            Bound::least(
                "side of the frame",
                key::FRAME_SIDE.name(),
                side,
                least_over(self.mouth) * 2.0,
                "the index bar's pins stand in it over the tapped hole",
            )
        });
        let wall = Bound::least(
            "tapped wall",
            key::TAPPED_WALL.name(),
            self.wall,
            least_wall(),
            "the index bar's pins stand in it",
        );
        side.into_iter().chain([wall]).collect()
    }

    /// z of its pins in the assembly.
    fn pins_at(&self) -> [Length; 2] {
        PINS_AT.map(|share| self.wall * share)
    }

    fn length(&self) -> Length {
        let [from, to] = self.span;
        to - from
    }

    fn middle(&self) -> Length {
        let [from, to] = self.span;
        (from + to) / 2.0
    }

    /// Of a pin's shank.
    fn shank(&self) -> Length {
        self.depth - FLOOR_ROOM + THICKNESS
    }

    /// x of its pins in the assembly: in the middle of what the bevel leaves of the bar's face.
    fn across(&self) -> Length {
        (WIDTH + THICKNESS - EDGE_LEFT) / -2.0
    }

    /// The blind holes in the frame, whose frame is the assembly's.
    pub(super) fn holes(&self) -> Vec<Placed> {
        let pins = self.pins_at().into_iter().zip(&self.gaps.pins);
        let hole = |(height, [press, _]): (Length, &[JointGapDrawn; 2])| {
            blind_hole(
                Bore::around(self.pin, &press.gap),
                [self.across(), height],
                [self.face - self.depth, self.face],
                EDGE,
            )
        };
        pins.map(hole).collect()
    }

    /// What of it shapes the frame.
    pub(super) fn frame_recipe(&self) -> Recipe {
        let [[press, _], [other, _]] = &self.gaps.pins;
        vec![
            ("index pins", self.pin),
            ("depth of the index pins", self.depth),
            ("press gap of the first index pin", press.drawn()),
            ("crush ribs of the first index pin", press.ribs()),
            ("press gap of the second index pin", other.drawn()),
            ("crush ribs of the second index pin", other.ribs()),
        ]
    }

    /// The side that lies on the frame, between its pins and the dial.
    fn panel(&self) -> Panel {
        let [nearer, _] = self.pins_at();
        let [[_, through], _] = &self.gaps.pins;
        let mouth = self.pin / 2.0 + through.drawn() + BED_EDGE;
        let from = self.middle() - nearer + mouth;
        let to = self.length() / 2.0;
        let place = [Length::ZERO, (from + to) / 2.0, Length::ZERO];
        let size = [to - from, WIDTH - BED_EDGE * 2.0];
        Panel::flat([0.0, 0.0, -1.0], [0.0, 1.0, 0.0], place, size)
    }

    fn shape(&self) -> Shape {
        let half = WIDTH / 2.0;
        let bevel = THICKNESS - EDGE_LEFT;
        // Across and upwards; the bed edge is broken all around.
        let corners = |set_in: Length| {
            let (low, high) = (Length::ZERO, THICKNESS);
            vec![
                [set_in - half + BED_EDGE, low],
                [half - set_in - BED_EDGE, low],
                [half - set_in, low + BED_EDGE],
                [half - set_in, EDGE_LEFT],
                [half - set_in - bevel, high],
                [set_in - half, high],
                [set_in - half, low + BED_EDGE],
            ]
        };
        let around = |set_in| {
            let middle = THICKNESS / 2.0;
            let centred = corners(set_in).into_iter();
            Outline::Polygon(centred.map(|[x, y]| [x, y - middle]).collect())
        };
        let end = self.length() / 2.0;
        let body = Solid::Prism(vec![
            (-end, around(Length::ZERO)),
            (end, around(Length::ZERO)),
        ]);
        // Its length along y, what was upwards along z.
        let lying = Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
            Length::ZERO,
            Length::ZERO,
            THICKNESS / 2.0,
        );
        let pins = self.pins_at().into_iter().zip(&self.gaps.pins);
        let hole = |(z, [_, through]): (Length, &[JointGapDrawn; 2])| {
            let (edge, radius) = (BED_EDGE, self.pin / 2.0 + through.drawn());
            let hole = Line::from(-OVERCUT, radius + edge + OVERCUT)
                .to(edge, radius)
                .to(THICKNESS - edge, radius)
                .to(THICKNESS + OVERCUT, radius + edge + OVERCUT);
            Placed {
                pose: Pose::shift(self.across() + WIDTH / 2.0, self.middle() - z, Length::ZERO),
                solid: hole.turned(),
            }
        };
        Shape {
            base: Placed {
                pose: lying,
                solid: body,
            },
            within: Vec::new(),
            joined: Vec::new(),
            cut: pins.map(hole).collect(),
            genus: PINS_AT.len(),
        }
    }

    fn recipe(&self) -> Recipe {
        let Self {
            gaps,
            // Where it lies.
            face: _,
            wall,
            mouth: _,
            span: [from, to],
            pin,
            // Of the frame.
            depth: _,
        } = self;
        let [[_, through], [_, other]] = &gaps.pins;
        let mut recipe = vec![
            ("begins", *from),
            ("ends", *to),
            ("tapped wall", *wall),
            ("pin diameter", *pin),
            ("pin's locating gap", through.drawn()),
        ];
        if other.gap != through.gap {
            recipe.push(("locating gap of the second pin", other.drawn()));
        }
        recipe
    }

    /// From the print frame to the assembly: the print frame's y along -z, its edge over the axis.
    fn pose(&self) -> Pose {
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]).shifted(
            WIDTH / -2.0,
            self.face,
            self.middle(),
        )
    }

    /// Along y, flats sideways.
    fn pin_pose(&self, z: Length) -> Pose {
        let flat = pin::flat_height(self.pin);
        let end = self.face + THICKNESS;
        Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]).shifted(
            self.across() - flat,
            end - self.shank() / 2.0,
            z,
        )
    }

    /// Bar and pins with their joints.
    pub(super) fn pieces(&self, kit: &Kit, frame: InstanceId, build: &mut Builder) -> IndexPieces {
        let bar = build.single(
            Name("index-bar", "index bar"),
            self.shape(),
            Note {
                perimeters: Perimeters::Lines(*kit.walls),
                stands: "flat side on the bed".into(),
                more: "",
                mark: "one edge is bevelled: the dial is read at it".into(),
                recipe: self.recipe(),
                panels: vec![self.panel()],
            },
            self.pose(),
        );
        // It lies on the frame without a gap.
        build.faces([bar, frame], Fit::Seat, Some(Gap::flat(Length::ZERO)));
        let part = self.pin_part(build);
        let [one, other] = self.pins_at();
        let [one_gaps, other_gaps] = &self.gaps.pins;
        let mut pin = |name: &str, z: Length, [press, in_bar]: &[JointGapDrawn; 2]| {
            let pin = build.piece(part, name.into(), name.into(), self.pin_pose(z));
            let between = [pin, frame];
            let pressed = build.joint(between, Fit::Press, Constraint::Rigid, press, None);
            let between = [pin, bar];
            build.joint(between, Fit::Locate, Constraint::Rigid, in_bar, None);
            // Its head lies on the bar.
            build.faces(between, Fit::Seat, Some(Gap::flat(Length::ZERO)));
            (pin, pressed)
        };
        let (one, one_pressed) = pin("index pin 1", one, one_gaps);
        let (other, other_pressed) = pin("index pin 2", other, other_gaps);
        IndexPieces {
            bar,
            pins: [one, other],
            presses: [one_pressed, other_pressed],
        }
    }

    fn pin_part(&self, build: &mut Builder) -> PartId {
        let head = [self.pin + HEAD_OVER_PIN, PIN_HEAD];
        let note = Note {
            perimeters: Perimeters::Solid,
            stands: "lying on its flat".into(),
            more: "",
            mark: "a head at one end".into(),
            recipe: vec![("diameter", self.pin), ("length", self.shank())],
            panels: Vec::new(),
        };
        let shape = pin::headed(self.pin, self.shank(), head);
        let name = Name("index-pin", "index pin");
        let part = build.part(name, Made::Printed, shape, note);
        build.spares(part, SPARE_PINS);
        part
    }

    /// The holes in the frame that its pins are pressed into.
    pub(super) fn presses(&self, pieces: &IndexPieces, frame: PartId) -> Vec<Press> {
        let [least, _] = self.pins_at();
        let press = |joint| Press {
            part: frame,
            joint,
            pin: self.pin,
            bought: false,
            outside: least * 2.0,
            length: self.depth - FLOOR_ROOM,
        };
        pieces.presses.map(press).into()
    }

    /// How it goes on the frame, at each of some turns of the mechanism.
    pub(super) fn wordings(
        &self,
        kit: &Kit,
        pieces: &IndexPieces,
        frame: InstanceId,
        turns: &[f64],
    ) -> Vec<Wording> {
        let [one, other] = pieces.pins;
        let along = |piece: InstanceId, turn: f64| {
            going(&[piece], MotionKind::Straight, Axis::Y, false, turn)
        };
        let mut wordings = Vec::new();
        for turn in turns {
            for pins in [[one, other], [other, one]] {
                let all = [pieces.bar].into_iter().chain(pins);
                wordings.push(Wording {
                    covers: all.map(|piece| along(piece, *turn)).collect(),
                    step: self.step(kit, pieces, frame),
                    state: None,
                });
            }
        }
        wordings
    }

    fn step(&self, kit: &Kit, pieces: &IndexPieces, frame: InstanceId) -> Step {
        let [one, other] = pieces.pins;
        Step {
            action: "fit the index bar".into(),
            pieces: vec![pieces.bar, frame, one, other],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Lay the index bar on the frame with its flat side, its two holes over those beside the \
                 V of the tapped end and its long end beside the drive head: its bevelled edge then \
                 stands in the middle of the V. Press both index pins through it into the frame, flats \
                 sideways, until their heads lie on it; if one slips, glue it. Pliers draw them out \
                 again by their heads, {} high: no punch reaches behind them. Turn the drive head once \
                 round: its dial must pass the bar freely.",
                kit.told().length(PIN_HEAD, BENCH)
            ),
            reason: "at its edge the dial is read, wherever the head has gone".into(),
        }
    }
}
