//! What of a round house carries load, and what its checks look at.

use super::House;
use crate::assembly::{JointId, PartId};
use crate::kit::{KeyPath, Kit, key};
use crate::layout::gaps::JointGapDrawn;
use crate::layout::member::{
    Bent, Distance, Guide, Leg, LegSection, Peephole, Pin, Plate, Press, TouchStart, Way,
};
use crate::layout::proportions::*;
use crate::layout::spring::Pocket;
use crate::layout::stroke::{DriveThread, Stroke};
use crate::strength::{Bar, LyingPin, Rail, SOLID};
use crate::units::Length;
use std::f64::consts::PI;

/// Share of a rail that its pin holes leave at the least. Guess: it keeps the stress finite
/// where pins as wide as the rail could not be drawn anyway.
const LEAST_LEFT: f64 = 0.05;

/// Layers of both faces that may hide how far the head stands off the frame. Guess: it must
/// leave by two layers.
const HEAD_LAYERS: f64 = 2.0;

impl House {
    /// The keeper's pins: two, sheared on both sides of its plug.
    pub(in crate::layout) fn keeper_pins(&self, kit: &Kit, part: PartId) -> Pin {
        Pin {
            part,
            called: "the keeper pins",
            diameter: self.pin,
            bought: kit.pins.buy.is_some(),
            sections: 4,
            way: Way::Push,
            bent: Bent::BetweenHoles(self.beside_plug()),
        }
    }

    /// From the keeper's plug to the frame, along a keeper pin.
    fn beside_plug(&self) -> Length {
        let plug = |gap: Length| Rail {
            side: self.frame_side,
            bore: self.guide() - gap * 2.0,
            slot: self.slot_width() - gap * 2.0,
            walls: SOLID,
        };
        let at = self.keeper_pin_offset;
        let gap = self.gaps.keeper.drawn();
        plug(Length::ZERO).inner_edge(at) - plug(gap).inner_edge(at)
    }

    /// The plug that the carriage presses on between the keeper's pins.
    ///
    /// Beside the hole through its middle it has two legs, each with a wall on either side; what
    /// closes it above and below counts nothing.
    pub(in crate::layout) fn plug(&self, kit: &Kit, part: PartId) -> Plate {
        let walls = kit
            .perimeters_of(&kit.perimeters.keeper)
            .thickness(*kit.line)
            * 4.0;
        let width = self.guide() - self.gaps.keeper.drawn() * 2.0 - self.keeper_bore;
        // Around a spring's pocket only a ring presses, and what is behind its floor bears.
        let pocket = Pocket::depth_of(self.pocket.as_ref());
        let hole = self
            .pocket
            .map_or(self.keeper_bore, |pocket| pocket.diameter());
        let pressed = half_ring_centroid(self.carriage_diameter / 2.0, hole / 2.0);
        Plate {
            part,
            what: "the keeper's plug in bending",
            section: Bar {
                width: width.min(walls),
                height: self.keeper_plug - pocket,
            },
            pocket,
            lever: (self.keeper_pin_offset - pressed).abs(),
            called: "its plug",
            key: key::KEEPER_PLUG.name(),
        }
    }

    /// The rails that the slots leave of the frame, which the keeper's pins pull at.
    pub(in crate::layout) fn rails(&self, kit: &Kit, part: PartId) -> Leg {
        let rail = Rail {
            side: self.frame_side,
            bore: self.guide(),
            slot: self.slot_width(),
            walls: kit
                .perimeters_of(&kit.perimeters.frame)
                .thickness(*kit.line),
        };
        let pin = LyingPin { diameter: self.pin };
        let inner = rail.inner_edge(self.keeper_pin_offset);
        let whole = Rail {
            walls: SOLID,
            ..rail
        }
        .area()
        .as_square_mm();
        let holes = 2.0 * self.pin.as_mm() * (self.frame_side / 2.0 - inner).as_mm();
        let left = (whole - holes).max(whole * LEAST_LEFT);
        Leg {
            part,
            what: "the frame's rails, across their layers",
            section: LegSection::Rail(rail),
            at: inner + pin.bedding_length() / 2.0,
            weakened: whole / left,
        }
    }

    /// The holes in the frame that the keeper's pins are pressed into; those with one gap once.
    pub(in crate::layout) fn frame_presses(
        &self,
        kit: &Kit,
        part: PartId,
        joints: [JointId; 2],
    ) -> Vec<Press> {
        let above = self.frame_length - self.keeper_pin_height;
        let half = self.frame_side / 2.0;
        let press = |joint| Press {
            part,
            joint,
            pin: self.pin,
            bought: kit.pins.buy.is_some(),
            outside: above.min(half - self.keeper_pin_offset) * 2.0,
            length: half - self.guide() / 2.0,
        };
        let [[one, _], [other, _]] = &self.gaps.keeper_pins;
        alike(joints, [one, other]).into_iter().map(press).collect()
    }

    /// The holes in the carriage that a layout's pins are pressed into, `beside` from the face.
    pub(in crate::layout) fn carriage_press(
        &self,
        kit: &Kit,
        part: PartId,
        joint: JointId,
        beside: Length,
    ) -> Press {
        Press {
            part,
            joint,
            pin: self.pin,
            bought: kit.pins.buy.is_some(),
            outside: beside * 2.0,
            length: self.frame_side / 2.0 - self.socket_diameter / 2.0,
        }
    }

    /// What guides the carriage.
    pub(in crate::layout) fn guide_of(&self, part: PartId, joint: JointId) -> Guide {
        Guide {
            part,
            joint,
            length: self.carriage_length - EDGE - BED_EDGE,
            edges: EDGE + BED_EDGE,
            across: self.carriage_diameter,
            ear_width: self.ear_width,
            ear_reach: self.reach(),
            key: key::CARRIAGE_LENGTH.name(),
        }
    }

    /// The hole through the keeper, between its pins.
    pub(in crate::layout) fn peephole(&self, part: PartId) -> Peephole {
        Peephole {
            part,
            called: "the hole through the keeper",
            diameter: self.keeper_bore,
            pins: self.pin,
            carriage: self.carriage_diameter,
            blame: vec![
                key::PINS_BUY.name(),
                key::PINS_DIAMETER.name(),
                key::DRIVE.name(),
            ],
        }
    }
}

/// Keys of a house's sizes that may bring pieces together which it would keep apart; a layout
/// puts those of its own screws in the middle.
pub(in crate::layout) fn meeting(own: &[KeyPath]) -> Vec<KeyPath> {
    let screw = [key::TAPPED_WALL.name(), key::DRIVE_THREAD.name()];
    let house = [
        key::CARRIAGE_DIAMETER.name(),
        key::CARRIAGE_LENGTH.name(),
        key::EAR_WIDTH.name(),
        key::FRAME_SIDE.name(),
        key::KEEPER_PLUG.name(),
        key::THREAD_ROOM.name(),
    ];
    [&screw, own, &house].concat()
}

/// Of two joints that are drawn alike one, else both.
pub(in crate::layout) fn alike(joints: [JointId; 2], gaps: [&JointGapDrawn; 2]) -> Vec<JointId> {
    let [one, other] = joints;
    match gaps[0].gap == gaps[1].gap {
        true => vec![one],
        false => vec![one, other],
    }
}

/// The drive head must not meet the frame.
pub(in crate::layout) fn head_and_frame(drive: &DriveThread, part: PartId) -> Distance {
    Distance {
        part,
        between: "the drive head and the frame",
        at_zero: drive.head_gap(0.0),
        per_turn: Length::ZERO - drive.thread.lead(),
        lead: drive.thread.lead(),
        blame: vec![
            key::DRIVE_THREAD.name(),
            key::TAPPED_WALL.name(),
            key::STROKE.name(),
        ],
    }
}

/// The drive screw is turned back from touching.
pub(in crate::layout) fn drive_start(
    drive: &DriveThread,
    stroke: &Stroke,
    part: PartId,
) -> TouchStart {
    TouchStart {
        part,
        way: drive.head_gap(stroke.assembly_turn),
        hidden_by: HEAD_LAYERS,
        wrong_way: (drive.thread.starts() > 1).then(|| drive.thread.pitch()),
        key: key::DRIVE.name(),
    }
}

/// Distance of the centroid of half a ring from its diameter.
fn half_ring_centroid(outer: Length, inner: Length) -> Length {
    let (outer, inner) = (outer.as_mm(), inner.as_mm());
    let cubes = outer * outer * outer - inner * inner * inner;
    Length::mm(4.0 / (3.0 * PI) * cubes / (outer * outer - inner * inner))
}
