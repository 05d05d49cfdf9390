//! The axial section of a thread as it is printed: layers with round tips, and what they leave
//! between a screw and its tapped hole at the worst.
//!
//! Each layer of height h ends in a half circle of that height, whose outermost point lies on
//! the contour at the middle of the layer: the drawn one, grown by what the printer adds to
//! the face. Flanks that look down as printed sag by the same length everywhere. So the tips'
//! centres lie on the contour moved back by h/2 along the radius, and a layer is what lies
//! within h/2 of the line from its centre into the metal.
//!
//! **The worst meeting.** The crest rises with the angle, so the layers of a part cut its
//! section at another height at every angle: over one turn of one part every phase of its
//! layers passes by, and while the other part turns it passes every phase of its own. All
//! pairs of phases meet (a lead is longer than a layer). The least gap over all of them is then
//! that between any point of the one line of centres and any point of the other:
//!
//! ```text
//! gap = min over z, z' of sqrt((z - z')^2 + max(0, r_f(z') - r_m(z) + h)^2)  -  h
//! ```
//!
//! which is the distance of two broken lines, exact, with no grid over the phases. (Derived.)
//! On flanks of an angle a with radial gap g it comes to (g + h) sin a - h. The 60 degree form
//! has (g + h)/2 - h = (g - h)/2: tips stand h/4 proud on each part. M20x2.5 with g = 0.19 at
//! h = 0.15: 0.02 mm. Square steps would stand 0.43 h proud instead.
//!
//! Frame: z along the axis as the parts are assembled, r away from it, in mm inside.

use super::profile::{Known, Profile, Term};
use crate::assembly::{Assembly, InstanceId, Joint};
use crate::thread::{Form, Thread};
use crate::units::{Angle, Length};
use nalgebra::Point3;

/// What a printer does to the flanks of a thread beyond the growth of its faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flanks {
    /// How far a flank that looks down as printed hangs, along the axis.
    pub sag: Length,
    /// What the tips of both parts together give way when they bed in, square to the flank.
    pub bedding: Length,
    /// Whether the flank extra was measured; a guess goes with the layer height.
    pub measured: bool,
}

/// The form of the threads from which a printer's flank extra is learnt: the one that kits and
/// their test pieces have.
const LEARNT_ON: Form = Form::ISO;

impl Flanks {
    /// Of a printer: its flank extra x, learnt on the 60 degree form, is h where tips meet tips
    /// and nothing sags; what is more is sag, x = h + 2 sag tan 60 / 2; what is less is bedding,
    /// (h - x)/2 square to the flank (derived from `c = growth + h + 1.73 sag + wanted`). The
    /// untuned profile has neither: no sag of thread flanks was found measured. Both count alike
    /// for threads of other forms, though a flatter overhang may sag more and a steeper one less.
    pub fn of(profile: &Profile) -> Self {
        let beyond = Length::mm(profile.value(Term::FlankExtra)) - profile.layer;
        let flank = LEARNT_ON.flank_angle();
        Self {
            sag: beyond.max(Length::ZERO) * flank.tan(),
            bedding: (-beyond).max(Length::ZERO) * flank.sin(),
            measured: profile.known(Term::FlankExtra) != Known::Guess,
        }
    }
}

/// Which way a part stood on the bed, seen from the assembly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stood {
    /// Its print frame's z is the assembly's.
    Upright,
    /// It was printed upside down.
    TurnedOver,
}

impl Stood {
    /// Of a piece of an assembly.
    fn of(assembly: &Assembly, piece: InstanceId) -> Self {
        let pose = assembly.instance(piece).pose;
        let [foot, top] = [0.0, 1.0].map(|z| pose.apply(Point3::new(0.0, 0.0, z)).z);
        match top > foot {
            true => Self::Upright,
            false => Self::TurnedOver,
        }
    }
}

/// A screw in its tapped hole as both are printed.
#[derive(Clone, Debug, PartialEq)]
pub struct LayeredThread {
    male: SaggedProfile,
    female: SaggedProfile,
    flank_angle: Angle,
    layer: f64,
    bedding: f64,
    /// Growth taken off the drawn gap, in mm.
    gap: f64,
    depth: f64,
}

impl LayeredThread {
    /// Of a thread drawn with a radial gap, printed in layers of height `layer`.
    pub fn new(
        thread: &Thread,
        drawn: Length,
        stood: [Stood; 2],
        layer: Length,
        profile: &Profile,
    ) -> Self {
        let flanks = Flanks::of(profile);
        let outer = profile.value(Term::OuterGrowth);
        let hole = profile.value(Term::HoleGrowth);
        let [male, female] = stood;
        // A screw's flank looks down where it rises with its print frame's z, a hole's where
        // it falls.
        let contour = |shift: f64, rising_sags: bool, stood: Stood| {
            let upright = stood == Stood::Upright;
            let sag = flanks.sag.as_mm() * if upright { -1.0 } else { 1.0 };
            SaggedProfile::new(thread, shift, sag, rising_sags == upright)
        };
        Self {
            male: contour(outer, true, male),
            female: contour(drawn.as_mm() - hole, false, female),
            flank_angle: thread.form().flank_angle(),
            layer: layer.as_mm(),
            bedding: flanks.bedding.as_mm(),
            gap: drawn.as_mm() - hole - outer,
            depth: thread.depth().as_mm(),
        }
    }

    /// Of a joint of an assembly, as it is drawn; `None` of one without a thread or a gap. Both members are
    /// taken as printed.
    pub fn of_joint(
        assembly: &Assembly,
        joint: &Joint,
        layer: Length,
        profile: &Profile,
    ) -> Option<Self> {
        let (threads, gap) = (joint.thread.as_ref()?, joint.gap.as_ref()?);
        let stood = joint.between.map(|piece| Stood::of(assembly, piece));
        Some(Self::new(&threads.thread, gap.drawn, stood, layer, profile))
    }

    /// Radius of the screw's contour as printed, on which the tips of its layers lie, so far along the axis
    /// from one of its crests.
    pub fn male_radius(&self, from_crest: Length) -> Length {
        Length::mm(self.male.radius(from_crest.as_mm()))
    }

    /// Radius of the hole's contour as printed, so far along the axis from one of its roots. The whole gap
    /// counts as drawn on the hole.
    pub fn female_radius(&self, from_root: Length) -> Length {
        Length::mm(self.female.radius(from_root.as_mm()))
    }

    /// Radial gap between the contours as printed, tips not counted; below zero they overlap.
    pub fn radial_gap(&self) -> Length {
        Length::mm(self.gap)
    }

    /// Least gap between the layers of both parts at the worst meeting of their layers, with
    /// the screw where it has most room along the axis; square to the faces. Below zero the
    /// tips must give way by that much to let the screw turn; it is never below -h, where the
    /// layers lie between each other.
    pub fn least_gap(&self) -> Length {
        let pitch = self.male.pitch;
        let reach = pitch / 4.0;
        let step = 2.0 * reach / f64::from(PLACES);
        // The gap rises to one best place and falls beyond; the grid only finds its slope.
        let place = |index: u32| f64::from(index) * step - reach;
        let start = (0..=PLACES)
            .map(place)
            .max_by(|a, b| {
                let better = self.gap_at(*a).total_cmp(&self.gap_at(*b));
                // Of equals the one nearer the middle.
                better.then(b.abs().total_cmp(&a.abs()))
            })
            .unwrap_or(0.0);
        let (mut low, mut high) = (start - step, start + step);
        for _ in 0..HALVINGS {
            let third = (high - low) / 3.0;
            let (left, right) = (low + third, high - third);
            if self.gap_at(left) < self.gap_at(right) {
                low = left;
            } else {
                high = right;
            }
        }
        let best = self.gap_at(start).max(self.gap_at((low + high) / 2.0));
        Length::mm(best + self.bedding)
    }

    /// The gap between a layer of the screw's flanks and the nearest of the hole's that half of them have and
    /// half do not, over all phases of the layers of both, the screw in the middle of its play; square to
    /// the faces. Phases are taken at even steps of a layer, so it is good to a few hundredths of one. Where
    /// a flank has no whole layer, the least gap.
    pub fn middle_gap(&self) -> Length {
        let phase = |index: u32| f64::from(index) / f64::from(PHASES) * self.layer;
        let phases = || (0..PHASES).map(phase);
        let pairs = phases().flat_map(|male| phases().map(move |female| (male, female)));
        let mut met: Vec<f64> = pairs
            .flat_map(|(male, female)| self.met(male, female))
            .collect();
        met.sort_by(f64::total_cmp);
        let middle = met.get(met.len() / 2);
        middle.map_or(self.least_gap(), |gap| Length::mm(gap + self.bedding))
    }

    /// The least gap of each layer on the screw's flanks, those of both parts beginning so far past a crest.
    fn met(&self, male: f64, female: f64) -> Vec<f64> {
        let (h, pitch) = (self.layer, self.male.pitch);
        let count = (pitch / h).ceil() as i64;
        // Of the hole's layers those that a flank could bring near.
        let reach = (self.depth / h).ceil() as i64 + 1;
        let [bottom, top] = [self.male.corners[0].1, self.male.corners[2].1];
        let layers = (0..=count).map(|layer| male + layer as f64 * h);
        let on_flanks = layers.filter(|z| {
            let radius = self.male.radius(*z);
            radius > bottom && radius < top
        });
        let least = |z: f64| {
            let near = ((z - female) / h).floor() as i64;
            let apart = |other: f64| {
                let out = (self.female.radius(other) - self.male.radius(z) + h).max(0.0);
                ((z - other) * (z - other) + out * out).sqrt() - h
            };
            (near - reach..=near + reach)
                .map(|layer| apart(female + layer as f64 * h))
                .fold(f64::INFINITY, f64::min)
        };
        on_flanks.map(least).collect()
    }

    /// Share of the depth of the basic profile on which both flanks lie, 1 - g / depth of the
    /// printed radial gap: what the gaps leave of the thread. From 0 to 1.
    pub fn depth_left(&self) -> f64 {
        (1.0 - self.gap.max(0.0) / self.depth).clamp(0.0, 1.0)
    }

    /// Layers of each flank that find one of the other's to bear on, at the worst meeting: whole
    /// steps of h / tan a in the depth that is left, a the flank angle. M12x1.75 with g = 0.18 at
    /// h = 0.14: 3.
    pub fn bearing_layers(&self) -> f64 {
        let left = self.depth * self.depth_left();
        (left / (self.layer / self.flank_angle.tan()) + SLACK).floor()
    }

    /// Share of the thread's depth that those layers stand for. From 0 to 1.
    pub fn bearing_share(&self) -> f64 {
        self.bearing_layers() * self.layer / self.flank_angle.tan() / self.depth
    }

    /// The gap with the hole shifted along the axis, without bedding.
    fn gap_at(&self, shift: f64) -> f64 {
        let (male, female) = (&self.male, &self.female);
        let apart = |z: f64| female.radius(z - shift) + self.layer - male.radius(z);
        let corners = male.corners.iter().map(|corner| corner.0);
        let others = female.corners.iter().map(|corner| corner.0 + shift);
        let least = corners
            .chain(others)
            .map(apart)
            .fold(f64::INFINITY, f64::min);
        if least <= 0.0 {
            // The centres of the one lie beyond those of the other: layer beside layer.
            return -self.layer;
        }
        let lifted: Vec<[(f64, f64); 2]> = female
            .segments(-1..=1)
            .map(|ends| ends.map(|(z, r)| (z + shift, r + self.layer)))
            .collect();
        male.segments(0..=0)
            .flat_map(|one| lifted.iter().map(move |other| apart_by(&one, other)))
            .fold(f64::INFINITY, f64::min)
            - self.layer
    }
}

/// What the flare of the first layer leaves of a gap where it lies on the bed: both faces stand
/// back there by a 45 degree edge, which at the middle of the first layer is `edge` less h/2.
///
/// Derived; only the first layer is taken to flare. A gap of 0.14 behind an edge of 0.6, flare
/// 0.15, h = 0.15: 0.515.
pub fn first_layer_gap(gap: Length, edge: Length, layer: Length, profile: &Profile) -> Length {
    gap + edge - layer / 2.0 - Length::mm(profile.value(Term::FirstLayerFlare))
}

/// Share of a line's width that rests on the layer below it on a thread's flank: 1 - h / (w tan a)
/// with a the flank angle. Flanks of 30 degrees: 1 - 1.732 h / w.
///
/// Derived. There h = 0.15 on a line of 0.45: 0.42; on one of 0.65: 0.60. Below zero nothing does.
pub fn line_overlap(form: &Form, layer: Length, line: Length) -> f64 {
    1.0 - layer / line / form.flank_angle().tan()
}

/// The layer height at which a thread's flank rests on the layer below by a share of the line:
/// (1 - share) w tan a, the inverse of [`line_overlap`]. Flanks of 30 degrees, 44 % of a line of
/// 0.45: 0.1455 mm.
pub fn layer_of_overlap(form: &Form, share: f64, line: Length) -> Length {
    line * ((1.0 - share) * form.flank_angle().tan())
}

/// Steps of a layer at which meetings of layers are looked at.
const PHASES: u32 = 12;
/// Places along a half pitch from which the best one is sought.
const PLACES: u32 = 32;
/// Cuts by a third that end far below a micrometre: a sixteenth of a pitch times (2/3)^40.
const HALVINGS: u32 = 40;
/// A depth that is a whole number of steps but for binary rounding counts as one. Guess.
const SLACK: f64 = 1e-9;

/// Radius over z, straight between corners, repeating every pitch from -P/2 to P/2 about a
/// crest.
#[derive(Clone, Debug, PartialEq)]
struct SaggedProfile {
    corners: [(f64, f64); 6],
    pitch: f64,
}

impl SaggedProfile {
    /// The basic profile moved outwards, its rising or its falling flank moved along z.
    fn new(thread: &Thread, outwards: f64, sag: f64, rising: bool) -> Self {
        let pitch = thread.pitch().as_mm();
        let [_, (crest, top), (root, _), _] = thread.basic_profile_corners();
        let (crest, root, top) = (crest.as_mm(), root.as_mm(), top.as_mm() + outwards);
        let bottom = top - thread.depth().as_mm();
        // Beyond half a root's flat neighbouring ridges would run together.
        let most = thread.form().root_flat() / 2.0 * pitch;
        let sag = sag.clamp(-most, most);
        let [up, down] = if rising { [sag, 0.0] } else { [0.0, sag] };
        // A sag that narrows the crest cannot turn it inside out.
        let right = (crest + down).max(up - crest);
        Self {
            corners: [
                (-pitch / 2.0 + up.min(0.0), bottom),
                (up - root, bottom),
                (up - crest, top),
                (right, top),
                (right + root - crest, bottom),
                (pitch / 2.0 + up.min(0.0), bottom),
            ],
            pitch,
        }
    }

    fn radius(&self, z: f64) -> f64 {
        let first = self.corners[0].0;
        let along = first + (z - first).rem_euclid(self.pitch);
        let within = self.corners.windows(2).find(|ends| along <= ends[1].0);
        within.map_or(self.corners[5].1, |ends| {
            let ((z0, r0), (z1, r1)) = (ends[0], ends[1]);
            if z1 - z0 > 0.0 {
                r0 + (r1 - r0) * (along - z0) / (z1 - z0)
            } else {
                r0.max(r1)
            }
        })
    }

    fn segments(
        &self,
        pitches: std::ops::RangeInclusive<i32>,
    ) -> impl Iterator<Item = [(f64, f64); 2]> + '_ {
        pitches.flat_map(move |count| {
            let on = f64::from(count) * self.pitch;
            self.corners
                .windows(2)
                .map(move |ends| [(ends[0].0 + on, ends[0].1), (ends[1].0 + on, ends[1].1)])
        })
    }
}

/// Distance of two stretches that do not cross: from an end of one to the other.
fn apart_by(one: &[(f64, f64); 2], other: &[(f64, f64); 2]) -> f64 {
    let from = |point: (f64, f64), [a, b]: &[(f64, f64); 2]| {
        let (along, to) = ((b.0 - a.0, b.1 - a.1), (point.0 - a.0, point.1 - a.1));
        let long = along.0 * along.0 + along.1 * along.1;
        let share = if long > 0.0 {
            ((along.0 * to.0 + along.1 * to.1) / long).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let (z, r) = (to.0 - along.0 * share, to.1 - along.1 * share);
        (z * z + r * r).sqrt()
    };
    let ends = |a: &[(f64, f64); 2], b| from(a[0], b).min(from(a[1], b));
    ends(one, other).min(ends(other, one))
}

#[cfg(test)]
mod tests;
