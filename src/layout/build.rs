//! Pieces and joints that a layout puts together.

use super::gaps::JointGapDrawn;
use super::letters::{self, Panel};
use super::member::ThreadPair;
use super::proportions::chamfer_length;
use super::recipe::Recipe;
use super::stroke::DriveThread;
use crate::assembly::{
    Assembly, Carriages, Constraint, Fit, Gap, Grade, Instance, InstanceId, Joint, JointId, Made,
    Part, PartId, Perimeters, Pose, Shape, Sides, ThreadJoint,
};
use crate::kit::{KeyPath, Kit, key};
use crate::units::Length;

/// An assembly under construction.
#[derive(Default)]
pub(super) struct Builder {
    parts: Vec<Part>,
    /// Of each part the faces that are free for its name.
    panels: Vec<Vec<Panel>>,
    instances: Vec<Instance>,
    joints: Vec<Joint>,
    pairs: Vec<ThreadPair>,
}

/// How a part is called: in data and files, and by people.
#[derive(Clone, Copy)]
pub(super) struct Name(pub(super) &'static str, pub(super) &'static str);

impl Name {
    /// One that people call as data do.
    pub(super) const fn plain(name: &'static str) -> Self {
        Self(name, name)
    }
}

/// What a part's entry in the bill says beside its name.
pub(super) struct Note {
    /// How much of it is filled.
    pub(super) perimeters: Perimeters,
    /// How it stands on the bed: `tapped end on the bed`.
    pub(super) stands: String,
    /// What else helps it to be printed; empty if nothing.
    pub(super) more: &'static str,
    /// How it is told from its neighbours.
    pub(super) mark: String,
    /// What it is made from.
    pub(super) recipe: Recipe,
    /// Faces that are free for its name, in its print frame.
    pub(super) panels: Vec<Panel>,
}

/// What is said of a pair of threads beside where they stand.
pub(super) struct Engaging {
    /// Key that says the thread.
    pub(super) key: KeyPath,
    /// Keys that say how much of the screw and of its hole is filled.
    pub(super) perimeters: [KeyPath; 2],
    /// Engagement that the lengths were made for.
    pub(super) wanted: Length,
    /// Keys that set its lengths.
    pub(super) lengths: Vec<KeyPath>,
}

/// How a part is printed, in words; nothing where it is bought.
fn printed(note: &Note, here: bool) -> String {
    let words = note.perimeters.words();
    match (here, note.more) {
        (false, _) => String::new(),
        (true, "") => format!("{}, {words}", note.stands),
        (true, more) => format!("{}, {words}, {more}", note.stands),
    }
}

impl Builder {
    /// A printed part of which the assembly holds one piece of the same name.
    pub(super) fn single(
        &mut self,
        name: Name,
        shape: Shape,
        note: Note,
        pose: Pose,
    ) -> InstanceId {
        let part = self.part(name, Made::Printed, shape, note);
        self.piece(part, name.0.into(), name.1.into(), pose)
    }

    /// A part; its pieces are added one by one.
    pub(super) fn part(&mut self, name: Name, made: Made, shape: Shape, note: Note) -> PartId {
        let made_here = made == Made::Printed;
        self.parts.push(Part {
            name: name.0.into(),
            called: name.1,
            made,
            quantity: 0,
            spares: 0,
            grade: None,
            shape,
            print_note: printed(&note, made_here),
            perimeters: note.perimeters,
            mark: note.mark,
            label: None,
            recipe: note.recipe,
        });
        self.panels.push(note.panels);
        PartId(self.parts.len() - 1)
    }

    /// Another piece of a part, of this name in data, and called so by people.
    pub(super) fn piece(
        &mut self,
        part: PartId,
        name: String,
        called: String,
        pose: Pose,
    ) -> InstanceId {
        self.parts[part.0].quantity += 1;
        self.instances.push(Instance {
            part,
            name,
            called,
            pose,
        });
        InstanceId(self.instances.len() - 1)
    }

    /// Spares of a part, which stand nowhere.
    pub(super) fn spares(&mut self, part: PartId, count: usize) {
        self.parts[part.0].quantity += count;
        self.parts[part.0].spares += count;
    }

    /// A part that stands in for another where that one does not suit: as many as of that.
    pub(super) fn grade(&mut self, name: Name, shape: Shape, note: Note, grade: Grade) -> PartId {
        let part = self.part(name, Made::Printed, shape, note);
        self.parts[part.0].grade = Some(grade);
        part
    }

    /// Of every grade as many as stand in the assembly, to be chosen from.
    fn count_grades(&mut self) {
        for at in 0..self.parts.len() {
            if let Some(grade) = self.parts[at].grade {
                let pieces = self.instances.iter();
                let count = pieces.filter(|piece| piece.part == grade.of).count();
                (self.parts[at].quantity, self.parts[at].spares) = (count, count);
            }
        }
    }

    /// Gives every printed part its name.
    fn name_parts(&mut self, kit: &Kit) {
        for (part, panels) in self.parts.iter_mut().zip(&self.panels) {
            if part.made == Made::Printed && kit.named {
                letters::engrave(kit, part, panels);
            }
        }
    }

    /// The part of a piece.
    pub(super) fn part_of(&self, piece: InstanceId) -> PartId {
        self.instances[piece.0].part
    }

    /// A joint with a gap.
    pub(super) fn joint(
        &mut self,
        between: [InstanceId; 2],
        fit: Fit,
        constraint: Constraint,
        gap: &JointGapDrawn,
        axial_play: Option<Length>,
    ) -> JointId {
        self.add(Joint {
            name: self.joint_name(between),
            fit,
            constraint,
            between,
            thread: None,
            gap: Some(gap.gap),
            asked: Some(gap.asked.clone()),
            axial_play,
        })
    }

    /// End faces that lie on each other, or meet at an end of the stroke: no kit asks for theirs.
    pub(super) fn faces(&mut self, between: [InstanceId; 2], fit: Fit, gap: Option<Gap>) {
        self.add(Joint {
            name: self.joint_name(between),
            fit,
            constraint: Constraint::Free,
            between,
            thread: None,
            gap,
            asked: None,
            axial_play: None,
        });
    }

    /// A piece that rides on a face of another.
    pub(super) fn stands_on(&mut self, between: [InstanceId; 2]) {
        self.add(Joint {
            name: self.joint_name(between),
            fit: Fit::Seat,
            constraint: Constraint::Rigid,
            between,
            thread: None,
            gap: Some(Gap::flat(Length::ZERO)),
            asked: None,
            axial_play: None,
        });
    }

    /// A screw in its hole, and what is said of the pair.
    pub(super) fn thread(
        &mut self,
        between: [InstanceId; 2],
        thread: ThreadJoint,
        gap: &JointGapDrawn,
        engaging: Engaging,
    ) -> JointId {
        let play = thread.thread.play(gap.drawn());
        let joint = self.add(Joint {
            name: self.joint_name(between),
            fit: Fit::Thread,
            constraint: Constraint::Helical(thread.thread.signed_lead()),
            between,
            thread: Some(thread),
            gap: Some(gap.gap),
            asked: Some(gap.asked.clone()),
            axial_play: Some(play),
        });
        self.pairs.push(ThreadPair {
            joint,
            key: engaging.key,
            perimeters: engaging.perimeters,
            wanted: engaging.wanted,
            allowed: gap.allowed,
            lengths: engaging.lengths,
        });
        joint
    }

    /// The drive screw in the frame's tapped wall, which stands at z = 0.
    pub(super) fn drive_in_frame(
        &mut self,
        drive: &DriveThread,
        between: [InstanceId; 2],
        gap: &JointGapDrawn,
    ) {
        let countersink = chamfer_length(&drive.thread);
        self.thread(
            between,
            ThreadJoint {
                thread: drive.thread.clone(),
                male: drive.full_profile(),
                female: [countersink, drive.tapped_wall - countersink],
                male_crest: Length::ZERO,
                female_root: Length::ZERO,
            },
            gap,
            Engaging {
                perimeters: [key::PERIMETERS_DRIVE.name(), key::PERIMETERS_FRAME.name()],
                key: key::DRIVE.name(),
                wanted: drive.engagement,
                lengths: vec![key::TAPPED_WALL.name(), key::DRIVE_THREAD.name()],
            },
        );
    }

    fn add(&mut self, joint: Joint) -> JointId {
        self.joints.push(joint);
        JointId(self.joints.len() - 1)
    }

    fn joint_name(&self, [a, b]: [InstanceId; 2]) -> String {
        format!("{}/{}", self.instances[a.0].name, self.instances[b.0].name)
    }

    /// The assembly, and what is said of its threads.
    pub(super) fn finish(
        mut self,
        kit: &Kit,
        frame: InstanceId,
        drive: InstanceId,
        carriages: Carriages,
        sides: Sides,
    ) -> (Assembly, Vec<ThreadPair>) {
        self.count_grades();
        self.name_parts(kit);
        let Self {
            parts,
            panels: _,
            instances,
            joints,
            pairs,
        } = self;
        let assembly = Assembly {
            name: kit.folder(),
            parts,
            instances,
            joints,
            frame,
            drive,
            carriages,
            sides,
        };
        (assembly, pairs)
    }
}
