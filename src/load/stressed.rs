//! Places that a loading stresses, each with what it bears.

use super::case::Case;
use super::remedy::Remedy;
use super::trains::Loading;
use crate::assembly::{JointId, PartId};
use crate::strength::Plastic;
use crate::units::{Force, Stress};

/// What a loading stresses in a case made of some plastic. The places are the same, in the same
/// order, whatever presses.
pub type Places = fn(&Case<'_>, &Plastic, &Loading) -> Vec<Stressed>;

/// A place that a loading stresses.
#[derive(Clone, Debug)]
pub struct Stressed {
    /// Where it is.
    pub bearer: Bearer,
    /// In a sentence: `the cross pin in shear`.
    pub what: String,
    /// Axial force behind it.
    pub force: Force,
    /// What is found there, and the most that may be.
    pub borne: Borne,
    /// Share of the limit from which it is worth a warning.
    pub near: f64,
    /// What may spare it.
    pub remedy: Remedy,
}

/// What bears a stress.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bearer {
    /// A part.
    Part(PartId),
    /// Two pieces where they meet.
    Joint(JointId),
}

/// Something held against its limit, both for a short time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Borne {
    /// A stress against a strength.
    Stress {
        /// What is found.
        found: Stress,
        /// The most.
        strength: Stress,
    },
    /// A push against the load at which something gives way.
    Push {
        /// What is found.
        found: Force,
        /// The most.
        most: Force,
    },
}

impl Borne {
    /// Found over most, for a short time.
    pub fn utilisation(&self) -> f64 {
        match self {
            Self::Stress { found, strength } => *found / *strength,
            Self::Push { found, most } => *found / *most,
        }
    }
}
