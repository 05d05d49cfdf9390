//! What is written over a picture: arrows of motions, numbers in balloons, an eye, words.

use super::canvas::Canvas;
use super::paper::{Picture, escaped};
use crate::units::Angle;
use nalgebra::Point3;
use std::io;

/// Ink of lines, as in the ground.
const INK: &str = "#1a1f26";
/// Widths of ISO 128-2, in mm: the thin line, and arrows of motions, which are to be seen first.
const THIN: f64 = 0.25;
const BOLD: f64 = 0.9;
/// White beside bold lines, in mm, so that they stand off what they cross.
const CASING: f64 = 0.7;
/// Length and half width of the head of an arrow of motion, in mm.
const HEAD: [f64; 2] = [3.4, 1.5];
/// Radius of a balloon and height of its number, in mm (ISO 6433 asks for twice the letters of dimensions).
pub const BALLOON: f64 = 3.2;
const NUMBER: f64 = 3.5;
/// Height of words, in mm: pictures stand at half their width beside text, where they are 6 points then.
const WORDS: f64 = 4.2;
/// Radius of the dot with which a leader ends inside an outline, in mm.
const DOT: f64 = 0.45;
/// Points of a turn of an arrow that goes round.
const ROUND: usize = 72;
/// Share of a turn that an arrow goes round.
const SWEEP: f64 = 0.72;

/// An arrow around the screws' axis, in mm of the assembly's frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Height along the axis.
    pub z: f64,
    /// Radius.
    pub radius: f64,
    /// Whether clockwise, seen by an eye that looks along +z.
    pub clockwise: bool,
}

/// What is written over a picture, as SVG in mm of paper.
#[derive(Clone, Debug, Default)]
pub struct Overlay {
    svg: String,
}

impl Overlay {
    /// What was written so far.
    pub fn svg(&self) -> &str {
        &self.svg
    }

    /// The picture of what was drawn, with this over it.
    ///
    /// # Errors
    /// None that a picture can cause.
    pub fn picture(&self, canvas: &Canvas, name: &str, shows: &str) -> io::Result<Picture> {
        let inside = canvas.image([0.0, 0.0])? + &self.svg;
        Ok(Picture::of(name, shows, canvas.paper(), &inside))
    }

    /// An arrow that goes round; what of it stands behind a piece is left out.
    pub fn turn(&mut self, canvas: &Canvas, turn: Turn) {
        let mut stretches: Vec<Vec<[f64; 2]>> = vec![Vec::new()];
        for point in turning_points(turn, canvas) {
            match (canvas.shows(point), stretches.last_mut()) {
                (true, Some(last)) => last.push(canvas.at(point)),
                (false, Some(last)) if !last.is_empty() => stretches.push(Vec::new()),
                (false | true, _) => {}
            }
        }
        stretches.retain(|stretch| stretch.len() > 1);
        self.pointed(&stretches);
    }

    /// A bold arrow between two places on paper, in mm.
    pub fn straight(&mut self, from: [f64; 2], to: [f64; 2]) {
        self.pointed(&[vec![from, to]]);
    }

    /// A thin line between two points, what stands behind a piece left out.
    pub fn seen_line(&mut self, canvas: &Canvas, ends: [Point3<f64>; 2]) {
        const POINTS: usize = 60;
        let mut open = false;
        let mut way = String::new();
        for index in 0..=POINTS {
            let share = index as f64 / POINTS as f64;
            let point = ends[0] + (ends[1] - ends[0]) * share;
            let shows = canvas.shows(point);
            if shows {
                let [x, y] = canvas.at(point);
                let letter = if open { 'L' } else { 'M' };
                way += &format!("{letter}{x:.2} {y:.2}");
            }
            open = shows;
        }
        self.svg +=
            &format!("<path d=\"{way}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"{THIN}\"/>");
    }

    /// Bold stretches, the last with a head at its end.
    fn pointed(&mut self, stretches: &[Vec<[f64; 2]>]) {
        let Some(last) = stretches.last() else {
            return;
        };
        let (mut shaft, head) = headed(last);
        let mut all: Vec<&[[f64; 2]]> = stretches[..stretches.len() - 1]
            .iter()
            .map(Vec::as_slice)
            .collect();
        if shaft.len() < 2 {
            shaft.clear();
        }
        all.push(&shaft);
        let path: String = all.iter().map(|stretch| path(stretch)).collect();
        let tip = polygon(&head);
        self.svg += &format!(
            "<path d=\"{path}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"{:.2}\"/>\
             <path d=\"{tip}\" fill=\"#fff\" stroke=\"#fff\" stroke-width=\"{CASING}\"/>\
             <path d=\"{path}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"{BOLD}\"/>\
             <path d=\"{tip}\" fill=\"{INK}\"/>",
            BOLD + CASING
        );
    }

    /// A number in a balloon, with a leader that ends in a dot on what it numbers (ISO 6433).
    pub fn balloon(&mut self, at: [f64; 2], to: [f64; 2], number: usize) {
        let away = [to[0] - at[0], to[1] - at[1]];
        let long = (away[0] * away[0] + away[1] * away[1]).sqrt();
        if long > BALLOON {
            let edge = [0, 1].map(|axis| at[axis] + away[axis] / long * BALLOON);
            self.svg += &format!(
                "<path d=\"M{:.2} {:.2}L{:.2} {:.2}\" stroke=\"{INK}\" stroke-width=\"{THIN}\"/>\
                 <circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"{DOT}\" fill=\"{INK}\"/>",
                edge[0], edge[1], to[0], to[1], to[0], to[1]
            );
        }
        self.svg += &format!(
            "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"{BALLOON}\" fill=\"#fff\" stroke=\"{INK}\" \
             stroke-width=\"{THIN}\"/>",
            at[0], at[1]
        );
        // Digits stand on a line a third of their height below the middle.
        let base = [at[0], at[1] + NUMBER * 0.35];
        self.text("middle", base, NUMBER, &number.to_string());
    }

    /// Words that begin at a place.
    pub fn words(&mut self, at: [f64; 2], words: &str) {
        self.text("start", at, WORDS, words);
    }

    /// Words whose middle stands at a place.
    pub fn words_amid(&mut self, at: [f64; 2], words: &str) {
        self.text("middle", at, WORDS, words);
    }

    fn text(&mut self, anchor: &str, [x, y]: [f64; 2], height: f64, words: &str) {
        let words = escaped(words);
        self.svg += &format!(
            "<text x=\"{x:.2}\" y=\"{y:.2}\" font-family=\"system-ui,sans-serif\" font-size=\"{height}\" \
             fill=\"{INK}\" text-anchor=\"{anchor}\">{words}</text>"
        );
    }

    /// A thin line around a rectangle, by its left upper corner and its size.
    pub fn frame(&mut self, [x, y]: [f64; 2], [wide, high]: [f64; 2]) {
        // Half of the line lies inside.
        let (x, y) = (x + THIN / 2.0, y + THIN / 2.0);
        self.svg += &format!(
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"none\" \
             stroke=\"{INK}\" stroke-width=\"{THIN}\"/>",
            wide - THIN,
            high - THIN
        );
    }

    /// An eye that looks along a direction of the paper, at a place.
    pub fn eye(&mut self, [x, y]: [f64; 2], towards: [f64; 2]) {
        let degrees = Angle::of_point(towards[0], towards[1]).as_degrees();
        self.svg += &format!(
            "<g transform=\"translate({x:.2} {y:.2}) rotate({degrees:.1})\" fill=\"none\" \
             stroke=\"{INK}\" stroke-width=\"0.5\" stroke-linecap=\"round\">\
             <path d=\"M3 0Q0 3.4-3 2.6M3 0Q0-3.4-3-2.6\"/><path d=\"M1.2-1.9Q-.6 0 1.2 1.9\"/>\
             <circle cx=\"1.1\" r=\".7\" fill=\"{INK}\"/></g>"
        );
    }
}

/// Points of an arrow that goes round, in the direction of the motion.
pub(super) fn turning_points(turn: Turn, canvas: &Canvas) -> Vec<Point3<f64>> {
    // Its middle is the side that looks at the eye, so that the gap is behind.
    let front = canvas.front();
    let way = if turn.clockwise { 1.0 } else { -1.0 };
    let count = (ROUND as f64 * SWEEP) as usize;
    (0..=count)
        .map(|index| {
            let share = index as f64 / count as f64 - 0.5;
            let (sin, cos) = (front + Angle::turns(way * share * SWEEP)).sin_cos();
            // A turn about +z that is seen clockwise by an eye that looks along +z goes from x to y.
            Point3::new(turn.radius * cos, turn.radius * sin, turn.z)
        })
        .collect()
}

/// A path whose end gives way to a head.
fn headed(points: &[[f64; 2]]) -> (Vec<[f64; 2]>, [[f64; 2]; 3]) {
    let tip = points.last().copied().unwrap_or_default();
    let mut shaft = points.to_vec();
    let from = |point: &[f64; 2]| {
        let [x, y] = [tip[0] - point[0], tip[1] - point[1]];
        (x * x + y * y).sqrt()
    };
    while shaft.len() > 1 && shaft.last().is_some_and(|point| from(point) < HEAD[0]) {
        shaft.pop();
    }
    let base = shaft.last().copied().unwrap_or(tip);
    let long = from(&base).max(f64::MIN_POSITIVE);
    let way = [0, 1].map(|axis| (tip[axis] - base[axis]) / long);
    let neck = [0, 1].map(|axis| tip[axis] - way[axis] * HEAD[0]);
    shaft.push(neck);
    let side = [-way[1] * HEAD[1], way[0] * HEAD[1]];
    let head = [
        tip,
        [neck[0] + side[0], neck[1] + side[1]],
        [neck[0] - side[0], neck[1] - side[1]],
    ];
    (shaft, head)
}

fn path(points: &[[f64; 2]]) -> String {
    let step = |(index, [x, y]): (usize, &[f64; 2])| {
        let letter = if index == 0 { 'M' } else { 'L' };
        format!("{letter}{x:.2} {y:.2}")
    };
    points.iter().enumerate().map(step).collect()
}

fn polygon(points: &[[f64; 2]]) -> String {
    path(points) + "Z"
}
