//! Normal deviates that are the same on every run.

use netlead::units::{Angle, real};

/// A linear congruential generator (Knuth's MMIX constants, from memory), made normal by
/// Box and Muller (1958).
pub(crate) struct Normal(u64);

impl Normal {
    pub(crate) fn seeded(seed: u64) -> Self {
        let mut normal = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66_D1CE_4E5B);
        for _ in 0..8 {
            normal.unit();
        }
        normal
    }

    fn unit(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// One deviate of a standard deviation.
    pub(crate) fn of(&mut self, deviation: f64) -> f64 {
        let radius = (-2.0 * real::ln(self.unit().max(1e-300))).sqrt();
        radius * Angle::turns(self.unit()).cos() * deviation
    }
}
