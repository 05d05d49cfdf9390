//! Holes for bolts that hold something to a part, or the part to something.

use crate::units::Length;

/// A bolt, and the hole that it goes through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct Bolt {
    /// As shops call its thread.
    pub(in crate::layout) thread: &'static str,
    /// Diameter of its hole (ISO 273, medium series).
    pub(in crate::layout) hole: Length,
}

/// For ears of a carriage.
pub(in crate::layout) const M4: Bolt = Bolt {
    thread: "M4",
    hole: Length::mm(4.5),
};

/// For a foot.
pub(in crate::layout) const M5: Bolt = Bolt {
    thread: "M5",
    hole: Length::mm(5.5),
};
