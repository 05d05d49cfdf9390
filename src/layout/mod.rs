//! From a kit to a sized mechanism: one file per layout.
//!
//! [`design`] sizes every part ([`Sizes`]), gives it its exact shape, and joins the pieces.

mod build;
mod carriage;
mod common;
mod drive;
mod frame;
mod inner;
mod keeper;
mod limits;
mod nested;
pub(crate) mod pin;
mod places;
mod recipe;
pub(crate) mod rules;
mod single;
mod sizes;
mod steps;
pub(crate) mod tool;

pub(crate) use rules::{COLLAR_GAP_LEADS, LEAST_WALL_LINES};
pub use sizes::{End, Gaps, Nested, Sizes, Tip, chamfer_length, net_lead};

use crate::assembly::{Assembly, Place, Script, Step};
use crate::diagnostic::Diagnostic;
use crate::kit::Kit;
use crate::printer::Profile;
use crate::units::Length;

/// A mechanism, sized, with the steps that put it together.
#[derive(Clone, Debug)]
pub struct Design {
    /// Every size.
    pub sizes: Sizes,
    /// Parts, pieces and joints.
    pub assembly: Assembly,
    /// How the stroke is carried out.
    pub course: Course,
    /// How to put it together; none before the order was found.
    pub steps: Vec<Step>,
    /// What the layout has to say about the motions of putting it together.
    pub script: Script,
    /// Parts of pieces that have names of their own.
    pub places: Vec<Place>,
}

impl Design {
    /// The turns n of the drive, before 0 and past N, at which all play is used up at either
    /// stop. A thread gap drawn wider than the lengths leave room for adds half of its play at
    /// either end.
    pub fn ends_of_play(&self) -> [f64; 2] {
        let sizes = &self.sizes;
        let joints = self.assembly.joints.iter();
        let threads = joints.filter_map(|joint| Some(&joint.thread.as_ref()?.thread));
        let [drawn, allowed] = [&sizes.gaps, &sizes.allowed].map(|gaps| gaps.thread.drawn);
        let wider =
            threads.map(|thread| (thread.play(drawn) - thread.play(allowed)).max(Length::ZERO));
        let wider: Length = wider.sum();
        let over_travel = self.course.over_travel + wider / 2.0 / sizes.net_lead;
        [-over_travel, self.course.turns + over_travel]
    }
}

/// The stroke, in turns n of the drive in the direction that carries it out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Course {
    /// Travel of the carriage.
    pub stroke: Length,
    /// N, turns for the stroke.
    pub turns: f64,
    /// m, turns that the drive can make past either end until all play is used up at the stop.
    pub over_travel: f64,
    /// Na, the whole number of turns at which the marks line up for assembly.
    pub assembly_turn: f64,
    /// Travel of the drive screw over the stroke, without sign.
    pub drive_travel: Length,
    /// Travel of the inner screw inside the drive screw over the stroke, without sign.
    pub inner_travel: Option<Length>,
}

/// Sizes, shapes and joins a kit's mechanism, its gaps drawn for a printer.
///
/// # Errors
///
/// Every reason for which it cannot be drawn, with the line that caused it.
pub fn design(kit: &Kit, profile: &Profile) -> Result<Design, Vec<Diagnostic>> {
    accepted(limits::of_threads(kit, profile))?;
    let sizes = Sizes::new(kit, profile);
    accepted(limits::of_sizes(kit, &sizes))?;
    let assembly = match &sizes.end {
        End::Nested(inside) => nested::assembly(kit, &sizes, inside),
        End::Single(tip) => single::assembly(kit, &sizes, tip),
    };
    let script = match &sizes.end {
        End::Nested(inside) => steps::nested(kit, &sizes, inside, &assembly),
        End::Single(tip) => steps::single(kit, &sizes, tip, &assembly),
    };
    Ok(Design {
        course: course(kit, &sizes),
        places: places::of(&sizes, &assembly),
        sizes,
        assembly,
        steps: Vec::new(),
        script,
    })
}

fn accepted(problems: Vec<Diagnostic>) -> Result<(), Vec<Diagnostic>> {
    if problems.is_empty() {
        Ok(())
    } else {
        Err(problems)
    }
}

fn course(kit: &Kit, sizes: &Sizes) -> Course {
    let inner_travel = match &sizes.end {
        End::Nested(inside) => Some(inside.thread.lead() * sizes.turns),
        End::Single(_) => None,
    };
    Course {
        stroke: *kit.stroke,
        turns: sizes.turns,
        over_travel: sizes.over_travel,
        assembly_turn: sizes.assembly_turn,
        drive_travel: sizes.drive.lead() * sizes.turns,
        inner_travel,
    }
}
