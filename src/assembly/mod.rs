//! The mechanism as parts, joints and poses.
//!
//! A layout turns a kit into an [`Assembly`]; motion, solids, checks and outputs read it.
//! Frame of an assembly: right-handed, lengths in mm, +z along the screw axis from the drive
//! head into the frame, z = 0 the frame's outer end face, x through the two slots, +y the
//! side of the V marks. A positive turn is clockwise seen from the drive head.
//!
//! It knows nothing of files, TOML or triangles.

mod caution;
mod course;
mod fastener;
mod gap;
mod grade;
mod label;
mod pose;
mod script;
mod shape;
mod step;
mod tool;

pub use caution::{Caution, Signal};
pub use course::{Course, ScrewTravel, Turning};
pub use fastener::Fastener;
pub use gap::{Asked, Gap, Lay, Mates, Source};
pub use grade::Grade;
pub use label::Label;
pub use pose::Pose;
pub use script::{Going, NamedRegion, Script, Sides, State, TAKING_APART, WayOut, Wording};
pub use shape::{
    Contour, Outline, Placed, RIB_DIRECTIONS, Shape, Solid, ThreadForm, ThreadZone, Turned,
};
pub use step::{Axis, Eye, Motion, MotionKind, Step};
pub use tool::{PIN_PUNCH, Tool};

use crate::thread::Thread;
use crate::units::Length;

/// Everything that moves together or against each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembly {
    /// The kit's name, fit for a folder.
    pub name: String,
    /// Different parts, each printed or bought once or several times.
    pub parts: Vec<Part>,
    /// Single pieces, in the order in which the layout introduces them.
    pub instances: Vec<Instance>,
    /// What holds which pieces together, and how.
    pub joints: Vec<Joint>,
    /// The piece that stays.
    pub frame: InstanceId,
    /// The piece that is turned.
    pub drive: InstanceId,
    /// What it moves.
    pub carriages: Carriages,
    /// How the directions of its frame are called.
    pub sides: Sides,
}

/// The carriages of a mechanism: one, or several that move each at its own rate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carriages {
    /// The one whose travel is the stroke.
    pub leading: InstanceId,
    /// The others.
    pub others: Vec<InstanceId>,
}

impl Carriages {
    /// One alone.
    pub fn one(carriage: InstanceId) -> Self {
        Self {
            leading: carriage,
            others: Vec::new(),
        }
    }

    /// All, the leading one first.
    pub fn all(&self) -> impl Iterator<Item = InstanceId> {
        std::iter::once(self.leading).chain(self.others.iter().copied())
    }
}

/// Index into [`Assembly::parts`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub usize);

/// Index into [`Assembly::instances`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct InstanceId(pub usize);

/// Index into [`Assembly::joints`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JointId(pub usize);

/// One design, however many pieces are made of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Lower-case name, unique, also the file's: `drive`, `cross-pin`.
    pub name: String,
    /// How people call it: `drive screw`.
    pub called: &'static str,
    /// Printed from a mesh, or bought.
    pub made: Made,
    /// How many the bill asks for, spares included.
    pub quantity: usize,
    /// Of which spares.
    pub spares: usize,
    /// Of which other part it is a thinner or thicker copy, to go in where that one does not suit.
    pub grade: Option<Grade>,
    /// Its form in the print frame: standing on z = 0.
    pub shape: Shape,
    /// How much of it is filled.
    pub perimeters: Perimeters,
    /// How it lies on the bed, and how many walls it wants.
    pub print_note: String,
    /// The marks by which it is told from its neighbours, in words; empty if none.
    pub mark: String,
    /// By what it is told from an older one of its kind; none of a bought part.
    pub label: Option<Label>,
    /// Names and values of everything that shapes it.
    pub recipe: Vec<(&'static str, Length)>,
}

/// Where pieces so slender that they want a brim are laid for printing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Slender {
    /// On beds with all others, which give each layer time to cool.
    #[default]
    Together,
    /// On beds of their own, where one that comes loose spoils no other part.
    Apart,
}

/// How much of a printed part is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Perimeters {
    /// All of it.
    Solid,
    /// So many lines along the outline of each layer; what they leave is filled sparsely.
    Lines(u32),
}

impl Perimeters {
    /// How thick its walls are with lines of a width; infinite where it is solid.
    pub fn thickness(self, line: Length) -> Length {
        match self {
            Self::Solid => Length::mm(f64::INFINITY),
            Self::Lines(lines) => line * f64::from(lines),
        }
    }

    /// For people: `solid (infill 100 %)`, `6 walls`.
    pub fn words(self) -> String {
        match self {
            Self::Solid => "solid (infill 100 %)".into(),
            Self::Lines(1) => "1 wall".into(),
            Self::Lines(lines) => format!("{lines} walls"),
        }
    }
}

/// Where a part comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Made {
    /// On the printer.
    Printed,
    /// In a shop, under this description.
    Bought(String),
}

/// One piece of the mechanism.
#[derive(Clone, Debug, PartialEq)]
pub struct Instance {
    /// What it is a piece of.
    pub part: PartId,
    /// Name in data, unique: `drive`, `keeper pin 1`.
    pub name: String,
    /// How people call it: `drive screw`, `keeper pin 1`.
    pub called: String,
    /// From the print frame to the assembly at turn 0.
    pub pose: Pose,
}

/// The kind of fit by which two pieces meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// Screw in tapped hole.
    Thread,
    /// Moves along the axis, does not turn.
    Slide,
    /// Turns, does not move along the axis.
    Swivel,
    /// Goes together by hand without play that matters.
    Locate,
    /// Driven in, holds by friction.
    Press,
    /// End face on end face, carries a push.
    Seat,
    /// Faces that meet at an end of the stroke.
    Stop,
}

impl Fit {
    /// As contracts and people read it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Thread => "thread",
            Self::Slide => "slide",
            Self::Swivel => "swivel",
            Self::Locate => "locate",
            Self::Press => "press",
            Self::Seat => "seat",
            Self::Stop => "stop",
        }
    }

    /// Whether its faces are round about an axis and open: chords of the bore then stand in its
    /// gap. Pressed pins meet their holes whatever the chords, end faces have none.
    pub fn has_chords(self) -> bool {
        match self {
            Self::Thread | Self::Slide | Self::Swivel | Self::Locate => true,
            Self::Press | Self::Seat | Self::Stop => false,
        }
    }
}

/// What a joint forbids, for small motions about and along the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Constraint {
    /// z_a - z_b = lead (t_a - t_b), with the lead signed by its hand.
    Helical(Length),
    /// t_a = t_b.
    NoTurn,
    /// z_a = z_b.
    NoAdvance,
    /// Both.
    Rigid,
    /// Nothing: the faces only pass or meet each other.
    Free,
}

/// Two pieces that meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// Name for people: `drive/frame`.
    pub name: String,
    /// The kind of fit.
    pub fit: Fit,
    /// What it forbids.
    pub constraint: Constraint,
    /// The two pieces; of a thread the male first.
    pub between: [InstanceId; 2],
    /// The thread of a thread joint.
    pub thread: Option<ThreadJoint>,
    /// The gap, radial or a side; `None` for stops.
    pub gap: Option<Gap>,
    /// What asks for that gap; `None` where nothing of a kit does.
    pub asked: Option<Asked>,
    /// Play along the axis from this joint; `None` where it has no say.
    pub axial_play: Option<Length>,
}

/// A screw in its tapped hole, both along the assembly's axis at turn 0.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadJoint {
    /// The thread.
    pub thread: Thread,
    /// z from which to which the screw has its full profile, ascending.
    pub male: [Length; 2],
    /// z from which to which the hole has its full profile, ascending.
    pub female: [Length; 2],
    /// z of a crest centre of the screw at angle 0.
    pub male_crest: Length,
    /// z of a root (groove) centre of the hole at angle 0.
    pub female_root: Length,
}

impl Joint {
    /// The least of its gap, radial or a side, in files whose chords stand off their curves by up to
    /// `tolerance`; `None` of stops. A bore's chords stand inside it, and a shaft's corners on its
    /// circle, so that where one meets the other a tolerance is gone (derived).
    pub fn gap_written(&self, tolerance: Length) -> Option<Length> {
        let drawn = self.gap?.drawn;
        match self.fit.has_chords() && drawn > Length::ZERO {
            true => Some(drawn - tolerance),
            false => Some(drawn),
        }
    }
}

impl Assembly {
    /// The part of which a piece is made.
    pub fn part_of(&self, instance: InstanceId) -> &Part {
        &self.parts[self.instances[instance.0].part.0]
    }

    /// A part.
    pub fn part(&self, part: PartId) -> &Part {
        &self.parts[part.0]
    }

    /// Every piece, with its part and its pose at turn 0.
    pub fn parts_in_place(&self) -> impl Iterator<Item = (InstanceId, &Part, &Pose)> {
        let pieces = self.instances.iter().enumerate();
        pieces.map(|(index, piece)| (InstanceId(index), self.part(piece.part), &piece.pose))
    }

    /// The number of every part in parts list and pictures, from 1, in the order of the parts: printed
    /// parts come before bought ones, as the bill has them.
    pub fn item_numbers(&self) -> Vec<usize> {
        let printed = |part: &Part| part.made == Made::Printed;
        let first_bought = self.parts.iter().filter(|part| printed(part)).count();
        let mut next = [1, first_bought + 1];
        let numbers = self.parts.iter().map(|part| {
            let slot = &mut next[usize::from(!printed(part))];
            *slot += 1;
            *slot - 1
        });
        numbers.collect()
    }

    /// One of so many kinds for each part, in their order, by which they are told apart where they meet:
    /// the first that none of the earlier parts has that share a joint with it. Only a part that meets as
    /// many others as there are kinds finds none free.
    pub fn told_apart(&self, kinds: usize) -> Vec<usize> {
        let meet = |one: usize, other: usize| {
            self.joints.iter().any(|joint| {
                let parts = joint.between.map(|piece| self.instance(piece).part.0);
                parts == [one, other] || parts == [other, one]
            })
        };
        let mut chosen: Vec<usize> = Vec::with_capacity(self.parts.len());
        for part in 0..self.parts.len() {
            let taken = |kind: &usize| {
                let mut earlier = chosen.iter().enumerate();
                earlier.any(|(other, of)| of == kind && meet(part, other))
            };
            let free = (0..kinds).find(|kind| !taken(kind));
            chosen.push(free.unwrap_or(part % kinds.max(1)));
        }
        chosen
    }

    /// A joint.
    pub fn joint(&self, joint: JointId) -> &Joint {
        &self.joints[joint.0]
    }

    /// Every joint of a screw in its hole.
    pub fn thread_joints(&self) -> impl Iterator<Item = (JointId, &Joint, &ThreadJoint)> {
        let joints = self.joints.iter().enumerate();
        joints.filter_map(|(index, joint)| Some((JointId(index), joint, joint.thread.as_ref()?)))
    }

    /// A piece in a sentence.
    pub fn called(&self, piece: InstanceId) -> &str {
        &self.instance(piece).called
    }

    /// A part in a sentence.
    pub fn part_called(&self, part: PartId) -> &str {
        self.part(part).called
    }

    /// A piece.
    pub fn instance(&self, instance: InstanceId) -> &Instance {
        &self.instances[instance.0]
    }
}
