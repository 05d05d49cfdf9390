//! Parts that are made in several grades, a step thinner and a step thicker than drawn, so that
//! the maker takes the one that goes in and holds.

use super::{Assembly, InstanceId, Joint, PartId};
use crate::units::Length;

/// How a part differs from the one that it may stand in for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// The part that the assembly is drawn with.
    pub of: PartId,
    /// How much its radius is greater; negative where it is thinner. Every gap of a piece that it
    /// stands in for becomes smaller by as much, radially.
    pub shift: Length,
    /// How many notches tell it from the others; the part as drawn has none.
    pub notches: usize,
}

impl Assembly {
    /// By how much the radius of what goes in at a piece's place may differ from that drawn:
    /// ascending, with zero for the piece as drawn. Only zero where there are no grades.
    pub fn shifts(&self, piece: InstanceId) -> Vec<Length> {
        let drawn = self.instance(piece).part;
        let grades = self.parts.iter().filter_map(|part| part.grade);
        let shifts = grades.filter_map(|grade| (grade.of == drawn).then_some(grade.shift));
        let mut shifts: Vec<Length> = std::iter::once(Length::ZERO).chain(shifts).collect();
        shifts.sort_by(|one, other| one.as_mm().total_cmp(&other.as_mm()));
        shifts
    }

    /// The piece of a joint that comes in grades; none where neither does.
    pub fn graded(&self, joint: &Joint) -> Option<InstanceId> {
        let mut ends = joint.between.into_iter();
        ends.find(|piece| self.shifts(*piece).len() > 1)
    }
}
