//! What of a single mechanism carries load, what must keep apart, and how it is started.

use super::Single;
use super::pieces::Pieces;
use super::sizes::Sizes;
use crate::assembly::Perimeters;
use crate::kit::key;
use crate::layout::member::{
    Bent, Distance, Members, Pin, Preload, Rod, Rub, Strut, TouchStart, Twist, Way,
};
use crate::layout::round_house::members::{alike, drive_start, head_and_frame};
use crate::strength::{Rail, Rings, SOLID};
use crate::units::Length;

impl Single<'_> {
    /// What carries load.
    pub(super) fn members(&self, pieces: &Pieces) -> Members {
        let (kit, house) = (self.kit, &self.sizes.house);
        let (parts, tip) = (&pieces.parts, &self.sizes.tip);
        let [one, other] = &self.sizes.pins;
        let swivels = alike(pieces.presses, [&one.press, &other.press]);
        let beside = house.ear_width / 2.0 - other.beside;
        let swivels = swivels
            .into_iter()
            .map(|joint| house.carriage_press(kit, parts.carriage, joint, beside));
        let frame = house.frame_presses(kit, parts.frame, pieces.closed.presses);
        let index = house.index_presses(&pieces.started, parts.frame);
        let mut members = Members {
            rods: self.rods(pieces),
            columns: vec![self.column(pieces)],
            pins: vec![self.swivel(pieces), house.keeper_pins(kit, parts.pin)],
            walls: Vec::new(),
            presses: swivels.chain(frame).chain(index).collect(),
            plates: house.plates(kit, parts.keeper),
            legs: vec![house.rails(kit, parts.frame)],
            // Pulled, the carriage hangs on the groove's flank; pushed, on the pip.
            collars: vec![
                Rub {
                    radius: self.sizes.pull_arm(),
                    way: Way::Pull,
                },
                Rub {
                    radius: tip.push_radius(),
                    way: Way::Push,
                },
            ],
            guides: vec![house.guide_of(parts.carriage, pieces.started.slide)],
            captives: Vec::new(),
            arms: house.arms(kit, parts),
            cranks: Vec::new(),
            pinned: Vec::new(),
            preload: self.preload(pieces),
        };
        self.head.members(parts.drive, self.walls(), &mut members);
        members
    }

    /// The spring, and what stands on the frame's thread before it: the drive screw.
    fn preload(&self, pieces: &Pieces) -> Option<Preload> {
        let Sizes {
            house,
            drive,
            stroke,
            tip,
            ..
        } = &self.sizes;
        let screw = [
            [drive.thread.major(), drive.length],
            self.head.weighs_as(),
            [tip.diameter, tip.length],
        ];
        house.preload(&pieces.closed, stroke.length, &screw)
    }

    fn core(&self) -> Rings {
        let thread = &self.sizes.drive.thread;
        Rings::under(thread.minor_internal(), thread.depth(), self.walls())
    }

    /// The neck at the groove's floor, whose walls follow the tip outside the groove.
    fn neck(&self) -> Rings {
        let tip = &self.sizes.tip;
        let depth = tip.diameter / 2.0 - tip.groove_radius;
        Rings::under(tip.groove_radius * 2.0, depth, self.walls())
    }

    fn walls(&self) -> Length {
        self.drive_perimeters().thickness(*self.kit.line)
    }

    /// Of the drive screw: what the kit says, else solid.
    pub(super) fn drive_perimeters(&self) -> Perimeters {
        let said = self.kit.perimeters.drive.as_ref();
        said.map_or(Perimeters::Solid, |said| said.value)
    }

    fn rods(&self, pieces: &Pieces) -> Vec<Rod> {
        let part = pieces.parts.drive;
        vec![
            Rod {
                part,
                what: "the drive screw's core, at the notch at its root across the layers",
                section: self.core(),
                way: Way::Either,
                twist: Twist::AtHead,
            },
            Rod {
                part,
                what: "the drive screw's neck in the swivel, at the notch at its groove's root across the layers",
                section: self.neck(),
                way: Way::Pull,
                twist: Twist::PassedOn,
            },
        ]
    }

    /// The screw from the tapped wall to the carriage at the far stop.
    fn column(&self, pieces: &Pieces) -> Strut {
        let (house, drive) = (&self.sizes.house, &self.sizes.drive);
        Strut {
            part: pieces.parts.drive,
            what: "the drive screw towards bowing out",
            sections: vec![self.core()],
            length: house.keeper_face - house.carriage_length - drive.tapped_wall,
            threads: vec![key::DRIVE.name()],
        }
    }

    /// The swivel's pins: two, each sheared on both sides of the groove.
    fn swivel(&self, pieces: &Pieces) -> Pin {
        let house = &self.sizes.house;
        // From the middle of a pin to where the carriage's hole holds it: half the chord of the
        // socket at the pin's axis, which as drawn is nothing.
        let socket = Rail {
            side: house.frame_side,
            bore: house.socket_diameter,
            slot: Length::ZERO,
            walls: SOLID,
        };
        let [_, positive] = &self.sizes.pins;
        Pin {
            part: pieces.parts.pin,
            called: "the swivel pins",
            diameter: house.pin,
            bought: self.kit.pins.buy.is_some(),
            sections: 4,
            uneven: 1.0,
            way: Way::Pull,
            bent: Bent::OnFlank(socket.inner_edge(positive.beside)),
        }
    }

    /// What must not meet before the carriage stops.
    pub(super) fn distances(&self, pieces: &Pieces) -> Vec<Distance> {
        vec![head_and_frame(&self.sizes.drive, pieces.parts.drive)]
    }

    /// The drive screw is turned back from touching.
    pub(super) fn starts(&self, pieces: &Pieces) -> Vec<TouchStart> {
        let (drive, stroke) = (&self.sizes.drive, &self.sizes.stroke);
        vec![drive_start(drive, stroke, pieces.parts.drive)]
    }
}
