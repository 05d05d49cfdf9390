//! Pieces and joints that every square house has: frame, drive screw, nut, carriage, keeper, pins.

use super::{House, carriage, frame, keeper};
use crate::assembly::{
    Constraint, Fit, Gap, InstanceId, JointId, Made, NamedRegion, PartId, Perimeters, Pose, Shape,
    Sides,
};
use crate::kit::{Kit, Nut};
use crate::layout::build::{Builder, Name, Note};
use crate::layout::feature::{self, Head, foot};
use crate::layout::index::IndexPieces;
use crate::layout::pin;
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::layout::stroke::DriveThread;
use crate::layout::words::{BRIM, gently, v_words};
use crate::thread::{Standard, Thread};
use crate::units::Length;
use crate::units_told::{Told, number};

/// The pieces that are there before the keeper, and their joints.
pub(in crate::layout) struct Started {
    pub(in crate::layout) frame: InstanceId,
    pub(in crate::layout) drive: InstanceId,
    pub(in crate::layout) carriage: InstanceId,
    pub(in crate::layout) nut: InstanceId,
    /// The part of every pin.
    pub(in crate::layout) pin: PartId,
    /// The carriage in its channel.
    pub(in crate::layout) slide: JointId,
    /// The nut in its pocket.
    pub(in crate::layout) pocket: JointId,
    /// The bar at which a dial is read.
    pub(in crate::layout) index: Option<IndexPieces>,
}

/// The keeper, its pins and the stop pin.
pub(in crate::layout) struct Closed {
    pub(in crate::layout) keeper: InstanceId,
    pub(in crate::layout) pins: [InstanceId; 2],
    pub(in crate::layout) stop: InstanceId,
    /// Where each pin is pressed into the frame: the keeper's, then the stop pin.
    pub(in crate::layout) presses: [JointId; 3],
    /// The preload spring in its pocket, and its part.
    pub(in crate::layout) spring: Option<(InstanceId, PartId)>,
}

/// The keeper and its pins.
pub(in crate::layout) struct Kept {
    pub(in crate::layout) keeper: InstanceId,
    pub(in crate::layout) pins: [InstanceId; 2],
    /// Where each is pressed into the frame.
    pub(in crate::layout) presses: [JointId; 2],
}

/// Parts of a square house.
#[derive(Clone, Copy)]
pub(in crate::layout) struct HouseParts {
    pub(in crate::layout) frame: PartId,
    pub(in crate::layout) drive: PartId,
    pub(in crate::layout) carriage: PartId,
    pub(in crate::layout) pin: PartId,
    pub(in crate::layout) keeper: PartId,
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
    /// By which it is told from other screws, beside its hand.
    pub(in crate::layout) more: &'static str,
}

/// How the frame's directions are called.
pub(in crate::layout) const SIDES: Sides = Sides {
    up: [
        ["lying on its V side", "lying with the V side up"],
        ["lying on its slot", "lying with the slot up"],
        ["standing on its open end", "standing, its open end up"],
    ],
    towards: [
        ["away from the V side", "towards the V side"],
        ["away from the slot", "towards the slot"],
        ["towards the drive head", "away from the drive head"],
    ],
};

/// What to ask for in a shop: the least class of strength, far above what a print asks of it.
fn nut_words(thread: &Thread, standard: &str) -> String {
    match thread.standard() {
        // Of a coarse pitch it says none.
        Standard::IsoCoarse => format!(
            "hexagon nut {standard} - M{} - 8",
            number(thread.major().as_mm(), 2)
        ),
        Standard::IsoFine | Standard::Unc | Standard::Unf | Standard::Free => {
            format!("hexagon nut {}, {standard}, steel", thread.designation())
        }
    }
}

impl House {
    /// Frame, drive screw, nut and carriage with their joints; the pins' part.
    pub(in crate::layout) fn start(
        &self,
        kit: &Kit,
        drive: DrivePiece<'_>,
        nut: &Nut,
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
                    "{v} in line with the slot; one V along the side where pins go in, the V side{}",
                    self.foot_mark(kit.told())
                ),
                recipe: frame::recipe(self, drive.thread),
                panels: vec![frame::panel(
                    &self.section,
                    [Length::ZERO, self.frame_length()],
                )],
            },
            Pose::identity(),
        );
        let thread = drive.thread;
        let words = drive.head.words();
        let ticks = feature::ticks(kit, drive.head);
        let drive = build.single(
            Name("drive", "drive screw"),
            drive.shape,
            Note {
                perimeters: drive.perimeters,
                stands: format!("{} on the bed", words.name),
                more: BRIM,
                mark: format!(
                    "{v} on {}{}{}{ticks}",
                    words.marked,
                    drive.more,
                    gently(kit)
                ),
                recipe: drive.recipe,
                panels: drive.head.panels(),
            },
            drive.pose,
        );
        let carriage = build.single(
            Name::plain("carriage"),
            carriage::shape(self),
            Note {
                perimeters: self.end.carriage_walls(kit),
                stands: "lying, pocket up".into(),
                more: "",
                mark: format!("its wide bore towards the tapped end{}", self.end.mark()),
                recipe: carriage::recipe(self),
                panels: vec![carriage::panel(self)],
            },
            carriage::pose(self),
        );
        let nut = self.nut_piece(kit, nut, build);
        let pin = self.pins().part(kit, build);
        build.drive_in_frame(thread, [drive, frame], &self.gaps.thread);
        let slide = build.joint(
            [carriage, frame],
            Fit::Slide,
            Constraint::NoTurn,
            &self.gaps.slide,
            None,
        );
        let seated = [nut, carriage];
        let pocket = &self.gaps.pocket;
        let pocket = build.joint(seated, Fit::Locate, Constraint::NoTurn, pocket, None);
        // At either end of the nut.
        let seat = &self.gaps.seat;
        let play = Some(seat.drawn() * 2.0);
        build.joint(seated, Fit::Seat, Constraint::NoAdvance, seat, play);
        let index = self.index.as_ref();
        let index = index.map(|index| index.pieces(kit, frame, build));
        Started {
            frame,
            drive,
            carriage,
            nut,
            pin,
            slide,
            pocket,
            index,
        }
    }

    /// What a foot adds to the frame's mark.
    pub(in crate::layout) fn foot_mark(&self, told: Told) -> String {
        match self.footed {
            true => foot::mark(told),
            false => String::new(),
        }
    }

    fn nut_piece(&self, kit: &Kit, nut: &Nut, build: &mut Builder) -> InstanceId {
        let made = match nut {
            Nut::Printed => Made::Printed,
            Nut::Bought(bought) => Made::Bought(nut_words(&self.nut.thread, bought.standard)),
        };
        let hand = v_words(self.nut.thread.hand());
        let mark = match nut {
            Nut::Printed => format!("{hand} on one flat"),
            Nut::Bought(_) => "either end first".into(),
        };
        let note = Note {
            perimeters: *kit.perimeters.nut,
            stands: "lying on an end".into(),
            more: "",
            mark,
            recipe: self.nut.recipe(),
            panels: vec![self.nut.panel()],
        };
        let part = build.part(Name::plain("nut"), made, self.nut.shape(), note);
        build.piece(part, "nut".into(), "nut".into(), self.nut.pose())
    }

    /// Parts of its pieces that have names of their own.
    pub(in crate::layout) fn regions(
        &self,
        drive: &DriveThread,
        started: &Started,
        closed: &Closed,
    ) -> Vec<NamedRegion> {
        let region = |piece, z, name| NamedRegion { piece, z, name };
        let length = self.frame_length();
        vec![
            region(started.drive, [-BEYOND_ALL, drive.head_face()], "head"),
            region(started.frame, [-BEYOND_ALL, self.wall], "tapped wall"),
            region(started.frame, [self.wall, BEYOND_ALL], "channel"),
            region(closed.keeper, [length, BEYOND_ALL], "flange"),
            region(closed.keeper, [-BEYOND_ALL, length], "plug"),
        ]
    }

    /// The keeper and its two pins, and the stop pin.
    pub(in crate::layout) fn close(
        &self,
        kit: &Kit,
        started: &Started,
        build: &mut Builder,
    ) -> Closed {
        let Kept {
            keeper,
            pins,
            presses: [one_pressed, other_pressed],
        } = self.keep(kit, started, build);
        let name = "stop pin";
        let stop = build.piece(started.pin, name.into(), name.into(), self.stop_pin_pose());
        let between = [stop, started.frame];
        let press = &self.gaps.stop_pin;
        let stop_pressed = build.joint(between, Fit::Press, Constraint::Rigid, press, None);
        build.faces([started.carriage, stop], Fit::Stop, None);
        Closed {
            keeper,
            pins,
            stop,
            presses: [one_pressed, other_pressed, stop_pressed],
            spring: self
                .sprung()
                .map(|sprung| sprung.piece(kit, [keeper, started.carriage], build)),
        }
    }

    /// The keeper and its two pins.
    pub(in crate::layout) fn keep(
        &self,
        kit: &Kit,
        started: &Started,
        build: &mut Builder,
    ) -> Kept {
        let keeper = build.single(
            Name::plain("keeper"),
            keeper::shape(self),
            Note {
                perimeters: self.end.keeper_walls(kit),
                stands: "flange on the bed".into(),
                more: "",
                mark: "one V on the flange's edge: to the frame's V side; its tongue to the slot"
                    .into(),
                recipe: keeper::recipe(self),
                panels: vec![keeper::panel(self)],
            },
            keeper::pose(self),
        );
        let located = [keeper, started.frame];
        build.joint(
            located,
            Fit::Locate,
            Constraint::NoTurn,
            &self.gaps.keeper,
            None,
        );
        // The flange lies on the frame's end without a gap.
        build.faces(located, Fit::Seat, Some(Gap::flat(Length::ZERO)));
        build.faces([started.carriage, keeper], Fit::Stop, None);
        let [one, other] = keeper::pin_poses(self);
        let [one_gaps, other_gaps] = &self.gaps.keeper_pins;
        let mut pin = |name: &str, pose: Pose, press| {
            let pin = build.piece(started.pin, name.into(), name.into(), pose);
            let between = [pin, started.frame];
            let pressed = build.joint(between, Fit::Press, Constraint::Rigid, press, None);
            (pin, pressed)
        };
        let (one, one_pressed) = pin("keeper pin 1", one, &one_gaps[0]);
        let (other, other_pressed) = pin("keeper pin 2", other, &other_gaps[0]);
        for (pin, gaps) in [(one, one_gaps), (other, other_gaps)] {
            let between = [pin, keeper];
            build.joint(between, Fit::Locate, Constraint::Rigid, &gaps[1], None);
        }
        Kept {
            keeper,
            pins: [one, other],
            presses: [one_pressed, other_pressed],
        }
    }

    /// Along x under the screw, its flat away from the slot: the load goes along z.
    fn stop_pin_pose(&self) -> Pose {
        let [y, z] = self.stop_pin();
        let flat = pin::flat_height(self.pin);
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]).shifted(
            Length::ZERO,
            y - flat,
            z,
        )
    }
}
