//! From a kit to a sized mechanism: a folder and an arm of one `match` for each layout.
//!
//! [`design`] sizes every part, gives it its exact shape, and joins the pieces. What a layout is
//! made of is its own; what the rest of the program sees of it is its [`Design`]: parts and
//! joints, the course of the stroke, what carries load, what must keep apart, words and tools.
//! Houses (`round_house`) and features (`feature`) are what layouts share by calling them.

mod build;
mod dowels;
mod drive;
pub(crate) mod elements;
mod feature;
mod gaps;
mod index;
mod last_check;
mod letters;
mod limits;
mod member;
mod nested;
mod opposed;
pub(crate) mod pin;
mod pins;
mod pressing;
pub(crate) mod proportions;
mod recipe;
mod round_house;
mod single;
mod spring;
mod square_house;
mod stroke;
mod tandem;
mod turning;
mod words;

pub use gaps::{drawn_of_thread, wanted_of_thread, with_gap, with_wanted_gaps};
pub use last_check::{Between, LastCheck};
pub use member::{
    Arm, Bent, Captive, Crank, Distance, Guide, Leg, LegSection, Members, Peephole, Pin, Plate,
    Preload, Press, Rod, Rub, Strut, ThreadPair, Ticks, TouchStart, Twist, Wall, Way,
};

pub(crate) use limits::TOUCHING;
pub(crate) use proportions::LEAST_WALL_LINES;

use crate::assembly::{
    Assembly, Caution, Course, Fastener, Joint, JointId, Made, NamedRegion, Part, PartId, Script,
    Step, Tool,
};
use crate::diagnostic::Diagnostic;
use crate::kit::{KeyPath, Kit, Mechanism};
use crate::printer::{Profile, Swing};
use crate::thread::Thread;
use crate::units::Length;

/// A mechanism, sized, with the steps that put it together.
#[derive(Clone, Debug)]
pub struct Design {
    /// Parts, pieces and joints.
    pub assembly: Assembly,
    /// How the stroke is carried out.
    pub course: Course,
    /// The net lead that the sizes were made for; the joints must give the same.
    pub net_lead: Length,
    /// How to put it together; none before the order was found.
    pub steps: Vec<Step>,
    /// What the layout has to say about the motions of putting it together.
    pub script: Script,
    /// Parts of pieces that have names of their own.
    pub regions: Vec<NamedRegion>,
    /// How it moves, in a sentence.
    pub caption: &'static str,
    /// What carries load.
    pub members: Members,
    /// What is said of each pair of threads, in the order of the joints.
    pub threads: Vec<ThreadPair>,
    /// What must not meet before the carriage stops.
    pub distances: Vec<Distance>,
    /// Screws that are put in place by touch and turn back.
    pub starts: Vec<TouchStart>,
    /// The distance that the last step measures.
    pub last_check: LastCheck,
    /// Holes through which the carriage's travel is measured.
    pub peepholes: Vec<Peephole>,
    /// From where to where a depth is read that tells the carriage's travel, in a sentence: `from the
    /// keeper to the carriage, through its hole`.
    pub depth_read: &'static str,
    /// Side of a square frame, of which the kit may ask for another; none of a frame whose width
    /// follows from its carriage.
    pub frame_side: Option<Length>,
    /// Ticks around the drive's head, where the kit asks for them.
    pub dial: Option<Ticks>,
    /// The plain screw that would take its place; none where it is one.
    pub plain: Option<Thread>,
    /// Keys of sizes that may bring pieces together which the layout would keep apart, the first
    /// to be blamed first.
    pub meeting: Vec<KeyPath>,
    /// Bolts, nuts and washers to buy that are no pieces of the assembly; each stands in the bill.
    pub fasteners: Vec<Fastener>,
    /// What the bench needs.
    pub tools: Vec<Tool>,
    /// What its working end, its mount and its head ask whoever uses it to heed.
    pub cautions: Vec<Caution>,
}

impl Design {
    /// The turns n of the drive, before 0 and past N, at which all play is used up at either
    /// stop. A thread gap drawn wider than the lengths leave room for adds half of its play at
    /// either end.
    pub fn ends_of_play(&self) -> [f64; 2] {
        let wider = self.threads.iter().filter_map(|pair| {
            let joint = self.assembly.joints.get(pair.joint.0)?;
            let (thread, gap) = (&joint.thread.as_ref()?.thread, joint.gap?);
            let wider = thread.play(gap.drawn) - thread.play(pair.allowed);
            Some(wider.max(Length::ZERO))
        });
        let wider: Length = wider.sum();
        let over_travel = self.course.over_travel + wider / 2.0 / self.net_lead;
        [-over_travel, self.course.turns + over_travel]
    }

    /// What carriages add to what a reversal loses by turning in their guides, from how far each goes
    /// on when it is carried along by one turn of the drive.
    pub fn swings(&self, carried_on: impl Fn(&Assembly, JointId) -> Length) -> Vec<Swing> {
        let guides = self.members.guides.iter().filter_map(|guide| {
            let gap = self.assembly.joint(guide.joint).gap?;
            Some(guide.swing(gap.wanted, carried_on(&self.assembly, guide.joint)))
        });
        let captives = self.members.captives.iter().filter_map(|captive| {
            let gap = self.assembly.joint(captive.joint).gap?;
            let on = carried_on(&self.assembly, captive.joint);
            Some(captive.swing(gap.wanted, on))
        });
        guides.chain(captives).collect()
    }

    /// What turning leaves of what a reversal loses where a spring takes up all play along the axis:
    /// that of carriages in their guides, and of shafts about their pins. Without a spring the latter
    /// goes under in the play.
    pub fn swings_under_preload(
        &self,
        carried_on: impl Fn(&Assembly, JointId) -> Length,
    ) -> Vec<Swing> {
        let mut swings = self.swings(&carried_on);
        swings.extend(self.members.pinned.iter().filter_map(|pinned| {
            let gap = self.assembly.joint(pinned.joint).gap?;
            Some(pinned.swing(gap.wanted, carried_on(&self.assembly, pinned.guide)))
        }));
        swings
    }
}

/// Sizes, shapes and joins a kit's mechanism, its gaps drawn for a printer.
///
/// # Errors
///
/// Every reason for which it cannot be drawn, with the line that caused it.
pub fn design(kit: &Kit, profile: &Profile) -> Result<Design, Vec<Diagnostic>> {
    let design = match &kit.mechanism {
        Mechanism::Single(threads) => single::design(kit, threads, profile),
        Mechanism::Nested(threads) => nested::design(kit, threads, profile),
        Mechanism::Tandem(threads) => tandem::design(kit, threads, profile),
        Mechanism::Opposed(threads) => opposed::design(kit, threads, profile),
    }?;
    accepted(limits::eaten(kit, &design.assembly))?;
    Ok(design)
}

/// Gives a part that is none of a mechanism its revision, as its parts have one; nothing is sunk into it.
pub fn revised(kit: &Kit, part: &mut Part) {
    letters::engrave(kit, part, &[]);
}

/// Step by which a gap is moved to see what hangs on it. Guess: what a hand feels.
const GAP_STEP: Length = Length::mm(0.02);

/// The printed parts that another gap of each joint, asked for by itself, shapes anew, in the order of
/// the joints; empty of a joint that no kit asks for, or whose gap cannot be moved.
pub fn shaped_by_gaps(kit: &Kit, profile: &Profile, design: &Design) -> Vec<Vec<PartId>> {
    let joints = design.assembly.joints.iter();
    let of = |joint: &Joint| {
        let gap = joint.gap.as_ref().filter(|_| joint.asked.is_some())?;
        let moved = [GAP_STEP, Length::ZERO - GAP_STEP].into_iter();
        let mut moved = moved.filter_map(|step| {
            let kit = gaps::with_own_gap(kit, &joint.name, joint.fit, gap.wanted + step)?;
            self::design(&kit, profile).ok()
        });
        let moved = moved.next()?.assembly;
        let parts = design.assembly.parts.iter().enumerate();
        let other = parts.filter(|(index, part)| {
            let new = moved.parts.get(*index);
            part.made == Made::Printed && new.is_some_and(|new| new.recipe != part.recipe)
        });
        Some(other.map(|(index, _)| PartId(index)).collect())
    };
    joints.map(|joint| of(joint).unwrap_or_default()).collect()
}

fn accepted(problems: Vec<Diagnostic>) -> Result<(), Vec<Diagnostic>> {
    if problems.is_empty() {
        Ok(())
    } else {
        Err(problems)
    }
}
