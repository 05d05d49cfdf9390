//! Pieces and joints of a single mechanism.

use super::sizes::SwivelPin;
use super::{Single, drive};
use crate::assembly::{
    Assembly, Carriages, Constraint, Fit, InstanceId, JointId, NamedRegion, Pose,
};
use crate::layout::build::Builder;
use crate::layout::member::ThreadPair;
use crate::layout::pin;
use crate::layout::proportions::*;
use crate::layout::round_house::carriage::PinHoles;
use crate::layout::round_house::pieces::{Closed, DrivePiece, HouseParts, SIDES, Started};
use crate::units::Length;

/// Two pin holes, each with a window into the socket.
const CARRIAGE_WAYS: usize = 4;

/// The pieces by role, and the joints that checks ask for.
pub(super) struct Pieces {
    pub(super) started: Started,
    pub(super) pins: [InstanceId; 2],
    pub(super) closed: Closed,
    pub(super) parts: HouseParts,
    /// Each swivel pin in the carriage.
    pub(super) presses: [JointId; 2],
}

impl Single<'_> {
    /// Pieces, assembly, and what is said of its thread.
    pub(super) fn assembled(&self) -> (Pieces, Assembly, Vec<ThreadPair>) {
        let (kit, sizes) = (self.kit, &self.sizes);
        let (house, tip) = (&sizes.house, &sizes.tip);
        let mut build = Builder::default();
        let screw = self.drive_screw();
        let [_, positive] = &sizes.pins;
        let holes = PinHoles {
            holes: Vec::from_iter(sizes.pins.iter().map(|pin| (pin.beside, &pin.press))),
            depth: tip.groove_centre - THREAD_BEFORE_CARRIAGE,
            genus: CARRIAGE_WAYS,
            recipe: vec![
                ("pin offset", positive.beside),
                ("pin depth", tip.groove_centre),
            ],
        };
        let drive = DrivePiece {
            thread: &sizes.drive,
            head: self.head.as_ref(),
            perimeters: self.drive_perimeters(),
            shape: drive::shape(&screw, tip),
            recipe: drive::recipe(&screw, tip),
            pose: screw.pose(),
        };
        let started = house.start(kit, drive, &holes, &mut build);
        let between = [started.drive, started.carriage];
        let (swivel, constraint) = (&sizes.tip_gap, Constraint::NoAdvance);
        let play = Some(swivel.drawn());
        build.joint(between, Fit::Swivel, constraint, swivel, play);
        let seat = &house.gaps.seat;
        let play = Some(seat.drawn());
        build.joint(between, Fit::Seat, Constraint::Free, seat, play);
        let [one, other] = &sizes.pins;
        let (one, press) = self.swivel_pin(1, one, &started, &mut build);
        let (other, other_press) = self.swivel_pin(2, other, &started, &mut build);
        let closed = house.close(kit, &started, &mut build);
        let pieces = Pieces {
            parts: HouseParts::of(&build, &started, &closed),
            pins: [one, other],
            presses: [press, other_press],
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

    /// A pin, pressed into the carriage, in the drive screw's groove.
    fn swivel_pin(
        &self,
        number: usize,
        pin: &SwivelPin,
        started: &Started,
        build: &mut Builder,
    ) -> (InstanceId, JointId) {
        let name = format!("swivel pin {number}");
        let pose = self.pin_pose(pin);
        let piece = build.piece(started.pin, name.clone(), name, pose);
        let between = [piece, started.carriage];
        let press = build.joint(between, Fit::Press, Constraint::Rigid, &pin.press, None);
        let between = [started.drive, piece];
        build.joint(
            between,
            Fit::Swivel,
            Constraint::NoAdvance,
            &pin.groove,
            None,
        );
        (piece, press)
    }

    /// Through the ears along x beside the groove, flat outwards.
    fn pin_pose(&self, pin: &SwivelPin) -> Pose {
        let side = if pin.beside < Length::ZERO { -1.0 } else { 1.0 };
        let flat = pin::flat_height(self.sizes.house.pin);
        // The print frame's z towards the axis.
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, side], [0.0, -side, 0.0]).shifted(
            Length::ZERO,
            (pin.beside.abs() + flat) * side,
            self.sizes.pin_height(),
        )
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
            name: "tip",
        });
        regions
    }
}
