//! What walls leave of a round section: rings about its axis.
//!
//! A printer lays its walls along the outline of each layer, so under a thread they follow the
//! ridge: of what n walls of width w lay, only what runs straight through from layer to layer
//! bears a load along the axis. Sparse infill counts nothing: a cellular solid of a fifth has
//! 0.04 of the stiffness and 0.03 of the strength (Gibson and Ashby, Cellular Solids, 1997, from
//! memory).
//!
//! Held against finite elements (own, rings in place of the helix, M12x1.75, lines of 0.45):
//! share of the solid core's stiffness along the axis 0.24, 0.39, 0.63 and 0.81 at 3, 4, 6 and 8
//! lines, infill of none; these rings 0.15, 0.31, 0.57 and 0.77. So they are on the safe side, where a
//! plain ring of n w (0.46, 0.59, 0.78, 0.92) is not.

use super::section::Round;
use super::tension_with_torsion;
use crate::thread::Area;
use crate::units::{Force, Length, Stress, Torque};
use std::f64::consts::PI;

/// Kf in tension of a corner at a root across the layers: what the mean stress over a root's
/// section is to be multiplied by.
///
/// Own finite elements of the drawn root, a flat of P/4 with sharp corners, give Kt of 2.7 to 3.8
/// on D1; averaged over twice the critical distance of 0.1 to 0.4 mm (toughness from memory) 1.15
/// to 1.5; in the first engaged turn 1.55 times that (Hetenyi, 1943, in Peterson's Stress
/// Concentration Factors, from memory): 1.6 to 2.3. No notched bar pulled across layers was found.
pub const NOTCH_TENSION: f64 = 2.0;
/// The same in torsion, which the nut does not raise: 1.1 to 1.5 over twice the critical distance
/// (own finite elements).
pub const NOTCH_TORSION: f64 = 1.5;

/// What walls are thick where a part is printed solid: as thick as one likes.
pub const SOLID: Length = Length::mm(f64::INFINITY);

/// Rings about one axis that share a load, as stiff as each other; none bears nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Rings(Vec<Round>);

/// A tube, threaded outside and tapped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TappedTube {
    /// Diameter at the root of the outer thread.
    pub root: Length,
    /// Depth of the outer thread.
    pub depth: Length,
    /// Diameter of the tapped bore, gap included, at the root of its thread.
    pub bore: Length,
    /// Depth of the bore's thread.
    pub bore_depth: Length,
}

impl Rings {
    /// A solid bar, or a full tube.
    pub fn whole(round: Round) -> Self {
        Self(vec![round])
    }

    /// A bar whose walls were laid `depth` outside its floor: the ring from the floor inwards,
    /// `walls` less `depth` thick. For a core under its thread, a neck under its groove, a plain
    /// bar with a depth of nothing. `walls` is [`SOLID`] where the part is.
    ///
    /// M12x1.75, four lines of 0.45: a ring of 0.853 mm, 0.309 of the core.
    pub fn under(floor: Length, depth: Length, walls: Length) -> Self {
        let left = walls - depth;
        if left <= Length::ZERO {
            return Self(Vec::new());
        }
        let inner = (floor - left * 2.0).max(Length::ZERO);
        Self::whole(Round {
            outer: floor,
            inner,
        })
    }

    /// A tapped tube: a ring under the outer thread's root, another around the bore from its
    /// thread's root to `walls` beyond its crests, or all of it where they meet.
    ///
    /// M20x2.5 tapped M12x1.75 with a gap of 0.24, four lines of 0.45: 0.527 of the area.
    pub fn of_tube(tube: &TappedTube, walls: Length) -> Self {
        let full = Round {
            outer: tube.root,
            inner: tube.bore,
        };
        let outside = walls - tube.depth;
        let around = walls - tube.bore_depth;
        let thickness = (tube.root - tube.bore) / 2.0;
        if outside + around >= thickness {
            return Self::whole(full);
        }
        let outer = (outside > Length::ZERO).then(|| Round {
            inner: tube.root - outside * 2.0,
            ..full
        });
        let inner = (around > Length::ZERO).then(|| Round {
            outer: (tube.bore + around * 2.0).min(tube.root),
            ..full
        });
        Self(outer.into_iter().chain(inner).collect())
    }

    /// Sum of the rings' areas.
    pub fn area(&self) -> Area {
        let areas = self.0.iter().map(|ring| ring.area().as_square_mm());
        Area::square_mm(areas.sum())
    }

    /// Radius of gyration, sqrt(I / A) of all rings together, I = pi/64 (D^4 - d^4); zero where
    /// there is none.
    pub fn gyration(&self) -> Length {
        let area = self.area().as_square_mm();
        match area > 0.0 {
            true => Length::mm((self.inertia() / area).sqrt()),
            false => Length::ZERO,
        }
    }

    /// F / A; infinite where nothing is left.
    pub fn direct(&self, force: Force) -> Stress {
        force / self.area()
    }

    /// T D / (2 J) at the outside, J = 2 I (Shigley, 9th ed., eqs. 3-37 and 3-38); infinite where
    /// nothing is left.
    pub fn torsion(&self, torque: Torque) -> Stress {
        let outside = self.0.iter().map(|ring| ring.outer.as_mm());
        let radius = outside.fold(0.0, f64::max) / 2.0;
        let polar = 2.0 * self.inertia();
        Stress::megapascals(match polar > 0.0 {
            true => torque.as_newton_mm() * radius / polar,
            false => f64::INFINITY,
        })
    }

    /// Pull and twist together at a notch at a root, after von Mises: sqrt((K W/A)^2 + 3 (Kt
    /// T/Z)^2) with [`NOTCH_TENSION`] and [`NOTCH_TORSION`]. A push counts as a pull, though it
    /// closes the layers: on the safe side.
    ///
    /// 929.4 N and 0.438 N m on a core of 10.106 mm: 23.9 MPa.
    pub fn at_notch(&self, force: Force, torque: Torque) -> Stress {
        tension_with_torsion(
            self.direct(force) * NOTCH_TENSION,
            self.torsion(torque) * NOTCH_TORSION,
        )
    }

    /// Second moment of area about a diameter, in mm4.
    fn inertia(&self) -> f64 {
        let fourth = |length: Length| {
            let square = length.as_mm() * length.as_mm();
            square * square
        };
        let each = |ring: &Round| PI / 64.0 * (fourth(ring.outer) - fourth(ring.inner));
        self.0.iter().map(each).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    /// Depth of an ISO thread of this pitch, 5/16 sqrt(3) P.
    fn depth(pitch: f64) -> Length {
        Length::mm(5.0 / 16.0 * 3f64.sqrt() * pitch)
    }

    fn core(diameter: f64, pitch: f64, lines: f64) -> Rings {
        let depth = depth(pitch);
        Rings::under(
            Length::mm(diameter) - depth * 2.0,
            depth,
            Length::mm(0.45 * lines),
        )
    }

    /// Shares of the solid section: area, and section modulus in torsion.
    fn shares(part: &Rings, solid: &Rings) -> [f64; 2] {
        let turned = Torque::newton_metres(1.0);
        [
            part.area().as_square_mm() / solid.area().as_square_mm(),
            solid.torsion(turned) / part.torsion(turned),
        ]
    }

    #[test]
    fn cores_bear_what_runs_straight_through_under_their_ridges() {
        // By hand, M12x1.75 with four lines: t = 1.8 - 0.9472 = 0.8528 under 10.1056: (10.1056^2 -
        // 8.4000^2) / 10.1056^2 = 0.3091, and 1 - (8.4000 / 10.1056)^4 = 0.5226.
        for (diameter, pitch, lines, area, modulus) in [
            (12.0, 1.75, 3.0, 0.153, 0.283),
            (12.0, 1.75, 4.0, 0.309, 0.523),
            (12.0, 1.75, 6.0, 0.573, 0.818),
            (16.0, 2.0, 4.0, 0.197, 0.355),
            (16.0, 2.0, 8.0, 0.595, 0.836),
        ] {
            let solid = core(diameter, pitch, f64::INFINITY);
            let [a, z] = shares(&core(diameter, pitch, lines), &solid);
            assert_abs_diff_eq!(a, area, epsilon = 6e-4);
            assert_abs_diff_eq!(z, modulus, epsilon = 6e-4);
        }
    }

    #[test]
    fn a_tube_has_a_ring_at_either_thread_until_they_meet() {
        let tube = TappedTube {
            root: Length::mm(20.0) - depth(2.5) * 2.0,
            depth: depth(2.5),
            bore: Length::mm(12.0 + 2.0 * 0.24),
            bore_depth: depth(1.75),
        };
        let of = |lines: f64| Rings::of_tube(&tube, Length::mm(0.45 * lines));
        let solid = of(f64::INFINITY);
        for (lines, area, modulus) in [
            (3.0, 0.145, 0.138),
            (4.0, 0.527, 0.511),
            (5.0, 0.912, 0.909),
            (6.0, 1.0, 1.0),
        ] {
            let [a, z] = shares(&of(lines), &solid);
            assert_abs_diff_eq!(a, area, epsilon = 1.5e-3);
            assert_abs_diff_eq!(z, modulus, epsilon = 1.5e-3);
        }
    }

    #[test]
    fn walls_that_only_follow_the_ridge_leave_nothing_and_many_walls_a_solid_bar() {
        let none = core(16.0, 2.0, 2.0);
        assert!(
            !none
                .direct(Force::newtons(1.0))
                .as_megapascals()
                .is_finite()
        );
        assert!(!none.torsion(Torque::ZERO).as_megapascals().is_finite());
        assert_eq!(none.gyration(), Length::ZERO);
        assert_eq!(core(16.0, 2.0, 20.0), core(16.0, 2.0, f64::INFINITY));
    }

    #[test]
    fn a_single_ring_is_the_round_section_of_the_textbook() {
        let tube = Round {
            outer: Length::mm(30.0),
            inner: Length::mm(20.0),
        };
        let rings = Rings::whole(tube);
        let torque = Torque::newton_metres(100.0);
        // 23.506 MPa, as of the plain formula.
        assert_relative_eq!(
            rings.torsion(torque).as_megapascals(),
            tube.torsion(torque).as_megapascals(),
            max_relative = 1e-12
        );
        assert_relative_eq!(
            rings.gyration().as_mm(),
            tube.gyration().as_mm(),
            max_relative = 1e-12
        );
    }

    #[test]
    fn a_notch_counts_a_pull_twice_and_a_twist_half_as_much_again() {
        // By hand: 929.4 / 80.21 = 11.587 MPa, 0.438 N m over 202.6 mm3 = 2.162 MPa:
        // sqrt(23.174^2 + 3 x 3.243^2) = 23.85.
        let rings = core(12.0, 1.75, f64::INFINITY);
        let found = rings.at_notch(Force::newtons(929.4), Torque::newton_metres(0.438));
        assert_abs_diff_eq!(found.as_megapascals(), 23.85, epsilon = 0.01);
    }
}
