//! The odds of a kit and of its fits, as data.

use super::product::OddsFigures;
use super::report_numbers::{mm, rounded};
use crate::printer::{KitOdds, PrintedJoint};
use serde::Serialize;

/// Printed gaps at which the outcome of a fit changes, ascending.
#[derive(Clone, Debug, Serialize)]
pub(super) struct OutcomesEntry {
    tight: Option<f64>,
    free: Option<f64>,
    loose: Option<f64>,
    lost: Option<f64>,
}

/// Shares of copies, from 0 to 1.
#[derive(Clone, Debug, Serialize)]
pub(super) struct FitOddsEntry {
    as_printed: Option<f64>,
    usable: Option<f64>,
}

/// Shares of copies of the whole kit, from 0 to 1.
#[derive(Clone, Debug, Serialize)]
struct KitOddsEntry {
    as_printed: Option<f64>,
    usable: Option<f64>,
    too_tight: Option<f64>,
    too_loose: Option<f64>,
    /// Fits to be filed or run in, on average.
    to_fit: Option<f64>,
    fits: usize,
}

#[derive(Clone, Debug, Serialize)]
pub(super) struct OddsEntry {
    tuned: bool,
    now: KitOddsEntry,
    /// If every term of the printer's profile were known.
    known: KitOddsEntry,
}

/// At which gaps a fit's outcome changes.
pub(super) fn outcomes(printed: &PrintedJoint) -> OutcomesEntry {
    OutcomesEntry {
        tight: mm(printed.outcomes.tight),
        free: mm(printed.outcomes.free),
        loose: mm(printed.outcomes.loose),
        lost: mm(printed.outcomes.lost),
    }
}

/// What becomes of a fit's copies.
pub(super) fn fit_odds(printed: &PrintedJoint) -> FitOddsEntry {
    FitOddsEntry {
        as_printed: rounded(printed.odds.as_printed),
        usable: rounded(printed.odds.usable),
    }
}

/// What becomes of a kit's copies.
pub(super) fn odds(figures: &OddsFigures) -> OddsEntry {
    OddsEntry {
        tuned: figures.tuned,
        now: kit_odds(&figures.now),
        known: kit_odds(&figures.known),
    }
}

fn kit_odds(odds: &KitOdds) -> KitOddsEntry {
    KitOddsEntry {
        as_printed: rounded(odds.as_printed),
        usable: rounded(odds.usable),
        too_tight: rounded(odds.too_tight),
        too_loose: rounded(odds.too_loose),
        to_fit: rounded(odds.to_fit),
        fits: odds.fits,
    }
}
