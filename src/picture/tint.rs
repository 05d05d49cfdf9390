//! Colours of pictures: muted greys for pieces, one spot colour for what a step is about.
//!
//! Numbers, hatch angles and ink tell pieces apart first; tints come second, and differ in lightness,
//! so that they do on a grey printer too.

/// Colour of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tint {
    /// One of the greys, by a number that is taken in turn.
    Grey(usize),
    /// What a step is about.
    Spot,
    /// What is there already, in a picture that is about something else.
    Pale,
}

/// Greys of pieces, as shares of red, green and blue.
const GREYS: [[f64; 3]; 6] = [
    [0.87, 0.89, 0.91],
    [0.60, 0.69, 0.78],
    [0.83, 0.78, 0.73],
    [0.52, 0.60, 0.62],
    [0.72, 0.74, 0.80],
    [0.66, 0.60, 0.58],
];
const SPOT: [f64; 3] = [0.33, 0.56, 0.78];
const PALE: [f64; 3] = [0.93, 0.94, 0.95];
/// Of lines.
pub(super) const INK: [f64; 3] = [0.10, 0.12, 0.15];
/// Of the sheet.
pub(super) const PAPER: [f64; 3] = [1.0, 1.0, 1.0];

/// Families of colours: the greys, the spot and the pale one.
const FAMILIES: usize = GREYS.len() + 2;
/// Shades of each: a twenty-fourth of lightness is not seen as a step, and few shades make small files.
pub(super) const SHADES: usize = 24;
/// Share of a tint that a face turned from the light keeps.
const DARKEST: f64 = 0.42;

/// Numbers of ink and paper in the palette.
pub(super) const INK_INDEX: u8 = 0;
pub(super) const PAPER_INDEX: u8 = 1;
const FIRST: usize = 2;

impl Tint {
    fn family(self) -> usize {
        match self {
            Self::Grey(number) => number % GREYS.len(),
            Self::Spot => GREYS.len(),
            Self::Pale => GREYS.len() + 1,
        }
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
    let tints = GREYS.into_iter().chain([SPOT, PALE]);
    let shades = tints.flat_map(|tint| {
        (0..SHADES).map(move |shade| {
            let light = shade as f64 / (SHADES - 1) as f64;
            tint.map(|part| part * (DARKEST + (1.0 - DARKEST) * light))
        })
    });
    let all = [INK, PAPER].into_iter().chain(shades);
    debug_assert!(FIRST + FAMILIES * SHADES <= 256, "a palette has 256 places");
    all.flatten()
        .map(|part| (part * f64::from(u8::MAX) + 0.5) as u8)
        .collect()
}
