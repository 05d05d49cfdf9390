//! Dimensions, leaders and balloons on a sheet.
//!
//! Dimensions of ISO 129-1: narrow lines, closed and filled arrowheads, letters above the line, readable
//! from the bottom or from the right. Leaders of ISO 128-2, balloons of ISO 6433. All from memory.
//! Places are in mm of paper, y downwards.

use super::hatching::Free;
use super::paper::{ARROW, Anchor, At, LETTER, Line, Paper, TITLE, width_of};

/// Between a line and the letters above it.
const ABOVE: f64 = 0.8;
/// How far an extension line goes past the dimension's: 8 widths of the line (ISO 129-1).
const PAST: f64 = 2.0;
/// Length of a dimension line beyond arrowheads that point inwards.
const TAIL: f64 = 6.0;

/// Where the dimension between two places along an axis stands across it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    /// The two places along the axis that is measured.
    pub(super) ends: [f64; 2],
    /// Across the axis, where each extension line begins.
    pub(super) features: [f64; 2],
    /// Across the axis, where the dimension's line is.
    pub(super) line: f64,
    /// Where words stand that have no room between the ends.
    pub(super) beside: Beside,
}

/// On which side of a narrow dimension its words stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Beside {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

impl Span {
    /// Whether arrowheads and words have room between the ends.
    fn is_wide(&self, words: &str) -> bool {
        self.length() >= (2.0 * ARROW + 1.0).max(width_of(words, LETTER))
    }

    fn length(&self) -> f64 {
        (self.ends[1] - self.ends[0]).abs()
    }
}

/// A dimension along x. Words stand above the middle, or right of it where there is no room.
pub(super) fn level(paper: &mut Paper, span: Span, words: &str) {
    for (x, feature) in span.ends.into_iter().zip(span.features) {
        let past = if feature > span.line { -PAST } else { PAST };
        paper.line(Line::Thin, [x, feature], [x, span.line + past]);
    }
    let [low, high] = [
        span.ends[0].min(span.ends[1]),
        span.ends[0].max(span.ends[1]),
    ];
    let y = span.line;
    let baseline = y - ABOVE;
    if span.is_wide(words) {
        paper.line(Line::Thin, [low, y], [high, y]);
        paper.arrowhead([low, y], [-1.0, 0.0]);
        paper.arrowhead([high, y], [1.0, 0.0]);
        let middle = f64::midpoint(low, high);
        paper.text([middle, baseline], Anchor::Middle, LETTER, words);
    } else {
        let long = ARROW + 1.0 + width_of(words, LETTER);
        let (line, at, anchor) = match span.beside {
            Beside::Right => ([low - TAIL, high + long], high + ARROW + 1.0, Anchor::Start),
            Beside::Left => ([low - long, high + TAIL], low - ARROW - 1.0, Anchor::End),
        };
        paper.line(Line::Thin, [line[0], y], [line[1], y]);
        paper.arrowhead([low, y], [1.0, 0.0]);
        paper.arrowhead([high, y], [-1.0, 0.0]);
        paper.text([at, baseline], anchor, LETTER, words);
    }
}

/// A dimension along y. Words read upwards, left of the middle of the line.
pub(super) fn upright(paper: &mut Paper, span: Span, words: &str) {
    for (y, feature) in span.ends.into_iter().zip(span.features) {
        let past = if feature > span.line { -PAST } else { PAST };
        paper.line(Line::Thin, [feature, y], [span.line + past, y]);
    }
    let x = span.line;
    let [high, low] = [
        span.ends[0].min(span.ends[1]),
        span.ends[0].max(span.ends[1]),
    ];
    paper.line(Line::Thin, [x, low], [x, high]);
    paper.arrowhead([x, low], [0.0, 1.0]);
    paper.arrowhead([x, high], [0.0, -1.0]);
    let middle = f64::midpoint(low, high);
    paper.text_upwards([x - ABOVE, middle], Anchor::Middle, LETTER, words);
}

/// A diameter of which one side is shown: from beyond the axis up to the outline (ISO 129-1).
pub(super) struct Diameter<'a> {
    /// Where the outline is, from which its extension line goes.
    pub(super) feature: At,
    /// Where the dimension's line is.
    pub(super) x: f64,
    /// Where the axis is.
    pub(super) axis: f64,
    /// Where the middle of the words is.
    pub(super) words_at: f64,
    /// The words.
    pub(super) words: &'a str,
}

/// Draws it: one arrowhead at the outline, words that read upwards.
pub(super) fn diameter(paper: &mut Paper, dimension: &Diameter<'_>) {
    let Diameter { feature, x, .. } = *dimension;
    let past = if feature[0] > x { -PAST } else { PAST };
    paper.line(Line::Thin, feature, [x + past, feature[1]]);
    paper.line(Line::Thin, [x, feature[1]], [x, dimension.axis + PAST]);
    paper.arrowhead([x, feature[1]], [0.0, -1.0]);
    let at = [x - ABOVE, dimension.words_at];
    paper.text_upwards(at, Anchor::Middle, LETTER, dimension.words);
}

/// A gap too small for arrowheads inside it, measured upwards between two edges: arrowheads from
/// outside, the line led up to words on a shelf.
pub(super) fn gap(paper: &mut Paper, x: f64, edges: [f64; 2], shelf: f64, words: &str) {
    let [high, low] = [edges[0].min(edges[1]), edges[0].max(edges[1])];
    paper.line(Line::Thin, [x, low + TAIL], [x, shelf]);
    paper.arrowhead([x, low], [0.0, -1.0]);
    paper.arrowhead([x, high], [0.0, 1.0]);
    let end = x + width_of(words, LETTER);
    paper.line(Line::Thin, [x, shelf], [end, shelf]);
    paper.text([x + ABOVE, shelf - ABOVE], Anchor::Start, LETTER, words);
}

/// A leader with an arrowhead at the edge that it points at, and words on a shelf to one side of its knee.
pub(super) fn leader(paper: &mut Paper, tip: At, knee: At, side: Beside, words: &str) {
    paper.line(Line::Thin, tip, knee);
    paper.arrowhead(tip, [tip[0] - knee[0], tip[1] - knee[1]]);
    let long = width_of(words, LETTER);
    let (end, anchor) = match side {
        Beside::Left => (knee[0] - long, Anchor::End),
        Beside::Right => (knee[0] + long, Anchor::Start),
    };
    paper.line(Line::Thin, knee, [end, knee[1]]);
    paper.text([knee[0], knee[1] - ABOVE], anchor, LETTER, words);
}

/// Radius of a balloon.
pub(super) const BALLOON: f64 = 4.0;

/// An item number in a circle, with a leader to a dot on the item (ISO 6433).
pub(super) fn balloon(paper: &mut Paper, centre: At, face: At, number: usize) {
    let (x, y) = (face[0] - centre[0], face[1] - centre[1]);
    let long = (x * x + y * y).sqrt();
    if long > BALLOON {
        let edge = [
            centre[0] + x * BALLOON / long,
            centre[1] + y * BALLOON / long,
        ];
        paper.line(Line::Thin, edge, face);
    }
    paper.dot(face);
    paper.circle(centre, BALLOON);
    let baseline = [centre[0], centre[1] + TITLE / 2.0];
    paper.text(baseline, Anchor::Middle, TITLE, &number.to_string());
}

/// The room that words need on a hatched face.
pub(super) fn room_for(at: At, anchor: Anchor, words: &str) -> Free {
    let long = width_of(words, LETTER);
    let from = match anchor {
        Anchor::Start => at[0],
        Anchor::Middle => at[0] - long / 2.0,
        Anchor::End => at[0] - long,
    };
    [
        [from - ABOVE, at[1] - LETTER - ABOVE],
        [from + long + ABOVE, at[1] + ABOVE],
    ]
}
