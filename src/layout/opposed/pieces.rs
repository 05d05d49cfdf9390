//! Pieces and joints of an opposed mechanism.

use super::Opposed;
use super::sizes::Half;
use crate::assembly::{
    Assembly, Carriages, Constraint, Course, Fit, Gap, InstanceId, JointId, Made, NamedRegion,
    PartId, Pose, ScrewTravel, Shape, ThreadJoint,
};
use crate::kit::{KeyPath, key};
use crate::layout::build::{Builder, Engaging, Name, Note};
use crate::layout::feature;
use crate::layout::gaps::JointGapDrawn;
use crate::layout::member::ThreadPair;
use crate::layout::pin;
use crate::layout::pins::Pins;
use crate::layout::proportions::*;
use crate::layout::square_house::carriage;
use crate::layout::square_house::pieces::{Closed, Kept, SIDES, Started};
use crate::layout::stroke::wanted_engagement;
use crate::layout::words::{BRIM, gently, v_words};
use crate::units::Length;

/// The pieces by role, and the joints that checks ask for.
pub(super) struct Pieces {
    /// The far half, as any square house has it.
    pub(super) started: Started,
    /// The keeper; its own pin is the retaining one.
    pub(super) closed: Closed,
    pub(super) near_carriage: InstanceId,
    pub(super) near_nut: InstanceId,
    pub(super) far: InstanceId,
    pub(super) retainer: InstanceId,
    pub(super) coupling: InstanceId,
    pub(super) parts: Parts,
    pub(super) near_slide: JointId,
    pub(super) near_pocket: JointId,
    /// The threads in their nuts, the near one first.
    pub(super) threads: [JointId; 2],
    /// Where the keeper's pins are pressed into the frame.
    pub(super) kept: [JointId; 2],
    pub(super) retaining_press: JointId,
    pub(super) coupling_press: JointId,
}

/// Its parts.
#[derive(Clone, Copy)]
pub(super) struct Parts {
    pub(super) frame: PartId,
    pub(super) near: PartId,
    pub(super) far: PartId,
    pub(super) carriage: PartId,
    pub(super) keeper: PartId,
    pub(super) retainer: PartId,
    pub(super) pin: PartId,
    pub(super) coupling: PartId,
}

/// Frame and shafts.
struct Shafts {
    frame: InstanceId,
    near: InstanceId,
    far: InstanceId,
}

/// A carriage with its nut, and their joints.
struct Mounted {
    carriage: InstanceId,
    nut: InstanceId,
    slide: JointId,
    pocket: JointId,
}

impl Opposed<'_> {
    /// Pieces, assembly, and what is said of its threads.
    pub(super) fn assembled(&self) -> (Pieces, Assembly, Vec<ThreadPair>) {
        let (kit, house) = (self.kit, &self.sizes.house);
        let mut build = Builder::default();
        let shafts = self.shafts(&mut build);
        let carriage = build.part(
            Name::plain("carriage"),
            Made::Printed,
            carriage::shape(house),
            Note {
                perimeters: house.end.carriage_walls(kit),
                stands: "lying, pocket up".into(),
                more: "",
                mark: format!(
                    "both are alike: the wide bores towards each other{}",
                    house.end.mark()
                ),
                recipe: carriage::recipe(house),
                panels: vec![carriage::panel(house)],
            },
        );
        let near = self.mounted(&shafts, carriage, false, &mut build);
        let far = self.mounted(&shafts, carriage, true, &mut build);
        let pin = house.pins().part(kit, &mut build);
        let sizes = &self.sizes;
        let near_thread = self.in_nut(
            [shafts.near, near.nut],
            &sizes.near,
            &house.gaps.thread,
            key::DRIVE.name(),
            &mut build,
        );
        let far_thread = self.in_nut(
            [shafts.far, far.nut],
            &sizes.far,
            &sizes.gaps.far,
            key::FAR.name(),
            &mut build,
        );
        build.faces([near.carriage, far.carriage], Fit::Stop, None);
        build.faces([near.carriage, shafts.frame], Fit::Stop, None);
        let (coupling, coupling_press) = self.couple(&shafts, &mut build);
        let (retainer, retaining, retaining_press) = self.retain(&shafts, pin, &mut build);
        let started = Started {
            frame: shafts.frame,
            drive: shafts.near,
            carriage: far.carriage,
            nut: far.nut,
            pin,
            slide: far.slide,
            pocket: far.pocket,
            index: None,
        };
        let Kept {
            keeper,
            pins,
            presses: kept,
        } = house.keep(kit, &started, &mut build);
        let journal = &sizes.gaps.journal;
        let between = [shafts.far, keeper];
        build.joint(between, Fit::Swivel, Constraint::Free, journal, None);
        let [one, other] = kept;
        let pieces = Pieces {
            parts: Parts {
                frame: build.part_of(shafts.frame),
                near: build.part_of(shafts.near),
                far: build.part_of(shafts.far),
                carriage,
                keeper: build.part_of(keeper),
                retainer: build.part_of(retainer),
                pin,
                coupling: build.part_of(coupling),
            },
            closed: Closed {
                keeper,
                pins,
                stop: retaining,
                presses: [one, other, retaining_press],
                spring: None,
            },
            near_carriage: near.carriage,
            near_nut: near.nut,
            far: shafts.far,
            retainer,
            coupling,
            near_slide: near.slide,
            near_pocket: near.pocket,
            threads: [near_thread, far_thread],
            kept,
            retaining_press,
            coupling_press,
            started,
        };
        let carriages = Carriages {
            leading: pieces.near_carriage,
            others: vec![pieces.started.carriage],
        };
        let (assembly, said) = build.finish(kit, shafts.frame, shafts.near, carriages, SIDES);
        (pieces, assembly, said)
    }

    /// Frame, near and far shaft.
    fn shafts(&self, build: &mut Builder) -> Shafts {
        let (kit, sizes) = (self.kit, &self.sizes);
        let v = v_words(sizes.near.thread.hand());
        let frame = build.single(
            Name::plain("frame"),
            self.frame_shape(),
            Note {
                perimeters: kit.perimeters_of(&kit.perimeters.frame),
                stands: "lying on its back, slot up".into(),
                more: "",
                mark: format!(
                    "{v} in line with the slot; one V along the side where pins go in, the V side{}",
                    sizes.house.foot_mark(kit.told())
                ),
                recipe: self.frame_recipe(),
                panels: vec![self.frame_panel()],
            },
            self.frame_pose(),
        );
        let screw = self.drive_screw();
        let words = self.head.words();
        let near = build.single(
            Name("drive", "drive screw"),
            self.near_shape(&screw),
            Note {
                perimeters: self.shaft_perimeters(),
                stands: format!("{} on the bed", words.name),
                more: BRIM,
                mark: format!(
                    "{v} on {}, a collar behind it and a spigot at its end{}{}",
                    words.marked,
                    gently(kit),
                    feature::ticks(kit, self.head.as_ref())
                ),
                recipe: self.near_recipe(&screw),
                panels: self.head.panels(),
            },
            screw.pose(),
        );
        let far = alone(
            build,
            Name("far-shaft", "far shaft"),
            self.far_shape(),
            Note {
                perimeters: self.shaft_perimeters(),
                stands: "sleeve on the bed".into(),
                more: BRIM,
                mark: format!("{} along the sleeve", v_words(sizes.far.thread.hand())),
                recipe: self.far_recipe(),
                panels: vec![self.far_panel()],
            },
            self.far_pose(),
        );
        let located = [far, near];
        let sleeve = &sizes.gaps.sleeve;
        build.joint(located, Fit::Locate, Constraint::Free, sleeve, None);
        let collar = &sizes.gaps.collar;
        let play = sizes
            .bearing
            .play([collar.drawn(), sizes.gaps.retainer.drawn()]);
        let between = [near, frame];
        build.joint(
            between,
            Fit::Swivel,
            Constraint::NoAdvance,
            collar,
            Some(play),
        );
        // The collar stands in the middle of its play.
        let faces = Some(Gap::flat(collar.drawn() / 2.0));
        build.faces(between, Fit::Seat, faces);
        Shafts { frame, near, far }
    }

    /// A carriage and its nut.
    fn mounted(&self, shafts: &Shafts, part: PartId, far: bool, build: &mut Builder) -> Mounted {
        let (kit, sizes) = (self.kit, &self.sizes);
        let house = &sizes.house;
        let (half, carriage, nut_name, pose) = match far {
            true => (
                &sizes.far,
                "far carriage",
                Name("far-nut", "far nut"),
                carriage::pose(house),
            ),
            false => (
                &sizes.near,
                "near carriage",
                Name("near-nut", "near nut"),
                self.near_carriage_pose(),
            ),
        };
        let carriage = build.piece(part, carriage.into(), carriage.into(), pose);
        let note = Note {
            perimeters: *kit.perimeters.nut,
            stands: "lying on an end".into(),
            more: "",
            mark: format!("{} on one flat", v_words(half.thread.hand())),
            recipe: half.nut.recipe(),
            panels: vec![half.nut.panel()],
        };
        let shape = half.nut.shape();
        let nut = alone(build, nut_name, shape, note, half.nut.pose());
        let slide = build.joint(
            [carriage, shafts.frame],
            Fit::Slide,
            Constraint::NoTurn,
            &house.gaps.slide,
            None,
        );
        let seated = [nut, carriage];
        let pocket = &house.gaps.pocket;
        let pocket = build.joint(seated, Fit::Locate, Constraint::NoTurn, pocket, None);
        let seat = &house.gaps.seat;
        // At either end of the nut.
        let play = Some(seat.drawn() * 2.0);
        build.joint(seated, Fit::Seat, Constraint::NoAdvance, seat, play);
        Mounted {
            carriage,
            nut,
            slide,
            pocket,
        }
    }

    /// As the far one, turned half round about the vertical.
    fn near_carriage_pose(&self) -> Pose {
        let house = &self.sizes.house;
        Pose::axes([-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]).shifted(
            Length::ZERO,
            house.section.floor,
            self.sizes.near.from + house.carriage.length / 2.0,
        )
    }

    fn in_nut(
        &self,
        between: [InstanceId; 2],
        half: &Half,
        gap: &JointGapDrawn,
        key: KeyPath,
        build: &mut Builder,
    ) -> JointId {
        let countersink = chamfer_length(&half.thread);
        let nut = &half.nut;
        build.thread(
            between,
            ThreadJoint {
                thread: half.thread.clone(),
                male: half.full,
                female: [nut.face + countersink, nut.face + nut.height - countersink],
                male_crest: Length::ZERO,
                female_root: Length::ZERO,
            },
            gap,
            Engaging {
                perimeters: [key::PERIMETERS_DRIVE.name(), key::PERIMETERS_NUT.name()],
                key,
                wanted: wanted_engagement(&half.thread),
                lengths: vec![key::NUT_HEIGHT.name(), key::THREAD_ROOM.name()],
            },
        )
    }

    /// The coupling pin, through sleeve and spigot along y.
    fn couple(&self, shafts: &Shafts, build: &mut Builder) -> (InstanceId, JointId) {
        let (sizes, coupling) = (&self.sizes, &self.sizes.coupling);
        let pins = Pins {
            diameter: coupling.pin,
            span: coupling.sleeve,
            in_first_wall: coupling.sleeve / 2.0 - coupling.socket - BELOW_FACE,
        };
        let bought = self.coupling_is_bought();
        let part = pins.own_part(Name("coupling-pin", "coupling pin"), bought, build);
        let name = "coupling pin";
        let flat = pin::flat_height(coupling.pin);
        // The print frame's x along y, its flat to -x: what pulls at it goes along z.
        let pose = Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]).shifted(
            -flat,
            Length::ZERO,
            coupling.pin_at,
        );
        let piece = build.piece(part, name.into(), name.into(), pose);
        let press = &sizes.gaps.coupling;
        let in_sleeve = [piece, shafts.far];
        let pressed = build.joint(in_sleeve, Fit::Press, Constraint::Rigid, press, None);
        let through = &sizes.gaps.through;
        // In front of it and behind it.
        let play = Some(through.drawn() * 2.0);
        let in_spigot = [piece, shafts.near];
        build.joint(in_spigot, Fit::Locate, Constraint::Rigid, through, play);
        (piece, pressed)
    }

    /// The slotted keeper and its pin.
    fn retain(
        &self,
        shafts: &Shafts,
        pin: PartId,
        build: &mut Builder,
    ) -> (InstanceId, InstanceId, JointId) {
        let (kit, sizes) = (self.kit, &self.sizes);
        let retainer = alone(
            build,
            Name("slotted-keeper", "slotted keeper"),
            self.retainer_shape(),
            Note {
                perimeters: kit.perimeters_of(&kit.perimeters.keeper),
                stands: "countersink up".into(),
                more: "",
                mark: "its countersink towards the collar".into(),
                recipe: self.retainer_recipe(),
                // Beside the neck's way it is too narrow for letters.
                panels: Vec::new(),
            },
            self.retainer_pose(),
        );
        let gap = &sizes.gaps.retainer;
        let in_frame = [retainer, shafts.frame];
        build.joint(in_frame, Fit::Locate, Constraint::Rigid, gap, None);
        let around = [shafts.near, retainer];
        let collar = &sizes.gaps.collar;
        build.joint(around, Fit::Swivel, Constraint::Free, collar, None);
        // Square to the cone.
        let faces = Some(Gap::flat(collar.drawn() / 2.0 * 0.5f64.sqrt()));
        build.faces(around, Fit::Seat, faces);
        let name = "retaining pin";
        let [y, z] = sizes.bearing.pin;
        let flat = pin::flat_height(sizes.house.pin);
        // As the keeper's pins: the print frame's x along x, its z along y.
        let pose = Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]).shifted(
            Length::ZERO,
            y - flat,
            z,
        );
        let piece = build.piece(pin, name.into(), name.into(), pose);
        let press = &sizes.house.gaps.stop_pin;
        let between = [piece, shafts.frame];
        let pressed = build.joint(between, Fit::Press, Constraint::Rigid, press, None);
        build.faces([retainer, piece], Fit::Stop, None);
        (retainer, piece, pressed)
    }

    /// The stroke, and how far each carriage goes.
    pub(super) fn course(&self, pieces: &Pieces) -> Course {
        let sizes = &self.sizes;
        let mut course = sizes.stroke.course(&sizes.near.thread);
        // It turns where it is.
        course.drive_travel = Length::ZERO;
        let titles = ["near travel", "far travel"];
        let halves = [&sizes.near, &sizes.far];
        for ((title, half), joint) in titles.into_iter().zip(halves).zip(pieces.threads) {
            course.further.push(ScrewTravel {
                title,
                joint,
                length: half.travel,
            });
        }
        course
    }

    /// Parts of its pieces that have names of their own.
    pub(super) fn regions(&self, pieces: &Pieces) -> Vec<NamedRegion> {
        let (sizes, started) = (&self.sizes, &pieces.started);
        let region = |piece, z, name| NamedRegion { piece, z, name };
        let [start, end] = sizes.coupling.span;
        let face = sizes.bearing.face;
        let collar = sizes.bearing.collar_face - super::sizes::COLLAR;
        vec![
            region(started.drive, [-BEYOND_ALL, Length::ZERO], "head"),
            region(started.drive, [collar, face], "collar"),
            region(started.drive, [sizes.near.end, BEYOND_ALL], "spigot"),
            region(pieces.far, [start, end], "sleeve"),
            region(pieces.far, [sizes.far.end, BEYOND_ALL], "journal"),
            region(started.frame, [face, sizes.house.wall], "bearing wall"),
            region(started.frame, [sizes.house.wall, BEYOND_ALL], "channel"),
        ]
    }
}

/// A printed part of which there is one piece, which data call as people do.
fn alone(build: &mut Builder, name: Name, shape: Shape, note: Note, pose: Pose) -> InstanceId {
    let part = build.part(name, Made::Printed, shape, note);
    build.piece(part, name.1.into(), name.1.into(), pose)
}
