//! What could be behind rows that a kit did not give, and how often each happens at a bench.

use super::rows::Correction;

/// One explanation of the rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cause {
    /// The screws do what the kit says.
    AsPredicted,
    /// The first rows were read before the play was taken up.
    StartPlay {
        /// How many.
        rows: usize,
    },
    /// A turn was counted wrongly.
    Miscount {
        /// First row that it spoils, from 0.
        row: usize,
        /// Turns made beyond those written; below zero, fewer.
        turns: f64,
        /// Whether it spoils that row alone, or all from it on.
        alone: bool,
    },
    /// The instrument or its place moved between two rows.
    ZeroMoved {
        /// First row behind the move, from 0.
        row: usize,
    },
    /// One reading is wrong.
    Misread {
        /// Which, from 0.
        row: usize,
    },
    /// The instrument reads in coarser steps than the form says.
    CoarseRule {
        /// Its steps, in mm.
        step: f64,
    },
    /// The lead is that of another thread, or of another way of counting.
    OtherLead {
        /// Which of the prediction's rivals.
        rival: usize,
    },
    /// All heights came out longer or shorter by one share.
    PrinterScale,
    /// The carriage runs ahead and behind within each turn.
    WithinTurn,
    /// A lead that nothing gives.
    Unexplained,
}

/// What an explanation is, wherever in the rows it strikes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    AsPredicted,
    StartPlay,
    Miscount,
    ZeroMoved,
    Misread,
    CoarseRule,
    OtherLead,
    PrinterScale,
    WithinTurn,
    Unexplained,
}

/// Every kind with its chance before anything was measured. Guesses: most trials are sound, slips of
/// the hand come next, wrong parts are rare, and what has no name is held to be rarest.
pub(super) const KINDS: [(Kind, f64); 10] = [
    (Kind::AsPredicted, 0.46),
    (Kind::StartPlay, 0.12),
    (Kind::Miscount, 0.12),
    (Kind::ZeroMoved, 0.06),
    (Kind::Misread, 0.06),
    (Kind::CoarseRule, 0.03),
    (Kind::OtherLead, 0.04),
    (Kind::PrinterScale, 0.05),
    (Kind::WithinTurn, 0.05),
    (Kind::Unexplained, 0.01),
];

impl Cause {
    pub(super) const fn kind(self) -> Kind {
        match self {
            Self::AsPredicted => Kind::AsPredicted,
            Self::StartPlay { .. } => Kind::StartPlay,
            Self::Miscount { .. } => Kind::Miscount,
            Self::ZeroMoved { .. } => Kind::ZeroMoved,
            Self::Misread { .. } => Kind::Misread,
            Self::CoarseRule { .. } => Kind::CoarseRule,
            Self::OtherLead { .. } => Kind::OtherLead,
            Self::PrinterScale => Kind::PrinterScale,
            Self::WithinTurn => Kind::WithinTurn,
            Self::Unexplained => Kind::Unexplained,
        }
    }

    /// The first row that is to blame, from 0; `None` where all are.
    pub const fn row(self) -> Option<usize> {
        match self {
            Self::Miscount { row, .. } | Self::ZeroMoved { row } | Self::Misread { row } => {
                Some(row)
            }
            _ => None,
        }
    }

    /// What is put right of `count` rows before they are fitted.
    pub(super) fn correction(self, count: usize) -> Correction {
        match self {
            Self::StartPlay { rows } => Correction::Start(rows),
            Self::Miscount { row, turns, alone } => {
                let end = if alone { row + 1 } else { count };
                Correction::Turns(row..end, turns)
            }
            Self::ZeroMoved { row } => Correction::Shift(row..count),
            Self::Misread { row } => Correction::Shift(row..row + 1),
            _ => Correction::None,
        }
    }

    /// Whether the lead is the predicted one where this is so.
    pub(super) const fn keeps_lead(self) -> bool {
        !matches!(
            self,
            Self::OtherLead { .. } | Self::PrinterScale | Self::Unexplained
        )
    }
}
