//! Pieces and joints of a nested mechanism.

use super::{Nested, drive};
use crate::assembly::{
    Assembly, Carriages, Constraint, Course, Fit, InstanceId, JointId, NamedRegion, PartId, Pose,
    ScrewTravel, ThreadJoint,
};
use crate::kit::key;
use crate::layout::build::{Builder, Engaging, Name, Note};
use crate::layout::elements::run_out;
use crate::layout::member::ThreadPair;
use crate::layout::pin;
use crate::layout::proportions::*;
use crate::layout::round_house::carriage::PinHoles;
use crate::layout::round_house::pieces::{Closed, DrivePiece, HouseParts, SIDES, Started};
use crate::layout::words::{BRIM, v_words};
use crate::units::Length;

/// The socket and the cross pin's two holes in its wall.
const CARRIAGE_WAYS: usize = 2;

/// The pieces by role, and the joints that checks ask for.
pub(super) struct Pieces {
    pub(super) started: Started,
    pub(super) inner: InstanceId,
    pub(super) cross: InstanceId,
    pub(super) closed: Closed,
    pub(super) parts: HouseParts,
    pub(super) inner_part: PartId,
    /// The inner screw in the drive screw.
    pub(super) threads: JointId,
    /// The cross pin in the carriage.
    pub(super) press: JointId,
    /// The cross pin through the inner screw.
    pub(super) through: JointId,
}

impl Nested<'_> {
    /// Pieces, assembly, and what is said of its threads.
    pub(super) fn assembled(&self) -> (Pieces, Assembly, Vec<ThreadPair>) {
        let (kit, sizes) = (self.kit, &self.sizes);
        let (house, inner) = (&sizes.house, &sizes.inner);
        let mut build = Builder::default();
        let screw = self.drive_screw();
        let to_hole = inner.head_height - inner.cross_hole;
        let holes = PinHoles {
            holes: vec![(Length::ZERO, &sizes.press)],
            depth: to_hole - COLLAR_PROUD,
            genus: CARRIAGE_WAYS,
            recipe: vec![("cross hole", to_hole)],
        };
        let drive = DrivePiece {
            thread: &sizes.drive,
            head: self.head.as_ref(),
            perimeters: self.drive_perimeters(),
            shape: drive::shape(&screw, &sizes.bore),
            recipe: drive::recipe(&screw, &sizes.bore),
            pose: screw.pose(),
        };
        let started = house.start(kit, drive, &holes, &mut build);
        let v = v_words(inner.thread.hand());
        let inner_piece = build.single(
            Name("inner", "inner screw"),
            inner.shape(),
            Note {
                perimeters: *kit.perimeters.inner,
                stands: "slotted head on the bed".into(),
                more: BRIM,
                mark: format!("{v} on the side of the head; a slot across its end"),
                recipe: inner.recipe(),
                panels: vec![inner.panel()],
            },
            inner.pose(),
        );
        let threads = self.inner_in_drive([inner_piece, started.drive], &mut build);
        let seated = [inner_piece, started.carriage];
        build.joint(seated, Fit::Locate, Constraint::Free, &sizes.head_gap, None);
        let seat = &house.gaps.seat;
        let play = Some(seat.drawn());
        build.joint(seated, Fit::Seat, Constraint::Free, seat, play);
        let name = "cross pin";
        let cross = build.piece(started.pin, name.into(), name.into(), self.cross_pin());
        let press = build.joint(
            [cross, started.carriage],
            Fit::Press,
            Constraint::Rigid,
            &sizes.press,
            None,
        );
        let (through, play) = (&inner.through, Some(inner.through.drawn()));
        let between = [cross, inner_piece];
        let through = build.joint(between, Fit::Locate, Constraint::Rigid, through, play);
        let closed = house.close(kit, &started, &mut build);
        let pieces = Pieces {
            parts: HouseParts::of(&build, &started, &closed),
            inner_part: build.part_of(inner_piece),
            inner: inner_piece,
            cross,
            threads,
            press,
            through,
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

    fn inner_in_drive(&self, between: [InstanceId; 2], build: &mut Builder) -> JointId {
        let (inner, bore) = (&self.sizes.inner, &self.sizes.bore);
        let end = self.sizes.drive.end;
        let countersink = chamfer_length(&inner.thread);
        let tip = inner.collar_face - inner.thread_length;
        // At the bore's floor the thread runs out into a relief as long as a countersink.
        let floor = end - bore.depth;
        let (screw, hole) = (key::INNER_THREAD.name(), key::BORE.name());
        build.thread(
            between,
            ThreadJoint {
                thread: inner.thread.clone(),
                male: [
                    tip + countersink,
                    inner.collar_face - run_out(&inner.thread),
                ],
                female: [floor + countersink, end - countersink],
                male_crest: Length::ZERO,
                female_root: Length::ZERO,
            },
            &bore.gap,
            Engaging {
                perimeters: [key::PERIMETERS_INNER.name(), key::PERIMETERS_DRIVE.name()],
                key: key::INNER.name(),
                wanted: inner.engagement,
                lengths: vec![screw, hole],
            },
        )
    }

    /// Through ears and head along x, its flat towards +y.
    fn cross_pin(&self) -> Pose {
        let inner = &self.sizes.inner;
        let height = inner.collar_face + inner.head_height - inner.cross_hole;
        let flat = pin::flat_height(inner.pin);
        // The print frame's z along -y.
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
            Length::ZERO,
            flat,
            height,
        )
    }

    /// The stroke, and how far the inner screw goes in the drive screw.
    pub(super) fn course(&self, pieces: &Pieces) -> Course {
        let sizes = &self.sizes;
        let mut course = sizes.stroke.course(&sizes.drive.thread);
        course.further.push(ScrewTravel {
            title: "inner travel",
            joint: pieces.threads,
            length: sizes.inner.thread.lead() * sizes.stroke.turns,
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
            piece: pieces.inner,
            z: [sizes.inner.collar_face, BEYOND_ALL],
            name: "collar",
        });
        regions
    }
}
