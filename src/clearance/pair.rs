//! Two pieces and a motion of the one: whether the other stands in its way, and where.

use super::body::{Body, Feature, feature};
use super::facet::SLACK;
use super::straight::{self, Across, Way};
use super::threads::ThreadFeature;
use super::turning::{self, Advance};
use crate::motion::Rate;
use crate::units::Length;
use nalgebra::{Point3, Vector3};

/// A motion of one piece while another stands still.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Trajectory {
    /// Along a direction of any length but zero, in the assembly frame.
    Straight {
        /// Which way.
        along: [f64; 3],
        /// How far; `None` for good.
        reach: Option<Length>,
    },
    /// Turning about the axis while it advances by `lead` in each turn towards +z for a
    /// positive turn, as a right-hand thread leads.
    Turning {
        /// Advance of each clockwise turn; a left-hand thread's is negative, zero turns in
        /// place.
        lead: Length,
        /// How far it advances on the whole, towards +z if positive; `None` for good, then
        /// `up` says which way.
        reach: Option<Length>,
        /// Towards +z, where `reach` does not say it.
        up: bool,
    },
}

impl Trajectory {
    /// Straight for good.
    pub fn away(along: [f64; 3]) -> Self {
        Self::Straight { along, reach: None }
    }

    /// Unscrewed for good along a lead, towards +z or -z.
    pub fn unscrewed(lead: Length, up: bool) -> Self {
        Self::Turning {
            lead,
            reach: None,
            up,
        }
    }
}

/// What stands in the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Obstacle {
    /// What meets of the piece that moves, and of the one that stands.
    pub features: [Feature; 2],
    /// Facets that meet, by index in the parts' meshes; `None` where rings tell.
    pub facets: Option<[u32; 2]>,
    /// Where, on the piece that stands, in the assembly frame.
    pub point: [f64; 3],
    /// How far the piece goes before.
    pub free_travel: Length,
    /// How much too wide it is to pass: the radii, side by side, in which their rings meet.
    /// Only of motions along the axis.
    pub too_wide: Option<Length>,
    /// Radius at which that begins: what is no wider passes. Only of motions along the axis.
    pub passes: Option<Length>,
    /// Whether they surely meet. Where only rings tell, they may pass at some angle.
    pub proven: bool,
}

/// Two pieces, the first of which is to move.
#[derive(Clone, Copy, Debug)]
pub struct Pair<'a> {
    pub(super) a: &'a Body,
    pub(super) b: &'a Body,
    /// How far a stands along the axis from where its mesh is, against b.
    pub(super) advance: f64,
    /// Meetings that are narrower across a straight way do not count.
    across: Across,
}

impl<'a> Pair<'a> {
    /// `a` is to move, `b` stands; both as at turn 0.
    pub fn new(a: &'a Body, b: &'a Body) -> Self {
        Self {
            a,
            b,
            advance: 0.0,
            across: Across::all(SLACK),
        }
    }

    /// The same with `a` further along the axis than `b`, by what whole turns of the drive
    /// have brought it.
    pub fn advanced(self, by: Length) -> Self {
        Self {
            advance: self.advance + by.as_mm(),
            ..self
        }
    }

    /// The same where press faces count as relieved: meetings narrower than `by` across a
    /// straight way do not count. The drawn overlap of the press, a side, and the chords of
    /// both faces (twice the chord tolerance) are what to give. Faces that both face the way
    /// squarely bear however narrow their facets are, so of those the chords alone are
    /// relieved: a pressed pin leaves along its axis if it has a lead-in, but not sideways.
    pub fn relieved(self, by: Length) -> Self {
        let by = by.as_mm() + SLACK;
        let chords = (self.a.chord + self.b.chord).as_mm() + SLACK;
        Self {
            across: Across {
                slanted: self.across.slanted.max(by),
                square: self.across.square.max(by.min(chords)),
            },
            ..self
        }
    }

    /// The same where meetings narrower than `by` across a straight way do not count, however
    /// the faces stand: to find how much is in the way, not whether anything is.
    pub fn narrowed(self, by: Length) -> Self {
        let by = by.as_mm() + SLACK;
        Self {
            across: Across {
                slanted: self.across.slanted.max(by),
                square: self.across.square.max(by),
            },
            ..self
        }
    }

    /// Whether a thread of one stands in its own thread of the other, so that nothing but
    /// turning along the lead parts them.
    pub fn engaged(&self) -> bool {
        let advance = Length::mm(self.advance);
        let meets = |one: &ThreadFeature, other: &ThreadFeature| {
            let [low, high] = one.z.map(|z| z + advance);
            low < other.z[1] && other.z[0] < high && one.mates_with(other, advance).is_some()
        };
        let of_b = &self.b.threads;
        let mut of_a = self.a.threads.iter();
        of_a.any(|one| of_b.iter().any(|other| meets(one, other)))
    }

    /// Whether b stands in a's way. Quicker than [`Pair::obstacle`], which says where.
    pub fn blocked(&self, motion: &Trajectory) -> bool {
        match *motion {
            Trajectory::Straight { along, reach: None } => {
                self.engaged() || self.beyond(along).is_some()
            }
            _ => self.obstacle(motion).is_some(),
        }
    }

    /// What of b stands first in a's way; `None` if the way is free.
    pub fn obstacle(&self, motion: &Trajectory) -> Option<Obstacle> {
        match *motion {
            Trajectory::Straight { along, reach } => {
                let Some(reach) = reach else {
                    let beyond = self.beyond(along);
                    let first = self.straight(along, f64::INFINITY);
                    // What a stands in from the start is not ahead of it.
                    return if beyond.is_some() || self.engaged() {
                        first.or_else(|| Some(self.met(&along, f64::INFINITY, beyond?)))
                    } else {
                        None
                    };
                };
                self.straight(along, reach.as_mm())
            }
            Trajectory::Turning { lead, reach, up } => {
                let endless = if up { f64::INFINITY } else { f64::NEG_INFINITY };
                self.turning(Some(lead), reach.map_or(endless, Length::as_mm))
            }
        }
    }

    /// What of b stands in a's way when the mechanism turns from one turn of the drive to
    /// another, as each of the two is carried by its rate.
    pub fn driven(&self, a: Rate, b: Rate, from: f64, to: f64) -> Option<Obstacle> {
        let turns = a.turns - b.turns;
        let advance = (a.advance - b.advance).as_mm();
        let moved = self.advanced(Length::mm(advance * from));
        let by = advance * (to - from);
        if turns.abs() > STILL {
            let lead = Length::mm(advance / turns);
            // Along a lead the section is what it is at turn 0.
            let own = self.mated(Some(lead));
            moved.ringed(by, &own)
        } else if by.abs() > SLACK {
            moved.straight([0.0, 0.0, by], by.abs())
        } else {
            None
        }
    }

    fn beyond(&self, along: [f64; 3]) -> Option<straight::FacetMeeting> {
        let way = Way::new(Vector3::from(along));
        straight::beyond(self.a, self.b, &self.shift(), &way, self.across)
    }

    pub(super) fn straight(&self, along: [f64; 3], reach: f64) -> Option<Obstacle> {
        let way = Way::new(Vector3::from(along));
        let shift = self.shift();
        let met = straight::first_met(self.a, self.b, &shift, &way, self.across, reach)?;
        Some(self.met(&along, reach, met))
    }

    fn met(&self, along: &[f64; 3], reach: f64, met: straight::FacetMeeting) -> Obstacle {
        let (one, other) = (self.a.facets[met.facets[0]], self.b.facets[met.facets[1]]);
        let axial = along[0] == 0.0 && along[1] == 0.0;
        let ringed = || self.ringed(reach * along[2].signum(), &|_, _| false);
        let rings = if axial { ringed() } else { None };
        Obstacle {
            features: [feature(one.feature), feature(other.feature)],
            facets: Some([one.index, other.index]),
            point: met.point.into(),
            free_travel: Length::mm(met.along),
            too_wide: rings.and_then(|rings| rings.too_wide),
            passes: rings.and_then(|rings| rings.passes),
            proven: true,
        }
    }

    fn turning(&self, lead: Option<Length>, by: f64) -> Option<Obstacle> {
        self.ringed(by, &self.mated(lead))
    }

    /// The pairs of threads that a motion along a lead keeps apart.
    pub(super) fn mated(
        &self,
        lead: Option<Length>,
    ) -> impl Fn(Feature, Feature) -> bool + use<'a> {
        let advance = Length::mm(self.advance);
        let (a, b) = (self.a, self.b);
        let pairs: Vec<(usize, usize)> = (0..a.threads.len())
            .flat_map(|one| (0..b.threads.len()).map(move |other| (one, other)))
            .filter(|(one, other)| {
                let (one, other) = (&a.threads[*one], &b.threads[*other]);
                let along = lead.is_some_and(|lead| {
                    (lead - one.thread.signed_lead()).abs() < Length::mm(STILL)
                });
                along
                    && one
                        .mates_with(other, advance)
                        .is_some_and(|gap| gap >= Length::ZERO)
            })
            .collect();
        move |one, other| match (one, other) {
            (Feature::Thread(one), Feature::Thread(other)) => pairs.contains(&(one, other)),
            _ => false,
        }
    }

    pub(super) fn ringed(
        &self,
        by: f64,
        apart: &dyn Fn(Feature, Feature) -> bool,
    ) -> Option<Obstacle> {
        let way = Advance {
            from: self.advance,
            by,
        };
        let met = turning::first_met(self.a, self.b, way, apart)?;
        Some(Obstacle {
            features: met.features,
            facets: None,
            point: Point3::new(met.radius, 0.0, met.height).into(),
            free_travel: Length::mm(met.travel),
            too_wide: Some(Length::mm(met.too_wide)),
            passes: Some(Length::mm(met.passes)),
            proven: false,
        })
    }

    pub(super) fn shift(&self) -> Vector3<f64> {
        Vector3::new(0.0, 0.0, self.advance)
    }
}

/// Turns, or millimetres of lead, that are none: rounding of the rates. Derived.
pub(super) const STILL: f64 = 1e-9;
