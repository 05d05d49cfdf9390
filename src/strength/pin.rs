//! Pins that lie across a load: round with one flat, sheared and bent in the holes that hold
//! them.

use crate::thread::Area;
use crate::units::{Force, Length, Stress, Torque};
use std::f64::consts::{PI, SQRT_2};

/// A printed pin with one flat of 0.707 diameters, which stands beside the load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LyingPin {
    /// Diameter.
    pub diameter: Length,
}

/// Area in squared diameters: the circle less the segment beyond a flat that spans a right
/// angle, pi/4 - (pi/2 - 1)/8 (derived).
const AREA: f64 = PI / 4.0 - (PI / 2.0 - 1.0) / 8.0;
/// Section modulus in cubed diameters. The flat lies along the load, so the segment is near the
/// neutral axis: I = r^4 [pi/4 - (3 pi/4 - 2)/12], over r (derived).
const MODULUS: f64 = (PI / 4.0 - (3.0 * PI / 4.0 - 2.0) / 12.0) / 8.0;
/// The same for a load at 45 degrees to the flat, at the flat's edge, where it is least. In a
/// circle of radius 1 the edge is at x = y = cos 45 deg; the segment, with a first moment of
/// sqrt 2 / 6, shifts the centroid by that over A and leaves I' = pi/4 - pi/16 - A shift^2 of
/// the second moment across the flat; 1 / [(x / I + (y + shift) / I') cos 45 deg] (derived).
const MODULUS_ASKEW: f64 = {
    let edge = SQRT_2 / 2.0;
    let area = 4.0 * AREA;
    let shift = SQRT_2 / 6.0 / area;
    let along = 8.0 * MODULUS;
    let across = PI / 4.0 - PI / 16.0 - area * shift * shift;
    1.0 / ((edge / along + (edge + shift) / across) * edge) / 8.0
};
/// Load that presses square on a flank at 45 degrees over its part along the axis, 1 / cos 45 deg.
pub const ON_FLANK: f64 = SQRT_2;
/// Second moment in diameters to the fourth.
const INERTIA: f64 = MODULUS / 2.0;
/// What a printed hole gives way under a pin, as a share of Young's modulus: for a beam in solid
/// ground of its own stiffness Vesic's formula gives 0.95 (from memory); walls and infill are
/// softer. Guess.
const FOUNDATION: f64 = 0.5;
/// Greatest moment of a long beam in elastic ground that is sheared at its end, in shear over
/// beta: e^(-pi/4) sin(pi/4) (Hetenyi, Beams on Elastic Foundation, 1946, semi-infinite beam,
/// load at the end; from memory).
const END_SHEARED: f64 = 0.322_396_941_9;

impl LyingPin {
    /// 0.714 d^2. 5.5 mm: 21.6 mm2.
    pub fn area(&self) -> Area {
        let diameter = self.diameter.as_mm();
        Area::square_mm(AREA * diameter * diameter)
    }

    /// Mean shear of one section, V / A (common practice for pins). 230 N on 5.5 mm: 10.6 MPa.
    pub fn shear(&self, shear: Force) -> Stress {
        shear / self.area()
    }

    /// M / Z with Z = 0.0945 d^3. 1 N m on 5.5 mm: 63.6 MPa.
    pub fn bending(&self, moment: Torque) -> Stress {
        self.over(moment, MODULUS)
    }

    fn over(&self, moment: Torque, modulus: f64) -> Stress {
        let diameter = self.diameter.as_mm();
        let modulus = modulus * diameter * diameter * diameter;
        Stress::megapascals(moment.as_newton_mm() / modulus)
    }

    /// M / Z of a load at 45 degrees to the flat, which stands away from it: Z = 0.0761 d^3.
    ///
    /// Greatest at the flat's edge, which is pulled: the load is taken apart along and across
    /// the flat, each part over its own second moment, the second about the centroid (unsymmetric
    /// bending, Shigley, 9th ed., sect. 3-10, from memory; derived). 1 N m on 5 mm: 105 MPa.
    pub fn bending_askew(&self, moment: Torque) -> Stress {
        self.over(moment, MODULUS_ASKEW)
    }

    /// 1/beta, over which a hole takes up the load of the pin in it: (4 I / (k d^4))^(1/4) d
    /// with k the hole's give, half of Young's modulus, which cancels (Hetenyi, 1946; from
    /// memory). 5.5 mm: 4.3 mm.
    pub fn bedding_length(&self) -> Length {
        self.diameter * (4.0 * INERTIA / FOUNDATION).sqrt().sqrt()
    }

    /// Greatest moment where a load goes over from one hole into another beside it: the pin is
    /// bedded in both, sheared between them, and free over `gap`.
    ///
    /// 0.3224 V / beta + V gap / 2. A knuckle-joint formula, which spreads the load evenly over
    /// all of each hole, gives several times as much, and no printed pin would pass.
    pub fn moment(&self, shear: Force, gap: Length) -> Torque {
        shear * (self.bedding_length() * END_SHEARED + gap.max(Length::ZERO) / 2.0)
    }

    /// Greatest moment where a load presses on one place of a pin that holes bed on both sides,
    /// each `gap` away: V / (2 beta) + V gap, V the half that goes to either side (Hetenyi, 1946,
    /// infinite beam, P / (4 beta); from memory).
    pub fn moment_in_the_middle(&self, shear: Force, gap: Length) -> Torque {
        shear * (self.bedding_length() / 2.0 + gap.max(Length::ZERO))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::real;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    #[test]
    fn a_pin_with_a_flat_has_the_area_and_modulus_of_its_strips() {
        // Independent: strips across the load, radius 1, the flat at y = cos 45 deg.
        let steps = 200_000;
        let (mut area, mut inertia) = (0.0, 0.0);
        let flat = 0.5f64.sqrt();
        let step = (flat + 1.0) / f64::from(steps);
        for strip in 0..steps {
            let y = -1.0 + (f64::from(strip) + 0.5) * step;
            let half = (1.0 - y * y).sqrt();
            area += 2.0 * half * step;
            inertia += 2.0 / 3.0 * half * half * half * step;
        }
        let pin = LyingPin {
            diameter: Length::mm(2.0),
        };
        assert_relative_eq!(pin.area().as_square_mm(), area, max_relative = 1e-6);
        // M / Z with Z = I / 1 mm.
        let stress = pin.bending(Torque::newton_metres(1.0)).as_megapascals();
        assert_relative_eq!(stress, 1000.0 / inertia, max_relative = 1e-6);
    }

    #[test]
    fn a_pin_pushed_at_45_degrees_to_its_flat_is_stressed_as_its_cells_say() {
        // Independent: cells of a grid, radius 1, the load along the diagonal; no principal axes.
        let cells = 1000;
        let middle = |cell: i32| 2.0 * (f64::from(cell) + 0.5) / f64::from(cells) - 1.0;
        let all = (0..cells).flat_map(|x| (0..cells).map(move |y| [middle(x), middle(y)]));
        let flat = 0.5f64.sqrt();
        let held = all.filter(|[x, y]| x * x + y * y < 1.0 && *y < flat);
        let held: Vec<[f64; 2]> = held.collect();
        let cell = (2.0 / f64::from(cells)) * (2.0 / f64::from(cells));
        let centre = held.iter().map(|[_, y]| y).sum::<f64>() / held.len() as f64;
        let sum = |of: fn(f64, f64) -> f64| {
            held.iter().map(|[x, y]| of(*x, y - centre)).sum::<f64>() * cell
        };
        let (xx, yy) = (sum(|x, _| x * x), sum(|_, y| y * y));
        let greatest = held
            .iter()
            .map(|[x, y]| ((x / xx + (y - centre) / yy) * flat).abs());
        let greatest = greatest.fold(0.0, f64::max);
        let pin = LyingPin {
            diameter: Length::mm(2.0),
        };
        let moment = Torque::newton_metres(1.0);
        let stress = pin.bending_askew(moment).as_megapascals();
        assert_relative_eq!(stress, 1000.0 * greatest, max_relative = 5e-3);
        assert!(stress > 1.2 * pin.bending(moment).as_megapascals());
    }

    #[test]
    fn the_moment_of_a_bedded_pin_is_the_crest_of_a_damped_wave() {
        // Hetenyi: M(x) = V/beta e^(-beta x) sin(beta x); its greatest, by trying.
        let crest = (0..10_000)
            .map(|step| {
                let x = f64::from(step) / 2000.0;
                real::exp(-x) * crate::units::Angle::radians(x).sin()
            })
            .fold(0.0, f64::max);
        assert_relative_eq!(crest, END_SHEARED, max_relative = 1e-6);
        let pin = LyingPin {
            diameter: Length::mm(5.5),
        };
        let close = pin.moment(Force::newtons(100.0), Length::ZERO);
        assert_relative_eq!(
            close.as_newton_mm(),
            100.0 * crest * pin.bedding_length().as_mm(),
            max_relative = 1e-6
        );
        let open = pin.moment(Force::newtons(100.0), Length::mm(1.0));
        assert_abs_diff_eq!((open - close).as_newton_mm(), 50.0, epsilon = 1e-9);
    }
}
