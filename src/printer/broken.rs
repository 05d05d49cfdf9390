//! What a maker's own print bears, as broken pieces tell it, and what rules may count on.
//!
//! A few pieces give a mean and its standard error. Rules go by the bound that the true value
//! is beyond with [`CONFIDENCE`]: the mean less (of a notch, more) Student's t times the error.

use super::profile::Profile;
use super::student::two_sided_quantile;
use crate::strength::{Material, Origin, Plastic};
use crate::units::Stress;

/// A mean of broken pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FromPieces {
    /// The mean: MPa of a strength, a bare number of a notch.
    pub value: f64,
    /// Its standard error, in the same unit.
    pub error: f64,
    /// Pieces behind it, two or more; of a ratio, of the side that has fewer.
    pub pieces: u32,
}

/// What a print bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintStrength {
    /// Tensile strength across the layers, in MPa.
    pub across: FromPieces,
    /// Kf in tension of a thread's root in the first engaged turn; none where no neck was broken.
    pub root: Option<FromPieces>,
}

/// Share of prints whose true value lies beyond the bound that rules take, on the safe side
/// (common practice).
const CONFIDENCE: f64 = 0.95;
/// Least bound that a strength may have, as a share of its mean: below it the pieces say next to
/// nothing. Guess.
const LEAST_BOUND: f64 = 0.25;
/// The least that a notch can be: it never strengthens.
const NO_NOTCH: f64 = 1.0;

impl FromPieces {
    /// The least that the true value is with [`CONFIDENCE`]. 30 +- 1.5 of three pieces: 30 -
    /// 2.920 x 1.5 = 25.6.
    pub fn least(&self) -> f64 {
        self.value - self.reach()
    }

    /// The most that it is with the same.
    pub fn most(&self) -> f64 {
        self.value + self.reach()
    }

    /// Student's t, one-sided, times the error.
    fn reach(&self) -> f64 {
        let freedom = f64::from(self.pieces.max(2) - 1);
        two_sided_quantile(2.0 * CONFIDENCE - 1.0, freedom) * self.error
    }

    /// Whether pieces agree well enough for a bound to mean something.
    pub fn is_telling(&self) -> bool {
        self.least() >= LEAST_BOUND * self.value
    }
}

impl Profile {
    /// What a filament bears on this printer: the bounds of the broken pieces where there are some
    /// and they are of this filament, else the material's figures. No more across the layers than
    /// in their plane; torsion at a root stays the material's.
    pub fn plastic(&self, material: Material) -> Plastic {
        let usual = Plastic::of(material);
        let Some(strength) = self.strength.filter(|_| material == self.material) else {
            return usual;
        };
        let across = Stress::megapascals(strength.across.least());
        let of_material = (usual.root, usual.root_of);
        let (root, root_of) = strength.root.map_or(of_material, |root| {
            (root.most().max(NO_NOTCH), Origin::Print)
        });
        Plastic {
            upright: across.min(usual.flat),
            upright_of: Origin::Print,
            root,
            root_of,
            ..usual
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;
    use approx::assert_abs_diff_eq;

    fn profile(strength: Option<PrintStrength>) -> Profile {
        let bed = [Length::mm(200.0); 3];
        let (layer, line) = (Length::mm(0.2), Length::mm(0.45));
        let mut profile = Profile::untuned(layer, line, bed, 4, Material::Pla);
        profile.strength = strength;
        profile
    }

    fn broken(value: f64, error: f64, pieces: u32) -> FromPieces {
        FromPieces {
            value,
            error,
            pieces,
        }
    }

    #[test]
    fn bounds_are_students_one_sided_ones() {
        // Table of t at 0.95, one-sided: 6.314, 2.920, 2.132 for 1, 2 and 4 degrees of freedom
        // (NIST/SEMATECH e-Handbook, 1.3.6.7.2, from memory).
        for (pieces, t) in [(2, 6.314), (3, 2.920), (5, 2.132)] {
            let found = broken(30.0, 1.5, pieces);
            assert_abs_diff_eq!(found.least(), 30.0 - 1.5 * t, epsilon = 1e-3);
            assert_abs_diff_eq!(found.most(), 30.0 + 1.5 * t, epsilon = 1e-3);
        }
    }

    #[test]
    fn a_print_counts_for_its_own_filament_alone() {
        let across = broken(18.0, 1.0, 3);
        let root = Some(broken(1.8, 0.1, 3));
        let mine = profile(Some(PrintStrength { across, root }));
        let pla = mine.plastic(Material::Pla);
        assert_abs_diff_eq!(pla.upright.as_megapascals(), 15.08, epsilon = 0.01);
        assert_abs_diff_eq!(pla.root, 2.092, epsilon = 1e-3);
        assert_eq!([pla.upright_of, pla.root_of], [Origin::Print; 2]);
        assert_eq!(mine.plastic(Material::Petg), Plastic::of(Material::Petg));
        assert_eq!(
            profile(None).plastic(Material::Pla),
            Plastic::of(Material::Pla)
        );
    }

    #[test]
    fn no_print_is_stronger_across_its_layers_than_in_their_plane() {
        let strength = |value| PrintStrength {
            across: broken(value, 1.0, 20),
            root: None,
        };
        let strong = profile(Some(strength(60.0))).plastic(Material::Pla);
        assert_eq!(strong.upright, strong.flat);
        assert_eq!(strong.root_of, Origin::Material);
    }
}
