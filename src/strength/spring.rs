//! Helical compression springs of round wire: rate, solid length, stress, strength and buckling.
//!
//! Shigley's Mechanical Engineering Design, 9th ed., ch. 10; equations and tables are cited with the
//! functions, their numbers from memory. Ends are squared and ground, so that the spring stands
//! straight and is no longer when solid than its coils are thick.

use crate::units::{Force, Length, SpringRate, Stress, real};
use std::f64::consts::PI;

/// Modulus of rigidity of carbon steel spring wire, 79.3 GPa: common practice. Shigley, table 10-5
/// (from memory) has 80.0 to 82.7 GPa for music wire by its thickness and 77.2 for oil-tempered, so a
/// rate is right to some 4 %, which is less than shops promise of one.
pub const SPRING_STEEL: Stress = Stress::megapascals(79_300.0);

/// Coils at both ends that do not bend: one each, squared and ground (Shigley, table 10-1).
const END_COILS: f64 = 2.0;

/// A and m of music wire, Sut = A / d^m, d in mm from 0.10 to 6.5 (Shigley, table 10-4, from memory).
const MUSIC_WIRE: (f64, f64) = (2211.0, 0.145);
/// Torsional yield as a share of the tensile strength of music wire (Shigley, table 10-6, before set
/// is removed; from memory).
const TORSIONAL_YIELD: f64 = 0.45;

/// How a spring's stiffness is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Winding {
    /// By its active coils.
    Coils(f64),
    /// By its rate, as a shop gives it.
    Rate(SpringRate),
}

/// A helical compression spring with squared and ground ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilSpring {
    /// d, diameter of its wire.
    pub wire: Length,
    /// Outside diameter.
    pub outside: Length,
    /// L0, free length.
    pub free: Length,
    /// Its stiffness.
    pub winding: Winding,
}

impl CoilSpring {
    /// D, mean diameter of a coil.
    pub fn mean(&self) -> Length {
        self.outside - self.wire
    }

    /// Inside diameter.
    pub fn inside(&self) -> Length {
        self.outside - self.wire * 2.0
    }

    /// C = D/d (Shigley, eq. 10-1).
    pub fn index(&self) -> f64 {
        self.mean() / self.wire
    }

    /// k, with a modulus of rigidity: k = d^4 G / (8 D^3 Na) (Shigley, eq. 10-9).
    ///
    /// 1 mm wire, 16 mm outside, 5 active coils, 79.3 GPa: 0.587 N/mm.
    pub fn rate_of(&self, rigidity: Stress) -> SpringRate {
        match self.winding {
            Winding::Rate(rate) => rate,
            Winding::Coils(coils) => one_coil(self.wire, self.mean(), rigidity) / coils,
        }
    }

    /// k, of carbon steel where it is not given.
    pub fn rate(&self) -> SpringRate {
        self.rate_of(SPRING_STEEL)
    }

    /// Na, active coils; of one that is known by its rate those that give it in carbon steel.
    pub fn coils(&self) -> f64 {
        match self.winding {
            Winding::Coils(coils) => coils,
            Winding::Rate(rate) => one_coil(self.wire, self.mean(), SPRING_STEEL) / rate,
        }
    }

    /// Nt, all its coils (Shigley, table 10-1).
    pub fn all_coils(&self) -> f64 {
        self.coils() + END_COILS
    }

    /// Ls = d Nt, its length when all coils touch (Shigley, table 10-1, squared and ground).
    pub fn solid(&self) -> Length {
        self.wire * self.all_coils()
    }

    /// What it presses with at a length; nothing where it is loose.
    pub fn force_at(&self, length: Length) -> Force {
        self.rate() * (self.free - length).max(Length::ZERO)
    }

    /// Greatest shear stress in its wire under a force: Kw 8 F D / (pi d^3), with Wahl's factor Kw =
    /// (4C - 1)/(4C - 4) + 0.615/C (Shigley, eqs. 10-4 and 10-7).
    ///
    /// 1 mm wire, 16 mm outside, 18.7 N: 782 MPa.
    pub fn stress(&self, force: Force) -> Stress {
        let index = self.index();
        let wahl = (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index;
        let wire = self.wire.as_mm();
        let straight = 8.0 * force.as_newtons() * self.mean().as_mm() / (PI * wire * wire * wire);
        Stress::megapascals(wahl * straight)
    }

    /// L0/D, by which it buckles.
    pub fn slenderness(&self) -> f64 {
        self.free / self.mean()
    }
}

/// Rate of a spring of one active coil.
fn one_coil(wire: Length, mean: Length, rigidity: Stress) -> SpringRate {
    let (wire, mean) = (wire.as_mm(), mean.as_mm());
    let wire = wire * wire * wire * wire;
    SpringRate::newtons_per_mm(rigidity.as_megapascals() * wire / (8.0 * mean * mean * mean))
}

/// Least tensile strength of music wire, Sut = A / d^m (Shigley, eq. 10-14 and table 10-4). 1 mm:
/// 2211 MPa.
pub fn music_wire_strength(wire: Length) -> Stress {
    let (strength, exponent) = MUSIC_WIRE;
    Stress::megapascals(strength / real::pow(wire.as_mm(), exponent))
}

/// Shear stress at which music wire takes a set, 0.45 Sut. 1 mm: 995 MPa.
pub fn music_wire_torsional_yield(wire: Length) -> Stress {
    music_wire_strength(wire) * TORSIONAL_YIELD
}
