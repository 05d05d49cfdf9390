//! Materials: the colours of the pictures for what is printed, steel for what is bought.

use super::scene::{Material, Surface};
use crate::assembly::{Assembly, Made, PartId};
use crate::output::words::plain;
use crate::picture::PART_COLOURS;
use crate::units::real;

/// How rough printed plastic is, from 0, a mirror, to 1. Guess: layers scatter light.
const PRINTED_ROUGHNESS: f64 = 0.85;
/// Light that bare steel gives back, in linear red, green and blue. From memory, of iron: 0.56, 0.57, 0.58.
const STEEL: [f64; 3] = [0.56, 0.57, 0.58];
/// How rough steel is that is bought. Guess: drawn wire, not polished.
const STEEL_ROUGHNESS: f64 = 0.45;
/// Decimals of a share of light: finer than eyes and screens are.
const FINE: f64 = 1e4;

/// A material for each of these parts.
pub(super) fn materials(assembly: &Assembly, parts: impl Iterator<Item = usize>) -> Vec<Material> {
    parts.map(|part| material(assembly, part)).collect()
}

fn material(assembly: &Assembly, part: usize) -> Material {
    let made = assembly.part(PartId(part));
    let (colour, metallic_factor, roughness_factor) = match made.made {
        Made::Printed => {
            let shown = PART_COLOURS[part % PART_COLOURS.len()];
            (shown.map(linear), 0.0, PRINTED_ROUGHNESS)
        }
        Made::Bought(_) => (STEEL, 1.0, STEEL_ROUGHNESS),
    };
    let [red, green, blue] = colour.map(|share| (share * FINE).round() / FINE);
    Material {
        name: plain(&made.name),
        pbr_metallic_roughness: Surface {
            base_color_factor: [red, green, blue, 1.0],
            metallic_factor,
            roughness_factor,
        },
    }
}

/// A share of a colour as screens take it, in linear light (IEC 61966-2-1, sRGB; from memory). 0.5 gives
/// 0.2140.
fn linear(share: f64) -> f64 {
    match share <= 0.04045 {
        true => share / 12.92,
        false => real::pow((share + 0.055) / 1.055, 2.4),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_of_a_screens_light_is_a_fifth_of_the_light() {
        approx::assert_abs_diff_eq!(linear(0.5), 0.2140, epsilon = 5e-5);
        approx::assert_abs_diff_eq!(linear(1.0), 1.0, epsilon = 1e-12);
        approx::assert_abs_diff_eq!(linear(0.04045), linear(0.040_450_01), epsilon = 1e-6);
    }
}
