//! What of a nested mechanism carries load, what must keep apart, and how it is started.

use super::Nested;
use super::pieces::Pieces;
use super::sizes::Sizes;
use crate::assembly::Perimeters;
use crate::kit::key;
use crate::layout::member::{
    Bent, Distance, Members, Pin, Pinned, Preload, Rod, Strut, TouchStart, Twist, Wall, Way,
};
use crate::layout::proportions::*;
use crate::layout::round_house::members::{drive_start, head_and_frame};
use crate::strength::{Rings, TappedTube};
use crate::thread::StartLadder;
use crate::units::Length;

/// Layers of both faces that may hide how far the collar stands off the drive screw. Guess: it
/// must leave by one and a half.
const COLLAR_LAYERS: f64 = 1.5;

/// Most walls with which a drive screw's tube is filled; a thicker one is printed solid. Guess:
/// printers offer as many without ado.
const MOST_LINES: f64 = 8.0;

impl Nested<'_> {
    /// What carries load.
    pub(super) fn members(&self, pieces: &Pieces) -> Members {
        let (kit, house) = (self.kit, &self.sizes.house);
        let parts = &pieces.parts;
        let cross = house.carriage_press(kit, parts.carriage, pieces.press, house.ear_width / 2.0);
        let frame = house.frame_presses(kit, parts.frame, pieces.closed.presses);
        let index = house.index_presses(&pieces.started, parts.frame);
        let mut members = Members {
            rods: self.rods(pieces),
            columns: vec![self.column(pieces)],
            pins: vec![self.cross(pieces), house.keeper_pins(kit, parts.pin)],
            walls: vec![self.wall(pieces)],
            presses: std::iter::once(cross).chain(frame).chain(index).collect(),
            plates: house.plates(kit, parts.keeper),
            legs: vec![house.rails(kit, parts.frame)],
            collars: Vec::new(),
            guides: vec![house.guide_of(parts.carriage, pieces.started.slide)],
            captives: Vec::new(),
            arms: house.arms(kit, parts),
            cranks: Vec::new(),
            pinned: vec![Pinned {
                joint: pieces.through,
                guide: pieces.started.slide,
                radius: self.sizes.inner.collar / 2.0,
            }],
            preload: self.preload(pieces),
        };
        let walls = self.drive_perimeters().thickness(*self.kit.line);
        self.head.members(parts.drive, walls, &mut members);
        members
    }

    /// The spring, and what stands on the frame's thread before it: both screws.
    fn preload(&self, pieces: &Pieces) -> Option<Preload> {
        let Sizes {
            house,
            drive,
            inner,
            stroke,
            ..
        } = &self.sizes;
        let screws = [
            [drive.thread.major(), drive.length],
            self.head.weighs_as(),
            [inner.thread.major(), inner.thread_length],
            [inner.collar, inner.head_height],
        ];
        house.preload(&pieces.closed, stroke.length, &screws)
    }

    fn core(&self) -> Rings {
        let thread = &self.sizes.inner.thread;
        let walls = self.kit.perimeters.inner.thickness(*self.kit.line);
        Rings::under(thread.minor_internal(), thread.depth(), walls)
    }

    fn tube(&self) -> Rings {
        let walls = self.drive_perimeters().thickness(*self.kit.line);
        Rings::of_tube(&self.tapped(), walls)
    }

    fn tapped(&self) -> TappedTube {
        let (drive, bore) = (&self.sizes.drive.thread, &self.sizes.bore);
        TappedTube {
            root: drive.minor_internal(),
            depth: drive.depth(),
            bore: bore.thread.major() + bore.gap.drawn() * 2.0,
            bore_depth: bore.thread.depth(),
        }
    }

    /// Of the drive screw: what the kit says, else as many walls as fill its tube, where they are
    /// few enough to print with.
    pub(super) fn drive_perimeters(&self) -> Perimeters {
        if let Some(said) = &self.kit.perimeters.drive {
            return said.value;
        }
        let TappedTube {
            root,
            depth,
            bore,
            bore_depth,
        } = self.tapped();
        let filled = ((root - bore) / 2.0 + depth + bore_depth) / (*self.kit.line * 2.0);
        match filled.ceil() {
            lines if lines <= MOST_LINES => Perimeters::Lines((lines as u32).max(*self.kit.walls)),
            _ => Perimeters::Solid,
        }
    }

    fn rods(&self, pieces: &Pieces) -> Vec<Rod> {
        vec![
            Rod {
                part: pieces.inner_part,
                what: "the inner screw's core, at the notch at its root across the layers",
                section: self.core(),
                way: Way::Either,
                twist: Twist::PassedOn,
            },
            // Within the frame's thread the tube takes part of both; all of both is on the safe
            // side.
            Rod {
                part: pieces.parts.drive,
                what: "the drive screw's tube, at the notch at its root across the layers",
                section: self.tube(),
                way: Way::Either,
                twist: Twist::AtHead,
            },
        ]
    }

    /// The screws from the tapped wall to the carriage at the far stop.
    fn column(&self, pieces: &Pieces) -> Strut {
        let (house, drive) = (&self.sizes.house, &self.sizes.drive);
        Strut {
            part: pieces.inner_part,
            what: "the screws towards bowing out",
            sections: vec![self.core(), self.tube()],
            length: house.keeper_face - house.carriage_length - drive.tapped_wall,
            threads: vec![key::INNER.name(), key::DRIVE.name()],
        }
    }

    /// The cross pin: sheared on both sides of the inner screw's head.
    fn cross(&self, pieces: &Pieces) -> Pin {
        let beside = (self.sizes.house.socket_diameter - self.sizes.inner.collar) / 2.0;
        Pin {
            part: pieces.parts.pin,
            called: "the cross pin",
            diameter: self.sizes.inner.pin,
            bought: self.kit.pins.buy.is_some(),
            sections: 2,
            uneven: 1.0,
            way: Way::Either,
            // The room beside the head, and the hole's broken mouth.
            bent: Bent::BetweenHoles(beside + EDGE),
        }
    }

    fn wall(&self, pieces: &Pieces) -> Wall {
        let sizes = &self.sizes;
        Wall {
            part: pieces.parts.drive,
            thickness: sizes.wall,
            outside: (sizes.drive.thread.clone(), key::DRIVE.name()),
            inside: (sizes.inner.thread.clone(), key::INNER.name()),
        }
    }

    /// What must not meet before the carriage stops.
    pub(super) fn distances(&self, pieces: &Pieces) -> Vec<Distance> {
        let sizes = &self.sizes;
        let (inner, bore) = (&sizes.inner, &sizes.bore);
        let at_zero = sizes.collar_gap(0.0);
        let of_inner = |between, at_zero: Length| Distance {
            part: pieces.inner_part,
            between,
            at_zero,
            per_turn: sizes.collar_rate(),
            lead: inner.thread.lead(),
            blame: vec![
                key::INNER_THREAD.name(),
                key::BORE.name(),
                key::STROKE.name(),
            ],
        };
        vec![
            head_and_frame(&sizes.drive, pieces.parts.drive),
            of_inner(
                "the inner screw's collar and the drive screw's end",
                at_zero,
            ),
            of_inner(
                "the inner screw's end and the bore's floor",
                bore.depth - inner.thread_length + at_zero,
            ),
        ]
    }

    /// By how much the collar is off at its first mark where the inner screw went in another way
    /// than the right one; none where its slot looks alike.
    fn wrong_way(&self) -> Option<Length> {
        let thread = &self.sizes.inner.thread;
        let wrong = StartLadder::wrong_places(thread, COLLAR_GAP_LEADS);
        let off = wrong.iter().map(|turns| (turns - COLLAR_GAP_LEADS).abs());
        let least = off.min_by(f64::total_cmp)?;
        Some(thread.lead() * least)
    }

    /// Both screws are turned back from touching.
    pub(super) fn starts(&self, pieces: &Pieces) -> Vec<TouchStart> {
        let sizes = &self.sizes;
        vec![
            drive_start(&sizes.drive, &sizes.stroke, pieces.parts.drive),
            TouchStart {
                part: pieces.inner_part,
                // The first place at which the slot points at the mark.
                way: sizes.inner.thread.lead() * COLLAR_GAP_LEADS,
                hidden_by: COLLAR_LAYERS,
                wrong_way: self.wrong_way(),
                key: key::INNER.name(),
            },
        ]
    }
}
