//! What a measured size, or a fit that was tried, says about the terms of a profile.
//!
//! A [`CaliperSize`] is a size that a caliper reads, a [`BestStep`] the step of a ladder of test
//! pieces that fits best. Both are linear in the terms: a reading less its drawn size is a
//! weighted sum of them, plus the print's own effect b (more flow moves every wall outwards
//! from its line, so outer sizes gain 2 b and inner ones lose 2 b), plus noise.

use crate::assembly::{Fit, Mates};
use crate::printer::{FACE_SHARE, Profile, Term};
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

/// A kind of ladder of test pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LadderKind {
    /// Tapped rings on one plug.
    Thread,
    /// Holes that were printed lying, and one printed pin.
    PinLying,
    /// Holes that were printed lying, and one bought pin.
    BoughtPinLying,
    /// Upright holes, and one printed pin.
    PinUpright,
    /// Channels, and one tongue.
    Slide,
}

/// All kinds of ladders, with the word by which a form names them.
const LADDERS: [(LadderKind, &str); 5] = [
    (LadderKind::Thread, "thread"),
    (LadderKind::PinLying, "pin-lying"),
    (LadderKind::BoughtPinLying, "bought-pin-lying"),
    (LadderKind::PinUpright, "pin-upright"),
    (LadderKind::Slide, "slide"),
];

impl LadderKind {
    /// The word by which a form names it.
    pub fn word(self) -> &'static str {
        let found = LADDERS.iter().find(|(kind, _)| *kind == self);
        found.map_or("", |(_, word)| word)
    }

    /// The kind that a form names.
    pub fn of_word(word: &str) -> Option<Self> {
        let found = LADDERS.iter().find(|(_, known)| *known == word);
        found.map(|(kind, _)| *kind)
    }

    /// All words, for messages.
    pub fn words() -> Vec<&'static str> {
        LADDERS.iter().map(|(_, word)| *word).collect()
    }

    /// The fit that is tried, and which of its faces are printed.
    pub fn fit(self) -> (Fit, Mates) {
        match self {
            Self::Thread => (Fit::Thread, Mates::PRINTED),
            Self::PinLying => (Fit::Press, Mates::LYING),
            Self::BoughtPinLying => (Fit::Press, Mates::BOUGHT_IN_LYING),
            Self::PinUpright => (Fit::Press, Mates::PRINTED),
            Self::Slide => (Fit::Slide, Mates::PRINTED),
        }
    }
}

/// A ladder's step that fits best: its gap printed is the one wanted, to half a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestStep {
    /// Which ladder.
    pub kind: LadderKind,
    /// The gap that is wanted of such a fit, radial or a side.
    pub wanted: Length,
    /// The gap of the step that fits best, as drawn, radial or a side.
    pub drawn: Length,
    /// From one step to the next.
    pub step: Length,
    /// Radius of the mating faces; zero for flat ones.
    pub radius: Length,
    /// The end of the ladder that this step is; none inside.
    pub end: Option<End>,
}

/// An end of a ladder: the right gap may lie beyond, so what it takes is bounded, not found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The narrowest step.
    First,
    /// The widest.
    Last,
}

impl End {
    /// The end that the step of so many grooves is, of a ladder of so many steps.
    pub fn of(grooves: usize, steps: usize) -> Option<Self> {
        match grooves {
            1 => Some(Self::First),
            _ if grooves == steps => Some(Self::Last),
            _ => None,
        }
    }
}

/// Variance of what lies evenly within a step of one: 1/12 (the uniform distribution's).
const UNIFORM: f64 = 1.0 / 12.0;

impl BestStep {
    /// What the printer took from the gap, in mm: drawn less wanted.
    pub fn taken(&self) -> f64 {
        (self.drawn - self.wanted).as_mm()
    }

    /// For a step at an end: what the sum of [`weights`](Self::weights) lies beyond, in mm, and
    /// whether above. The steps within would have fitted better from half a step on.
    pub fn bound(&self) -> Option<(f64, bool)> {
        let half = self.step.as_mm() / 2.0;
        self.end.map(|end| match end {
            End::First => (self.taken() + half, false),
            End::Last => (self.taken() - half, true),
        })
    }

    /// Variance of a bound about what was taken: that of the printed faces alone, in mm2. A face
    /// meets another at its high spots, which scatter less than its single places do
    /// ([`FACE_SHARE`]).
    pub fn walls_variance(&self, within: Length) -> f64 {
        let face = FACE_SHARE * within.as_mm();
        self.print_effect() * face * face
    }

    /// What was taken, as weights of the terms: the same as [`Profile::gap`] adds.
    pub fn weights(&self) -> Vec<(Term, f64)> {
        let (fit, mates) = self.kind.fit();
        Profile::taken(fit, mates, self.radius)
    }

    /// Weight of the print's own effect b: one for each printed face.
    pub fn print_effect(&self) -> f64 {
        self.kind.fit().1.printed_faces()
    }

    /// Variance of the finding within its print, in mm2: the step's, and that of each printed
    /// face; `within` is the standard deviation of single places of one.
    pub fn variance(&self, within: Length) -> f64 {
        let step = self.step.as_mm();
        UNIFORM * step * step + self.walls_variance(within)
    }
}
