//! Columns: the load at which a slender screw bows out under a push.

use crate::thread::Area;
use crate::units::{Force, Length, Stress};
use std::f64::consts::PI;

/// End condition of a column whose ends may tilt (Shigley, 9th ed., table 4-2: rounded ends,
/// C = 1). A screw in a printed thread is held little better.
pub const PINNED_ENDS: f64 = 1.0;

/// A straight column of one section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Free length.
    pub length: Length,
    /// Area of its section.
    pub area: Area,
    /// Least radius of gyration of its section.
    pub gyration: Length,
    /// C, end condition: see [`PINNED_ENDS`].
    pub ends: f64,
}

impl Column {
    /// l/k.
    pub fn slenderness(&self) -> f64 {
        self.length / self.gyration
    }

    /// (l/k)1, from which Euler's curve holds: where it reaches half the yield strength,
    /// sqrt(2 pi^2 C E / Sy) (Shigley, 9th ed., sect. 4-12). E = 207 GPa, Sy = 500 MPa: 90.4.
    pub fn euler_from(&self, yield_strength: Stress, stiffness: Stress) -> f64 {
        (2.0 * PI * PI * self.ends * (stiffness / yield_strength)).sqrt()
    }

    /// Mean stress at which it bows out: Euler's C pi^2 E / (l/k)^2 for a slender column
    /// (Shigley, 9th ed., eq. 4-44), Johnson's Sy - (Sy l / (2 pi k))^2 / (C E) for a stout one
    /// (eq. 4-48).
    ///
    /// A round bar of 37.48 mm, 1.5 m long, E = 207 GPa, Sy = 500 MPa: 79.8 MPa, 88 kN.
    pub fn critical_stress(&self, yield_strength: Stress, stiffness: Stress) -> Stress {
        let slenderness = self.slenderness();
        if slenderness > self.euler_from(yield_strength, stiffness) {
            stiffness * (self.ends * PI * PI / (slenderness * slenderness))
        } else {
            let strain = yield_strength / stiffness;
            let bowed = slenderness / (2.0 * PI);
            yield_strength * (1.0 - strain * bowed * bowed / self.ends)
        }
    }

    /// Load at which it bows out.
    pub fn critical_load(&self, yield_strength: Stress, stiffness: Stress) -> Force {
        self.critical_stress(yield_strength, stiffness) * self.area
    }
}
