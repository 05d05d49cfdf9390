//! What of a tandem mechanism carries load, and what must keep apart.

use super::Tandem;
use super::pieces::Pieces;
use super::sizes::Sizes;
use crate::assembly::Perimeters;
use crate::kit::key;
use crate::layout::member::{Distance, Members, Preload, Rod, Strut, Twist, Way};
use crate::strength::Rings;
use crate::units::Length;

impl Tandem<'_> {
    /// What carries load.
    pub(super) fn members(&self, pieces: &Pieces) -> Members {
        let (kit, house) = (self.kit, &self.sizes.house);
        let parts = &pieces.parts;
        let frame = house.frame_presses(kit, parts.frame, pieces.closed.presses);
        let index = house.index_presses(&pieces.started, parts.frame);
        let mut members = Members {
            rods: self.rods(pieces),
            columns: vec![self.column(pieces)],
            pins: vec![
                house.stop(kit, parts.pin),
                house.keeper_pins(kit, parts.pin),
            ],
            walls: Vec::new(),
            presses: frame.into_iter().chain(index).collect(),
            plates: house.plates(kit, parts.keeper),
            legs: vec![house.cheeks(kit, parts.frame)],
            collars: Vec::new(),
            guides: vec![house.guide_of(parts.carriage, pieces.started.slide)],
            captives: vec![house.captive(&self.threads.nut, pieces.started.pocket)],
            arms: house.arms(kit, parts.carriage, parts.keeper),
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
            thin,
            stroke,
            ..
        } = &self.sizes;
        let screw = [
            [drive.thread.major(), drive.length],
            self.head.weighs_as(),
            [thin.thread.major(), thin.tip - drive.end],
        ];
        house.preload(&pieces.closed, stroke.length, &screw)
    }

    /// Of the drive screw: what the kit says, else solid.
    pub(super) fn drive_perimeters(&self) -> Perimeters {
        let said = self.kit.perimeters.drive.as_ref();
        said.map_or(Perimeters::Solid, |said| said.value)
    }

    fn walls(&self) -> Length {
        self.drive_perimeters().thickness(*self.kit.line)
    }

    fn thick(&self) -> Rings {
        let thread = &self.sizes.drive.thread;
        Rings::under(thread.minor_internal(), thread.depth(), self.walls())
    }

    fn thin(&self) -> Rings {
        let thin = &self.sizes.thin;
        // A gap that is drawn on the screw makes its core thinner.
        let core = thin.thread.minor_internal() - thin.gap * 2.0;
        Rings::under(core, thin.thread.depth(), self.walls())
    }

    fn rods(&self, pieces: &Pieces) -> Vec<Rod> {
        let part = pieces.parts.drive;
        vec![
            Rod {
                part,
                what: "the drive screw's thick core, at the notch at its root across the layers",
                section: self.thick(),
                way: Way::Either,
                twist: Twist::AtHead,
            },
            Rod {
                part,
                what: "the drive screw's thin core, at the notch at its root across the layers",
                section: self.thin(),
                way: Way::Either,
                twist: Twist::PassedOn,
            },
        ]
    }

    /// The screw from the tapped wall to the nut at the far stop.
    fn column(&self, pieces: &Pieces) -> Strut {
        let (house, stroke) = (&self.sizes.house, &self.sizes.stroke);
        Strut {
            part: pieces.parts.drive,
            what: "the drive screw towards bowing out",
            sections: vec![self.thin(), self.thick()],
            length: house.nut.face + stroke.length - house.wall,
            threads: vec![key::THIN.name(), key::DRIVE.name()],
        }
    }

    /// What must not meet before the carriage stops, at the worst place of the drive screw.
    pub(super) fn distances(&self, pieces: &Pieces) -> Vec<Distance> {
        let (sizes, house) = (&self.sizes, &self.sizes.house);
        let worst = sizes.rung / 2.0;
        let (drive, thin) = (&sizes.drive, &sizes.thin);
        let floor = house.rear_face + house.carriage.rear_bore;
        vec![
            Distance {
                part: pieces.parts.drive,
                between: "the drive head and the frame",
                at_zero: drive.head_gap(0.0) - worst,
                per_turn: Length::ZERO - drive.thread.lead(),
                lead: drive.thread.lead(),
                blame: vec![
                    key::DRIVE_THREAD.name(),
                    key::TAPPED_WALL.name(),
                    key::STROKE.name(),
                ],
            },
            Distance {
                part: pieces.parts.drive,
                between: "the drive screw's shoulder and the carriage",
                at_zero: floor - drive.end - worst,
                per_turn: Length::ZERO - thin.thread.lead(),
                lead: thin.thread.lead(),
                blame: vec![key::CARRIAGE_LENGTH.name(), key::STROKE.name()],
            },
        ]
    }
}
