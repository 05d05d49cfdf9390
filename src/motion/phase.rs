//! Whether a screw's ridges meet the hole's grooves, and what is left between them.
//!
//! A helix of signed lead L has its crest at z = z0 + L theta / (2 pi). Advance it by z and
//! turn it by t turns, and the crest at angle 0 stands at z0 + z - L t. The axial phase error
//! is what the hole's groove is past the screw's crest, modulo lead / starts. While both move
//! by z_m - z_f = L (t_m - t_f), it does not change: in phase at turn 0 is in phase always.
//!
//! Two coaxial threads of one lead are compared in one axial section, the basic profile of
//! their form. The hole's profile is shifted outwards by the radial gap c. (Derived from that
//! geometry.)

use super::solve::Rate;
use crate::assembly::ThreadJoint;
use crate::thread::Thread;
use crate::units::{Angle, Length};

impl ThreadJoint {
    /// Axial phase error with both pieces moved: how far the hole's groove centre is past the
    /// screw's crest centre, in (-P/2, P/2]. Zero is in phase.
    pub fn phase_error(&self, male: Rate, female: Rate) -> Length {
        let lead = self.thread.signed_lead();
        let crest = self.male_crest + male.advance - lead * male.turns;
        let root = self.female_root + female.advance - lead * female.turns;
        within_half_a_pitch(root - crest, self.thread.pitch())
    }

    /// Axial phase error as the parts stand at turn 0.
    pub fn phase_error_at_start(&self) -> Length {
        let still = Rate {
            advance: Length::ZERO,
            turns: 0.0,
        };
        self.phase_error(still, still)
    }
}

/// A length modulo the pitch, in (-P/2, P/2].
fn within_half_a_pitch(length: Length, pitch: Length) -> Length {
    length - pitch * (length / pitch - 0.5).ceil()
}

/// Two coaxial threads of one lead, the hole's profile shifted outwards and along the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct AxialSection {
    flank_angle: Angle,
    gap: Length,
    error: Length,
}

impl AxialSection {
    /// Of a thread with a radial gap c (below zero is interference) and an axial phase error,
    /// taken modulo the pitch.
    pub fn new(thread: &Thread, radial_gap: Length, phase_error: Length) -> Self {
        Self {
            flank_angle: thread.form().flank_angle(),
            gap: radial_gap,
            error: within_half_a_pitch(phase_error, thread.pitch()),
        }
    }

    /// Least gap square to the flanks, c sin a - |e| cos a with a the flank angle; below zero
    /// they overlap.
    ///
    /// They touch at |e| = c tan a. Valid while c is less than the depth of thread. 60 degree
    /// form, c = 0.2 mm in phase: 0.1 mm; touching at 0.1155 mm.
    pub fn flank_gap(&self) -> Length {
        self.gap * self.flank_angle.sin() - self.error.abs() * self.flank_angle.cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread::Hand;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    fn m20() -> Thread {
        Thread::free(Length::mm(20.0), Length::mm(2.5), Hand::Right)
    }

    /// The most by which the screw of M20x2.5 stands out beyond the hole anywhere in a pitch, from
    /// the sharp triangle: a flank of slope root 3 through the pitch line at a quarter of the
    /// pitch, cut off at both diameters.
    fn overlap(c: f64, e: f64) -> f64 {
        const PLACES: u32 = 20_000;
        let p = 2.5;
        let radius = |u: f64| {
            let distance = (u - p * (u / p).round()).abs();
            let [root, pitch_line, crest] = [17.2937, 18.3762, 20.0].map(|across| across / 2.0);
            let flank = pitch_line + 3f64.sqrt() * (p / 4.0 - distance);
            flank.clamp(root, crest)
        };
        let places = (0..PLACES).map(|place| f64::from(place) / f64::from(PLACES) * p);
        let past = places.map(|u| radius(u) - radius(u - e) - c);
        past.fold(f64::NEG_INFINITY, f64::max)
    }

    #[test]
    fn flanks_touch_at_the_gap_times_tan_30_and_overlap_just_past_it() {
        // ISO 68-1: flank angle 30 degrees.
        let contact = 0.2 / 3f64.sqrt();
        let section = |e: f64| AxialSection::new(&m20(), Length::mm(0.2), Length::mm(e));
        assert_abs_diff_eq!(section(0.0).flank_gap().as_mm(), 0.1, epsilon = 1e-12);
        assert_abs_diff_eq!(section(contact).flank_gap().as_mm(), 0.0, epsilon = 1e-12);
        for sign in [-1.0, 1.0] {
            assert!(overlap(0.2, sign * contact * 0.999) < 0.0);
            assert!(overlap(0.2, sign * contact * 1.001) > 0.0);
        }
    }

    #[test]
    fn a_phase_of_half_a_pitch_is_the_same_from_either_side() {
        let p = Length::mm(2.5);
        assert_eq!(within_half_a_pitch(Length::mm(1.25), p), Length::mm(1.25));
        assert_eq!(within_half_a_pitch(Length::mm(-1.25), p), Length::mm(1.25));
        assert_eq!(within_half_a_pitch(Length::mm(7.5), p), Length::ZERO);
    }

    proptest! {
        #[test]
        fn prop_overlap_begins_just_where_the_flank_gap_ends(
            c in 0.0..0.5f64, e in -1.25..1.25f64
        ) {
            let section = AxialSection::new(&m20(), Length::mm(c), Length::mm(e));
            let gap = section.flank_gap().as_mm();
            // Places stand an eighth of a micrometre apart, a flank rises root 3 of it.
            prop_assume!(gap.abs() > 1e-3);
            prop_assert_eq!(overlap(c, e) > 0.0, gap < 0.0);
        }
    }
}
