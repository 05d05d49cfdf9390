//! Turns the major diameter and the pitch of a thread into its basic profile.
//!
//! Sources: ISO 68-1 (profile), ISO 724 (basic diameters), ISO 898-1 (stress area) and
//! ASME B1.1 for threads in inches. Frame: u runs along the axis, r away from it.

use std::f64::consts::{FRAC_PI_4, PI};

use super::{Origin, Thread};
use crate::units::{Angle, Force, Length, MM_PER_INCH, Stress};
use std::ops::{Div, Mul};

/// Half the included angle of the ISO and Unified profiles (ISO 68-1; ASME B1.1): 30 degrees.
pub const FLANK_ANGLE: Angle = Angle::degrees(30.0);

/// (d - d2) / 2 in heights of the sharp triangle (ISO 68-1).
const ADDENDUM: f64 = 3.0 / 8.0;
/// (D - D1) / 2 in heights of the sharp triangle (ISO 68-1).
const BASIC_DEPTH: f64 = 5.0 / 8.0;
/// (d - d3) / 2 in heights of the sharp triangle, root rounded with H/6 (ISO 68-1 design
/// profile).
const ROUNDED_DEPTH_ISO: f64 = 17.0 / 24.0;
/// (d - d3) / 2 in heights of the sharp triangle, the UNR root (ASME B1.1, 2 hs = 11/8 H).
const ROUNDED_DEPTH_UNR: f64 = 11.0 / 16.0;
/// The stress area counts the core as d3 = d1 - H/6 (ISO 898-1).
const STRESS_CORE_BELOW_MINOR: f64 = 1.0 / 6.0;
/// As = 0.7854 (D - 0.9743 / n)^2 for a thread in inches (ASME B1.1).
#[expect(
    clippy::approx_constant,
    reason = "the standard's own rounded figure, not pi / 4"
)]
const UNIFIED_STRESS_AREA: (f64, f64) = (0.7854, 0.9743);
/// Core of the minor-diameter area: d - 1.299038 P = d - 3/2 H (Shigley's Mechanical
/// Engineering Design 9th ed., p. 413, Table 8-2 footnote).
const MINOR_AREA_DEPTH: f64 = 3.0 / 4.0;

/// Crest flat of the basic profile, in pitches (ISO 68-1).
pub const CREST_FLAT: f64 = 1.0 / 8.0;
/// Root flat of the basic profile at D1, in pitches (ISO 68-1).
pub const ROOT_FLAT: f64 = 1.0 / 4.0;

/// An area, in square millimetres inside.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Area(f64);

impl Area {
    /// From a number of square millimetres.
    pub const fn square_mm(value: f64) -> Self {
        Self(value)
    }

    /// As a number of square millimetres.
    pub const fn as_square_mm(self) -> f64 {
        self.0
    }

    /// As a number of square inches.
    pub const fn as_square_inches(self) -> f64 {
        self.0 / (MM_PER_INCH * MM_PER_INCH)
    }

    /// Of a disc: pi/4 d^2.
    pub fn circle(diameter: Length) -> Self {
        Self(FRAC_PI_4 * diameter.as_mm() * diameter.as_mm())
    }
}

impl Div<Area> for Force {
    type Output = Stress;
    /// Force spread over an area.
    fn div(self, area: Area) -> Stress {
        Stress::megapascals(self.as_newtons() / area.0)
    }
}

impl Mul<Area> for Stress {
    type Output = Force;
    /// Force of a stress on an area.
    fn mul(self, area: Area) -> Force {
        Force::newtons(self.as_megapascals() * area.0)
    }
}

/// Axial play of a thread with radial gap c at the pitch line: 2 c tan 30 = 1.1547 c.
///
/// Source: flank geometry of ISO 68-1 (derived: each flank moves away by c along the radius, so by
/// c tan 30 along the axis). Valid while c is less than
/// the depth of thread. c = 0.20 mm gives 0.2309 mm; a gap below zero gives no play.
pub fn thread_play(radial_gap: Length) -> Length {
    2.0 * radial_gap.max(Length::ZERO) * FLANK_ANGLE.tan()
}

impl Thread {
    /// H = (sqrt 3 / 2) P, height of the sharp triangle (ISO 68-1).
    pub fn sharp_height(&self) -> Length {
        self.pitch() * (3f64.sqrt() / 2.0)
    }

    /// d2 = D2 = d - 3/4 H, basic pitch diameter (ISO 724). M20x2.5 gives 18.376 mm.
    pub fn pitch_diameter(&self) -> Length {
        self.major() - self.sharp_height() * (2.0 * ADDENDUM)
    }

    /// D1 = D - 5/4 H, the minor diameter of the basic profile and of a nut (ISO 724).
    /// M20x2.5 gives 17.294 mm.
    pub fn minor_internal(&self) -> Length {
        self.major() - self.sharp_height() * (2.0 * BASIC_DEPTH)
    }

    /// d3, the minor diameter of a screw with a rounded root.
    ///
    /// Metric and free threads: d - 17/12 H = d - 1.226869 P (ISO 68-1); M20x2.5 gives
    /// 16.933 mm. Unified threads: the UNR root, d - 11/8 H = d - 1.190785 P (ASME B1.1);
    /// 3/4-10 UNC gives 0.6309 in.
    pub fn minor_external(&self) -> Length {
        let depth = match self.origin {
            Origin::Unified(_) => ROUNDED_DEPTH_UNR,
            Origin::Metric(_) | Origin::Free => ROUNDED_DEPTH_ISO,
        };
        self.major() - self.sharp_height() * (2.0 * depth)
    }

    /// 5/8 H, from crest to root of the basic profile (0.5413 P).
    pub fn depth(&self) -> Length {
        self.sharp_height() * BASIC_DEPTH
    }

    /// h3, from the crest of a screw to its rounded root: (d - d3) / 2.
    pub fn external_depth(&self) -> Length {
        (self.major() - self.minor_external()) / 2.0
    }

    /// As, the area that carries tension.
    ///
    /// Metric and free threads: pi/4 ((d2 + d3) / 2)^2 with d3 = d1 - H/6, that is
    /// pi/4 (d - 0.938194 P)^2 (ISO 898-1); M20x2.5 gives 245 mm2. Unified threads:
    /// 0.7854 (D - 0.9743 / n)^2 in inches (ASME B1.1); 3/4-10 UNC gives 0.334 in2.
    pub fn stress_area(&self) -> Area {
        if let Some(per_inch) = self.threads_per_inch() {
            let (quarter_pi, depth) = UNIFIED_STRESS_AREA;
            let core = self.major() - Length::inches(depth / per_inch);
            return Area(quarter_pi * core.as_mm() * core.as_mm());
        }
        let core = self.minor_internal() - self.sharp_height() * STRESS_CORE_BELOW_MINOR;
        Area::circle((self.pitch_diameter() + core) / 2.0)
    }

    /// Area of the core at d - 3/2 H, as handbooks list it beside the stress area.
    ///
    /// Shigley's Mechanical Engineering Design 9th ed., p. 413. 3/4-10 UNC gives 0.302 in2.
    pub fn minor_area(&self) -> Area {
        Area::circle(self.major() - self.sharp_height() * (2.0 * MINOR_AREA_DEPTH))
    }

    /// Lead angle at the pitch line: the angle whose tangent is lead / (pi d2).
    /// M20x2.5 gives 2.48 degrees.
    pub fn lead_angle(&self) -> Angle {
        Angle::from_tan(self.lead() / (PI * self.pitch_diameter()))
    }

    /// Corners (u, r) of the basic profile over one pitch, centred on a crest at u = 0.
    ///
    /// From u = -P/2 to P/2, u rising: half a root flat at D1/2, a flank, the crest flat at
    /// d/2 (P/8 wide), a flank, half a root flat (the whole one is P/4 wide). The flanks
    /// stand 30 degrees off the normal to the axis (ISO 68-1). The ridge of a screw is below
    /// this line, the metal of a nut above it.
    pub fn basic_profile_corners(&self) -> [(Length, Length); 6] {
        let crest = self.major() / 2.0;
        let root = self.minor_internal() / 2.0;
        let half = self.pitch() * 0.5;
        let crest_end = self.pitch() * (CREST_FLAT / 2.0);
        let root_start = half - self.pitch() * (ROOT_FLAT / 2.0);
        [
            (-half, root),
            (-root_start, root),
            (-crest_end, crest),
            (crest_end, crest),
            (root_start, root),
            (half, root),
        ]
    }

    /// Radius of the basic profile at `u` along the axis, a crest being at u = 0.
    ///
    /// It repeats every pitch and is even in `u`; see [`Thread::basic_profile_corners`].
    pub fn profile_radius(&self, u: Length) -> Length {
        let pitch = self.pitch().as_mm();
        let along = u.as_mm().rem_euclid(pitch);
        let from_crest = Length::mm(along.min(pitch - along));
        let past_crest = from_crest - self.pitch() * (CREST_FLAT / 2.0);
        let drop = past_crest.max(Length::ZERO) / FLANK_ANGLE.tan();
        self.major() / 2.0 - drop.min(self.depth())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn m20() -> Thread {
        "M20x2.5".parse().unwrap()
    }

    #[test]
    fn the_flanks_of_the_basic_profile_stand_thirty_degrees_off_the_normal() {
        let corners = m20().basic_profile_corners();
        for (from, to) in [(1, 2), (3, 4)] {
            let (along, out) = (
                corners[to].0 - corners[from].0,
                (corners[to].1 - corners[from].1).abs(),
            );
            let angle = Angle::from_tan(along / out).as_degrees();
            approx::assert_abs_diff_eq!(angle, 30.0, epsilon = 1e-9);
        }
    }

    #[test]
    fn the_profile_radius_passes_through_every_corner_and_repeats_each_pitch() {
        let thread = m20();
        for (u, r) in thread.basic_profile_corners() {
            for turns in [-2.0, 0.0, 3.0] {
                let at = thread.profile_radius(u + turns * thread.pitch());
                approx::assert_abs_diff_eq!(at.as_mm(), r.as_mm(), epsilon = 1e-9);
            }
        }
    }

    #[test]
    fn the_basic_profile_is_half_ridge_and_half_groove_at_the_pitch_line() {
        // ISO 68-1: on the pitch line ridge and groove are each P/2 wide.
        let thread = m20();
        let at = thread.profile_radius(thread.pitch() / 4.0);
        let pitch_radius = thread.pitch_diameter() / 2.0;
        approx::assert_abs_diff_eq!(at.as_mm(), pitch_radius.as_mm(), epsilon = 1e-9);
    }

    #[test]
    fn the_lead_angle_of_m20_is_two_and_a_half_degrees() {
        // From memory: bolt tables give 2.48 degrees for M20 coarse.
        approx::assert_abs_diff_eq!(m20().lead_angle().as_degrees(), 2.48, epsilon = 0.005);
    }
}
