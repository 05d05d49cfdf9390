//! Sections: round bars and tubes, square bars, the rails of a frame.

use crate::thread::Area;
use crate::units::{Force, Length, Stress, Torque};
use std::f64::consts::PI;

/// A round section, solid or with a bore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Round {
    /// Outside diameter.
    pub outer: Length,
    /// Diameter of the bore; zero for a solid bar.
    pub inner: Length,
}

impl Round {
    /// A solid bar.
    pub fn solid(diameter: Length) -> Self {
        Self {
            outer: diameter,
            inner: Length::ZERO,
        }
    }

    /// pi/4 (D^2 - d^2). A bar of 10 mm: 78.54 mm2.
    pub fn area(&self) -> Area {
        let (outer, inner) = (self.outer.as_mm(), self.inner.as_mm());
        Area::square_mm(PI / 4.0 * (outer * outer - inner * inner))
    }

    /// F / A, in tension or compression. 785.4 N on a bar of 10 mm: 10 MPa.
    pub fn direct(&self, force: Force) -> Stress {
        force / self.area()
    }

    /// 16 T D / (pi (D^4 - d^4)), at the outside (Shigley, 9th ed., eqs. 3-37 and 3-38). 2 N m
    /// on a bar of 10 mm: 10.19 MPa.
    pub fn torsion(&self, torque: Torque) -> Stress {
        Stress::megapascals(16.0 * torque.as_newton_mm() / (PI * self.cubed()))
    }

    /// 32 M D / (pi (D^4 - d^4)), at the outside (Shigley, 9th ed., eq. 3-24). 1 N m on a bar
    /// of 10 mm: 10.19 MPa.
    pub fn bending(&self, moment: Torque) -> Stress {
        Stress::megapascals(32.0 * moment.as_newton_mm() / (PI * self.cubed()))
    }

    /// Radius of gyration, sqrt(D^2 + d^2) / 4. A bar of 10 mm: 2.5 mm.
    pub fn gyration(&self) -> Length {
        let (outer, inner) = (self.outer.as_mm(), self.inner.as_mm());
        Length::mm((outer * outer + inner * inner).sqrt() / 4.0)
    }

    /// (D^4 - d^4) / D, in mm3.
    fn cubed(&self) -> f64 {
        let (outer, inner) = (self.outer.as_mm(), self.inner.as_mm());
        outer * outer * outer - inner * inner * inner * (inner / outer)
    }
}

/// Tension and torsion at one place after von Mises, sqrt(sigma^2 + 3 tau^2) (Shigley, 9th
/// ed., eq. 5-15). 6 and 4 MPa: 9.165 MPa.
pub fn tension_with_torsion(tension: Stress, torsion: Stress) -> Stress {
    let (sigma, tau) = (tension.as_megapascals(), torsion.as_megapascals());
    Stress::megapascals((sigma * sigma + 3.0 * tau * tau).sqrt())
}

/// A bar of rectangular section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Across the load; of a bar that is not solid, of its walls together.
    pub width: Length,
    /// Along the load.
    pub height: Length,
}

impl Bar {
    /// 6 M / (b h^2) (Shigley, 9th ed., eq. 3-24). 1 N m on a bar 10 wide and 10 high: 6 MPa.
    pub fn bending(&self, moment: Torque) -> Stress {
        let (width, height) = (self.width.as_mm(), self.height.as_mm());
        Stress::megapascals(6.0 * moment.as_newton_mm() / (width * height * height))
    }
}

/// One of the two rails that are left of a square tube with a round bore and two slots.
///
/// Section of the frame, x across the slots and y up to the rail's outside: |x| up to A/2, y
/// from the bore or the slot's edge, whichever is further out, to A/2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rail {
    /// A, side of the square.
    pub side: Length,
    /// Diameter of the bore.
    pub bore: Length,
    /// Width of the slots.
    pub slot: Length,
    /// What its walls are thick, [`SOLID`](super::SOLID) where it is printed so; the inside counts nothing.
    pub walls: Length,
}

/// Strips into which half a rail is cut: the sum is good to a thousandth with far fewer.
const STRIPS: u32 = 256;

/// Area and its first two moments about the frame's x axis, and the second about its y axis.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Moments {
    area: f64,
    first: f64,
    second: f64,
    along: f64,
}

impl Rail {
    /// Distance of the inner edge from the frame's axis, at `x` beside it.
    pub fn inner_edge(&self, x: Length) -> Length {
        let (radius, x) = (self.bore.as_mm() / 2.0, x.as_mm());
        let round = (radius * radius - x * x).max(0.0).sqrt();
        Length::mm(round).max(self.slot / 2.0)
    }

    /// Area of the section, summed over strips.
    pub fn area(&self) -> Area {
        Area::square_mm(self.moments().area)
    }

    /// With its moments, summed once for all that pulls at it.
    pub fn summed(self) -> SummedRail {
        SummedRail {
            rail: self,
            moments: self.moments(),
        }
    }

    /// Those of the outline, less those of the outline moved inwards by the walls: what is
    /// further than they are thick from every edge is bounded by the same lines and circle, moved.
    fn moments(&self) -> Moments {
        let outline = self.outline();
        let walls = self.walls.min(self.side / 2.0);
        let inside = Self {
            side: self.side - walls * 2.0,
            bore: self.bore + walls * 2.0,
            slot: self.slot + walls * 2.0,
            ..*self
        };
        let inside = inside.outline();
        Moments {
            area: outline.area - inside.area,
            first: outline.first - inside.first,
            second: outline.second - inside.second,
            along: outline.along - inside.along,
        }
    }

    fn outline(&self) -> Moments {
        let half = self.side.as_mm() / 2.0;
        let step = half / f64::from(STRIPS);
        let mut sum = Moments {
            area: 0.0,
            first: 0.0,
            second: 0.0,
            along: 0.0,
        };
        for strip in 0..STRIPS {
            let x = (f64::from(strip) + 0.5) * step;
            let low = self.inner_edge(Length::mm(x)).as_mm().min(half);
            // Both halves of the rail.
            let width = 2.0 * step;
            sum.area += width * (half - low);
            sum.first += width * (half * half - low * low) / 2.0;
            sum.second += width * (half * half * half - low * low * low) / 3.0;
            sum.along += width * (half - low) * x * x;
        }
        sum
    }
}

/// A rail with its moments.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SummedRail {
    rail: Rail,
    moments: Moments,
}

impl SummedRail {
    /// The rail.
    pub fn rail(&self) -> Rail {
        self.rail
    }

    /// Greatest stress under a pull along the axis at `at` from it: tension and bending, F/A +
    /// F e c / I about the centroid (Shigley, 9th ed., sect. 3-14).
    ///
    /// A square tube of 40 mm without slots and of a bore near zero, 800 N at its half's
    /// centroid, 10 mm from the axis: 1 MPa.
    pub fn pulled(&self, force: Force, at: Length) -> Stress {
        let Moments {
            area,
            first,
            second,
            ..
        } = self.moments;
        let rail = self.rail;
        let centroid = first / area;
        let inertia = second - centroid * first;
        let lowest = rail.inner_edge(rail.bore / 2.0);
        let outside = (rail.side / 2.0).as_mm() - centroid;
        let far = outside.max(centroid - lowest.as_mm());
        let moment = (at.as_mm() - centroid).abs();
        Stress::megapascals(force.as_newtons() * (1.0 / area + moment * far / inertia))
    }

    /// Greatest stress under a moment that bends it along x, about the frame's y axis, M (A/2) / I
    /// (Shigley, 9th ed., eq. 3-24): what stands beside the bore and the slots on both sides counts.
    ///
    /// A square tube of 40 mm without slots and of a bore near zero: its half is 20 wide and 40 high,
    /// so that 10 N m give 1.875 MPa.
    pub fn bent_along(&self, moment: Torque) -> Stress {
        // Most frames are not bent so at all.
        if moment == Torque::ZERO {
            return Stress::ZERO;
        }
        let inertia = self.moments.along;
        let half = self.rail.side.as_mm() / 2.0;
        Stress::megapascals(moment.as_newton_mm().abs() * half / inertia)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::SOLID;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    #[test]
    fn round_bars_carry_what_the_textbook_formulas_say() {
        // Hand calculation: A = 78.54 mm2; 16 x 2000 / (pi 1000) = 10.186 MPa.
        let bar = Round::solid(Length::mm(10.0));
        let pull = bar.direct(Force::newtons(785.398));
        assert_abs_diff_eq!(pull.as_megapascals(), 10.0, epsilon = 1e-4);
        let torque = bar.torsion(Torque::newton_metres(2.0));
        assert_abs_diff_eq!(torque.as_megapascals(), 10.186, epsilon = 5e-4);
        let moment = bar.bending(Torque::newton_metres(1.0));
        assert_abs_diff_eq!(moment.as_megapascals(), 10.186, epsilon = 5e-4);
        // Tube 30/20: 16 x 100 000 x 30 / (pi (810 000 - 160 000)) = 23.506 MPa.
        let tube = Round {
            outer: Length::mm(30.0),
            inner: Length::mm(20.0),
        };
        let torque = tube.torsion(Torque::newton_metres(100.0));
        assert_abs_diff_eq!(torque.as_megapascals(), 23.506, epsilon = 5e-4);
    }

    #[test]
    fn a_tube_with_a_pinhole_is_a_bar_and_gyration_follows_from_area_and_inertia() {
        let bar = Round::solid(Length::mm(12.0));
        let tube = Round {
            outer: Length::mm(12.0),
            inner: Length::mm(1e-6),
        };
        let load = Torque::newton_metres(3.0);
        assert_relative_eq!(
            bar.torsion(load).as_megapascals(),
            tube.torsion(load).as_megapascals(),
            max_relative = 1e-12
        );
        // k^2 = I / A with I = pi/64 (D^4 - d^4), tube 20/12.
        let tube = Round {
            outer: Length::mm(20.0),
            inner: Length::mm(12.0),
        };
        let inertia = PI / 64.0 * (160_000.0 - 20_736.0);
        let k = tube.gyration().as_mm();
        let area = tube.area().as_square_mm();
        assert_relative_eq!(k * k, inertia / area, max_relative = 1e-12);
    }

    #[test]
    fn von_mises_counts_shear_by_the_root_of_three() {
        let both = |sigma, tau| {
            tension_with_torsion(Stress::megapascals(sigma), Stress::megapascals(tau))
                .as_megapascals()
        };
        assert_abs_diff_eq!(both(6.0, 4.0), 84f64.sqrt(), epsilon = 1e-12);
        assert_abs_diff_eq!(both(0.0, 1.0), 3f64.sqrt(), epsilon = 1e-12);
    }

    #[test]
    fn a_rail_without_bore_is_half_a_square() {
        let rail = Rail {
            side: Length::mm(40.0),
            bore: Length::ZERO,
            slot: Length::ZERO,
            walls: SOLID,
        };
        assert_relative_eq!(rail.area().as_square_mm(), 800.0, max_relative = 1e-9);
        let at = |y| {
            rail.summed()
                .pulled(Force::newtons(800.0), Length::mm(y))
                .as_megapascals()
        };
        // At its centroid; at its edge the rectangle 40 x 20 has 1 + 6 e/h = 4 MPa.
        assert_relative_eq!(at(10.0), 1.0, max_relative = 1e-9);
        assert_relative_eq!(at(0.0), 4.0, max_relative = 1e-4);
        // Along itself it is a rectangle 20 wide and 40 high: 6 x 10 000 / (20 x 1600).
        let along = rail.summed().bent_along(Torque::newton_metres(10.0));
        assert_relative_eq!(along.as_megapascals(), 1.875, max_relative = 1e-4);
    }

    #[test]
    fn a_rail_beside_a_bore_loses_half_the_circle_and_its_share_of_the_slots() {
        // Square 42, bore 28.4, slots 12, by integrals: the circle leaves the slot's edge at
        // x = sqrt(14.2^2 - 6^2) = 12.870; under it (12.870 x 6 + 14.2^2 asin(12.870/14.2))/2 =
        // 153.00, beside it 6 (21 - 12.870) = 48.78; area 2 (21^2 - 153.00 - 48.78) = 478.4.
        let rail = Rail {
            side: Length::mm(42.0),
            bore: Length::mm(28.4),
            slot: Length::mm(12.0),
            walls: SOLID,
        };
        assert_abs_diff_eq!(rail.area().as_square_mm(), 478.4, epsilon = 0.2);
    }

    #[test]
    fn a_rail_of_walls_has_the_area_of_the_strips_along_its_edges() {
        let rail = |walls| Rail {
            side: Length::mm(42.0),
            bore: Length::mm(28.4),
            slot: Length::mm(12.0),
            walls: Length::mm(walls),
        };
        // Summed apart, on a grid: what lies within the rail, and nearer than 1.8 mm to an edge.
        let (step, mut inside, mut near) = (0.02, 0u32, 0u32);
        for across in 0..1050u32 {
            for up in 0..1050u32 {
                let (x, y) = (
                    (f64::from(across) + 0.5) * step,
                    (f64::from(up) + 0.5) * step,
                );
                let edges = [21.0 - x, 21.0 - y, y - 6.0, (x * x + y * y).sqrt() - 14.2];
                let nearest = edges.into_iter().fold(f64::INFINITY, f64::min);
                inside += u32::from(nearest > 0.0);
                near += u32::from(nearest > 0.0 && nearest < 1.8);
            }
        }
        let share = rail(1.8).area().as_square_mm() / rail(SOLID.as_mm()).area().as_square_mm();
        assert_abs_diff_eq!(share, f64::from(near) / f64::from(inside), epsilon = 2e-3);
        assert_abs_diff_eq!(share, 0.426, epsilon = 2e-3);
        let pulled = |walls| {
            rail(walls)
                .summed()
                .pulled(Force::newtons(200.0), Length::mm(13.0))
        };
        assert!(pulled(1.8) > pulled(2.7) && pulled(2.7) > pulled(SOLID.as_mm()));
    }
}
