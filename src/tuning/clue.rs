//! What a measured size says about the terms of a profile.
//!
//! A [`CaliperSize`] is a size that a caliper reads. It is linear in the terms: a reading less its
//! drawn size is a weighted sum of them, plus the print's own effect b (more flow moves every wall
//! outwards from its line, so outer sizes gain 2 b and inner ones lose 2 b), plus noise.

use crate::printer::Term;
use crate::units::Length;

/// The kind of a measured size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeKind {
    /// Over two outer faces, along x.
    OuterX,
    /// Over two outer faces, along y.
    OuterY,
    /// Between two inner faces, along x.
    SlotX,
    /// Between two inner faces, along y.
    SlotY,
    /// Over a round outside.
    Boss,
    /// Inside an upright round hole.
    Hole,
    /// Above the bed.
    Height,
}

/// All kinds with the word by which a form's rows begin.
const KINDS: [(SizeKind, &str); 7] = [
    (SizeKind::OuterX, "outer-x"),
    (SizeKind::OuterY, "outer-y"),
    (SizeKind::SlotX, "slot-x"),
    (SizeKind::SlotY, "slot-y"),
    (SizeKind::Boss, "boss"),
    (SizeKind::Hole, "hole"),
    (SizeKind::Height, "height"),
];

impl SizeKind {
    /// The word by which its rows begin.
    pub fn word(self) -> &'static str {
        let found = KINDS.iter().find(|(kind, _)| *kind == self);
        found.map_or("", |(_, word)| word)
    }

    /// The kind of a row's name: its word, a hyphen, and a number.
    pub fn of_name(name: &str) -> Option<Self> {
        let (word, size) = name.rsplit_once('-')?;
        size.parse::<f64>().ok().filter(|size| size.is_finite())?;
        let found = KINDS.iter().find(|(_, known)| *known == word);
        found.map(|(kind, _)| *kind)
    }
}

/// A size that a caliper reads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CaliperSize {
    /// What is measured.
    pub kind: SizeKind,
    /// As it was drawn.
    pub drawn: Length,
}

impl CaliperSize {
    /// Reading less drawn size, as weights of the terms; see the model in
    /// [`profile`](crate::printer::Profile).
    ///
    /// An outer size of 20 mm along x is 20 s_x + 2 u_o; a hole of 10 mm is
    /// 5 s_x + 5 s_y - 2 u_h - 0.4 k.
    pub fn weights(&self) -> Vec<(Term, f64)> {
        let size = self.drawn.as_mm();
        let curved = |wall, growth| {
            vec![
                (Term::ScaleX, size / 2.0),
                (Term::ScaleY, size / 2.0),
                (wall, growth),
                (Term::Curvature, -4.0 / size),
            ]
        };
        match self.kind {
            SizeKind::OuterX => vec![(Term::ScaleX, size), (Term::OuterGrowth, 2.0)],
            SizeKind::OuterY => vec![(Term::ScaleY, size), (Term::OuterGrowth, 2.0)],
            SizeKind::SlotX => vec![(Term::ScaleX, size), (Term::SlotGrowth, -2.0)],
            SizeKind::SlotY => vec![(Term::ScaleY, size), (Term::SlotGrowth, -2.0)],
            SizeKind::Boss => curved(Term::OuterGrowth, 2.0),
            SizeKind::Hole => curved(Term::HoleGrowth, -2.0),
            SizeKind::Height => vec![(Term::ScaleZ, size), (Term::ZOffset, 1.0)],
        }
    }

    /// Weight of the print's own effect b.
    pub fn print_effect(&self) -> f64 {
        match self.kind {
            SizeKind::OuterX | SizeKind::OuterY | SizeKind::Boss => 2.0,
            SizeKind::SlotX | SizeKind::SlotY | SizeKind::Hole => -2.0,
            SizeKind::Height => 0.0,
        }
    }
}

/// A caliper reads from one face to another, of a height from what lay on the bed to the top: the
/// variance of a reading within its print is that of two walls.
pub(super) const FACES_OF_A_READING: f64 = 2.0;
