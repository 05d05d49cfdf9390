//! What a pair gives: the columns of its row.

use super::base::Base;
use super::judge::{Against, Judged, Reason, Sized, Verdict};
use crate::check::{self, Outcome};
use crate::load::Trains;
use crate::motion;
use crate::printer;
use crate::printing_time::{Job, PrintEstimate};
use crate::strength::Material;
use crate::units::{Force, Length, Torque};

/// What a mechanism gives, as far as that is known without a mesh.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// Turns for the stroke.
    pub turns: f64,
    /// Sides of a box around the whole through its stroke: across, along the guide's height, along the
    /// axis.
    pub size: [Length; 3],
    /// Turns that a reversal loses, in the middle of what copies lose.
    pub lost_motion: f64,
    /// Torque at the head under the wished load, at the greatest friction; none without a load.
    pub torque: Option<Torque>,
    /// Load over effort, as a multiple of what the plain screw of the same drive thread gives, at the
    /// greatest friction; none of a plain screw.
    pub times_plain: Option<f64>,
    /// Load that it bears for a short time.
    pub safe_load: Option<Force>,
    /// The thinnest wall between two threads, in printed lines; none where no thread is in another.
    pub wall: Option<f64>,
    /// What printing all parts takes.
    pub print: PrintEstimate,
    /// Of which filament.
    pub material: Material,
}

impl Figures {
    /// Of a sized pair.
    pub(super) fn of(base: &Base, sized: &Sized, judged: &Judged) -> Self {
        let case = sized.case(base);
        let assembly = &sized.design.assembly;
        let swings = sized.design.swings(motion::carried_on);
        let beside = motion::beside(assembly, assembly.carriages.leading);
        let plays = printer::rough_plays(assembly, &base.profile, &swings, &beside);
        let [_, play, _] = plays.sum;
        let settings = base.profile.as_printed_by(&sized.kit);
        let rough = Trains::of(&case, sized.kit.friction().high);
        let load = sized.kit.load.force.as_ref().map(|load| load.value);
        let spring = case.spring_force();
        let torque = |load: Force| Some(rough.clone()?.harder().torque(load + spring));
        Self {
            turns: sized.design.course.turns,
            size: judged.size.unwrap_or([Length::ZERO; 3]),
            lost_motion: play / judged.candidate.net_lead,
            torque: load.and_then(torque),
            times_plain: judged.times_plain,
            safe_load: judged.safe_load,
            wall: judged.wall,
            print: Job::expected(assembly, &settings).whole,
            material: *sized.kit.material,
        }
    }
}

/// A verdict with what all the copies of the kit add to it.
pub(super) fn of_copies(base: &Base, sized: &Sized, single: &Verdict) -> Verdict {
    let copies = check::foreseen_of_copies(&sized.case(base));
    let of = |outcome: Outcome| {
        let of = copies
            .iter()
            .filter(move |(_, came_out)| *came_out == outcome);
        of.map(|(rule, _)| *rule)
    };
    let Verdict::Buildable { warnings, notes } = single else {
        return single.clone();
    };
    if let Some(rule) = of(Outcome::Fail).next() {
        return Verdict::Fails(Reason {
            against: Against::Rule(rule),
            message: "too many of its copies would not go together on this printer".into(),
            failing: 1,
        });
    }
    let with = |single: &[&'static str], outcome: Outcome| {
        let mut all: Vec<&'static str> = single.iter().copied().chain(of(outcome)).collect();
        all.dedup();
        all
    };
    Verdict::Buildable {
        warnings: with(warnings, Outcome::Warn),
        notes: with(notes, Outcome::Note),
    }
}
