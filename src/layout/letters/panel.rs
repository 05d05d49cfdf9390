//! A free face of a part, and what fits on it in letters that a printer can draw.
//!
//! A letter is sunk: troughs with walls of 45 degrees, so that it needs no support on whichever face
//! it stands, and what hangs over in it is no longer than it is deep.

use super::font::{LAST, Node, strokes};
use crate::assembly::{Outline, Placed, Pose, Solid};
use crate::layout::proportions::OVERCUT;
use crate::units::{Angle, Length, real};

/// Width of a stroke at the face, in printed lines: less closes when it is printed (common practice:
/// two lines, and a little for the flare of a first layer).
const STROKE_LINES: f64 = 2.4;
/// Depth of a stroke in printed lines. Guess: it is seen and felt, and its floor is left as a line.
const DEPTH_LINES: f64 = 0.9;
/// Each stroke of a letter is deeper by this than the one before it, so that no two floors coincide.
const STAGGER: Length = Length::mm(0.01);
/// Ends of strokes go on beyond their grid points by this share of their width: less than half, so
/// that no side of one lies on the end of another.
const BEYOND: f64 = 0.4;
/// Height of letters in strokes, the largest first: from what is read at arm's length down to where
/// nearly two lines are left between three level strokes. Guess.
const HEIGHTS: [f64; 6] = [7.0, 6.5, 6.0, 5.5, 5.0, 4.5];
/// Width of a letter as a share of its height. Guess.
const WIDTH: f64 = 0.68;
/// Between letters, in strokes.
const BETWEEN: f64 = 1.0;
/// Between lines, in strokes.
const BETWEEN_LINES: f64 = 1.4;
/// Between the words of a line, as a share of a letter's width.
const BLANK: f64 = 0.7;
/// What stays free at each edge of a panel.
const MARGIN: Length = Length::mm(0.6);

/// A panel that is made for its letters is larger by this: they fit however it is rounded.
const SPARE: Length = Length::mm(0.05);

/// A free face of a part in its print frame.
#[derive(Clone, Copy, Debug)]
pub(in crate::layout) struct Panel {
    /// From its own frame, x in the direction of reading, y up the letters, z out of the part.
    pub(in crate::layout) pose: Pose,
    /// Along x.
    pub(in crate::layout) width: Length,
    /// Along y.
    pub(in crate::layout) height: Length,
    /// Radius of a face that is bent about an axis along y, `radius` below the origin.
    pub(in crate::layout) radius: Option<Length>,
}

/// Sizes of letters of a height.
#[derive(Clone, Copy, Debug)]
struct Size {
    stroke: Length,
    depth: Length,
    height: Length,
}

impl Size {
    fn width(self) -> Length {
        self.height * WIDTH
    }

    fn pitch(self) -> Length {
        self.width() + self.stroke * BETWEEN
    }

    /// Length of a line.
    fn line(self, words: &[&str]) -> Length {
        let letters: usize = words.iter().map(|word| word.chars().count()).sum();
        let blanks = words.len().saturating_sub(1) as f64;
        self.pitch() * letters as f64 - self.stroke * BETWEEN + self.width() * BLANK * blanks
    }

    /// Height of so many lines.
    fn lines(self, count: usize) -> Length {
        let count = count as f64;
        self.height * count + self.stroke * BETWEEN_LINES * (count - 1.0)
    }
}

impl Panel {
    /// A flat face around a point: which way it faces, which way its letters are read, and how far it
    /// goes along that and up the letters. Both directions are of unit length, square to each other.
    pub(in crate::layout) fn flat(
        facing: [f64; 3],
        reading: [f64; 3],
        [x, y, z]: [Length; 3],
        [width, height]: [Length; 2],
    ) -> Self {
        let ([a, b, c], [d, e, f]) = (facing, reading);
        let up = [b * f - c * e, c * d - a * f, a * e - b * d];
        Self {
            pose: Pose::axes(reading, up, facing).shifted(x, y, z),
            width,
            height,
            radius: None,
        }
    }

    /// A round upright face, read around the axis: which way its middle faces, at which height, and
    /// the angle to either side that is free.
    pub(in crate::layout) fn round(
        radius: Length,
        facing: [f64; 3],
        z: [Length; 2],
        half: Angle,
    ) -> Self {
        let [x, y, _] = facing;
        let [from, to] = z;
        let middle = (from + to) / 2.0;
        Self {
            radius: Some(radius),
            ..Self::flat(
                facing,
                [-y, x, 0.0],
                [radius * x, radius * y, middle],
                [
                    radius * (half.as_turns() * std::f64::consts::TAU * 2.0),
                    to - from,
                ],
            )
        }
    }

    /// The same face as it stands after a pose.
    pub(in crate::layout) fn then(self, pose: &Pose) -> Self {
        Self {
            pose: self.pose.then(pose),
            ..self
        }
    }

    /// Width and height of the least panel that takes a text in the smallest letters.
    pub(in crate::layout) fn least(text: &str, line: Length) -> [Length; 2] {
        let stroke = line * STROKE_LINES;
        let heights = HEIGHTS.into_iter().fold(f64::MAX, f64::min);
        let size = Size {
            stroke,
            depth: line * DEPTH_LINES,
            height: stroke * heights,
        };
        [size.line(&[text]), size.height].map(|side| side + (MARGIN + SPARE) * 2.0)
    }

    /// Troughs that write some lines, each of some words, as large as they fit; `None` if they do not.
    pub(in crate::layout) fn written(
        &self,
        lines: &[Vec<&str>],
        line: Length,
    ) -> Option<Vec<Placed>> {
        let stroke = line * STROKE_LINES;
        let size = HEIGHTS
            .into_iter()
            .map(|height| Size {
                stroke,
                depth: line * DEPTH_LINES,
                height: stroke * height,
            })
            .find(|size| {
                lines
                    .iter()
                    .all(|words| size.line(words) <= self.width - MARGIN * 2.0)
                    && size.lines(lines.len()) <= self.height - MARGIN * 2.0
            })?;
        let mut troughs = Vec::new();
        for (at, words) in lines.iter().enumerate() {
            let top = size.lines(lines.len()) / 2.0;
            let middle = top - size.lines(at + 1) + size.height / 2.0;
            let mut x = size.line(words) / -2.0 + size.width() / 2.0;
            for word in words {
                for letter in word.chars() {
                    troughs.extend(self.letter(letter, [x, middle], size));
                    x += size.pitch();
                }
                x += size.width() * BLANK;
            }
        }
        Some(troughs)
    }

    /// A letter around a point of the panel.
    fn letter(&self, letter: char, [x, y]: [Length; 2], size: Size) -> Vec<Placed> {
        // The face falls away beside the middle of a letter on a bent panel: half of that each way.
        let (pose, bent) = match self.radius {
            None => (Pose::shift(x, y, Length::ZERO), Length::ZERO),
            Some(radius) => {
                let half = size.width() / 2.0 / radius;
                let sagitta = radius * (1.0 - (1.0 - half * half).max(0.0).sqrt());
                (around(radius, x, y, sagitta / 2.0), sagitta / 2.0)
            }
        };
        let pose = pose.then(&self.pose);
        let strokes = strokes(letter).unwrap_or_default().iter().enumerate();
        let trough = |(at, ends): (usize, &[Node; 2])| {
            let stagger = STAGGER * at as f64;
            let (place, length) = stroke_on(ends, size);
            Placed {
                pose: place.then(&pose),
                solid: trough(length, size, size.depth + stagger, bent),
            }
        };
        strokes.map(trough).collect()
    }
}

/// The largest square on a round end face that lies on the bed.
pub(in crate::layout) fn on_end(diameter: Length) -> Panel {
    let side = diameter * 0.5f64.sqrt();
    Panel::flat(
        [0.0, 0.0, -1.0],
        [1.0, 0.0, 0.0],
        [Length::ZERO; 3],
        [side; 2],
    )
}

/// Where a stroke stands, and how long it is.
fn stroke_on([from, to]: &[Node; 2], size: Size) -> (Pose, Length) {
    let inside = [size.width() - size.stroke, size.height - size.stroke];
    let place = |node: &Node| {
        [0, 1].map(|axis| inside[axis] * (f64::from(node[axis]) / f64::from(LAST[axis]) - 0.5))
    };
    let ([x0, y0], [x1, y1]) = (place(from), place(to));
    let (dx, dy) = ((x1 - x0).as_mm(), (y1 - y0).as_mm());
    let length = real::hypot(dx, dy);
    let (cos, sin) = (dx / length, dy / length);
    let pose = Pose::axes([cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]).shifted(
        (x0 + x1) / 2.0,
        (y0 + y1) / 2.0,
        Length::ZERO,
    );
    (pose, Length::mm(length) + size.stroke * (BEYOND * 2.0))
}

/// A trough along x, its walls at 45 degrees up to the face at z = `bent` and upright above it.
fn trough(length: Length, size: Size, depth: Length, bent: Length) -> Solid {
    let outline = |set_in: Length| Outline::Rectangle {
        x: length - set_in * 2.0,
        y: size.stroke - set_in * 2.0,
    };
    Solid::Prism(vec![
        (-depth, outline(depth)),
        (bent, outline(-bent)),
        (bent + OVERCUT, outline(-bent)),
    ])
}

/// On a face of a radius, `x` along it, as deep as half of what it falls away beside a letter.
fn around(radius: Length, x: Length, y: Length, deep: Length) -> Pose {
    let (sin, cos) = Angle::turns(x / radius / std::f64::consts::TAU).sin_cos();
    let out = radius - deep;
    Pose::axes([cos, 0.0, -sin], [0.0, 1.0, 0.0], [sin, 0.0, cos]).shifted(
        out * sin,
        y,
        out * cos - radius,
    )
}
