//! From lines by their kinds, letters and arrowheads to one `<svg>` element, true to size on paper.
//!
//! Frame: x to the right, y downwards, in mm of paper from the upper left corner. Line kinds and their
//! dashes are those of ISO 128-2 (line group 0.5), letters those of ISO 3098, arrowheads of ISO 129-1; all
//! from memory. The element has neither ids nor a style sheet, so several may stand in one page.

use crate::output::words::plain;
use crate::picture::{Picture, escaped};
use crate::units_told::number;

/// A place on the paper.
pub(super) type At = [f64; 2];

/// Width of a narrow line in wide ones (ISO 128-2).
const NARROW: f64 = 0.5;

/// A group of line widths (ISO 128-2), by its wide line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    /// 0.5 and 0.25 mm.
    Half,
    /// 0.35 and 0.18 mm: for drawings full of small features.
    Third,
}

impl Group {
    /// Width of a wide line.
    pub(super) const fn wide(self) -> f64 {
        match self {
            Self::Half => 0.5,
            Self::Third => 0.35,
        }
    }
}

/// Height of capital letters: dimensions and notes (ISO 3098).
pub(super) const LETTER: f64 = 2.5;
/// Height of capital letters: titles and item numbers (ISO 3098).
pub(super) const TITLE: f64 = 3.5;
/// Capital letters in heights of the whole letter of usual sans-serif faces. From memory.
const CAPITAL: f64 = 0.72;
/// Width of an average letter in heights of a capital, a little generous. Guess, after usual faces.
const BROAD: f64 = 0.8;

/// Length of an arrowhead, a third of which it is wide at the most (ISO 129-1: closed and filled).
pub(super) const ARROW: f64 = 2.5;
/// Width of an arrowhead in its lengths.
const ARROW_WIDTH: f64 = 1.0 / 3.0;

/// A kind of line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Line {
    /// Visible outlines: continuous, wide (01.2).
    Outline,
    /// Dimensions, extensions, leaders, hatching, broken edges: continuous, narrow (01.1).
    Thin,
    /// Hidden outlines: dashed, narrow (02.1).
    Hidden,
    /// Axes and pitch lines: long and short dashes, narrow (04.1).
    Centre,
    /// Other positions, and the form before it is worked: a long and two short dashes, narrow (05.1).
    Other,
}

impl Line {
    /// Width in widths of a wide line.
    fn width(self) -> f64 {
        match self {
            Self::Outline => 1.0,
            Self::Thin | Self::Hidden | Self::Centre | Self::Other => NARROW,
        }
    }

    /// Dashes and gaps in widths of the line (ISO 128-2).
    fn dashes(self) -> &'static [f64] {
        match self {
            Self::Outline | Self::Thin => &[],
            Self::Hidden => &[12.0, 3.0],
            Self::Centre => &[24.0, 3.0, 6.0, 3.0],
            Self::Other => &[24.0, 3.0, 6.0, 3.0, 6.0, 3.0],
        }
    }
}

/// On which side of its place a text stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// A drawing under way.
#[derive(Clone, Debug)]
pub(super) struct Paper {
    size: [f64; 2],
    wide: f64,
    body: String,
}

impl Paper {
    /// White paper of a width and height, for lines of a group.
    pub(super) fn new(size: [f64; 2], group: Group) -> Self {
        let [width, height] = size.map(shown);
        let body = format!("<rect width=\"{width}\" height=\"{height}\" fill=\"#fff\"/>\n");
        Self {
            size,
            wide: group.wide(),
            body,
        }
    }

    /// Width and height.
    pub(super) fn size(&self) -> [f64; 2] {
        self.size
    }

    /// Straight lines of a kind.
    pub(super) fn lines(&mut self, kind: Line, lines: &[[At; 2]]) {
        let paths: String = lines.iter().map(|ends| path(ends, false)).collect();
        self.stroke(kind, &paths);
    }

    /// One straight line.
    pub(super) fn line(&mut self, kind: Line, from: At, to: At) {
        self.lines(kind, &[[from, to]]);
    }

    /// A broken line.
    pub(super) fn polyline(&mut self, kind: Line, points: &[At]) {
        self.stroke(kind, &path(points, false));
    }

    /// Closed outlines.
    pub(super) fn outlines(&mut self, kind: Line, loops: &[Vec<At>]) {
        let paths: String = loops.iter().map(|points| path(points, true)).collect();
        self.stroke(kind, &paths);
    }

    fn stroke(&mut self, kind: Line, paths: &str) {
        if paths.is_empty() {
            return;
        }
        let width = self.wide * kind.width();
        let dashes: Vec<String> = kind
            .dashes()
            .iter()
            .map(|long| shown(long * width))
            .collect();
        let dashes = match dashes.is_empty() {
            true => String::new(),
            false => format!(" stroke-dasharray=\"{}\"", dashes.join(" ")),
        };
        let width = number(width, 3);
        self.body += &format!(
            "<path d=\"{paths}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{width}\"{dashes} \
             stroke-linejoin=\"round\"/>\n"
        );
    }

    /// A grey area without an edge, from 0 for black to 1 for white.
    pub(super) fn area(&mut self, shade: f64, points: &[At]) {
        /// Greatest value of a channel of a colour.
        const WHITE: f64 = 255.0;
        let grey = (shade.clamp(0.0, 1.0) * WHITE).round() as u8;
        let path = path(points, true);
        self.body += &format!("<path d=\"{path}\" fill=\"#{grey:02x}{grey:02x}{grey:02x}\"/>\n");
    }

    /// A filled dot, as a leader ends in that points at a face (ISO 128-2).
    pub(super) fn dot(&mut self, at: At) {
        /// Radius of the dot. Common practice.
        const RADIUS: f64 = 0.6;
        let [x, y] = at.map(shown);
        self.body += &format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{RADIUS}\" fill=\"#000\"/>\n");
    }

    /// A circle with a white face.
    pub(super) fn circle(&mut self, centre: At, radius: f64) {
        let [x, y] = centre.map(shown);
        let radius = shown(radius);
        let width = number(self.wide * NARROW, 3);
        self.body += &format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" fill=\"#fff\" stroke=\"#000\" \
             stroke-width=\"{width}\"/>\n"
        );
    }

    /// A closed and filled arrowhead whose tip stands at a place, pointing in a direction.
    pub(super) fn arrowhead(&mut self, tip: At, direction: At) {
        let long = (direction[0] * direction[0] + direction[1] * direction[1]).sqrt();
        if long <= 0.0 {
            return;
        }
        let [along, across] = [ARROW, ARROW * ARROW_WIDTH / 2.0].map(|length| length / long);
        let [x, y] = direction;
        let foot = |side: f64| {
            [
                tip[0] - x * along - y * across * side,
                tip[1] - y * along + x * across * side,
            ]
        };
        let path = path(&[tip, foot(1.0), foot(-1.0)], true);
        self.body += &format!("<path d=\"{path}\" fill=\"#000\"/>\n");
    }

    /// Words that read from the left, on a base line.
    pub(super) fn text(&mut self, at: At, anchor: Anchor, height: f64, words: &str) {
        self.write(at, anchor, height, "", words);
    }

    /// Words that read upwards, from the right of the paper (ISO 129-1), on an upright base line.
    pub(super) fn text_upwards(&mut self, at: At, anchor: Anchor, height: f64, words: &str) {
        let [x, y] = at.map(shown);
        let turned = format!(" transform=\"rotate(-90 {x} {y})\"");
        self.write(at, anchor, height, &turned, words);
    }

    fn write(&mut self, at: At, anchor: Anchor, height: f64, turned: &str, words: &str) {
        let [x, y] = at.map(shown);
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let size = shown(height / CAPITAL);
        self.body += &format!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" text-anchor=\"{anchor}\"{turned}>{}</text>\n",
            escaped(&plain(words))
        );
    }

    /// The picture, with what it shows in words.
    pub(super) fn picture(self, name: String, shows: String) -> Picture {
        let [width, height] = self.size.map(shown);
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{}\" \
             width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" \
             font-family=\"system-ui, sans-serif\" fill=\"#000\">\n{}</svg>\n",
            escaped(&plain(&shows)),
            self.body
        );
        Picture {
            name,
            shows,
            paper: self.size,
            svg,
        }
    }
}

/// About how wide words are with letters of a height.
pub(super) fn width_of(words: &str, height: f64) -> f64 {
    words.chars().count() as f64 * height * BROAD
}

/// Decimals of a place on paper: a hundredth of a millimetre.
const DECIMALS: usize = 2;

/// A length on paper as the file has it.
fn shown(value: f64) -> String {
    number(value, DECIMALS)
}

/// Points joined by straight lines.
fn path(points: &[At], closed: bool) -> String {
    let mut path = String::new();
    for (index, point) in points.iter().enumerate() {
        let [x, y] = point.map(shown);
        let letter = match index {
            0 => 'M',
            _ => 'L',
        };
        path.push_str(&format!("{letter}{x} {y}"));
    }
    if closed && !path.is_empty() {
        path.push('Z');
    }
    path
}
