//! What a filament bears on a printer: the material's figures, or those of broken pieces of it.

use super::profile::Profile;
use crate::strength::{Material, Origin, Plastic};
use crate::units::Stress;

/// The least that a notch can be: it never strengthens.
const NO_NOTCH: f64 = 1.0;

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
    use crate::printer::{FromPieces, PrintStrength};
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
