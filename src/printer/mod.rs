//! What is known of the printer, and the gaps that follow from it.
//!
//! A gap is *wanted* by the kind of fit, *drawn* in the mesh, and *printed* as the printer
//! leaves it. What is drawn is what is wanted, plus what the printer's lines grow into the gap
//! from both faces, plus, on the flanks of a thread, what layers that meet tip to tip take
//! up. The whole gap is drawn on the female part.

use crate::assembly::{Fit, Gap};
use crate::units::Length;

/// What a printer does to the faces it prints.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// How far an outer face stands outside its drawn place.
    pub outer_growth: Length,
    /// How far a hole's wall stands inside its drawn place.
    pub hole_growth: Length,
    /// How far a slot's wall stands inside its drawn place.
    pub slot_growth: Length,
    /// What the flanks of a thread need beyond the growth of both faces, as radial gap.
    pub flank_extra: Length,
}

/// Growth of every face of an untuned printer. Guess.
const SHIPPED_GROWTH: Length = Length::mm(0.03);

/// Which of two mating parts are printed; a bought one does not grow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mates {
    /// Both.
    BothPrinted,
    /// The male part is bought.
    MaleBought,
}

impl Profile {
    /// The profile of a printer of which nothing is known, at a layer height: guesses, all.
    ///
    /// The flank extra is one layer height: round-tipped layers stand h/4 proud of a 30 degree
    /// flank along its normal on each part, which is a radial shift of h for the pair (derived
    /// from the step geometry of layered flanks; the parts may bed in and need less).
    pub fn untuned(layer: Length) -> Self {
        Self {
            outer_growth: SHIPPED_GROWTH,
            hole_growth: SHIPPED_GROWTH,
            slot_growth: SHIPPED_GROWTH,
            flank_extra: layer,
        }
    }

    /// The gap to draw so that the wanted one is left after printing.
    ///
    /// End faces (seat, stop) lie on whole layers and are drawn as wanted. With the untuned
    /// profile at 0.15 mm layers a thread that wants 0.04 is drawn 0.25.
    pub fn gap(&self, fit: Fit, wanted: Length, mates: Mates) -> Gap {
        let female = match fit {
            Fit::Thread | Fit::Swivel | Fit::Locate | Fit::Press => self.hole_growth,
            Fit::Slide => self.slot_growth,
            Fit::Seat | Fit::Stop => {
                return Gap {
                    wanted,
                    drawn: wanted,
                };
            }
        };
        let male = match mates {
            Mates::BothPrinted => self.outer_growth,
            Mates::MaleBought => Length::ZERO,
        };
        let flank = if fit == Fit::Thread {
            self.flank_extra
        } else {
            Length::ZERO
        };
        Gap {
            wanted,
            drawn: wanted + female + male + flank,
        }
    }
}
