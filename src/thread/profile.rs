//! Turns the form, the major diameter and the pitch of a thread into its basic profile.
//!
//! Sources: ISO 68-1 (profile), ISO 724 (basic diameters), ISO 898-1 (stress area) and
//! ASME B1.1 for threads in inches; for any other [`Form`](super::Form) the same geometry.
//! Frame: u runs along the axis, r away from it.

use std::f64::consts::{FRAC_PI_4, PI};

use super::Thread;
use crate::units::{Angle, Force, Length, MM_PER_INCH, Stress};
use std::ops::{Div, Mul};

/// As = 0.7854 (D - 0.9743 / n)^2 for a thread in inches (ASME B1.1).
#[expect(
    clippy::approx_constant,
    reason = "the standard's own rounded figure, not pi / 4"
)]
const UNIFIED_STRESS_AREA: (f64, f64) = (0.7854, 0.9743);
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

impl Thread {
    /// H, height of the sharp triangle: P / (2 tan a) with a the flank angle. 60 degree
    /// form: (sqrt 3 / 2) P (ISO 68-1).
    fn sharp_height(&self) -> Length {
        self.pitch() * self.form().sharp_height()
    }

    /// d2 = D2, basic pitch diameter: where ridge and groove are each P/2 wide. 60 degree form:
    /// d - 3/4 H (ISO 724). M20x2.5 gives 18.376 mm.
    pub fn pitch_diameter(&self) -> Length {
        self.major() - self.sharp_height() * (2.0 * self.form().addendum())
    }

    /// D1, the minor diameter of the basic profile and of a nut. 60 degree form: D - 5/4 H
    /// (ISO 724). M20x2.5 gives 17.294 mm.
    pub fn minor_internal(&self) -> Length {
        self.major() - self.sharp_height() * (2.0 * self.form().depth())
    }

    /// d3, the minor diameter of a screw with a rounded root, as its form has it.
    ///
    /// Metric and free threads: d - 17/12 H = d - 1.226869 P (ISO 68-1); M20x2.5 gives
    /// 16.933 mm. Unified threads: the UNR root, d - 11/8 H = d - 1.190785 P (ASME B1.1);
    /// 3/4-10 UNC gives 0.6309 in.
    pub fn minor_external(&self) -> Length {
        let form = self.form();
        self.major() - self.sharp_height() * (2.0 * (form.depth() + form.root_rounding()))
    }

    /// From crest to root of the basic profile. 60 degree form: 5/8 H, 0.5413 P.
    pub fn depth(&self) -> Length {
        self.sharp_height() * self.form().depth()
    }

    /// Axial play of a radial gap c at the pitch line: 2 c tan a, a the flank angle.
    ///
    /// Derived: each flank moves away by c along the radius, so by c tan a along the axis. Valid
    /// while c is less than the depth. c = 0.20 mm gives the 60 degree form 0.2309 mm; a gap
    /// below zero gives no play.
    pub fn play(&self, radial_gap: Length) -> Length {
        2.0 * radial_gap.max(Length::ZERO) * self.form().flank_angle().tan()
    }

    /// As, the area that carries tension.
    ///
    /// Metric and free threads: pi/4 ((d2 + d3) / 2)^2. 60 degree form: d3 = d1 - H/6, that is
    /// pi/4 (d - 0.938194 P)^2 (ISO 898-1); M20x2.5 gives 245 mm2. Unified threads:
    /// 0.7854 (D - 0.9743 / n)^2 in inches (ASME B1.1); 3/4-10 UNC gives 0.334 in2.
    pub fn stress_area(&self) -> Area {
        if let Some(per_inch) = self.threads_per_inch() {
            let (quarter_pi, depth) = UNIFIED_STRESS_AREA;
            let core = self.major() - Length::inches(depth / per_inch);
            return Area(quarter_pi * core.as_mm() * core.as_mm());
        }
        let core =
            self.minor_internal() - self.sharp_height() * (2.0 * self.form().root_rounding());
        Area::circle((self.pitch_diameter() + core) / 2.0)
    }

    /// Lead angle at the pitch line: the angle whose tangent is lead / (pi d2).
    /// M20x2.5 gives 2.48 degrees.
    pub fn lead_angle(&self) -> Angle {
        Angle::from_tan(self.lead() / (PI * self.pitch_diameter()))
    }

    /// Corners (u, r) of one period of the basic profile, from the crest centred at u = 0 on.
    ///
    /// Both ends of the crest's flat at d/2, then both ends of the root's flat at D1/2; between
    /// them the flanks, the last of which ends a pitch after the first corner. 60 degree form:
    /// crest P/8, root P/4 wide, flanks 30 degrees off the normal to the axis (ISO 68-1). The
    /// ridge of a screw is below this line, the metal of a nut above it.
    pub fn basic_profile_corners(&self) -> [(Length, Length); 4] {
        let form = self.form();
        let (crest, root) = (self.major() / 2.0, self.minor_internal() / 2.0);
        let crest_end = self.pitch() * (form.crest_flat() / 2.0);
        [
            (-crest_end, crest),
            (crest_end, crest),
            (self.pitch() * (0.5 - form.root_flat() / 2.0), root),
            (self.pitch() * (0.5 + form.root_flat() / 2.0), root),
        ]
    }

    /// Radius of the basic profile at `u` along the axis, a crest being at u = 0.
    ///
    /// It repeats every pitch and is even in `u`; see [`Thread::basic_profile_corners`].
    pub fn profile_radius(&self, u: Length) -> Length {
        let form = self.form();
        let pitch = self.pitch().as_mm();
        let along = u.as_mm().rem_euclid(pitch);
        let from_crest = Length::mm(along.min(pitch - along));
        let past_crest = from_crest - self.pitch() * (form.crest_flat() / 2.0);
        let drop = past_crest.max(Length::ZERO) / form.flank_angle().tan();
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
        let [_, falls, foot, rises] = m20().basic_profile_corners();
        let next = (m20().basic_profile_corners()[0].0 + m20().pitch(), falls.1);
        for (from, to) in [(falls, foot), (rises, next)] {
            let (along, out) = (to.0 - from.0, (to.1 - from.1).abs());
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
    fn play_of_a_thread_is_two_over_root_three_of_its_radial_gap() {
        // ISO 68-1: flank angle 30 degrees, whose tangent is 1 / root 3.
        let play = m20().play(Length::mm(0.3));
        approx::assert_abs_diff_eq!(play.as_mm(), 0.3 * 2.0 / 3f64.sqrt(), epsilon = 1e-15);
    }

    #[test]
    fn interference_leaves_no_play() {
        assert_eq!(m20().play(Length::mm(-0.1)), Length::ZERO);
    }

    #[test]
    fn the_lead_angle_of_m20_is_two_and_a_half_degrees() {
        // From memory: bolt tables give 2.48 degrees for M20 coarse.
        approx::assert_abs_diff_eq!(m20().lead_angle().as_degrees(), 2.48, epsilon = 0.005);
    }
}
