//! From rates and stroke to the plot of motion: travel along the axis over turns of the drive.
//!
//! Turns count from the start of the stroke. What moves is told apart by its line and its words, not by
//! colour. The band is the way back after a reversal at the end: the drive turns, and the carriage waits
//! until all play is taken up.

use super::dimension::{self, Beside, Span};
use super::foot;
use super::hatching::{self, Hatch};
use super::paper::{Anchor, At, Group, LETTER, Line, Paper, width_of};
use super::thread_view::{WIDTH, dimension as told_length};
use crate::output::kit::{Interval, Product};
use crate::output::svg::Axis;
use crate::output::words::{plain, turning_words};
use crate::picture::Picture;
use crate::units::{Angle, Length};
use crate::units_told::{Told, number};
use textwrap::{Options, WordSplitter};

/// Left and right edge of the panel, on paper.
const SIDES: [f64; 2] = [20.0, 122.0];
/// Upper and lower edge.
const EDGES: [f64; 2] = [12.0, 100.0];
/// Travels in a turn nearer than this share are one line.
const SAME: f64 = 1e-9;

/// One straight line from the origin: what moves, and how far in a turn.
struct Travel {
    per_turn: Length,
    kind: Line,
    words: Vec<String>,
}

/// The plot; none where it was not worked out how pieces move.
pub(super) fn plot(product: &Product) -> Option<Picture> {
    let travels = travels(product)?;
    let course = &product.design.course;
    let [first, last] = product.design.ends_of_play();
    let (turns, told) = (course.turns, product.kit.told());
    let notes = notes(product);
    let height = EDGES[1] + 20.0 + foot::height(&notes) + foot::STRIP;
    let mut paper = Paper::new([WIDTH, height], Group::Half);
    let across = Axis::over([first, last].into_iter(), SIDES);
    let most = travels
        .iter()
        .map(|travel| in_unit(told, travel.per_turn) * turns);
    let up = Axis::over(most.chain([0.0]), [EDGES[1], EDGES[0]]);
    let panel = Panel { across, up, told };
    panel.frame(&mut paper);
    panel.stops(&mut paper, [first, last], turns);
    if let Some(lost) = &product.motion.lost_motion_turns {
        panel.way_back(&mut paper, product, lost);
    }
    let mut taken: Vec<f64> = Vec::new();
    for travel in &travels {
        panel.travel(&mut paper, travel, turns, &mut taken);
    }
    foot::write(&mut paper, EDGES[1] + 21.0, &notes);
    let how = match told {
        Told::Metric => "travel in mm over turns of the drive",
        Told::Inch => "travel in inches (right: mm) over turns of the drive",
    };
    foot::title(&mut paper, "Motion", how);
    let lines = travels.iter().map(|travel| travel.words.join(", "));
    let shows = format!(
        "Plot of travel over turns of the drive, {} for the stroke: {}.",
        number(turns, 2),
        lines.collect::<Vec<_>>().join("; ")
    );
    Some(paper.picture("motion".into(), shows))
}

/// All lines, carriages first; what travels alike shares one.
fn travels(product: &Product) -> Option<Vec<Travel>> {
    let (design, told) = (&product.design, product.kit.told());
    let assembly = &design.assembly;
    let mut travels: Vec<Travel> = Vec::new();
    let mut add = |per_turn: Length, kind: Line, what: String| {
        let per_turn = per_turn.abs();
        let near = |other: &&mut Travel| (other.per_turn - per_turn).abs() <= per_turn * SAME;
        if per_turn <= Length::ZERO {
            return;
        }
        match travels.iter_mut().find(near) {
            Some(same) => same.words.push(what),
            None => travels.push(Travel {
                per_turn,
                kind,
                words: vec![what],
            }),
        }
    };
    for carriage in assembly.carriages.all() {
        let rate = product.rate(carriage)?;
        add(
            rate.advance,
            Line::Outline,
            plain(assembly.called(carriage)),
        );
    }
    if let Some(closing) = product.motion.closing_per_turn {
        add(closing, Line::Outline, "both together".into());
    }
    let drive = product.rate(assembly.drive)?;
    add(
        drive.advance,
        Line::Thin,
        plain(assembly.called(assembly.drive)),
    );
    for further in &design.course.further {
        let joint = assembly.joints.get(further.joint.0)?;
        let [screw, hole] = joint.between;
        let (a, b) = (product.rate(screw)?, product.rate(hole)?);
        let [screw, hole] = joint.between.map(|piece| plain(assembly.called(piece)));
        let words = format!("{screw} in {hole}");
        add(a.advance - b.advance, Line::Centre, words);
    }
    if let Some(thread) = &design.plain {
        let words = format!("carriage of a plain {} screw", plain(&thread.designation()));
        add(thread.lead(), Line::Hidden, words);
    }
    for travel in &mut travels {
        let lead = told_length(told, travel.per_turn, 3);
        travel.words.push(format!("{lead} a turn"));
    }
    Some(travels)
}

/// A travel as a number in the unit that the maker reads first.
fn in_unit(told: Told, travel: Length) -> f64 {
    match told {
        Told::Metric => travel.as_mm(),
        Told::Inch => travel.as_inches(),
    }
}

/// The panel with its two axes.
struct Panel {
    across: Axis,
    up: Axis,
    told: Told,
}

impl Panel {
    fn at(&self, turns: f64, travel: Length) -> At {
        [
            self.across.at(turns),
            self.up.at(in_unit(self.told, travel)),
        ]
    }

    /// Edge, ticks, numbers and titles.
    fn frame(&self, paper: &mut Paper) {
        /// Length of a tick.
        const TICK: f64 = 1.5;
        let corners = |x: usize, y: usize| [SIDES[x], EDGES[y]];
        let edge = vec![corners(0, 0), corners(1, 0), corners(1, 1), corners(0, 1)];
        paper.outlines(Line::Thin, &[edge]);
        for (value, words) in self.across.ticks() {
            let x = self.across.at(value);
            paper.line(Line::Thin, [x, EDGES[1]], [x, EDGES[1] + TICK]);
            let at = [x, EDGES[1] + TICK + LETTER + 1.0];
            paper.text(at, Anchor::Middle, LETTER, &words);
        }
        for (value, words) in self.up.ticks() {
            let y = self.up.at(value);
            paper.line(Line::Thin, [SIDES[0] - TICK, y], [SIDES[0], y]);
            let at = [SIDES[0] - TICK - 1.0, y + LETTER / 2.0];
            paper.text(at, Anchor::End, LETTER, &words);
        }
        let middle = f64::midpoint(SIDES[0], SIDES[1]);
        let at = [middle, EDGES[1] + 12.0];
        paper.text(at, Anchor::Middle, LETTER, "turns of the drive");
        let unit = match self.told {
            Told::Metric => "travel, mm",
            Told::Inch => "travel, in",
        };
        let at = [SIDES[0] - 13.0, f64::midpoint(EDGES[0], EDGES[1])];
        paper.text_upwards(at, Anchor::Middle, LETTER, unit);
        if self.told == Told::Inch {
            self.millimetres(paper);
        }
    }

    /// A second scale in millimetres at the right edge.
    fn millimetres(&self, paper: &mut Paper) {
        const TICK: f64 = 1.5;
        let ends = [self.up.from, self.up.to].map(|inches| Length::inches(inches).as_mm());
        let axis = Axis::between(ends, [EDGES[1], EDGES[0]]);
        for (value, words) in axis.ticks() {
            let y = axis.at(value);
            paper.line(Line::Thin, [SIDES[1], y], [SIDES[1] + TICK, y]);
            let at = [SIDES[1] + TICK + 1.0, y + LETTER / 2.0];
            paper.text(at, Anchor::Start, LETTER, &words);
        }
    }

    /// Both ends of the stroke, and the stops where all play is used up.
    fn stops(&self, paper: &mut Paper, ends: [f64; 2], turns: f64) {
        for at in [0.0, turns] {
            let x = self.across.at(at);
            paper.line(Line::Centre, [x, EDGES[0]], [x, EDGES[1]]);
        }
        for (end, side) in ends.into_iter().zip([-1.0, 1.0]) {
            /// Depth of the hatched edge of a stop.
            const DEPTH: f64 = 2.0;
            let x = self.across.at(end);
            paper.line(Line::Outline, [x, EDGES[0]], [x, EDGES[1]]);
            let far = x + side * DEPTH;
            let wall = vec![
                [x, EDGES[0]],
                [far, EDGES[0]],
                [far, EDGES[1]],
                [x, EDGES[1]],
            ];
            let hatch = Hatch {
                angle: Angle::degrees(45.0),
                spacing: 1.5,
            };
            paper.lines(Line::Thin, &hatching::lines(hatch, &[wall], &[]));
        }
        let words = format!("stroke, {} turns", number(turns, 2));
        let span = Span {
            ends: [self.across.at(0.0), self.across.at(turns)],
            features: [EDGES[0]; 2],
            line: EDGES[0] - 5.0,
            beside: Beside::Right,
        };
        dimension::level(paper, span, &words);
    }

    /// The way back of the leading carriage, from least to most lost motion.
    fn way_back(&self, paper: &mut Paper, product: &Product, lost: &Interval) {
        /// A grey on which thin lines still show.
        const PALE: f64 = 0.88;
        let turns = product.design.course.turns;
        let per_turn = product.motion.net_lead.abs();
        if per_turn <= Length::ZERO {
            return;
        }
        let stroke = per_turn * turns;
        let back = |lost: f64, travel: Length| self.at(travel / per_turn - lost, travel);
        // What the drive turns past the start of the stroke is not shown.
        let [left, _] = SIDES;
        let low = |lost: f64| {
            let share = (left - self.across.at(-lost))
                / (self.across.at(turns - lost) - self.across.at(-lost));
            stroke * share.clamp(0.0, 1.0)
        };
        let [near, far] = [lost.low.max(0.0), lost.high.max(0.0)];
        paper.area(
            PALE,
            &[
                back(near, low(near)),
                back(near, stroke),
                back(far, stroke),
                back(far, low(far)),
            ],
        );
        let nominal = lost.nominal.max(0.0);
        let way = [
            self.at(turns, stroke),
            back(nominal, stroke),
            back(nominal, low(nominal)),
        ];
        paper.polyline(Line::Other, &way);
        let middle = f64::midpoint(way[1][0], way[2][0]);
        let on_way = f64::midpoint(way[1][1], way[2][1]);
        paper.arrowhead(
            [middle, on_way],
            [way[2][0] - way[1][0], way[2][1] - way[1][1]],
        );
    }

    /// One line, with its words at its end beside the panel.
    fn travel(&self, paper: &mut Paper, travel: &Travel, turns: f64, taken: &mut Vec<f64>) {
        /// From line to line of words, and letters in one.
        const ROW: f64 = 4.2;
        const COLUMNS: usize = 22;
        let end = self.at(turns, travel.per_turn * turns);
        paper.line(travel.kind, self.at(0.0, Length::ZERO), end);
        let options = Options::new(COLUMNS).word_splitter(WordSplitter::NoHyphenation);
        let words = travel
            .words
            .iter()
            .flat_map(|words| textwrap::wrap(words, options.clone()));
        let words: Vec<_> = words.collect();
        let rows = words.len() as f64;
        // The first place down from its end at which no other words stand.
        let mut first = end[1] - (rows - 1.0) * ROW / 2.0;
        let collides = |first: f64| {
            let mut others = taken.iter();
            others.any(|other| first < other + ROW && *other < first + rows * ROW)
        };
        while collides(first) && first < EDGES[1] + EDGES[0] {
            first += ROW / 4.0;
        }
        // In inch kits the scale in millimetres stands between.
        let x = match self.told {
            Told::Metric => SIDES[1] + 8.0,
            Told::Inch => SIDES[1] + 14.0,
        };
        let knee = [x - 2.0, first + LETTER / 2.0 - 1.2];
        paper.line(Line::Thin, end, knee);
        for (index, words) in words.iter().enumerate() {
            let y = first + ROW * index as f64;
            taken.push(y);
            let room = WIDTH - x;
            let height = LETTER * (room / width_of(words, LETTER)).min(1.0);
            paper.text([x, y + LETTER / 2.0], Anchor::Start, height, words);
        }
    }
}

/// What the lines do not say.
fn notes(product: &Product) -> Vec<String> {
    let mut notes = vec![format!(
        "For the stroke the drive is turned {}. Chain lines: both ends of the stroke; hatched edges: the \
         stops, all play used up.",
        turning_words(product.motion.turning)
    )];
    if let Some(lost) = &product.motion.lost_motion_turns {
        notes.push(format!(
            "Grey band, and double-dotted line in its middle: the way back after a reversal, which loses \
             {} to {} turns.",
            number(lost.low, 2),
            number(lost.high, 2)
        ));
    }
    notes
}
