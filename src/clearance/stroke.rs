//! Every pair of pieces through the whole stroke: the least gap, and where they overlap.
//!
//! Each pair sees one relative motion, by the rates of its pieces: none, a slide along the axis,
//! or a turning one with a lead. Slides are one query of the swept distance; turning pairs are
//! compared by rings, their own threads by section. Pairs that ride on a stop end where it does.

use super::body::{self, Body, Feature, Fineness, feature};
use super::distance::{self, Asked};
use super::facet::{SLACK, turn_about_axis};
use super::meeting::spread_poses;
use super::overlap::{self, Screwed};
use super::pair::{Pair, STILL};
use super::turning;
use crate::assembly::{Assembly, Fit, InstanceId};
use crate::motion::{Rate, StrokeRates};
use crate::solid::Mesh;
use crate::units::{Angle, Length};
use nalgebra::{Point3, Rotation3, Vector3};
use rayon::prelude::*;
use std::borrow::Borrow;

/// How two pieces move against each other while the drive turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Not at all.
    Still,
    /// Along the axis.
    Sliding,
    /// About the axis, and perhaps along it.
    Turning,
}

/// How a least gap was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoundBy {
    /// On the meshes, swept over the whole way: to within [`PRECISION`].
    Meshes,
    /// By rings: not less than this, and at some angle that is met not much more.
    Rings,
    /// By the axial section of two threads of one lead, in closed form.
    Section,
}

/// The least gap of a pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastGap {
    /// The gap as drawn.
    pub gap: Length,
    /// Turns n of the drive at which it is met; where it is met at many, one of them.
    pub at_turn: f64,
    /// The nearest points found there, one of each piece, in the assembly frame.
    pub points: [[f64; 3]; 2],
    /// What of either piece.
    pub features: [Feature; 2],
    /// How it was found.
    pub by: FoundBy,
}

/// Where a pair overlaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overlap {
    /// How deep at least, in mm, a lower bound: it is measured at one edge of one facet, or along
    /// the axis for what is met on the way; infinite where one piece is inside the other.
    pub depth: Length,
    /// Turns n of the drive at which it begins.
    pub at_turn: f64,
    /// Where, in the assembly frame; of rings at angle 0.
    pub point: [f64; 3],
    /// Whether the meshes show it. Where only rings tell, the pieces may pass at some angle.
    pub proven: bool,
}

/// What was found of two pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairClearance {
    /// The pieces, in the order of the assembly.
    pub between: [InstanceId; 2],
    /// How they move against each other.
    pub kind: Kind,
    /// From which turn n of the drive to which.
    pub turns: [f64; 2],
    /// The least gap; `None` beyond [`FAR`], and where the pieces overlap.
    pub least: Option<LeastGap>,
    /// The overlap, if there is one.
    pub overlap: Option<Overlap>,
}

/// Every pair of pieces of an assembly through its stroke.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Clearance {
    /// Pairs in the order of the assembly's pieces.
    pub pairs: Vec<PairClearance>,
}

/// Gaps beyond this are not looked for, in mm. Guess: a printer errs by a fifth of it.
pub const FAR: Length = Length::mm(1.0);
/// How much a gap found on meshes may exceed the least one, in mm. Guess: a tenth of the usual
/// chord tolerance.
pub const PRECISION: Length = Length::mm(0.001);

impl Clearance {
    /// Of an assembly from one turn n of the drive to another, as [`Clearance::through`].
    /// `meshes` are those of the parts, in their order, in their print frames, made with a
    /// chord tolerance.
    pub fn of_meshes<M: Borrow<Mesh> + Sync>(
        assembly: &Assembly,
        meshes: &[M],
        chord: Length,
        rates: &StrokeRates,
        turns: [f64; 2],
    ) -> Self {
        let fineness = Fineness::of(assembly, chord);
        let bodies = body::bodies(assembly, meshes, chord);
        Self::through(assembly, &bodies, rates, turns, fineness)
    }

    /// Of an assembly's bodies, carried by their rates, from one turn n of the drive to another:
    /// the stroke begins at turn 0, and goes on past its end by as much as it does before turn
    /// 0, until the play is used up. `fineness` is that of the bodies.
    pub fn through(
        assembly: &Assembly,
        bodies: &[Body],
        rates: &StrokeRates,
        turns: [f64; 2],
        fineness: Fineness,
    ) -> Self {
        let count = bodies.len();
        let all: Vec<[usize; 2]> = (0..count)
            .flat_map(|one| (one + 1..count).map(move |other| [one, other]))
            .collect();
        let course = |[one, other]: [usize; 2]| PairCourse {
            bodies: [&bodies[one], &bodies[other]],
            rates: [one, other].map(|piece| rates.of(InstanceId(piece))),
            turns,
            fineness,
        };
        // Stops are found before any pair is judged: what rides with a stopped piece ends where
        // that does, else it would be judged on a way that it never goes.
        let stops: Vec<Stop> = assembly
            .joints
            .iter()
            .filter(|joint| joint.fit == Fit::Stop)
            .filter_map(|joint| course(joint.between.map(|piece| piece.0)).stop())
            .collect();
        let pairs = all.par_iter().map(|pair| {
            let course = course(*pair).ended_by(&stops);
            course.judged(pair.map(InstanceId))
        });
        Self {
            pairs: pairs.collect(),
        }
    }

    /// What was found of two pieces, in whichever order.
    pub fn of(&self, between: [InstanceId; 2]) -> Option<&PairClearance> {
        let [one, other] = between;
        let pair = [one.min(other), one.max(other)];
        self.pairs.iter().find(|found| found.between == pair)
    }
}

/// A stop that ends a relative motion.
pub(super) struct Stop {
    advance: f64,
    turns: [f64; 2],
}

/// Two pieces and how they go.
#[derive(Clone, Copy)]
pub(super) struct PairCourse<'a> {
    pub(super) bodies: [&'a Body; 2],
    pub(super) rates: [Rate; 2],
    pub(super) turns: [f64; 2],
    pub(super) fineness: Fineness,
}

impl PairCourse<'_> {
    /// Advance and turns of the first against the second in each turn of the drive.
    fn relative(&self) -> (f64, f64) {
        let [one, other] = self.rates;
        (
            (one.advance - other.advance).as_mm(),
            one.turns - other.turns,
        )
    }

    fn kind(&self) -> Kind {
        let (advance, turns) = self.relative();
        if turns.abs() > STILL {
            Kind::Turning
        } else if advance.abs() > STILL {
            Kind::Sliding
        } else {
            Kind::Still
        }
    }

    fn pair(&self) -> Pair<'_> {
        Pair::new(self.bodies[0], self.bodies[1])
    }

    /// Where a slide is stopped: what is met before the stroke begins or after it ends. What is
    /// met within the stroke is no stop but in the way, and ends nothing.
    pub(super) fn stop(&self) -> Option<Stop> {
        // What overlaps from the start would be met at once, and a stop there would end the stroke
        // before it begins and hide the overlap.
        if self.kind() != Kind::Sliding || self.at_rest().is_some() {
            return None;
        }
        let (advance, _) = self.relative();
        let [first, last] = self.turns;
        // Touching at the very end of the stroke is a stop.
        let touch = SLACK / advance.abs();
        let stroke = -touch..last + first.min(0.0) - touch;
        let met = |turn: f64| {
            let by = advance * turn;
            if by.abs() <= SLACK {
                return turn;
            }
            // The mesh says where the stop is, not the sizes: what is judged must not be told by
            // what made it.
            let met = self.pair().straight([0.0, 0.0, by], by.abs());
            let met = met.map_or(turn, |met| met.free_travel.as_mm() / by.abs() * turn);
            if turn > 0.0 && stroke.contains(&met) {
                turn
            } else {
                met
            }
        };
        Some(Stop {
            advance: advance.abs(),
            turns: self.turns.map(met),
        })
    }

    /// The same, ended where stops of the same relative motion end it.
    pub(super) fn ended_by(mut self, stops: &[Stop]) -> Self {
        let (advance, _) = self.relative();
        if self.kind() == Kind::Sliding {
            for stop in stops {
                if (stop.advance - advance.abs()).abs() < STILL {
                    self.turns[0] = self.turns[0].max(stop.turns[0]);
                    self.turns[1] = self.turns[1].min(stop.turns[1]);
                }
            }
        }
        self
    }

    pub(super) fn judged(&self, between: [InstanceId; 2]) -> PairClearance {
        let overlap = self.overlap();
        let least = if overlap.is_some() {
            None
        } else {
            match self.kind() {
                Kind::Turning => self.turning_gap(),
                Kind::Still | Kind::Sliding => self.sliding_gap(),
            }
        };
        PairClearance {
            between,
            kind: self.kind(),
            turns: self.turns,
            least,
            overlap,
        }
    }

    /// The lead of the relative motion; none where it does not turn.
    fn lead(&self) -> Option<Length> {
        let (advance, turns) = self.relative();
        (turns.abs() > STILL).then(|| Length::mm(advance / turns))
    }

    /// The deepest overlap at turn 0.
    fn at_rest(&self) -> Option<Overlap> {
        let own = self.pair().mated(self.lead());
        let apart = |a: u8, b: u8| own(feature(a), feature(b));
        let [a, b] = self.bodies;
        let found = overlap::deepest(a, b, &Vector3::zeros(), &apart)?;
        Some(Overlap {
            depth: Length::mm(found.depth),
            at_turn: 0.0,
            point: found.point.into(),
            proven: true,
        })
    }

    /// The first overlap: at turn 0, or on the way to either end.
    fn overlap(&self) -> Option<Overlap> {
        if let Some(found) = self.at_rest() {
            return Some(found);
        }
        let own = self.pair().mated(self.lead());
        let apart = |a: u8, b: u8| own(feature(a), feature(b));
        let (advance, _) = self.relative();
        let on_the_way = |turn: f64| {
            let by = advance * turn;
            let met = match self.kind() {
                Kind::Still => None,
                Kind::Sliding if by.abs() <= SLACK => None,
                Kind::Sliding => self.pair().straight([0.0, 0.0, by], by.abs()),
                Kind::Turning => self.pair().ringed(by, &own),
            }?;
            let travel = met.free_travel.as_mm();
            let at_turn = if by.abs() > SLACK {
                travel / by.abs() * turn
            } else {
                0.0
            };
            Some(Overlap {
                depth: Length::mm(by.abs() - travel),
                at_turn,
                point: self.carried(met.point.into(), at_turn).into(),
                proven: met.proven || self.confirmed(at_turn, turn, &apart),
            })
        };
        // From turn 0, where the pieces stand apart, to either end: a way that began at an end
        // would begin inside whatever it had run into.
        self.turns.into_iter().find_map(on_the_way)
    }

    /// Whether meshes overlap at some angle soon after rings have met, on the way to a turn.
    fn confirmed(&self, from: f64, to: f64, apart: &dyn Fn(u8, u8) -> bool) -> bool {
        let (advance, turns) = self.relative();
        // All angles come by in one relative turn; one more, for what leads in slowly.
        let whole = 1.0 / turns.abs() * if to < 0.0 { -1.0 } else { 1.0 };
        // Poses may miss what lies between two of them, so they are asked only to say yes: no
        // answer leaves a warning, never a pass.
        let poses = spread_poses()
            .map(|share| from + whole * share)
            .filter(|turn| (self.turns[0]..=self.turns[1]).contains(turn))
            .map(|turn| Screwed::by(Angle::turns(turns * turn), advance * turn));
        let [a, b] = self.bodies;
        overlap::in_any_pose(a, b, poses, apart) == Some(true)
    }

    /// The least gap of a slide, or of pieces that keep their places.
    fn sliding_gap(&self) -> Option<LeastGap> {
        let [a, b] = self.bodies;
        let (advance, _) = self.relative();
        let along = |turn: f64| Vector3::new(0.0, 0.0, advance * turn);
        let asked = Asked {
            shift: along(self.turns[0]),
            way: along(self.turns[1]) - along(self.turns[0]),
            cap: FAR.as_mm(),
            precision: PRECISION.as_mm(),
            enough: 0.0,
            apart: &|_, _| false,
        };
        let found = distance::nearest(a, b, &asked)?;
        let (one, other) = (&a.facets[found.facets[0]], &b.facets[found.facets[1]]);
        let at_turn = if advance.abs() > STILL {
            self.nearest_turn(found, advance)
        } else {
            0.0
        };
        let points = distance::between(one, &along(at_turn), other);
        Some(LeastGap {
            gap: Length::mm(found.distance),
            at_turn,
            points: points.map(|point| self.carried(point, at_turn).into()),
            features: [one.feature, other.feature].map(feature),
            by: FoundBy::Meshes,
        })
    }

    /// The turn at which two facets are nearest: 0 if they are so there, then the ends, else by
    /// halving, since their distance bends upwards only.
    fn nearest_turn(&self, found: distance::Nearest, advance: f64) -> f64 {
        let one = &self.bodies[0].facets[found.facets[0]];
        let other = &self.bodies[1].facets[found.facets[1]];
        let apart = |turn: f64| {
            let shift = Vector3::new(0.0, 0.0, advance * turn);
            let [a, b] = distance::between(one, &shift, other);
            (a - b).norm()
        };
        let [mut low, mut high] = self.turns;
        // Turn 0 is named where it is as near as any, since all else is told from there.
        for turn in [0.0, low, high] {
            if apart(turn) <= found.distance + SLACK {
                return turn;
            }
        }
        for _ in 0..HALVINGS {
            let third = (high - low) / 3.0;
            // Two convex bodies on a straight way: their distance has one valley, which thirds
            // close in on.
            if apart(low + third) <= apart(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        0.5 * (low + high)
    }

    /// The least gap of a turning pair: by rings, and by section where threads engage.
    fn turning_gap(&self) -> Option<LeastGap> {
        let (advance, _) = self.relative();
        let own = self.pair().mated(self.lead());
        let [from, to] = self.turns.map(|turn| advance * turn);
        let [a, b] = self.bodies;
        let rings = turning::least_gap(
            a,
            b,
            [from.min(to), from.max(to)],
            FAR.as_mm(),
            &|one, other| own(one, other),
        );
        let rings = rings.map(|found| {
            let at_turn = if advance.abs() > STILL {
                found.advance / advance
            } else {
                0.0
            };
            LeastGap {
                gap: Length::mm(found.gap),
                at_turn,
                points: self.points_at(&found, at_turn),
                features: found.spans.map(|span| feature(span.feature)),
                by: FoundBy::Rings,
            }
        });
        match (self.section_gap(), rings) {
            // Rings leave the mated threads out, the section sees nothing else: the lesser of both
            // is the pair's.
            (Some(section), Some(rings)) if rings.gap < section.gap => Some(rings),
            (Some(section), _) => Some(section),
            (None, rings) => rings,
        }
    }

    /// The gap between the flanks of threads that are screwed along their lead and engage at
    /// turn 0, and two points there.
    fn section_gap(&self) -> Option<LeastGap> {
        let [a, b] = self.bodies;
        let lead = self.lead()?;
        let mut best: Option<LeastGap> = None;
        for (index, one) in a.threads.iter().enumerate() {
            for (other_index, other) in b.threads.iter().enumerate() {
                let along = (lead - one.thread.signed_lead()).abs() < Length::mm(STILL);
                let engaged = one.z[0] < other.z[1] && other.z[0] < one.z[1];
                let Some(gap) = one
                    .mates_with(other, Length::ZERO)
                    .filter(|_| along && engaged)
                else {
                    continue;
                };
                if best.is_none_or(|best| gap < best.gap) {
                    best = Some(LeastGap {
                        gap,
                        at_turn: 0.0,
                        points: self.flank_points(gap),
                        features: [Feature::Thread(index), Feature::Thread(other_index)],
                        by: FoundBy::Section,
                    });
                }
            }
        }
        best
    }

    /// Two points of the meshes at turn 0 that are as near as the section says.
    fn flank_points(&self, gap: Length) -> [[f64; 3]; 2] {
        let asked = Asked {
            shift: Vector3::zeros(),
            way: Vector3::zeros(),
            cap: f64::INFINITY,
            precision: PRECISION.as_mm(),
            enough: gap.as_mm() + PRECISION.as_mm(),
            apart: &|a, b| a == 0 || b == 0,
        };
        let found = distance::nearest(self.bodies[0], self.bodies[1], &asked);
        found.map_or([[0.0; 3]; 2], |found| found.points.map(Into::into))
    }

    /// The nearest points of the facets in two rings, as they stand at a turn.
    fn points_at(&self, found: &turning::RingGap, turn: f64) -> [[f64; 3]; 2] {
        let (advance, turns) = self.relative();
        // Only what is near the two rings is turned and searched: of a screw that is a few of its
        // thousands of facets.
        let room = self.fineness.chord.as_mm() + self.fineness.row.as_mm();
        let [a, b] = [0, 1].map(|side| {
            let span = found.spans[side];
            self.bodies[side].within(span.r, span.z, room)
        });
        let a = a.screwed(Angle::turns(turns * turn), advance * turn);
        let asked = Asked {
            shift: Vector3::zeros(),
            way: Vector3::zeros(),
            cap: f64::INFINITY,
            precision: PRECISION.as_mm(),
            enough: found.gap + PRECISION.as_mm(),
            apart: &|_, _| false,
        };
        let points = distance::nearest(&a, &b, &asked).map(|found| found.points);
        points.map_or([[0.0; 3]; 2], |points| {
            points.map(|point| self.carried(point, turn).into())
        })
    }

    /// A point of the second piece's frame at turn 0 where that piece has carried it.
    fn carried(&self, point: Point3<f64>, turn: f64) -> Point3<f64> {
        let rate = self.rates[1].after(turn);
        let angle = Angle::turns(rate.turns);
        let turned = Rotation3::from(turn_about_axis(angle)) * point;
        turned + Vector3::new(0.0, 0.0, rate.advance.as_mm())
    }
}

/// Halvings of a way by thirds: 60 leave less than a nanometre of any.
const HALVINGS: u32 = 60;
