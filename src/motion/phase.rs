//! Whether a screw's ridges meet the hole's grooves, and what is left between them.
//!
//! A helix of signed lead L has its crest at z = z0 + L theta / (2 pi). Advance it by z and
//! turn it by t turns, and the crest at angle 0 stands at z0 + z - L t. The axial phase error
//! is what the hole's groove is past the screw's crest, modulo lead / starts. While both move
//! by z_m - z_f = L (t_m - t_f), it does not change: in phase at turn 0 is in phase always.
//!
//! Two coaxial threads of one lead are compared in one axial section, the basic profile of
//! ISO 68-1: crest P/8 wide, root P/4 wide, flanks at 30 degrees, depth 5/8 H. The hole's
//! profile is shifted outwards by the radial gap c. (Derived from that geometry.)

use super::solve::Rate;
use crate::assembly::ThreadJoint;
use crate::thread::{FLANK_ANGLE, Thread};
use crate::units::Length;
use std::f64::consts::PI;

/// Half the width of the crest, as a share of the pitch (ISO 68-1: crest P/8).
const CREST_HALF: f64 = 1.0 / 16.0;
/// Where the flank meets the root, from the crest's centre, as a share of the pitch
/// (ISO 68-1: root P/4, so half a pitch less P/8).
const ROOT_START: f64 = 3.0 / 8.0;

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
    major_radius: f64,
    minor_radius: f64,
    pitch: f64,
    gap: f64,
    error: f64,
}

impl AxialSection {
    /// Of a thread with a radial gap c (below zero is interference) and an axial phase error,
    /// taken modulo the pitch.
    pub fn new(thread: &Thread, radial_gap: Length, phase_error: Length) -> Self {
        Self {
            major_radius: thread.major().as_mm() / 2.0,
            minor_radius: thread.minor_internal().as_mm() / 2.0,
            pitch: thread.pitch().as_mm(),
            gap: radial_gap.as_mm(),
            error: within_half_a_pitch(phase_error, thread.pitch()).as_mm(),
        }
    }

    /// Least gap square to the flanks, c/2 - |e| cos 30; below zero they overlap.
    ///
    /// They touch at |e| = c tan 30. Valid while c is less than the depth of thread. c = 0.2 mm in phase: 0.1 mm; touching at 0.1155 mm.
    pub fn flank_gap(&self) -> Length {
        Length::mm(self.gap * FLANK_ANGLE.sin() - self.error.abs() * FLANK_ANGLE.cos())
    }

    /// Area of the overlap in one pitch of the axial section, in mm2.
    pub fn overlap_area(&self) -> f64 {
        self.integral(|male, female| male - female)
    }

    /// Volume of the overlap in each mm of engaged length, in mm3/mm.
    ///
    /// (1/P) x the integral over one pitch of pi (r_male^2 - r_female^2) where it is above
    /// zero: at each z the angle runs through all of the section, whatever the starts.
    /// M20x2.5 with c = 0.2 mm, half a pitch out of phase: 21.26 mm3/mm.
    pub fn overlap_per_length(&self) -> f64 {
        self.integral(|male, female| PI * (male * male - female * female)) / self.pitch
    }

    /// Radius of the screw at `u` from its crest's centre.
    fn male(&self, u: f64) -> f64 {
        let distance = (u - self.pitch * (u / self.pitch).round()).abs();
        let depth = self.major_radius - self.minor_radius;
        let along_flank = (distance / self.pitch - CREST_HALF) / (ROOT_START - CREST_HALF);
        self.major_radius - depth * along_flank.clamp(0.0, 1.0)
    }

    /// Radius of the hole there.
    fn female(&self, u: f64) -> f64 {
        self.male(u - self.error) + self.gap
    }

    /// Integral over one pitch of a difference of the radii, where the screw's is the larger.
    ///
    /// Both radii are straight between their corners and where they cross, so Simpson's rule
    /// is exact there for any difference up to the third degree.
    fn integral(&self, difference: impl Fn(f64, f64) -> f64) -> f64 {
        let at = |u: f64| difference(self.male(u), self.female(u)).max(0.0);
        self.pieces()
            .windows(2)
            .map(|ends| {
                let (a, b) = (ends[0], ends[1]);
                (b - a) / 6.0 * (at(a) + 4.0 * at(0.5 * (a + b)) + at(b))
            })
            .sum()
    }

    /// Ends of the stretches of one pitch in which both radii are straight and do not cross.
    fn pieces(&self) -> Vec<f64> {
        let corners = [-ROOT_START, -CREST_HALF, CREST_HALF, ROOT_START];
        let half = 0.5 * self.pitch;
        let mut ends = vec![-half, half];
        for corner in corners.map(|share| share * self.pitch) {
            let shifted = corner + self.error;
            ends.extend([
                corner,
                shifted - self.pitch * (shifted / self.pitch).round(),
            ]);
        }
        ends.sort_by(f64::total_cmp);
        let excess = |u: f64| self.male(u) - self.female(u);
        let crossings: Vec<f64> = ends
            .windows(2)
            .filter_map(|pair| {
                let (left, right) = (excess(pair[0]), excess(pair[1]));
                (left * right < 0.0).then(|| pair[0] + (pair[1] - pair[0]) * left / (left - right))
            })
            .collect();
        ends.extend(crossings);
        ends.sort_by(f64::total_cmp);
        ends
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread::Hand;
    use approx::{assert_abs_diff_eq, assert_relative_eq};
    use proptest::prelude::*;

    fn m20() -> Thread {
        Thread::free(Length::mm(20.0), Length::mm(2.5), Hand::Right)
    }

    /// The basic profile drawn anew from its sharp triangle: a straight flank of slope root 3
    /// through the pitch line at a quarter of the pitch, cut off at both diameters.
    fn radius(thread: &Thread, u: f64) -> f64 {
        let p = thread.pitch().as_mm();
        let distance = (u - p * (u / p).round()).abs();
        let flank = thread.pitch_diameter().as_mm() / 2.0 + 3f64.sqrt() * (p / 4.0 - distance);
        flank.clamp(
            thread.minor_internal().as_mm() / 2.0,
            thread.major().as_mm() / 2.0,
        )
    }

    /// Overlap (mm2 in one pitch, mm3 in each mm) by plain summing of many thin slices.
    fn by_slices(thread: &Thread, c: f64, e: f64) -> (f64, f64) {
        const SLICES: u32 = 200_000;
        let p = thread.pitch().as_mm();
        let step = p / f64::from(SLICES);
        let mut sums = (0.0, 0.0);
        for slice in 0..SLICES {
            let u = (f64::from(slice) + 0.5) * step;
            let (male, female) = (radius(thread, u), radius(thread, u - e) + c);
            if male > female {
                sums.0 += (male - female) * step;
                sums.1 += PI * (male * male - female * female) * step / p;
            }
        }
        sums
    }

    #[test]
    fn overlap_out_of_phase_matches_slices() {
        for (c, e) in [
            (0.2, 1.25),
            (0.2, -0.6),
            (0.05, 0.3),
            (0.3, 0.1),
            (-0.02, 0.0),
        ] {
            let section = AxialSection::new(&m20(), Length::mm(c), Length::mm(e));
            let (area, volume) = by_slices(&m20(), c, e);
            assert_relative_eq!(
                section.overlap_area(),
                area,
                max_relative = 1e-6,
                epsilon = 1e-9
            );
            assert_relative_eq!(
                section.overlap_per_length(),
                volume,
                max_relative = 1e-6,
                epsilon = 1e-9
            );
        }
    }

    #[test]
    fn flanks_touch_at_the_gap_times_tan_30_and_overlap_just_past_it() {
        // ISO 68-1: flank angle 30 degrees.
        let contact = 0.2 / 3f64.sqrt();
        let section = |e: f64| AxialSection::new(&m20(), Length::mm(0.2), Length::mm(e));
        assert_abs_diff_eq!(section(0.0).flank_gap().as_mm(), 0.1, epsilon = 1e-12);
        assert_abs_diff_eq!(section(contact).flank_gap().as_mm(), 0.0, epsilon = 1e-12);
        for sign in [-1.0, 1.0] {
            assert_eq!(section(sign * contact * 0.999).overlap_area(), 0.0);
            assert!(section(sign * contact * 1.001).overlap_area() > 0.0);
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
            prop_assume!(gap.abs() > 1e-6);
            prop_assert_eq!(section.overlap_per_length() > 0.0, gap < 0.0);
        }
    }
}
