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
mod member;
mod members;
mod nested;
pub(crate) mod pin;
mod places;
mod recipe;
pub(crate) mod rules;
mod single;
mod sizes;
mod steps;
pub(crate) mod tool;

pub use member::{
    Bent, Distance, Guide, Leg, Members, Peephole, Pin, Plate, Press, Rod, Rub, Strut, ThreadPair,
    TouchStart, Twist, Wall, Way,
};
pub(crate) use rules::LEAST_WALL_LINES;
pub use sizes::{End, Gaps, Nested, Sizes, Tip, chamfer_length, net_lead};

use crate::assembly::{Assembly, Course, Place, Script, Step, Tool};
use crate::diagnostic::Diagnostic;
use crate::kit::{KeyPath, Kit};
use crate::printer::Profile;
use crate::thread::Thread;
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
    /// How it moves, in a sentence.
    pub caption: &'static str,
    /// Everything that carries load.
    pub members: Members,
    /// What is said of every pair of threads beside its joint.
    pub threads: Vec<ThreadPair>,
    /// What must not meet before the carriage stops.
    pub distances: Vec<Distance>,
    /// Screws that are put where they belong by touch.
    pub starts: Vec<TouchStart>,
    /// Holes through which the carriage is measured.
    pub peepholes: Vec<Peephole>,
    /// The plain screw that a differential is compared with; none where there is only one.
    pub plain: Option<Thread>,
    /// Keys of sizes that may bring pieces together which the layout would keep apart, the first
    /// to be blamed first.
    pub meeting: Vec<KeyPath>,
    /// What the bench needs besides the parts.
    pub tools: Vec<Tool>,
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
    let sized = members::Sized {
        kit,
        sizes: &sizes,
        assembly: &assembly,
    };
    Ok(Design {
        members: members::members(&sized),
        threads: members::threads(&sized),
        distances: members::distances(&sized),
        starts: members::starts(&sized),
        peepholes: members::peepholes(&sized),
        plain: members::plain(&sizes),
        meeting: members::meeting(&sizes),
        tools: members::tools(kit, &sizes),
        course: course(kit, &sizes),
        places: places::of(&sizes, &assembly),
        caption: caption(&sizes),
        sizes,
        assembly,
        steps: Vec::new(),
        script,
    })
}

fn caption(sizes: &Sizes) -> &'static str {
    match &sizes.end {
        End::Single(_) => {
            "The carriage hangs on the drive screw by a swivel and moves by its whole lead in \
             each turn."
        }
        End::Nested(inside) if inside.same_hand => {
            "In each turn the drive screw goes into the frame by its lead and draws the inner \
             screw into itself by the other lead: the carriage moves by the difference."
        }
        End::Nested(_) => {
            "In each turn the drive screw goes into the frame by its lead and pushes the inner \
             screw out of itself by the other lead, which has the opposite hand: the carriage \
             moves by the sum."
        }
    }
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
