//! Pieces and joints of a tandem mechanism.

use super::Tandem;
use crate::assembly::{
    Assembly, Carriages, Course, InstanceId, JointId, NamedRegion, ScrewTravel, ThreadJoint,
};
use crate::kit::key;
use crate::layout::build::{Builder, Engaging};
use crate::layout::elements::run_out;
use crate::layout::member::ThreadPair;
use crate::layout::proportions::*;
use crate::layout::square_house::pieces::{Closed, DrivePiece, HouseParts, SIDES, Started};

/// The pieces by role, and the joints that checks ask for.
pub(super) struct Pieces {
    pub(super) started: Started,
    pub(super) closed: Closed,
    pub(super) parts: HouseParts,
    /// The thin thread in the nut.
    pub(super) nut_thread: JointId,
}

impl Tandem<'_> {
    /// Pieces, assembly, and what is said of its threads.
    pub(super) fn assembled(&self) -> (Pieces, Assembly, Vec<ThreadPair>) {
        let (kit, house) = (self.kit, &self.sizes.house);
        let mut build = Builder::default();
        let screw = self.drive_screw();
        let drive = DrivePiece {
            thread: &self.sizes.drive,
            head: self.head.as_ref(),
            perimeters: self.drive_perimeters(),
            shape: self.drive_shape(&screw),
            recipe: self.drive_recipe(&screw),
            pose: screw.pose(),
            more: ", a step behind its thick thread",
        };
        let started = house.start(kit, drive, &self.threads.nut, &mut build);
        let nut_thread = self.drive_in_nut([started.drive, started.nut], &mut build);
        let closed = house.close(kit, &started, &mut build);
        let pieces = Pieces {
            parts: HouseParts::of(&build, &started, &closed),
            nut_thread,
            closed,
            started,
        };
        let Started {
            frame,
            drive,
            carriage,
            ..
        } = pieces.started;
        let (assembly, said) = build.finish(kit, frame, drive, Carriages::one(carriage), SIDES);
        (pieces, assembly, said)
    }

    fn drive_in_nut(&self, between: [InstanceId; 2], build: &mut Builder) -> JointId {
        let (thin, nut) = (&self.sizes.thin, &self.sizes.house.nut);
        let countersink = chamfer_length(&thin.thread);
        build.thread(
            between,
            ThreadJoint {
                thread: thin.thread.clone(),
                male: [
                    self.sizes.drive.end + run_out(&thin.thread),
                    thin.tip - countersink,
                ],
                female: [nut.face + countersink, nut.face + nut.height - countersink],
                male_crest: Default::default(),
                female_root: Default::default(),
            },
            &nut.gap,
            Engaging {
                perimeters: [key::PERIMETERS_DRIVE.name(), key::PERIMETERS_NUT.name()],
                key: key::THIN.name(),
                wanted: thin.engagement,
                lengths: vec![key::THIN_THREAD.name(), key::NUT_HEIGHT.name()],
            },
        )
    }

    /// The stroke, and how far the thin thread goes in the nut.
    pub(super) fn course(&self, pieces: &Pieces) -> Course {
        let sizes = &self.sizes;
        let mut course = sizes.stroke.course(&sizes.drive.thread);
        course.further.push(ScrewTravel {
            title: "travel in the nut",
            joint: pieces.nut_thread,
            length: sizes.thin.thread.lead() * sizes.stroke.turns,
        });
        course
    }

    /// Parts of pieces that have names of their own.
    pub(super) fn regions(&self, pieces: &Pieces) -> Vec<NamedRegion> {
        let sizes = &self.sizes;
        let mut regions = sizes
            .house
            .regions(&sizes.drive, &pieces.started, &pieces.closed);
        regions.push(NamedRegion {
            piece: pieces.started.drive,
            z: [sizes.drive.end, BEYOND_ALL],
            name: "thin end",
        });
        regions
    }
}
