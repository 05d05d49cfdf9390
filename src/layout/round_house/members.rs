//! What of a round house carries load, and what its checks look at.

use super::House;
use super::added::WITHIN as JAW_WITHIN_EAR;
use super::end::End;
use super::pieces::{HouseParts, Started};
use super::press::Yoke;
use crate::assembly::{JointId, PartId, Perimeters};
use crate::kit::{KeyPath, Kit, key};
use crate::layout::gaps::JointGapDrawn;
use crate::layout::member::{
    Arm, Bent, Distance, Guide, HALF_EACH, Leg, LegSection, Peephole, Pin, Plate, Press,
    TouchStart, Way,
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
            uneven: self.uneven(),
            way: Way::Push,
            bent: Bent::BetweenHoles(self.beside_plug()),
        }
    }

    /// How many times its even share the worst section of a keeper pin bears: a fixed jaw tips the
    /// keeper about the edge of its flange on the side away from it, so that the pin next to the jaw
    /// holds W (e + A/2) / (xp + A/2), in two sections (derived, statics).
    fn uneven(&self) -> f64 {
        match &self.end {
            End::Flush | End::Ears(_) | End::Rod(_) | End::Press(_) => 1.0,
            End::Jaw(jaw) => {
                let edge = self.frame_side / 2.0;
                2.0 * ((jaw.offset() + edge) / (self.keeper_pin_offset + edge))
            }
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

    /// The keeper as a plate: pressed in its middle, and tipped by a jaw.
    pub(in crate::layout) fn plates(&self, kit: &Kit, part: PartId) -> Vec<Plate> {
        let tipped = match &self.end {
            End::Flush | End::Ears(_) | End::Rod(_) => None,
            End::Jaw(jaw) => Some(self.tipped(kit, part, jaw.offset())),
            End::Press(press) => Some(self.pulled(kit, part, &press.yoke)),
        };
        std::iter::once(self.plug(kit, part))
            .chain(tipped)
            .collect()
    }

    /// The plug at the pin next to the jaw, on which the jaw's whole push bends it. It has a wall on
    /// either side there; the flange, twice as thick as else, counts nothing, and makes up for the
    /// pin's hole in the middle of the plug's height.
    fn tipped(&self, kit: &Kit, part: PartId, offset: Length) -> Plate {
        let walls = self.keeper_walls(kit).thickness(*kit.line) * 2.0;
        let radius = self.guide() / 2.0 - self.gaps.keeper.drawn();
        let pocket = Pocket::depth_of(self.pocket.as_ref());
        Plate {
            part,
            what: "the keeper's plug, tipped by its jaw",
            section: Bar {
                width: (chord(radius, self.keeper_pin_offset) * 2.0).min(walls),
                height: self.keeper_plug - pocket,
            },
            pocket,
            share: 1.0,
            lever: offset - self.keeper_pin_offset,
            called: "its plug",
            key: key::KEEPER_PLUG.name(),
        }
    }

    /// The plug between the pins that hold it and the yoke's lips, which pull its wings outwards, half
    /// each: from pin to pin it is bent alike. The flange counts nothing.
    fn pulled(&self, kit: &Kit, part: PartId, yoke: &Yoke) -> Plate {
        let beside_hole = self.plug(kit, part).section.width;
        let at_pins = self.tipped(kit, part, yoke.lip());
        Plate {
            what: "the keeper's plug, bent by the yoke",
            section: Bar {
                width: at_pins.section.width.min(beside_hole),
                ..at_pins.section
            },
            share: HALF_EACH,
            ..at_pins
        }
    }

    /// A press: the keeper's wings where the plug ends, and the yoke, of which each side bears half.
    fn press(&self, kit: &Kit, parts: &HouseParts, yoke: &Yoke) -> Vec<Arm> {
        let walls = self.keeper_walls(kit).thickness(*kit.line) * 2.0;
        let side = |part, what, [width, height]: [Length; 2], lever, walls| Arm {
            part,
            what,
            section: Bar { width, height },
            across: false,
            lever,
            share: HALF_EACH,
            way: Way::Push,
            walls,
        };
        let wings = side(
            parts.keeper,
            "the keeper's wings where its plug ends",
            [yoke.wing_width().min(walls), self.flange() - JAW_WITHIN_EAR],
            yoke.lip() - self.guide() / 2.0,
            Some(key::PERIMETERS_KEEPER.name()),
        );
        let yoke = parts.yoke.into_iter().flat_map(|part| {
            [
                side(
                    part,
                    "the yoke's crossbar beside its hole",
                    yoke.crossbar(),
                    yoke.crossbar_lever(),
                    None,
                ),
                side(
                    part,
                    "the yoke's legs beside their grooves",
                    yoke.leg(),
                    yoke.leg_lever(),
                    None,
                ),
                side(
                    part,
                    "the yoke's lips",
                    yoke.lip_section(),
                    yoke.lip_lever(),
                    None,
                ),
            ]
        });
        std::iter::once(wings).chain(yoke).collect()
    }

    /// Ears, jaws and wings that stand out, and a yoke.
    pub(in crate::layout) fn arms(&self, kit: &Kit, parts: &HouseParts) -> Vec<Arm> {
        let [carriage, keeper] = [self.carriage_walls(kit), self.keeper_walls(kit)];
        let walls = |perimeters: Perimeters| perimeters.thickness(*kit.line) * 2.0;
        // Where the ears leave the round body.
        let body = chord(self.carriage_diameter / 2.0, self.ear_width / 2.0);
        match &self.end {
            End::Flush | End::Rod(_) => Vec::new(),
            End::Press(press) => self.press(kit, parts, &press.yoke),
            End::Ears(ears) => vec![Arm {
                part: parts.carriage,
                what: "the carriage's ears at their roots",
                section: Bar {
                    width: self.ear_width.min(walls(carriage)),
                    height: ears.thickness,
                },
                across: false,
                lever: ears.bolt - body,
                share: HALF_EACH,
                way: Way::Either,
                walls: Some(key::PERIMETERS_CARRIAGE.name()),
            }],
            End::Jaw(jaw) => vec![
                Arm {
                    part: parts.carriage,
                    what: "the carriage's jaw at its root",
                    section: Bar {
                        width: (self.ear_width - JAW_WITHIN_EAR).min(walls(carriage)),
                        height: jaw.root,
                    },
                    across: false,
                    lever: jaw.offset() - body,
                    share: 1.0,
                    way: Way::Push,
                    walls: Some(key::PERIMETERS_CARRIAGE.name()),
                },
                Arm {
                    part: parts.keeper,
                    what: "the keeper's jaw at its root",
                    section: Bar {
                        width: (jaw.width - JAW_WITHIN_EAR).min(walls(keeper)),
                        height: self.flange(),
                    },
                    across: false,
                    lever: jaw.offset() - self.frame_side / 2.0,
                    share: 1.0,
                    way: Way::Push,
                    walls: Some(key::PERIMETERS_KEEPER.name()),
                },
            ],
        }
    }

    /// How much of the carriage is filled: all of it where it carries ears or a jaw and the kit does
    /// not say.
    pub(in crate::layout) fn carriage_walls(&self, kit: &Kit) -> Perimeters {
        self.end.walls(kit, &kit.perimeters.carriage)
    }

    /// The same of the keeper, which carries the fixed jaw, or the wings of a press.
    pub(in crate::layout) fn keeper_walls(&self, kit: &Kit) -> Perimeters {
        match &self.end {
            End::Flush | End::Rod(_) | End::Ears(_) => kit.perimeters_of(&kit.perimeters.keeper),
            End::Jaw(_) => self.end.walls(kit, &kit.perimeters.keeper),
            End::Press(_) => kit
                .perimeters
                .keeper
                .as_ref()
                .map_or(Perimeters::Solid, |said| said.value),
        }
    }

    /// The plug that the carriage presses on between the keeper's pins.
    ///
    /// Beside the hole through its middle it has two legs, each with a wall on either side; what
    /// closes it above and below counts nothing.
    fn plug(&self, kit: &Kit, part: PartId) -> Plate {
        let walls = self.keeper_walls(kit).thickness(*kit.line) * 4.0;
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
            share: HALF_EACH,
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
            section: LegSection::Rail(rail.summed()),
            at: inner + pin.bedding_length() / 2.0,
            beside: self.end.offset(),
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

    /// Those that the index bar's pins are pressed into.
    pub(in crate::layout) fn index_presses(&self, started: &Started, frame: PartId) -> Vec<Press> {
        let index = self.index.iter().zip(&started.index);
        index
            .flat_map(|(index, pieces)| index.presses(pieces, frame))
            .collect()
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
            offset: self.end.offset(),
            key: key::CARRIAGE_LENGTH.name(),
        }
    }

    /// The hole through the keeper, between its pins; none where a rod stands in it.
    pub(in crate::layout) fn peepholes(&self, part: PartId) -> Vec<Peephole> {
        match &self.end {
            End::Flush | End::Ears(_) | End::Jaw(_) => vec![self.peephole(part)],
            End::Rod(_) | End::Press(_) => Vec::new(),
        }
    }

    fn peephole(&self, part: PartId) -> Peephole {
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

/// Half a circle's chord at a distance from its middle; nothing beyond it.
fn chord(radius: Length, beside: Length) -> Length {
    let (radius, beside) = (radius.as_mm(), beside.as_mm());
    Length::mm((radius * radius - beside * beside).max(0.0).sqrt())
}

/// Distance of the centroid of half a ring from its diameter.
fn half_ring_centroid(outer: Length, inner: Length) -> Length {
    let (outer, inner) = (outer.as_mm(), inner.as_mm());
    let cubes = outer * outer * outer - inner * inner * inner;
    Length::mm(4.0 / (3.0 * PI) * cubes / (outer * outer - inner * inner))
}
