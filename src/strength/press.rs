//! Press fits after Lame: the pressure between a pin and its hole, the hoop stress around it,
//! and the force that drives it in.
//!
//! An upper bound for printed pins: their ridges are crushed first, and what grip there is
//! fades as the plastic creeps.

use super::plastic::POISSON;
use crate::units::{Force, Length, Stress};
use std::f64::consts::PI;

/// How stiff one of two pressed parts is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    /// Young's modulus.
    pub stiffness: Stress,
    /// Poisson's ratio.
    pub poisson: f64,
}

impl Elastic {
    /// Printed plastic of the given Young's modulus.
    pub fn printed(stiffness: Stress) -> Self {
        Self {
            stiffness,
            poisson: POISSON,
        }
    }

    /// Steel: 207 GPa and 0.292 (Shigley, 9th ed., table A-5).
    pub const fn steel() -> Self {
        Self {
            stiffness: Stress::megapascals(207_000.0),
            poisson: 0.292,
        }
    }
}

/// A solid pin in a ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressFit {
    /// Diameter of the pin.
    pub pin: Length,
    /// Outside diameter of the ring: of the thickest that fits around the hole.
    pub outside: Length,
    /// Interference, across; nothing where it is below zero.
    pub interference: Length,
    /// What the pin is made of.
    pub pin_made_of: Elastic,
    /// What the ring is made of.
    pub ring_made_of: Elastic,
    /// Pressure that the face between them bears before it is crushed; `None` where it is firm.
    pub crushed_at: Option<Stress>,
}

/// Share of a printed face that bears once its layers' round crowns are crushed. Guess.
const CROWNS: f64 = 0.5;

/// Pressure on a whole hole at which crush ribs yield, whatever the interference: a pin of
/// diameter d that reaches delta into each of `ribs` flat faces bears on chords of
/// w = 2 sqrt(d delta - delta^2), of which the crowns of the layers take half; they yield at
/// the strength in compression, taken as the tensile one in the plane: p = ribs w sigma / (2 pi d).
///
/// Derived; the share of the crowns is a guess. Three ribs, 5.5 mm, 0.11 mm into each, 40 MPa:
/// w = 1.540 mm, 5.35 MPa.
pub fn ribs_yield_at(ribs: usize, pin: Length, reach: Length, strength: Stress) -> Stress {
    let (d, reach) = (pin.as_mm(), reach.as_mm().max(0.0));
    let chord = 2.0 * (d * reach - reach * reach).max(0.0).sqrt();
    strength * (ribs as f64 * chord * CROWNS / (PI * d))
}

impl PressFit {
    /// (Do^2 + d^2) / (Do^2 - d^2).
    fn ring(&self) -> f64 {
        let (outside, pin) = (self.outside.as_mm(), self.pin.as_mm());
        (outside * outside + pin * pin) / (outside * outside - pin * pin)
    }

    /// Pressure between the two: delta / d over [ring / Eo + nu_o / Eo + (1 - nu_i) / Ei]
    /// (Shigley, 9th ed., eq. 3-56 with a solid pin and the interference taken across).
    ///
    /// A pin of 6 mm in a ring of 15 mm, 0.05 mm, both of 2.5 GPa: 8.75 MPa.
    pub fn pressure(&self) -> Stress {
        let Elastic { stiffness, poisson } = self.ring_made_of;
        let ring = (self.ring() + poisson) / stiffness.as_megapascals();
        let Elastic { stiffness, poisson } = self.pin_made_of;
        let pin = (1.0 - poisson) / stiffness.as_megapascals();
        let strain = self.interference.max(Length::ZERO) / self.pin;
        let firm = Stress::megapascals(strain / (ring + pin));
        self.crushed_at.map_or(firm, |most| firm.min(most))
    }

    /// Hoop stress at the hole's wall, which pulls the ring apart: p (Do^2 + d^2)/(Do^2 - d^2)
    /// (Shigley, 9th ed., eq. 3-58). The same pin: 12.1 MPa.
    pub fn hoop(&self) -> Stress {
        self.pressure() * self.ring()
    }

    /// Force that drives it in over a length, mu p pi d L (friction on the face; common to all
    /// books on press fits). The same pin over 12 mm at 0.12 to 0.38: 240 to 750 N.
    pub fn drive_in(&self, length: Length, friction: f64) -> Force {
        let face = PI * self.pin.as_mm() * length.as_mm();
        Force::newtons(friction * self.pressure().as_megapascals() * face)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    fn pla(interference: f64) -> PressFit {
        let made_of = Elastic::printed(Stress::megapascals(2500.0));
        PressFit {
            pin: Length::mm(6.0),
            outside: Length::mm(15.0),
            interference: Length::mm(interference),
            pin_made_of: made_of,
            ring_made_of: made_of,
            crushed_at: None,
        }
    }

    #[test]
    fn parts_of_one_material_match_the_short_formula() {
        // Shigley, 9th ed., eq. 3-57, a solid pin: p = E delta (Do^2 - d^2) / (2 d Do^2), delta
        // across. Poisson's ratio drops out.
        let short = 2500.0 * 0.05 * (225.0 - 36.0) / (2.0 * 6.0 * 225.0);
        let pressure = pla(0.05).pressure().as_megapascals();
        assert_relative_eq!(pressure, short, max_relative = 1e-12);
    }

    #[test]
    fn ribs_that_yield_bound_the_pressure() {
        // Three chords of 2 sqrt(5.5 x 0.11 - 0.0121) = 1.540 mm, half of which bear 40 MPa, on
        // a circumference of 17.279 mm.
        let strength = Stress::megapascals(40.0);
        let most = |reach: f64| ribs_yield_at(3, Length::mm(5.5), Length::mm(reach), strength);
        assert_abs_diff_eq!(most(0.11).as_megapascals(), 5.348, epsilon = 2e-3);
        assert_eq!(most(-0.01), Stress::ZERO);
        let ribbed = |interference| PressFit {
            crushed_at: Some(Stress::megapascals(5.0)),
            ..pla(interference)
        };
        assert_eq!(ribbed(0.02).pressure(), pla(0.02).pressure());
        assert_eq!(ribbed(0.05).pressure(), Stress::megapascals(5.0));
    }

    #[test]
    fn lames_ring_is_in_balance() {
        // Lame: sigma_t = A + B/r^2 over the ring carries p d on each diameter:
        // 2 int sigma_t dr = p d, with B from the hoop stress at the hole and at the outside,
        // which is less by p (radial stress 0 there): sigma_t(ro) = sigma_t(ri) - p.
        let fit = pla(0.05);
        let (p, hoop) = (fit.pressure().as_megapascals(), fit.hoop().as_megapascals());
        let (inner, outer) = (3.0, 7.5);
        let b = p / (1.0 / (inner * inner) - 1.0 / (outer * outer));
        let a = hoop - b / (inner * inner);
        let carried = 2.0 * (a * (outer - inner) + b * (1.0 / inner - 1.0 / outer));
        assert_relative_eq!(carried, p * 2.0 * inner, max_relative = 1e-12);
    }

    #[test]
    fn a_printed_pin_of_six_in_fifteen_matches_the_derived_forces_and_stresses() {
        // Derived for PLA, 12 mm long, friction 0.12 to 0.38: 0.05 mm takes 240 to 750 N with
        // 12 MPa of hoop stress, 0.10 mm 475 to 1500 N with 24 MPa, rounded to 5 N and 1 MPa.
        for (interference, [least, most], hoop) in
            [(0.05, [240.0, 750.0], 12.0), (0.10, [475.0, 1500.0], 24.0)]
        {
            let fit = pla(interference);
            let force = |friction| fit.drive_in(Length::mm(12.0), friction).as_newtons();
            assert_abs_diff_eq!(force(0.12), least, epsilon = 5.0);
            assert_abs_diff_eq!(force(0.38), most, epsilon = 5.0);
            assert_abs_diff_eq!(fit.hoop().as_megapascals(), hoop, epsilon = 0.5);
        }
    }

    #[test]
    fn a_steel_pin_stresses_the_ring_more_than_a_printed_one_and_a_loose_one_not_at_all() {
        let printed = pla(0.05);
        let steel = PressFit {
            pin_made_of: Elastic::steel(),
            ..printed
        };
        assert!(steel.hoop() > printed.hoop());
        assert_eq!(pla(-0.05).pressure(), Stress::ZERO);
    }
}
