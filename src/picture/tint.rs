//! Colours of pictures: muted ones for parts, one spot colour for what a step is about.
//!
//! Numbers, hatch angles and ink tell pieces apart first; tints come second, and differ in lightness,
//! so that they do on a grey printer too.

/// Colour of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tint {
    /// That of a part, by its place in the list of parts.
    Part(usize),
    /// What a step is about.
    Spot,
    /// What is there already, in a picture that is about something else.
    Pale,
}

/// Colours of parts, as shares of red, green and blue: muted, apart in lightness and not in hue alone.
pub const PART_COLOURS: [[f64; 3]; 10] = [
    [0.72, 0.74, 0.79],
    [0.66, 0.40, 0.33],
    [0.36, 0.47, 0.62],
    [0.82, 0.68, 0.60],
    [0.55, 0.42, 0.56],
    [0.42, 0.44, 0.49],
    [0.60, 0.71, 0.80],
    [0.80, 0.72, 0.79],
    [0.50, 0.28, 0.33],
    [0.67, 0.62, 0.58],
];
const SPOT: [f64; 3] = [0.33, 0.56, 0.78];
const PALE: [f64; 3] = [0.93, 0.94, 0.95];
/// Of lines.
pub(super) const INK: [f64; 3] = [0.10, 0.12, 0.15];
/// Of the sheet.
pub(super) const PAPER: [f64; 3] = [1.0, 1.0, 1.0];

/// Families of colours: those of parts, the spot and the pale one.
const FAMILIES: usize = PART_COLOURS.len() + 2;
/// Shades of each: a twentieth of lightness is not seen as a step, and few shades make small files.
pub(super) const SHADES: usize = 20;
/// Share of a tint that a face turned from the light keeps.
const DARKEST: f64 = 0.40;

/// Numbers of ink and paper in the palette.
pub(super) const INK_INDEX: u8 = 0;
pub(super) const PAPER_INDEX: u8 = 1;
const FIRST: usize = 2;
/// Cut faces stand behind all shades.
const CUTS: usize = FIRST + FAMILIES * SHADES;
/// Of the filling of a cut, this much is white.
const FILLED: f64 = 0.45;

impl Tint {
    fn family(self) -> usize {
        match self {
            Self::Part(number) => number % PART_COLOURS.len(),
            Self::Spot => PART_COLOURS.len(),
            Self::Pale => PART_COLOURS.len() + 1,
        }
    }

    /// Number in the palette of a cut face, on which hatching stands out.
    pub(super) fn cut(self) -> u8 {
        u8::try_from(CUTS + self.family()).unwrap_or(PAPER_INDEX)
    }

    /// Number in the palette of a shade from 0, dark, to 1, light.
    pub(super) fn index(self, light: f32) -> u8 {
        let steps = (SHADES - 1) as f32;
        // A conversion from a float saturates.
        let shade = (light.clamp(0.0, 1.0) * steps + 0.5) as usize;
        u8::try_from(FIRST + self.family() * SHADES + shade.min(SHADES - 1)).unwrap_or(PAPER_INDEX)
    }
}

/// All colours of a picture, three bytes each.
pub(super) fn palette() -> Vec<u8> {
    let families = PART_COLOURS.into_iter().chain([SPOT, PALE]);
    let shades = families.clone().flat_map(|tint| {
        (0..SHADES).map(move |shade| {
            let light = shade as f64 / (SHADES - 1) as f64;
            tint.map(|part| part * (DARKEST + (1.0 - DARKEST) * light))
        })
    });
    let cuts = families.map(|tint| tint.map(|part| part + (1.0 - part) * FILLED));
    let all = [INK, PAPER].into_iter().chain(shades).chain(cuts);
    const { assert!(CUTS + FAMILIES <= 256, "a palette has 256 places") };
    all.flatten()
        .map(|part| (part * f64::from(u8::MAX) + 0.5) as u8)
        .collect()
}
