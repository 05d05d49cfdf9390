//! Pieces and joints that every round house has: frame, drive screw, carriage, keeper, pins.

use super::carriage::PinHoles;
use super::mount::Mount;
use super::{House, carriage, frame, keeper};
use crate::assembly::{
    Constraint, Fit, Gap, InstanceId, JointId, NamedRegion, PartId, Perimeters, Pose, Shape, Sides,
};
use crate::kit::Kit;
use crate::layout::build::{Builder, Name, Note};
use crate::layout::feature::{self, Head};
use crate::layout::index::IndexPieces;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::stroke::DriveThread;
use crate::layout::words::{BRIM, gently, v_words};
use crate::units::Length;

/// The pieces that every layout in a round house has from the start, and their joints.
pub(in crate::layout) struct Started {
    pub(in crate::layout) frame: InstanceId,
    pub(in crate::layout) drive: InstanceId,
    pub(in crate::layout) carriage: InstanceId,
    /// The part of every pin.
    pub(in crate::layout) pin: PartId,
    /// The carriage in its guide.
    pub(in crate::layout) slide: JointId,
    /// The nut under the frame.
    pub(in crate::layout) nut: Option<InstanceId>,
    /// The bar at which a dial is read.
    pub(in crate::layout) index: Option<IndexPieces>,
}

/// The keeper and its pins.
pub(in crate::layout) struct Closed {
    pub(in crate::layout) keeper: InstanceId,
    pub(in crate::layout) pins: [InstanceId; 2],
    /// Where each pin is pressed into the frame.
    pub(in crate::layout) presses: [JointId; 2],
    /// The rod that the carriage pushes.
    pub(in crate::layout) rod: Option<InstanceId>,
    /// The yoke with the anvil against it.
    pub(in crate::layout) yoke: Option<InstanceId>,
    /// The preload spring in its pocket, and its part.
    pub(in crate::layout) spring: Option<(InstanceId, PartId)>,
}

/// Parts of a round house.
#[derive(Clone, Copy)]
pub(in crate::layout) struct HouseParts {
    pub(in crate::layout) frame: PartId,
    pub(in crate::layout) drive: PartId,
    pub(in crate::layout) carriage: PartId,
    pub(in crate::layout) pin: PartId,
    pub(in crate::layout) keeper: PartId,
    /// The yoke of a press.
    pub(in crate::layout) yoke: Option<PartId>,
}

impl HouseParts {
    /// Of its pieces.
    pub(in crate::layout) fn of(build: &Builder, started: &Started, closed: &Closed) -> Self {
        Self {
            frame: build.part_of(started.frame),
            drive: build.part_of(started.drive),
            carriage: build.part_of(started.carriage),
            pin: started.pin,
            keeper: build.part_of(closed.keeper),
            yoke: closed.yoke.map(|yoke| build.part_of(yoke)),
        }
    }
}

/// A drive screw as its layout made it.
pub(in crate::layout) struct DrivePiece<'a> {
    pub(in crate::layout) thread: &'a DriveThread,
    pub(in crate::layout) head: &'a dyn Head,
    pub(in crate::layout) perimeters: Perimeters,
    pub(in crate::layout) shape: Shape,
    pub(in crate::layout) recipe: Recipe,
    pub(in crate::layout) pose: Pose,
}

/// How the frame's directions are called.
pub(in crate::layout) const SIDES: Sides = Sides {
    up: [
        ["lying with a slot up", "lying with a slot up"],
        ["lying on its V side", "lying with the V side up"],
        ["standing on its open end", "standing, its open end up"],
    ],
    towards: [
        ["sideways", "sideways"],
        ["away from the V side", "towards the V side"],
        ["towards the drive head", "away from the drive head"],
    ],
};

impl House {
    /// Frame, drive screw and carriage with their joints; the pins' part.
    pub(in crate::layout) fn start(
        &self,
        kit: &Kit,
        drive: DrivePiece<'_>,
        holes: &PinHoles<'_>,
        build: &mut Builder,
    ) -> Started {
        let v = v_words(drive.thread.thread.hand());
        let frame = build.single(
            Name::plain("frame"),
            frame::shape(self, drive.thread),
            Note {
                perimeters: kit.perimeters_of(&kit.perimeters.frame),
                stands: "tapped end on the bed".into(),
                more: "",
                mark: format!(
                    "{v} along one side: keeper pins go in from this side{}",
                    self.mount.mark(kit.told())
                ),
                recipe: frame::recipe(self, drive.thread),
                panels: vec![frame::panel(self)],
            },
            Pose::identity(),
        );
        let thread = drive.thread;
        let words = drive.head.words();
        let ticks = feature::ticks(kit, drive.head);
        let gently = gently(kit);
        let drive = build.single(
            Name("drive", "drive screw"),
            drive.shape,
            Note {
                perimeters: drive.perimeters,
                stands: format!("{} on the bed", words.name),
                more: BRIM,
                mark: format!("{v} on {}{gently}{ticks}", words.marked),
                recipe: drive.recipe,
                panels: drive.head.panels(),
            },
            drive.pose,
        );
        let carriage = build.single(
            Name::plain("carriage"),
            carriage::shape(self, holes),
            Note {
                perimeters: self.carriage_walls(kit),
                stands: "closed face on the bed".into(),
                more: "",
                mark: self.end.carriage_mark().into(),
                recipe: carriage::recipe(self, holes),
                panels: carriage::panels(self),
            },
            carriage::pose(self),
        );
        let pin = self.pins().part(kit, build);
        build.drive_in_frame(thread, [drive, frame], &self.gaps.thread);
        let slide = build.joint(
            [carriage, frame],
            Fit::Slide,
            Constraint::NoTurn,
            &self.gaps.slide,
            None,
        );
        build.faces([carriage, frame], Fit::Stop, None);
        let nut = match &self.mount {
            Mount::None | Mount::Foot => None,
            Mount::Nut(nut) => Some(nut.piece(frame, kit.told(), build)),
        };
        let index = self.index.as_ref();
        let index = index.map(|index| index.pieces(kit, frame, build));
        Started {
            nut,
            frame,
            drive,
            carriage,
            pin,
            slide,
            index,
        }
    }

    /// Parts of its pieces that have names of their own.
    pub(in crate::layout) fn regions(
        &self,
        drive: &DriveThread,
        started: &Started,
        closed: &Closed,
    ) -> Vec<NamedRegion> {
        let wall = drive.tapped_wall;
        let region = |piece, z, name| NamedRegion { piece, z, name };
        vec![
            region(started.drive, [-BEYOND_ALL, drive.head_face()], "head"),
            region(started.frame, [-BEYOND_ALL, wall], "tapped wall"),
            region(started.frame, [wall, self.shoulder], "clear bore"),
            region(started.frame, [self.shoulder, BEYOND_ALL], "guide"),
            region(closed.keeper, [self.frame_length, BEYOND_ALL], "flange"),
            region(closed.keeper, [-BEYOND_ALL, self.frame_length], "plug"),
        ]
    }

    /// The keeper and its two pins.
    pub(in crate::layout) fn close(
        &self,
        kit: &Kit,
        started: &Started,
        build: &mut Builder,
    ) -> Closed {
        let keeper = build.single(
            Name::plain("keeper"),
            keeper::shape(self),
            Note {
                perimeters: self.keeper_walls(kit),
                stands: "flange on the bed".into(),
                more: "",
                mark: self.end.keeper_mark().into(),
                recipe: keeper::recipe(self),
                panels: keeper::panels(self),
            },
            keeper::pose(self),
        );
        build.joint(
            [keeper, started.frame],
            Fit::Locate,
            Constraint::NoTurn,
            &self.gaps.keeper,
            None,
        );
        // The flange lies on the frame's end without a gap.
        let flush = Some(Gap::flat(Length::ZERO));
        build.faces([keeper, started.frame], Fit::Seat, flush);
        build.faces([started.carriage, keeper], Fit::Stop, None);
        let pin = |index: usize, pose: Pose, build: &mut Builder| {
            let name = format!("keeper pin {}", index + 1);
            let pin = build.piece(started.pin, name.clone(), name, pose);
            let [press, through] = &self.gaps.keeper_pins[index];
            let between = [pin, started.frame];
            let pressed = build.joint(between, Fit::Press, Constraint::Rigid, press, None);
            let between = [pin, keeper];
            build.joint(between, Fit::Locate, Constraint::Rigid, through, None);
            (pin, pressed)
        };
        let [one, other] = keeper::pin_poses(self);
        let (one, other) = (pin(0, one, build), pin(1, other, build));
        let rod = self.end.rod();
        let rod = rod.map(|rod| rod.piece(started.carriage, keeper, build));
        let yoke = self.end.yoke().map(|yoke| yoke.piece(keeper, build));
        Closed {
            rod,
            yoke,
            keeper,
            pins: [one.0, other.0],
            presses: [one.1, other.1],
            spring: self
                .sprung()
                .map(|sprung| sprung.piece(kit, [keeper, started.carriage], build)),
        }
    }
}
