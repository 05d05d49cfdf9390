//! A dial: ticks around a head, on the side of the frame, by which parts of a turn are counted.
//!
//! Print frame: that of the head, on which it stands. Its ticks are grooves that open towards the frame
//! and run out at 45 degrees below, so that nothing hangs; it widens at 45 degrees from what carries it.
//! The figures of every tenth tick are sunk in a band below the ticks.

use super::{Feature, Head, Index, Reading, Seat, Solids, Words};
use crate::assembly::{Fastener, Outline, PartId, Placed, Solid, Tool, Turning};
use crate::diagnostic::Diagnostic;
use crate::kit::{KeyPath, Kit, Said, key};
use crate::layout::letters::Panel;
use crate::layout::limits::{Bound, problem, typed_step};
use crate::layout::member::{Members, Ticks};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::thread::Hand;
use crate::units::{Angle, Length};
use crate::units_told::Told;
use std::f64::consts::{PI, TAU};

/// Least distance from tick to tick. Common practice: closer ones are not told apart at arm's length.
const LEAST_PITCH: Length = Length::mm(2.0);
/// Width of a tick in printed lines. Guess: a groove as wide as a line is filled by it.
const TICK_LINES: f64 = 1.8;
/// Its depth as a share of its width. Guess.
const TICK_DEPTH: f64 = 0.75;
/// Least of the wall between two ticks, in printed lines (common practice: less is not filled).
const LAND_LINES: f64 = 2.0;
/// The tick at zero is so much wider than the others.
const ZERO_WIDER: f64 = 1.75;
/// A foot that is narrower than the dial goes straight so far out of its head: no two faces lie in one
/// plane.
const STRAIGHT: Length = Length::mm(0.3);
/// Height of a dial. Guess: three lengths of ticks that are told apart.
const HEIGHT: Length = Length::mm(7.0);
/// The same in depths of ticks, which run out below at 45 degrees, each before the next begins.
const HEIGHT_DEPTHS: f64 = 6.0;
/// Every tenth tick is long, every fifth of medium length.
const LONG: u32 = 10;
/// See there.
const MEDIUM: u32 = 5;
/// The figure of the tick at zero, as high as any.
const ZERO: &str = "0";
/// Where ticks of each length begin, as shares of the dial's height from below: the frame's side is at
/// 1.
const BEGINS: [f64; 3] = [0.1, 0.3, 0.55];
/// So many ticks are counted by their figures; fewer are told at a glance. Guess.
const FIGURED: u32 = 20;
/// Numbers of ticks that are good to count by, the most first.
const ROUND: [u32; 14] = [200, 150, 125, 120, 100, 80, 75, 60, 50, 40, 30, 25, 20, 10];
/// Decimals of a millimetre in which a tick is told: a micrometre's tenth.
const TICK_DECIMALS: usize = 4;

/// Ticks around a head.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::layout) struct Dial {
    /// n, how many.
    pub(in crate::layout) ticks: u32,
    /// Travel of the carriage from one to the next.
    pub(in crate::layout) tick: Length,
    /// The way to turn by which the count rises: that which carries out the stroke.
    pub(in crate::layout) rises: Turning,
    /// Where it is read.
    pub(in crate::layout) index: Index,
    /// R.
    pub(in crate::layout) radius: Length,
    /// Of its ticked part.
    pub(in crate::layout) height: Length,
    /// Radius in which it stands on its head.
    foot: Length,
    /// Width of a tick.
    width: Length,
    /// Height of the band that carries figures; none where there are none.
    band: Length,
    /// Width of a printed line.
    line: Length,
    /// Chord tolerance.
    tolerance: Length,
}

/// How long a tick is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Size {
    Long,
    Medium,
    Short,
}

impl Size {
    fn of(tick: u32) -> Self {
        if tick.is_multiple_of(LONG) {
            Self::Long
        } else if tick.is_multiple_of(MEDIUM) {
            Self::Medium
        } else {
            Self::Short
        }
    }

    fn begins(self) -> f64 {
        let [long, medium, short] = BEGINS;
        match self {
            Self::Long => long,
            Self::Medium => medium,
            Self::Short => short,
        }
    }
}

impl Dial {
    /// The dial that a kit asks for, where a head has room for one.
    fn new(
        kit: &Kit,
        head: &dyn Head,
        ticks: &Said<u32>,
        reading: Reading,
    ) -> Result<Self, Diagnostic> {
        let Seat { foot, radius } = head.seat();
        let line = *kit.line;
        let width = line * TICK_LINES;
        let pitch = LEAST_PITCH.max(width + line * LAND_LINES);
        if radius * TAU < pitch * f64::from(ticks.value) {
            return Err(too_many(kit, head, ticks, [radius, pitch]));
        }
        let depth = width * TICK_DEPTH;
        Ok(Self {
            ticks: ticks.value,
            tick: reading.net_lead / f64::from(ticks.value),
            rises: reading.advance,
            index: reading.index,
            radius,
            height: HEIGHT.max(depth * HEIGHT_DEPTHS).up_to(*kit.layer),
            foot,
            width,
            band: match ticks.value >= FIGURED {
                true => Panel::least(ZERO, line)[1].up_to(*kit.layer),
                false => Length::ZERO,
            },
            line,
            tolerance: *kit.tolerance,
        })
    }

    fn depth(&self) -> Length {
        self.width * TICK_DEPTH
    }

    /// What widens it at 45 degrees from its foot.
    fn cone(&self) -> Length {
        self.radius - self.foot
    }

    /// From its head to its ticked part.
    fn neck(&self) -> Length {
        match self.cone() > Length::ZERO {
            true => STRAIGHT + self.cone(),
            false => Length::ZERO,
        }
    }

    /// All that it adds to its head.
    fn adds(&self) -> Length {
        self.neck() + self.band + self.height
    }

    /// What is said of it.
    pub(in crate::layout) fn told(&self) -> Ticks {
        Ticks {
            count: self.ticks,
            each: self.tick,
            rises: self.rises,
            read: match self.index {
                Index::Bar => "at the bevelled edge of the index bar",
                Index::SideMark => "at the V along the frame's V side",
            },
        }
    }

    /// What a tick is worth, for people.
    fn tick_told(&self, kit: &Kit) -> String {
        kit.told().length(self.tick, TICK_DECIMALS)
    }

    /// What is said of it among its part's marks.
    pub(super) fn mark(&self, kit: &Kit) -> String {
        let figures = match self.has_figures() {
            true => ", every tenth with its figure",
            false => "",
        };
        format!(
            "; {} ticks of {} around its dial{figures}, the wide one zero",
            self.ticks,
            self.tick_told(kit)
        )
    }

    /// Where it is read, from +x towards +y.
    fn read_at(&self) -> Angle {
        match self.index {
            Index::Bar => Angle::turns(0.25),
            Index::SideMark => Angle::ZERO,
        }
    }

    /// The tick that stands a number of ticks after zero, counter-clockwise about z. Clockwise, seen from
    /// the head, is counter-clockwise about z: what comes to the index next stands on the other side.
    fn tick_at(&self, after_zero: u32) -> u32 {
        match self.rises {
            Turning::Clockwise => (self.ticks - after_zero) % self.ticks,
            Turning::CounterClockwise => after_zero,
        }
    }

    fn has_figures(&self) -> bool {
        self.band > Length::ZERO
    }

    /// Width of a tick's figure.
    fn figure_width(&self, tick: u32) -> Length {
        let [width, _] = Panel::least(&tick.to_string(), self.line);
        width
    }

    /// Whether a tick has a figure: every tenth, but not the last where it would stand in that of zero.
    fn is_figured(&self, tick: u32) -> bool {
        let to_zero = self.radius * (TAU * f64::from(self.ticks - tick) / f64::from(self.ticks));
        let room = self.figure_width(tick).max(self.figure_width(0));
        tick.is_multiple_of(LONG) && (tick == 0 || to_zero >= room)
    }

    /// The figures in their band on a head of a height, upright with the frame above. Under a bar they
    /// end at their ticks, on the side that it leaves free; elsewhere they stand under them.
    fn figures(&self, head: Length) -> Vec<Placed> {
        if !self.has_figures() {
            return Vec::new();
        }
        let from = head + self.neck();
        let around = |along: Length| along.as_mm() / (TAU * self.radius.as_mm());
        let figure = |after_zero: u32| {
            let tick = self.tick_at(after_zero);
            if !self.is_figured(tick) {
                return Vec::new();
            }
            let width = self.figure_width(tick);
            // What is read goes counter-clockwise about z; the bar lies on the far side of its edge.
            let aside = match self.index {
                Index::Bar => around(width / -2.0),
                Index::SideMark => 0.0,
            };
            let at = f64::from(after_zero) / f64::from(self.ticks);
            let (sin, cos) = Angle::turns(self.read_at().as_turns() + at + aside).sin_cos();
            let half = Angle::turns(around(width / 2.0));
            let band = [from, from + self.band];
            let panel = Panel::round(self.radius, [cos, sin, 0.0], band, half);
            let text = tick.to_string();
            panel.written(&[vec![&text]], self.line).unwrap_or_default()
        };
        (0..self.ticks).flat_map(figure).collect()
    }

    /// Its outline at a share of its height; below nothing without any ticks.
    fn outline(&self, height: Length, radius: Length) -> Outline {
        let pitch = 1.0 / f64::from(self.ticks);
        let turns = |along: Length| along.as_mm() / (TAU * self.radius.as_mm());
        let zero = self.read_at().as_turns();
        let mut corners = Vec::new();
        let mut corner = |turns: f64, radius: Length| {
            let (sin, cos) = Angle::turns(turns).sin_cos();
            corners.push([radius * cos, radius * sin]);
        };
        let width_of = |tick: u32| match tick {
            0 => self.width * ZERO_WIDER,
            _ => self.width,
        };
        for after_zero in 0..self.ticks {
            let tick = self.tick_at(after_zero);
            let at = zero + pitch * f64::from(after_zero);
            let half = turns(width_of(tick) / 2.0);
            let begins = self.height * Size::of(tick).begins();
            let deep = (height - begins).max(Length::ZERO).min(self.depth());
            corner(at - half, radius);
            corner(at, radius - deep);
            corner(at + half, radius);
            // The arc to the next tick.
            let next = self.tick_at((after_zero + 1) % self.ticks);
            let (from, to) = (at + half, at + pitch - turns(width_of(next) / 2.0));
            let parts = self.parts(to - from);
            for part in 1..parts {
                corner(from + (to - from) * (part as f64 / parts as f64), radius);
            }
        }
        Outline::Polygon(corners)
    }

    /// Chords of an arc that stay within the tolerance of it: a chord's sagitta is r a^2 / 8.
    fn parts(&self, turns: f64) -> usize {
        let most = (8.0 * (self.tolerance / self.radius)).sqrt();
        ((turns * TAU / most).ceil() as usize).max(1)
    }

    /// The ring, on a head of a height.
    fn ring(&self, head: Length) -> Solid {
        let from = head + self.neck() + self.band;
        let at = |height: Length| (from + height, self.outline(height, self.radius));
        let below = Length::ZERO;
        let mut levels = vec![(head - OVERCUT, self.outline(below, self.foot))];
        if self.cone() > Length::ZERO {
            levels.push((head + STRAIGHT, self.outline(below, self.foot)));
            levels.push(at(below - self.band));
        }
        for begins in BEGINS {
            let begins = self.height * begins;
            levels.extend([at(begins), at(begins + self.depth())]);
        }
        levels.push(at(self.height));
        Solid::Prism(levels)
    }

    fn recipe(&self) -> Recipe {
        let Self {
            ticks,
            // Said, not drawn.
            tick: _,
            rises,
            index,
            radius,
            height,
            foot,
            width,
            band,
            line,
            // Every curve's.
            tolerance: _,
        } = self;
        // By its sense, and by where it is read, the next tick stands elsewhere.
        let pitch = *radius * TAU / f64::from(*ticks);
        let sense = match rises {
            Turning::Clockwise => 1.0,
            Turning::CounterClockwise => -1.0,
        };
        let place = match index {
            Index::Bar => *radius * (PI / 2.0),
            Index::SideMark => Length::ZERO,
        };
        let mut recipe = vec![
            ("dial's radius", *radius),
            ("dial's height", *height),
            ("dial's foot", *foot),
            ("from tick to tick", pitch * sense),
            ("place of its zero", place),
            ("width of its ticks", *width),
        ];
        if self.has_figures() {
            recipe.extend([
                ("band of its figures", *band),
                ("its figures' lines", *line),
            ]);
        }
        recipe
    }
}

/// More ticks than stand on a head, of this radius, so far apart.
fn too_many(
    kit: &Kit,
    head: &dyn Head,
    ticks: &Said<u32>,
    [radius, pitch]: [Length; 2],
) -> Diagnostic {
    let told = kit.told();
    let most = (radius * TAU / pitch).floor() as u32;
    let wanted = pitch * f64::from(ticks.value) / TAU;
    let asked = head.wider(wanted, typed_step(kit));
    // Both keys of a head's width have one range, and an arm beside the widest is within its own.
    let widest = key::HEAD_DIAMETER.limits.most;
    let possible = asked.iter().all(|(_, least)| *least <= widest);
    let set = asked
        .iter()
        .map(|(key, least)| format!("{key} to at least {}", told.length(*least, 2)));
    let wider = possible.then(|| format!("set {}", set.collect::<Vec<_>>().join(" and ")));
    let round = ROUND.iter().find(|round| **round <= most);
    let fewer = round.map(|round| format!("write `dial = {round}`"));
    let mend = match (fewer, wider) {
        (Some(fewer), Some(wider)) => format!("{fewer}, or {wider}"),
        (Some(mend), None) | (None, Some(mend)) => mend,
        (None, None) => "remove `dial`".into(),
    };
    problem(
        format!(
            "{} ticks do not fit around the {}: {most} of them at the most stand {} apart",
            ticks.value,
            head.words().name,
            told.length(pitch, 2)
        ),
        ticks.at.clone(),
        "too many ticks",
        mend,
    )
}

/// A head with ticks around it.
pub(super) struct Dialled {
    head: Box<dyn Head>,
    dial: Dial,
}

impl Dialled {
    /// The dial that a kit asks for, on a head.
    pub(super) fn new(
        kit: &Kit,
        head: Box<dyn Head>,
        ticks: &Said<u32>,
        reading: Reading,
    ) -> Result<Self, Vec<Diagnostic>> {
        let dial =
            Dial::new(kit, head.as_ref(), ticks, reading).map_err(|problem| vec![problem])?;
        Ok(Self { head, dial })
    }
}

impl Feature for Dialled {
    fn solids(&self) -> Solids {
        let mut solids = self.head.solids();
        let head = self.head.height();
        solids.joined.push(self.dial.ring(head));
        solids.cut.extend(self.dial.figures(head));
        solids
    }

    fn marks(&self, hand: Hand) -> Vec<Placed> {
        self.head.marks(hand)
    }

    fn words(&self) -> Words {
        Words {
            underside: "the underside of the dial",
            ..self.head.words()
        }
    }

    fn tools(&self, told: Told) -> Vec<Tool> {
        self.head.tools(told)
    }

    fn fasteners(&self, told: Told) -> Vec<Fastener> {
        self.head.fasteners(told)
    }

    fn members(&self, part: PartId, walls: Length, members: &mut Members) {
        self.head.members(part, walls, members);
    }

    fn recipe(&self) -> Recipe {
        let mut recipe = self.head.recipe();
        recipe.extend(self.dial.recipe());
        recipe
    }

    fn bounds(&self, shaft: Length) -> Vec<Bound> {
        self.head.bounds(shaft)
    }
}

impl Head for Dialled {
    fn height(&self) -> Length {
        self.head.height() + self.dial.adds()
    }

    fn around(&self) -> Length {
        self.head.around().max(self.dial.radius * 2.0)
    }

    // A dial is no wider than its head is around.
    fn weighs_as(&self) -> [Length; 2] {
        let [across, height] = self.head.weighs_as();
        [across, height + self.dial.adds()]
    }

    fn bore_room(&self) -> Length {
        self.head.bore_room() + self.dial.adds()
    }

    fn deeper(&self, kit: &Kit, room: Length) -> String {
        self.head.deeper(kit, room - self.dial.adds())
    }

    fn seat(&self) -> Seat {
        self.head.seat()
    }

    fn wider(&self, radius: Length, step: Length) -> Vec<(KeyPath, Length)> {
        self.head.wider(radius, step)
    }

    fn dial(&self) -> Option<&Dial> {
        Some(&self.dial)
    }

    fn panels(&self) -> Vec<Panel> {
        self.head.panels()
    }
}
