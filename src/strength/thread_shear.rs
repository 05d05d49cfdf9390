//! Mated threads: what must shear before one strips the other, and the flanks they press on.
//!
//! Areas of one nut and screw over an engaged length. They count a mean over all engaged
//! turns; the first turns carry more, and stripping starts there.

use crate::thread::{Area, Thread};
use crate::units::{Angle, Length};
use std::f64::consts::PI;

/// The diameters at which a screw and its hole meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MatedThreads {
    /// P, from ridge to ridge.
    pub pitch: Length,
    /// Angle of the flanks off the plane across the axis.
    pub flank_angle: Angle,
    /// Ds, major diameter of the screw.
    pub crest: Length,
    /// Es, pitch diameter of the screw.
    pub pitch_external: Length,
    /// Kn, minor diameter of the hole.
    pub bore: Length,
    /// En, pitch diameter of the hole.
    pub pitch_internal: Length,
}

impl MatedThreads {
    /// Basic profiles with a radial gap, all of it on the hole's side.
    pub fn with_gap(thread: &Thread, gap: Length) -> Self {
        let wider = gap.max(Length::ZERO) * 2.0;
        Self {
            pitch: thread.pitch(),
            flank_angle: thread.form().flank_angle(),
            crest: thread.major(),
            pitch_external: thread.pitch_diameter(),
            bore: thread.minor_internal() + wider,
            pitch_internal: thread.pitch_diameter() + wider,
        }
    }

    /// ASs, area of the screw's ridges that shears at the hole's minor diameter:
    /// pi n Le Kn [1/(2n) + tan a (Es - Kn)] with n = 1/P and a the flank angle (ASME B1.1-2003,
    /// app. B, and FED-STD-H28/2B for a = 30 degrees; for others derived: ridges are P/2 wide on
    /// the pitch line, and grow by 2 tan a for each mm of radius below it).
    ///
    /// M10 6g in 6H at Le = 10 mm, Kn = 8.676, Es = 8.862: 155.8 mm2.
    pub fn screw_shear(&self, engaged: Length) -> Area {
        self.shear(engaged, self.bore, self.pitch_external - self.bore)
    }

    /// ASn, area of the hole's ridges that shears at the screw's major diameter:
    /// pi n Le Ds [1/(2n) + tan a (Ds - En)], with the sources of [`Self::screw_shear`].
    ///
    /// M10 6H with a 6g screw at Le = 10 mm, Ds = 9.732, En = 9.206: 214.8 mm2.
    pub fn hole_shear(&self, engaged: Length) -> Area {
        self.shear(engaged, self.crest, self.crest - self.pitch_internal)
    }

    fn shear(&self, engaged: Length, at: Length, beyond_pitch_line: Length) -> Area {
        let root = self.pitch / 2.0 + beyond_pitch_line * self.flank_angle.tan();
        let turns = engaged.max(Length::ZERO) / self.pitch;
        Area::square_mm(PI * turns * at.as_mm() * root.max(Length::ZERO).as_mm())
    }

    /// Flanks in touch, seen along the axis: pi d2 h Le / P with h the depth of engagement
    /// (Ds - Kn)/2 (Shigley, 9th ed., eq. 8-10, with h for the p/2 of a square thread).
    ///
    /// M20x2.5 without gap over 20 mm: 18.376 x 1.353 x 8 pi = 625 mm2.
    pub fn flanks(&self, engaged: Length) -> Area {
        let depth = ((self.crest - self.bore) / 2.0).max(Length::ZERO);
        let turns = engaged.max(Length::ZERO) / self.pitch;
        Area::square_mm(PI * turns * self.pitch_external.as_mm() * depth.as_mm())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    fn m20() -> Thread {
        "M20x2.5".parse().unwrap()
    }

    #[test]
    fn flanks_in_touch_are_rings_one_for_each_engaged_pitch() {
        // Rings from 17.294 to 20 mm would be pi/4 (400 - 299.08) = 79.26 mm2 each, at their mean
        // diameter of 18.647; at the pitch diameter of 18.376 they count 78.11: 8 make 624.9.
        let mated = MatedThreads::with_gap(&m20(), Length::ZERO);
        let flanks = mated.flanks(Length::mm(20.0)).as_square_mm();
        assert_abs_diff_eq!(flanks, 624.9, epsilon = 0.1);
    }

    #[test]
    fn areas_go_with_the_engaged_length_and_shrink_as_the_gap_grows() {
        let at = |gap: f64, engaged: f64| {
            let mated = MatedThreads::with_gap(&m20(), Length::mm(gap));
            let engaged = Length::mm(engaged);
            [
                mated.screw_shear(engaged),
                mated.hole_shear(engaged),
                mated.flanks(engaged),
            ]
            .map(Area::as_square_mm)
        };
        for (one, two) in at(0.2, 10.0).into_iter().zip(at(0.2, 20.0)) {
            assert_relative_eq!(2.0 * one, two, max_relative = 1e-12);
        }
        for (close, loose) in at(0.1, 10.0).into_iter().zip(at(0.3, 10.0)) {
            assert!(loose < close);
        }
        assert_eq!(at(0.2, -1.0), [0.0; 3]);
    }
}
