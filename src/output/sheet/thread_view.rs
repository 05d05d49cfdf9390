//! From a screw in its tapped hole to the stretch of their section that a sheet shows, and its scale.
//!
//! The section is that of the half plane at angle 0 (towards +x) as the pieces stand at turn 0: z runs to
//! the right, away from the drive head, the radius upwards. Only a few pitches of one side are shown; the
//! metal beyond is broken off, and so is the way to the axis.

use super::hatching::{self, Hatch};
use super::paper::{At, Line, Paper};
use crate::assembly::{Joint, JointId, PartId, ThreadJoint};
use crate::output::kit::{JointFigures, Product};
use crate::output::words::plain;
use crate::thread::{Hand, Standard, Thread};
use crate::units::{Angle, Length};
use crate::units_told::{CALIPER_OF_INCHES, Told, number};

/// Scales, the largest first (ISO 5455).
const SCALES: [f64; 8] = [20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1];
/// The scale for which a ridge less is shown, where it would be a smaller one else.
const USUAL_SCALE: f64 = 10.0;
/// Width of all sheets on paper: what an A4 page leaves between its margins.
pub(super) const WIDTH: f64 = 180.0;
/// Room for the section along the axis, on paper.
const ALONG: f64 = 106.0;
/// Left edge of that room.
const LEFT: f64 = 36.0;
/// Upper edge of the hole's metal.
pub(super) const TOP: f64 = 33.0;
/// Metal shown behind each profile, on paper, where there is so much.
const METAL: f64 = 13.0;
/// Share of a wall that is shown at the most, so that its other side is not drawn over.
const OF_A_WALL: f64 = 0.7;
/// From the screw's lower broken edge to the axis, on paper: the words of diameters stand there.
const TO_THE_AXIS: f64 = 28.0;

/// How much of a thread is shown at the most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shown {
    /// Three ridges and half a flank at either end, of several starts a whole lead.
    Lead,
    /// One ridge and the grooves beside it.
    Ridge,
}

/// A corner of an outline: z and radius.
pub(super) type Corner = (Length, Length);

/// What a sheet shows of a thread joint.
pub(super) struct ThreadView<'a> {
    pub(super) joint: &'a Joint,
    pub(super) threads: &'a ThreadJoint,
    pub(super) figures: &'a JointFigures,
    /// Item numbers of the screw and of what it runs in.
    pub(super) items: [usize; 2],
    /// How each is hatched.
    pub(super) hatches: [Hatch; 2],
    /// How far each profile is drawn off the basic one, outwards.
    pub(super) shifts: [Length; 2],
    /// z of the crest in the middle.
    pub(super) crest: Length,
    /// From which z to which.
    pub(super) window: [Length; 2],
    /// Millimetres of paper for one of the parts.
    pub(super) scale: f64,
    /// Metal shown of screw and hole, on paper.
    metal: [f64; 2],
    pub(super) told: Told,
}

impl<'a> ThreadView<'a> {
    /// So much of a thread joint; `None` where its parts have no gap.
    pub(super) fn of(product: &'a Product, id: JointId, shown: Shown) -> Option<Self> {
        let assembly = &product.design.assembly;
        let joint = assembly.joints.get(id.0)?;
        let (threads, gap) = (joint.thread.as_ref()?, joint.gap.as_ref()?);
        let parts = joint.between.map(|piece| assembly.instance(piece).part);
        let (numbers, hatches) = (assembly.item_numbers(), hatching::of_parts(assembly));
        let thread = &threads.thread;
        let crest = middle_crest(threads);
        let most = pitches(threads, crest, shown);
        let fewer = (most - 1.0).max(RIDGE);
        let keeps_lead = fewer > f64::from(thread.starts());
        let coarse = scale_of(thread, most) < USUAL_SCALE;
        let pitches = match coarse && keeps_lead && scale_of(thread, fewer) >= USUAL_SCALE {
            true => fewer,
            false => most,
        };
        let (half, scale) = (thread.pitch() * (pitches / 2.0), scale_of(thread, pitches));
        let wall = |part: PartId| {
            let walls = product.design.members.walls.iter();
            let own = walls.filter(|wall| wall.part == part);
            let thinnest = own.map(|wall| wall.thickness.as_mm() * scale * OF_A_WALL);
            thinnest.fold(METAL, f64::min).max(1.0)
        };
        Some(Self {
            joint,
            threads,
            figures: product.joints.get(id.0)?,
            items: parts.map(|part| numbers[part.0]),
            hatches: parts.map(|part| hatches[part.0]),
            shifts: [Length::ZERO - gap.on_male(), gap.on_female()],
            crest,
            window: [crest - half, crest + half],
            scale,
            metal: parts.map(wall),
            told: product.kit.told(),
        })
    }

    /// The thread.
    pub(super) fn thread(&self) -> &'a Thread {
        &self.threads.thread
    }

    /// Both outlines as they are drawn, that of the screw first: corners from left to right.
    pub(super) fn profiles(&self) -> [Vec<Corner>; 2] {
        let crests = [self.threads.male_crest, self.threads.female_root];
        [0, 1].map(|member| {
            profile(
                self.thread(),
                crests[member],
                self.shifts[member],
                self.window,
            )
        })
    }

    /// The basic profile, about the screw's crests.
    pub(super) fn basic(&self) -> Vec<Corner> {
        profile(
            self.thread(),
            self.threads.male_crest,
            Length::ZERO,
            self.window,
        )
    }

    /// Radius that stands at the highest place of the section: the hole's root.
    fn highest(&self) -> Length {
        self.thread().major() / 2.0 + self.shifts[1].max(self.shifts[0])
    }

    /// Radius that stands at its lowest: the screw's root.
    fn lowest(&self) -> Length {
        self.thread().minor_internal() / 2.0 + self.shifts[0].min(self.shifts[1])
    }

    /// Where a height and a radius stand on the paper.
    pub(super) fn at(&self, (z, radius): Corner) -> At {
        [self.x(z), self.y(radius)]
    }

    /// Where a height stands.
    pub(super) fn x(&self, z: Length) -> f64 {
        let middle = LEFT + ALONG / 2.0;
        middle + (z - self.crest).as_mm() * self.scale
    }

    /// Where a radius stands.
    pub(super) fn y(&self, radius: Length) -> f64 {
        TOP + self.metal[1] + (self.highest() - radius).as_mm() * self.scale
    }

    /// Left and right edge of the section.
    pub(super) fn sides(&self) -> [f64; 2] {
        self.window.map(|z| self.x(z))
    }

    /// Lower edge of the screw's metal.
    pub(super) fn bottom(&self) -> f64 {
        self.y(self.lowest()) + self.metal[0]
    }

    /// Where the axis is drawn, nearer than it is.
    pub(super) fn axis(&self) -> f64 {
        self.bottom() + TO_THE_AXIS
    }

    /// Middle of the words of diameters.
    pub(super) fn words_at(&self) -> f64 {
        self.axis() - TO_THE_AXIS / 2.0
    }

    /// The metal of a member below or above its outline, with broken edges: the whole loop, and the broken
    /// edge alone.
    pub(super) fn metal(&self, member: usize, outline: &[At]) -> [Vec<At>; 2] {
        let [left, right] = self.sides();
        let far = match member {
            0 => self.bottom(),
            _ => TOP,
        };
        let ends = [outline.first(), outline.last()].map(|end| end.copied().unwrap_or([left, far]));
        let mut broken = torn(ends[1], [right, far]);
        broken.extend(torn([right, far], [left, far]).into_iter().skip(1));
        broken.extend(torn([left, far], ends[0]).into_iter().skip(1));
        let mut whole = outline.to_vec();
        whole.extend_from_slice(&broken[1..broken.len() - 1]);
        [whole, broken]
    }

    /// Draws axis and pitch line.
    pub(super) fn centre_lines(&self, paper: &mut Paper) {
        let [left, right] = self.sides();
        let beyond = 3.0;
        let mut level = |y: f64| {
            paper.line(Line::Centre, [left - beyond, y], [right + beyond, y]);
        };
        level(self.axis());
        level(self.y(self.thread().pitch_diameter() / 2.0));
    }

    /// Dimension of a length, without its unit, the metric value with so many decimals.
    pub(super) fn dimension(&self, length: Length, decimals: usize) -> String {
        dimension(self.told, length, decimals)
    }

    /// Designation, hand, starts and lead.
    pub(super) fn designation(&self, told: Told) -> String {
        let thread = self.thread();
        let known = self.figures.thread.as_deref().map(plain);
        let designation = known.unwrap_or_else(|| thread.designation());
        let hand = match thread.hand() {
            Hand::Right => "right-hand",
            Hand::Left => "left-hand",
        };
        let starts = match thread.starts() {
            1 => "single start".into(),
            several => format!("{several} starts"),
        };
        let lead = told.length(thread.lead(), 3);
        format!("{designation}, {hand}, {starts}, lead {lead}")
    }

    /// Both members with their item numbers: `2 drive screw in 1 frame`.
    pub(super) fn members(&self, product: &Product) -> String {
        let called = |member: usize| {
            let piece = self.joint.between[member];
            let called = plain(product.design.assembly.called(piece));
            format!("{} {called}", self.items[member])
        };
        format!("{} in {}", called(0), called(1))
    }

    /// Which standard has its basic profile.
    pub(super) fn basic_profile_words(&self) -> &'static str {
        match self.thread().standard() {
            Standard::IsoCoarse | Standard::IsoFine => "basic profile, ISO 68-1",
            Standard::Unc | Standard::Unf => "basic profile, ASME B1.1",
            Standard::Free
                if self
                    .thread()
                    .form()
                    .has_profile_of(&crate::thread::Form::ISO) =>
            {
                "basic profile of ISO 68-1, free size"
            }
            Standard::Free => "basic profile, of no standard",
        }
    }

    /// Which unit the dimensions are in, and the scale: `dimensions in mm, scale 10:1`.
    pub(super) fn units_and_scale(&self) -> String {
        let scale = scale_words(self.scale);
        format!("{}, scale {scale}", unit_words(self.told))
    }
}

/// A length on a drawing, without its unit: `22.23`; in inch kits `0.875 (22.23)`.
pub(super) fn dimension(told: Told, length: Length, decimals: usize) -> String {
    let metric = number(length.as_mm(), decimals);
    match told {
        Told::Metric => metric,
        Told::Inch => format!(
            "{} ({metric})",
            number(length.as_inches(), CALIPER_OF_INCHES)
        ),
    }
}

/// The units of a sheet's dimensions.
pub(super) fn unit_words(told: Told) -> &'static str {
    match told {
        Told::Metric => "dimensions in mm",
        Told::Inch => "dimensions in inches (mm)",
    }
}

/// The screw's crest that is nearest to the middle of what both members have of full profile.
pub(super) fn middle_crest(threads: &ThreadJoint) -> Length {
    let [low, high] = engaged(threads);
    let pitch = threads.thread.pitch();
    let from = (low + high) / 2.0 - threads.male_crest;
    threads.male_crest + pitch * (from / pitch).round()
}

/// From where to where both members have their full profile at turn 0.
fn engaged(threads: &ThreadJoint) -> [Length; 2] {
    let (male, female) = (threads.male, threads.female);
    [male[0].max(female[0]), male[1].min(female[1])]
}

/// The largest scale at which so many pitches have room.
fn scale_of(thread: &Thread, pitches: f64) -> f64 {
    let long = thread.pitch().as_mm() * pitches;
    let fits = |scale: &&f64| long * **scale <= ALONG;
    let smallest = SCALES[SCALES.len() - 1];
    SCALES.iter().find(fits).copied().unwrap_or(smallest)
}

/// A scale as titles have it: `10:1`, `1:2`.
pub(super) fn scale_words(scale: f64) -> String {
    match scale >= 1.0 {
        true => format!("{}:1", number(scale, 0)),
        false => format!("1:{}", number(1.0 / scale, 0)),
    }
}

/// One ridge and the grooves beside it, in pitches.
const RIDGE: f64 = 1.5;
/// Three ridges and half a flank at either end, in pitches.
const RIDGES: f64 = 3.5;

/// How many pitches are shown about a crest, as far as both members have their full profile there.
fn pitches(threads: &ThreadJoint, crest: Length, shown: Shown) -> f64 {
    let [low, high] = engaged(threads);
    let room = (crest - low).min(high - crest) * 2.0 / threads.thread.pitch();
    let mut pitches = match shown {
        Shown::Lead => RIDGES.max(f64::from(threads.thread.starts()) + RIDGE),
        Shown::Ridge => RIDGE,
    };
    while pitches > room && pitches > RIDGE {
        pitches -= 1.0;
    }
    pitches
}

/// Corners of a profile with a crest at a height, moved outwards, within a stretch.
fn profile(thread: &Thread, crest: Length, shift: Length, window: [Length; 2]) -> Vec<Corner> {
    let pitch = thread.pitch();
    let end = |z: Length| (z, thread.profile_radius(z - crest) + shift);
    let first = ((window[0] - crest) / pitch).floor() - 1.0;
    let count = ((window[1] - window[0]) / pitch).ceil() as usize + 3;
    let ridges = (0..count).map(|ridge| crest + pitch * (first + ridge as f64));
    let corners = ridges.flat_map(|at| {
        let corners = thread.basic_profile_corners();
        corners.map(|(u, radius)| (at + u, radius + shift))
    });
    let inside = corners.filter(|(z, _)| *z > window[0] && *z < window[1]);
    std::iter::once(end(window[0]))
        .chain(inside)
        .chain([end(window[1])])
        .collect()
}

/// A broken edge drawn free-hand from one place to another (ISO 128-2), the same at every run.
fn torn(from: At, to: At) -> Vec<At> {
    /// How far it strays, and how long its waves are, on paper.
    const STRAY: f64 = 0.5;
    const WAVES: [f64; 2] = [9.0, 5.3];
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let long = (dx * dx + dy * dy).sqrt();
    let steps = long.ceil().clamp(1.0, 400.0) as u32;
    let at = |step: u32| {
        let share = f64::from(step) / f64::from(steps);
        let along = share * long;
        // Both ends stay where they are.
        let tame = along.min(long - along).clamp(0.0, 1.0);
        let waves = WAVES.map(|wave| Angle::turns(along / wave).sin());
        let off = STRAY * tame * (waves[0] + waves[1] / 2.0);
        let unit = if long > 0.0 { off / long } else { 0.0 };
        [
            from[0] + dx * share - dy * unit,
            from[1] + dy * share + dx * unit,
        ]
    };
    (0..=steps).map(at).collect()
}
