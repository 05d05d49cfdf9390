//! Pieces and joints that a layout puts together, by name.

use crate::assembly::{
    Assembly, Constraint, Fit, Gap, Instance, InstanceId, Joint, Made, Part, PartId, Pose, Shape,
    ThreadJoint,
};
use crate::units::Length;

/// An assembly under construction.
#[derive(Default)]
pub(super) struct Builder {
    parts: Vec<Part>,
    instances: Vec<Instance>,
    joints: Vec<Joint>,
}

/// What a part's entry in the bill says beside its name.
pub(super) struct Note {
    /// How it is printed.
    pub(super) print: String,
    /// How it is told from its neighbours.
    pub(super) mark: String,
    /// What it is made from.
    pub(super) recipe: super::recipe::Recipe,
}

impl Builder {
    /// A printed part of which the assembly holds one piece of the same name.
    pub(super) fn single(
        &mut self,
        name: &str,
        shape: Shape,
        note: Note,
        pose: Pose,
    ) -> InstanceId {
        let part = self.part(name, Made::Printed, shape, note);
        self.piece(part, name.into(), pose)
    }

    /// A part; its pieces are added one by one.
    pub(super) fn part(&mut self, name: &str, made: Made, shape: Shape, note: Note) -> PartId {
        self.parts.push(Part {
            name: name.into(),
            made,
            quantity: 0,
            spares: 0,
            shape,
            print_note: note.print,
            mark: note.mark,
            recipe: note.recipe,
        });
        PartId(self.parts.len() - 1)
    }

    /// Another piece of a part.
    pub(super) fn piece(&mut self, part: PartId, name: String, pose: Pose) -> InstanceId {
        self.parts[part.0].quantity += 1;
        self.instances.push(Instance { part, name, pose });
        InstanceId(self.instances.len() - 1)
    }

    /// Spares of a part, which stand nowhere.
    pub(super) fn spares(&mut self, part: PartId, count: usize) {
        self.parts[part.0].quantity += count;
        self.parts[part.0].spares += count;
    }

    /// A joint with a gap.
    pub(super) fn joint(
        &mut self,
        between: [InstanceId; 2],
        fit: Fit,
        constraint: Constraint,
        gap: Option<Gap>,
        axial_play: Option<Length>,
    ) {
        let name = self.joint_name(between);
        self.joints.push(Joint {
            name,
            fit,
            constraint,
            between,
            thread: None,
            gap,
            axial_play,
        });
    }

    /// A screw in its hole.
    pub(super) fn thread(
        &mut self,
        between: [InstanceId; 2],
        thread: ThreadJoint,
        gap: Gap,
        play: Length,
    ) {
        let name = self.joint_name(between);
        self.joints.push(Joint {
            name,
            fit: Fit::Thread,
            constraint: Constraint::Helical(thread.thread.signed_lead()),
            between,
            thread: Some(thread),
            gap: Some(gap),
            axial_play: Some(play),
        });
    }

    fn joint_name(&self, [a, b]: [InstanceId; 2]) -> String {
        format!("{}/{}", self.instances[a.0].name, self.instances[b.0].name)
    }

    /// The assembly.
    pub(super) fn finish(
        self,
        name: String,
        frame: InstanceId,
        drive: InstanceId,
        carriage: InstanceId,
    ) -> Assembly {
        let Self {
            parts,
            instances,
            joints,
        } = self;
        Assembly {
            name,
            parts,
            instances,
            joints,
            frame,
            drive,
            carriage,
        }
    }
}
