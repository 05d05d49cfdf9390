//! Quantities with their units in the type.
//!
//! A [`Length`] is kept in millimetres, an [`Angle`] in radians, a [`Force`] in newtons, a
//! [`Torque`] in newton metres, a [`Stress`] in megapascals, a [`SpringRate`] in newtons for each
//! millimetre. Numbers enter and leave through
//! methods that name the unit. All trigonometry goes through one software implementation
//! (the `libm` crate), so that the same kit gives the same bytes on every machine.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Millimetres in one inch, exactly (international yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Millimetres in one metre: a newton millimetre is a thousandth of a newton metre.
const MM_PER_METRE: f64 = 1000.0;
/// Newtons in one pound-force, exactly: 0.453 592 37 kg x 9.806 65 m/s2.
pub const NEWTON_PER_POUND_FORCE: f64 = 4.448_221_615_260_5;

macro_rules! quantity {
    ($(#[$meta:meta])* $name:ident, $make:ident, $get:ident, $symbol:literal) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("From a number of ", $symbol, ".")]
            pub const fn $make(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("As a number of ", $symbol, ".")]
            pub const fn $get(self) -> f64 {
                self.0
            }

            /// The larger of two.
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of two.
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// Its size without its sign.
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(quantities: I) -> Self {
                quantities.fold(Self::ZERO, Add::add)
            }
        }
        impl fmt::Display for $name {
            /// The number in the given precision (two decimals by default), then the unit.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:.*} {}", f.precision().unwrap_or(2), self.0, $symbol)
            }
        }
    };
}

quantity!(
    /// A length, in millimetres inside.
    Length, mm, as_mm, "mm"
);
quantity!(
    /// A force, in newtons inside.
    Force, newtons, as_newtons, "N"
);
quantity!(
    /// A torque, in newton metres inside.
    Torque, newton_metres, as_newton_metres, "N m"
);
quantity!(
    /// A stress, in megapascals (newtons on a square millimetre) inside.
    Stress, megapascals, as_megapascals, "MPa"
);
quantity!(
    /// The rate of a spring, in newtons for each millimetre inside.
    SpringRate, newtons_per_mm, as_newtons_per_mm, "N/mm"
);
quantity!(
    /// An angle, in radians inside.
    Angle, radians, as_radians, "rad"
);

/// Slack when a length is rounded to a step, as a share of the step: a sum that lands on a
/// whole step but for binary rounding stays there. Guess, far below any printable size.
const STEP_SLACK: f64 = 1e-6;

impl Length {
    /// From a number of inches.
    pub const fn inches(value: f64) -> Self {
        Self(value * MM_PER_INCH)
    }

    /// As a number of inches.
    pub const fn as_inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    /// Rounded up to a whole number of `step`s.
    pub fn up_to(self, step: Self) -> Self {
        Self((self.0 / step.0 - STEP_SLACK).ceil() * step.0)
    }

    /// Rounded down to a whole number of `step`s.
    pub fn down_to(self, step: Self) -> Self {
        Self((self.0 / step.0 + STEP_SLACK).floor() * step.0)
    }
}

impl Force {
    /// From a number of pounds-force.
    pub const fn pounds(value: f64) -> Self {
        Self(value * NEWTON_PER_POUND_FORCE)
    }

    /// As a number of pounds-force.
    pub const fn as_pounds(self) -> f64 {
        self.0 / NEWTON_PER_POUND_FORCE
    }
}

impl SpringRate {
    /// As a number of pounds-force for each inch.
    pub const fn as_pounds_per_inch(self) -> f64 {
        self.0 * MM_PER_INCH / NEWTON_PER_POUND_FORCE
    }
}

impl Mul<Length> for SpringRate {
    type Output = Force;
    /// Force of a spring that is shorter by a length.
    fn mul(self, shorter: Length) -> Force {
        Force::newtons(self.0 * shorter.0)
    }
}

impl Stress {
    /// As a number of pounds-force on a square inch.
    pub const fn as_psi(self) -> f64 {
        self.0 * MM_PER_INCH * MM_PER_INCH / NEWTON_PER_POUND_FORCE
    }
}

impl Mul<Length> for Force {
    type Output = Torque;
    /// Moment of a force at an arm.
    fn mul(self, arm: Length) -> Torque {
        Torque::newton_metres(self.0 * arm.0 / MM_PER_METRE)
    }
}

impl Div<Length> for Torque {
    type Output = Force;
    /// Force that makes a moment at an arm.
    fn div(self, arm: Length) -> Force {
        Force::newtons(self.0 * MM_PER_METRE / arm.0)
    }
}

impl Torque {
    /// As a number of newton millimetres, in which stresses are reckoned.
    pub const fn as_newton_mm(self) -> f64 {
        self.0 * MM_PER_METRE
    }

    /// From a number of pound-force inches.
    pub const fn pound_inches(value: f64) -> Self {
        Self(value * NEWTON_PER_POUND_FORCE * MM_PER_INCH / 1000.0)
    }

    /// As a number of pound-force inches.
    pub const fn as_pound_inches(self) -> f64 {
        self.0 / (NEWTON_PER_POUND_FORCE * MM_PER_INCH / 1000.0)
    }
}

impl Angle {
    /// One full turn.
    pub const TURN: Self = Self(std::f64::consts::TAU);

    /// From a number of turns.
    pub const fn turns(value: f64) -> Self {
        Self(value * std::f64::consts::TAU)
    }

    /// As a number of turns.
    pub const fn as_turns(self) -> f64 {
        self.0 / std::f64::consts::TAU
    }

    /// From a number of degrees.
    pub const fn degrees(value: f64) -> Self {
        Self(value * std::f64::consts::PI / 180.0)
    }

    /// As a number of degrees.
    pub const fn as_degrees(self) -> f64 {
        self.0 * 180.0 / std::f64::consts::PI
    }

    /// The angle of the point (x, y) from the x axis, in (-half a turn, half a turn].
    pub fn of_point(x: f64, y: f64) -> Self {
        Self(libm::atan2(y, x))
    }

    /// The angle, in plus or minus a quarter turn, whose tangent this is.
    pub fn from_tan(tangent: f64) -> Self {
        Self(libm::atan(tangent))
    }

    /// The angle, in plus or minus a quarter turn, whose sine this is; the sine is in -1..1.
    pub fn from_sin(sine: f64) -> Self {
        Self(libm::asin(sine))
    }

    /// The angle, in zero to half a turn, whose cosine this is; the cosine is in -1..1.
    pub fn from_cos(cosine: f64) -> Self {
        Self(libm::acos(cosine))
    }

    /// Sine.
    pub fn sin(self) -> f64 {
        libm::sin(self.0)
    }

    /// Cosine.
    pub fn cos(self) -> f64 {
        libm::cos(self.0)
    }

    /// Tangent.
    pub fn tan(self) -> f64 {
        libm::tan(self.0)
    }

    /// Sine and cosine.
    pub fn sin_cos(self) -> (f64, f64) {
        libm::sincos(self.0)
    }
}

/// Functions of plain numbers that a platform's maths library may round its own way.
pub mod real {
    /// `base` to the power `exponent`.
    pub fn pow(base: f64, exponent: f64) -> f64 {
        libm::pow(base, exponent)
    }

    /// Cube root.
    pub fn cbrt(value: f64) -> f64 {
        libm::cbrt(value)
    }

    /// e to the power `value`.
    pub fn exp(value: f64) -> f64 {
        libm::exp(value)
    }

    /// Natural logarithm.
    pub fn ln(value: f64) -> f64 {
        libm::log(value)
    }

    /// The complementary error function.
    pub fn erfc(value: f64) -> f64 {
        libm::erfc(value)
    }

    /// Natural logarithm of the gamma function's size.
    pub fn ln_gamma(value: f64) -> f64 {
        libm::lgamma(value)
    }

    /// Ten to a whole power, the decimal number itself rounded to the nearest double.
    pub fn power_of_ten(power: i32) -> f64 {
        format!("1e{power}").parse().unwrap_or(f64::NAN)
    }

    /// Length of the vector (x, y).
    pub fn hypot(x: f64, y: f64) -> f64 {
        libm::hypot(x, y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_that_lands_on_a_whole_step_is_not_pushed_to_the_next() {
        let layer = Length::mm(0.15);
        let seven = Length::mm(0.15 + 0.3 + 0.6);
        assert_eq!(seven.up_to(layer), 7.0 * layer);
        assert_eq!(seven.down_to(layer), 7.0 * layer);
        assert_eq!(Length::mm(1.06).up_to(layer), 8.0 * layer);
        assert_eq!(Length::mm(1.19).down_to(layer), 7.0 * layer);
    }

    #[test]
    fn pound_inch_matches_the_published_factor() {
        // NIST SP 811 (2008), appendix B.8: 1 lbf in = 0.112 984 8 N m.
        approx::assert_abs_diff_eq!(
            Torque::pound_inches(1.0).as_newton_metres(),
            0.112_984_8,
            epsilon = 5e-8
        );
    }
}
