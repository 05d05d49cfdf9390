//! What a form holds once it is read.

use super::breaking::BrokenPiece;
use super::clue::CaliperSize;
use super::ladder::{BestStep, End, LadderKind};
use crate::strength::Material;
use crate::units::Length;
use std::ops::Range;

/// A valid form.
#[derive(Clone, Debug, PartialEq)]
pub struct FilledForm {
    /// Name of the profile.
    pub printer: String,
    /// Date in ISO 8601, or empty.
    pub date: String,
    /// Which spool, in the maker's words.
    pub spool: String,
    /// With what the pieces were printed.
    pub made: MadeWith,
    /// Sizes, in file order.
    pub rows: Vec<MeasuredRow>,
    /// Ladders, in file order.
    pub ladders: Vec<TriedLadder>,
    /// Pieces that are broken or to be, in file order.
    pub breaks: Vec<BrokenPiece>,
}

/// With what the pieces were printed.
#[derive(Clone, Debug, PartialEq)]
pub struct MadeWith {
    /// Layer height.
    pub layer: Length,
    /// Width of a printed line.
    pub line: Length,
    /// Number of perimeters.
    pub walls: u32,
    /// Room: x, y, z.
    pub bed: [Length; 3],
    /// Filament.
    pub material: Material,
}

/// A row with its readings.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredRow {
    /// Its name.
    pub name: String,
    /// What was measured.
    pub feature: CaliperSize,
    /// A reading for each print; `None` where there is none.
    pub measured: Vec<Option<Length>>,
    /// Where the row stands in the form.
    pub at: Range<usize>,
}

/// A ladder with its findings.
#[derive(Clone, Debug, PartialEq)]
pub struct TriedLadder {
    /// Its name.
    pub name: String,
    /// What is tried.
    pub kind: LadderKind,
    /// The gap that the kit wants of a thread, radial, from which its own gap is told; none of other
    /// kinds. What is learnt does not hang on it.
    pub wanted: Option<Length>,
    /// Gaps as drawn, radial or a side, that of one groove first.
    pub gaps: Vec<Length>,
    /// Radius of the mating faces; zero for flat ones.
    pub radius: Length,
    /// Grooves of the best step for each print; `None` where there is none.
    pub grooves: Vec<Option<usize>>,
    /// Where the ladder stands in the form.
    pub at: Range<usize>,
}

impl TriedLadder {
    /// A finding for each print; `None` where there is none.
    pub fn best(&self) -> impl Iterator<Item = Option<BestStep>> + '_ {
        self.grooves.iter().map(|grooves| self.step((*grooves)?))
    }

    /// The step of so many grooves; `None` if it has no such.
    pub fn step(&self, grooves: usize) -> Option<BestStep> {
        let (first, last) = (*self.gaps.first()?, *self.gaps.last()?);
        Some(BestStep {
            kind: self.kind,
            drawn: *self.gaps.get(grooves.checked_sub(1)?)?,
            step: (last - first) / (self.gaps.len().max(2) - 1) as f64,
            radius: self.radius,
            end: End::of(grooves, self.gaps.len()),
        })
    }
}
