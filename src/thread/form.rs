//! The form of a thread: the shape of its ridges, whatever their pitch.
//!
//! Sharp triangles of height H stand side by side along the axis, one on each pitch. Their
//! tips are cut off flat at the crest, their feet at the root. All else follows: by similar
//! triangles a flat of a share of the pitch cuts off that share of H, and on the pitch line, at
//! H/2, ridge and groove are each P/2 wide.

use crate::units::Angle;

/// Flank angle, flats and rounding of a thread whose two flanks are alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Form {
    flank_angle: Angle,
    /// In pitches.
    sharp_height: f64,
    /// In pitches.
    crest_flat: f64,
    /// In pitches.
    root_flat: f64,
    /// In heights of the sharp triangle.
    root_rounding: f64,
}

impl Form {
    /// Of metric threads (ISO 68-1): flanks of 30 degrees, so H = sqrt 3 / 2 P, crest P/8, root
    /// P/4. The root of the design profile is rounded with H/6, down to d3 = d - 17/12 H: H/12
    /// below the flat at d - 5/4 H.
    pub const ISO: Self = Self {
        flank_angle: Angle::degrees(30.0),
        sharp_height: 0.866_025_403_784_438_6,
        crest_flat: 1.0 / 8.0,
        root_flat: 1.0 / 4.0,
        root_rounding: 1.0 / 12.0,
    };

    /// Of threads in inches (ASME B1.1): the profile of metric ones with the UNR root, 2 hs =
    /// 11/8 H: H/16 below the flat at d - 5/4 H.
    pub const UNIFIED: Self = Self {
        root_rounding: 1.0 / 16.0,
        ..Self::ISO
    };

    /// Of any flank angle: that of a flank off the plane across the axis, half of that between
    /// two flanks. Flats in pitches, and by how many heights of the sharp triangle a screw's root
    /// is rounded out below its flat.
    ///
    /// Taken as they are: an angle above 0 and below 90 degrees, flats above zero and below a
    /// pitch together, a rounding from zero to the root's flat.
    pub fn symmetric(
        flank_angle: Angle,
        [crest_flat, root_flat]: [f64; 2],
        root_rounding: f64,
    ) -> Self {
        Self {
            flank_angle,
            sharp_height: 0.5 / flank_angle.tan(),
            crest_flat,
            root_flat,
            root_rounding,
        }
    }

    /// Angle of a flank off the plane across the axis: half of that between two flanks.
    pub const fn flank_angle(&self) -> Angle {
        self.flank_angle
    }

    /// Width of the flat on the crest, in pitches.
    pub const fn crest_flat(&self) -> f64 {
        self.crest_flat
    }

    /// Width of the flat in the root, in pitches.
    pub const fn root_flat(&self) -> f64 {
        self.root_flat
    }

    /// Height H of the sharp triangle, in pitches: 1 / (2 tan a) with a the flank angle.
    pub(super) const fn sharp_height(&self) -> f64 {
        self.sharp_height
    }

    /// From the crest to the pitch line, in heights of the sharp triangle. ISO 68-1: 3/8.
    pub(super) const fn addendum(&self) -> f64 {
        0.5 - self.crest_flat
    }

    /// From the crest to the root's flat, in heights of the sharp triangle. ISO 68-1: 5/8.
    pub(super) const fn depth(&self) -> f64 {
        1.0 - self.crest_flat - self.root_flat
    }

    /// From the root's flat to the bottom of a screw's rounded root, in heights of the sharp
    /// triangle.
    pub(super) const fn root_rounding(&self) -> f64 {
        self.root_rounding
    }

    /// Whether ridges of both forms have the same flanks and flats, however their roots are
    /// rounded.
    pub(crate) fn has_profile_of(&self, other: &Self) -> bool {
        let profile = |form: &Self| (form.flank_angle, form.crest_flat, form.root_flat);
        profile(self) == profile(other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heights_of_the_sixty_degree_form_are_those_of_the_standard() {
        // ISO 68-1: H = sqrt 3 / 2 P, 3/8 H above the pitch line and 5/8 H deep; d3 is 17/24 H
        // below the crest. ASME B1.1: the UNR root is 11/16 H below it. Exact: no size of a kit
        // hangs on how a form is kept.
        let (iso, unified) = (Form::ISO, Form::UNIFIED);
        assert_eq!(iso.sharp_height(), 3f64.sqrt() / 2.0);
        assert_eq!((iso.addendum(), iso.depth()), (3.0 / 8.0, 5.0 / 8.0));
        assert_eq!(iso.depth() + iso.root_rounding(), 17.0 / 24.0);
        assert_eq!(unified.depth() + unified.root_rounding(), 11.0 / 16.0);
        assert!(unified.has_profile_of(&iso));
    }

    #[test]
    fn the_sharp_triangle_follows_from_the_flank_angle() {
        let iso = Form::symmetric(Angle::degrees(30.0), [0.125, 0.25], 1.0 / 12.0);
        approx::assert_abs_diff_eq!(
            iso.sharp_height(),
            Form::ISO.sharp_height(),
            epsilon = 1e-15
        );
        let right_angled = Form::symmetric(Angle::degrees(45.0), [0.125, 0.25], 0.0);
        approx::assert_abs_diff_eq!(right_angled.sharp_height(), 0.5, epsilon = 1e-15);
        assert!(!right_angled.has_profile_of(&iso));
    }
}
