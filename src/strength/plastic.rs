//! What printed filament bears: strengths, stiffness, creep, friction.
//!
//! The low end of what data sheets and papers report for parts printed well. A part printed
//! too cold, too fast, wet or with few walls bears less.

use crate::units::Stress;

/// Filament that parts are printed from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Polylactide.
    Pla,
    /// Glycol-modified polyester.
    Petg,
    /// Acrylonitrile butadiene styrene.
    Abs,
    /// Acrylonitrile styrene acrylate.
    Asa,
}

/// A coefficient of friction: the least and the most that it may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// Least: a torque presses hardest.
    pub low: f64,
    /// Most: a load asks for the most torque.
    pub high: f64,
}

impl Friction {
    /// One that is known.
    pub const fn of(coefficient: f64) -> Self {
        Self {
            low: coefficient,
            high: coefficient,
        }
    }

    /// Whether it is one number and no interval.
    pub fn is_single(self) -> bool {
        self.low == self.high
    }
}

/// Strengths and stiffness of one filament as printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plastic {
    /// Tensile strength in the plane of the layers.
    pub flat: Stress,
    /// Tensile strength across the layers.
    pub upright: Stress,
    /// Young's modulus in the plane of the layers.
    pub stiffness: Stress,
}

/// Shear strength as a share of tensile strength (from memory; von Mises has 0.577).
const SHEAR: f64 = 0.55;
/// Stiffness of upright prints in compression as a share of a data sheet's: printed PLA bolts
/// were measured at 0.92 +/- 0.19 GPa (a paper), a third of 2.4 to 3.5.
const COLUMN_STIFFNESS: f64 = 1.0 / 3.0;
/// Poisson's ratio of printed plastic (from memory).
pub(super) const POISSON: f64 = 0.35;

/// Share of its short-term strength that plastic bears for long (common practice: 0.20 to
/// 0.25). It creeps at room temperature, and more when warm.
pub const LASTING_SHARE: f64 = 0.2;

impl Plastic {
    /// A filament as printed.
    ///
    /// PLA: 40 MPa in the plane, the low end of data sheets and papers; 20 across layers, where
    /// 22.8 was measured, 0.52 of the filament (Perez et al., 3D Print. Addit. Manuf. 8, 2021, 23);
    /// 2500 MPa (filament 3500). PETG: 44, the low end; 22, a half, since no figure was found; 2000
    /// MPa (filament, Processes 2025, 13(9), 2733). ABS: 30, a guess, where filament has 40
    /// (the same paper); 12 across layers, 0.4 of it (10 to 15 from memory); 2100 MPa (the same
    /// paper). ASA as ABS (guess).
    pub fn of(material: Material) -> Self {
        let (flat, upright, stiffness) = match material {
            Material::Pla => (40.0, 20.0, 2500.0),
            Material::Petg => (44.0, 22.0, 2000.0),
            Material::Abs | Material::Asa => (30.0, 12.0, 2100.0),
        };
        Self {
            flat: Stress::megapascals(flat),
            upright: Stress::megapascals(upright),
            stiffness: Stress::megapascals(stiffness),
        }
    }

    /// Shear strength of a part that lies: a pin across its axis. PLA: 22 MPa.
    pub fn flat_shear(&self) -> Stress {
        self.flat * SHEAR
    }

    /// Shear strength where layers slide on each other or are torn along z: shear along z on an
    /// upright face is as large on the layers' planes (Cauchy). PLA: 11 MPa.
    pub fn upright_shear(&self) -> Stress {
        self.upright * SHEAR
    }

    /// What a face bears before it is crushed. Plastics bear more in compression than in
    /// tension (from memory), so tension across the layers is on the safe side. PLA: 20 MPa.
    pub fn crushing(&self) -> Stress {
        self.upright
    }

    /// Young's modulus of an upright print as a column. PLA: 833 MPa.
    pub fn column_stiffness(&self) -> Stress {
        self.stiffness * COLUMN_STIFFNESS
    }

    /// Static friction of a filament on itself. Dry, as it was measured (Santana et al., doi
    /// 10.1177/1464420720978997): PLA 0.12 to 0.38, PETG 0.13 to 0.21; none was found for ABS
    /// and ASA, PLA's wide range stands for them (guess). Greased 0.05 to 0.20: 0.04 to 0.2 over
    /// dry, oil and grease for ABS, polycarbonate and PLA (Polymers 2023, 15(20), 4112); for PETG
    /// and ASA a guess.
    pub fn friction(material: Material, greased: bool) -> Friction {
        let (low, high) = match (material, greased) {
            (_, true) => (0.05, 0.20),
            (Material::Petg, false) => (0.13, 0.21),
            (Material::Pla | Material::Abs | Material::Asa, false) => (0.12, 0.38),
        };
        Friction { low, high }
    }
}
