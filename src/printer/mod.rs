//! What is known of the printer, with its uncertainty, and the gaps that follow from it.
//!
//! A gap is *wanted* by the kind of fit, *drawn* in the mesh, and *printed* as the printer
//! leaves it. What is drawn is what is wanted, plus what the printer's lines grow into the gap
//! from both faces, plus, on the flanks of a thread, what layers that meet tip to tip take
//! up. The whole gap is drawn on the female part. What is printed is an interval, from the
//! standard errors of a [`Profile`] and the spread of the printer.

mod best_gap;
mod broken;
mod copies;
mod file;
mod fits;
mod joints;
mod keys;
mod layered;
mod lend;
mod normal;
mod outcome;
mod plastic;
mod play;
mod profile;
mod scatter;
pub mod student;

pub use best_gap::best_gap;
pub use broken::{FromPieces, PrintStrength};
pub use copies::{FitOdds, KitOdds, POINTS, fit_odds, kit_odds};
pub use fits::PrintedGap;
pub use joints::{PrintedJoint, judged};
pub use keys::LONGEST;
pub use layered::{Flanks, LayeredThread, Stood, first_layer_gap, layer_of_overlap, line_overlap};
pub use outcome::{Felt, Outcomes};
pub use play::{Plays, Swing, plays, rough_plays};
pub use profile::{
    BadProfile, Correction, Known, PRIOR_BETWEEN, PRIOR_WITHIN, Profile, TERMS, Term,
};
pub use scatter::{FACE_SHARE, PART_SHARE};
