//! A side of a channel: a rectangle that is pulled beside its middle.

use crate::units::{Force, Length, Stress, Torque};

/// One of the two sides of a frame with a square channel.
///
/// Section: x across the channel, y along the side. What joins the sides below counts nothing, which
/// is on the safe side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cheek {
    /// Along x.
    pub thickness: Length,
    /// Along y.
    pub height: Length,
    /// From the frame's axis to its inner face.
    pub inner: Length,
    /// What its walls are thick, [`SOLID`](super::SOLID) where it is printed so; the inside counts nothing.
    pub walls: Length,
}

impl Cheek {
    /// Greatest stress under a pull along the axis at `at` from it: F/A + F e c / I about the
    /// middle (Shigley, 9th ed., sect. 3-14).
    ///
    /// 5 mm thick and 40 high, solid, 200 N at its inner face: 1 + 3 = 4 MPa.
    pub fn pulled(&self, force: Force, at: Length) -> Stress {
        let (thick, high) = (self.thickness.as_mm(), self.height.as_mm());
        let left = |outer: f64| (outer - self.walls.as_mm() * 2.0).max(0.0);
        let (thin, low) = (left(thick), left(high));
        let area = thick * high - thin * low;
        let inertia = (high * thick * thick * thick - low * thin * thin * thin) / 12.0;
        let eccentric = (at - self.inner - self.thickness / 2.0).abs().as_mm();
        let stress = 1.0 / area + eccentric * (thick / 2.0) / inertia;
        Stress::megapascals(force.as_newtons() * stress)
    }

    /// Greatest stress under a moment that bends it along its height, M (h/2) / I (Shigley, 9th ed.,
    /// eq. 3-24). 5 mm thick and 40 high, solid, 4 N m: 3 MPa.
    pub fn bent_along(&self, moment: Torque) -> Stress {
        let (thick, high) = (self.thickness.as_mm(), self.height.as_mm());
        let left = |outer: f64| (outer - self.walls.as_mm() * 2.0).max(0.0);
        let (thin, low) = (left(thick), left(high));
        let inertia = (thick * high * high * high - thin * low * low * low) / 12.0;
        Stress::megapascals(moment.as_newton_mm().abs() * high / 2.0 / inertia)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::SOLID;
    use approx::assert_relative_eq;

    #[test]
    fn a_side_that_is_pulled_at_its_face_bears_four_times_what_it_bears_in_the_middle() {
        let pulled = |walls, at| {
            let cheek = Cheek {
                thickness: Length::mm(5.0),
                height: Length::mm(40.0),
                inner: Length::mm(15.0),
                walls,
            };
            let stress = cheek.pulled(Force::newtons(200.0), Length::mm(at));
            stress.as_megapascals()
        };
        assert_relative_eq!(pulled(SOLID, 17.5), 1.0, max_relative = 1e-12);
        assert_relative_eq!(pulled(SOLID, 15.0), 4.0, max_relative = 1e-12);
        assert_relative_eq!(pulled(SOLID, 20.0), 4.0, max_relative = 1e-12);
        // Hand calculation: walls of 1 mm leave 200 - 3 x 38 = 86 mm2.
        let along = |walls| {
            let cheek = Cheek {
                thickness: Length::mm(5.0),
                height: Length::mm(40.0),
                inner: Length::mm(15.0),
                walls,
            };
            cheek
                .bent_along(Torque::newton_metres(4.0))
                .as_megapascals()
        };
        // 6 x 4000 / (5 x 1600); walls of 1 mm leave (5 x 64 000 - 3 x 54 872) / 12 = 12 949 mm4.
        assert_relative_eq!(along(SOLID), 3.0, max_relative = 1e-12);
        let of_walls = 4000.0 * 20.0 / ((320_000.0 - 3.0 * 54_872.0) / 12.0);
        assert_relative_eq!(along(Length::mm(1.0)), of_walls, max_relative = 1e-12);
        let walls = pulled(Length::mm(1.0), 17.5);
        assert_relative_eq!(walls, 200.0 / 86.0, max_relative = 1e-12);
    }
}
