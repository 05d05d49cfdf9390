//! What of a square house carries load, and what its checks look at.

use super::end::Kind;
use super::pieces::Started;
use super::{FRAME_WALL, House};
use crate::assembly::{JointId, PartId, Perimeters};
use crate::kit::{KeyPath, Kit, Nut, key};
use crate::layout::member::{
    Arm, Bent, Captive, Guide, HALF_EACH, Leg, LegSection, Pin, Plate, Press, Way,
};
use crate::layout::proportions::*;
use crate::strength::{Bar, Cheek, LyingPin};
use crate::units::Length;
use std::f64::consts::PI;

/// Share of a wall that its pin holes leave at the least. Guess: it keeps the stress finite where
/// pins as wide as the wall could not be drawn anyway.
const LEAST_LEFT: f64 = 0.05;

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
            bent: Bent::BetweenHoles(self.gaps.keeper.drawn()),
        }
    }

    /// How many times its even share the worst section of a keeper pin bears: a fixed jaw tips the
    /// keeper about the lower edge of its flange, so that the pin next to the jaw holds W (e + yu) / (kp
    /// + yu), in two sections (derived, statics).
    fn uneven(&self) -> f64 {
        let edge = self.section.below;
        let at = self.end.offset(&self.section);
        match self.end.tips_keeper() {
            true => 2.0 * ((at + edge) / (self.keeper_pins + edge)),
            false => 1.0,
        }
    }

    /// The keeper as a plate: pressed in its middle, and tipped by a jaw.
    pub(in crate::layout) fn plates(&self, kit: &Kit, part: PartId) -> Vec<Plate> {
        let tipped = self.end.tips_keeper().then(|| self.tipped(kit, part));
        std::iter::once(self.plug(kit, part))
            .chain(tipped)
            .collect()
    }

    /// The plug at the pin next to the jaw, on which the jaw's whole push bends it, between a wall on
    /// either side.
    fn tipped(&self, kit: &Kit, part: PartId) -> Plate {
        let walls = self.end.keeper_walls(kit).thickness(*kit.line) * 2.0;
        let section = &self.section;
        // Its roof closes at 45 degrees.
        let roof = section.channel_side() - (self.keeper_pins - section.roof).max(Length::ZERO);
        Plate {
            part,
            what: "the keeper's plug, tipped by its jaw",
            section: Bar {
                width: (roof * 2.0).min(walls),
                height: self.plug_behind_spring(),
            },
            pocket: self.keeper_plug - self.plug_behind_spring(),
            share: 1.0,
            lever: self.end.offset(section) - self.keeper_pins,
            called: "its plug",
            key: key::KEEPER_PLUG.name(),
        }
    }

    /// Lugs and jaws that stand out.
    pub(in crate::layout) fn arms(&self, kit: &Kit, carriage: PartId, keeper: PartId) -> Vec<Arm> {
        let section = &self.section;
        let walls = |perimeters: Perimeters| perimeters.thickness(*kit.line) * 2.0;
        let at = self.end.offset(section);
        let moving = self.end.root(section).map(|[width, length]| Arm {
            part: carriage,
            what: "what stands on the carriage's rib",
            section: Bar {
                width: width.min(walls(self.end.carriage_walls(kit))),
                height: length,
            },
            across: true,
            lever: at - section.rib_top(),
            share: 1.0,
            way: Way::Either,
            walls: Some(key::PERIMETERS_CARRIAGE.name()),
        });
        let fixed = self.end.fixed_root(section).map(|[width, lever]| Arm {
            part: keeper,
            what: "the keeper's jaw at its root",
            section: Bar {
                width: width.min(walls(self.end.keeper_walls(kit))),
                height: self.flange(),
            },
            across: false,
            lever,
            share: 1.0,
            way: Way::Push,
            walls: Some(key::PERIMETERS_KEEPER.name()),
        });
        moving.into_iter().chain(fixed).collect()
    }

    /// The stop pin, sheared on both sides of the carriage, which presses on it beside the walls
    /// first: it bends away in the middle.
    pub(in crate::layout) fn stop(&self, kit: &Kit, part: PartId) -> Pin {
        Pin {
            part,
            called: "the stop pin",
            diameter: self.pin,
            bought: kit.pins.buy.is_some(),
            sections: 2,
            uneven: 1.0,
            way: Way::Pull,
            // The gap beside the carriage, and its broken edge.
            bent: Bent::BetweenHoles(self.section.slide + BED_EDGE),
        }
    }

    /// The plug that the carriage presses on between the keeper's pins: on both sides of the bore a
    /// leg with a wall on either side.
    pub(in crate::layout) fn plug(&self, kit: &Kit, part: PartId) -> Plate {
        let walls = self.end.keeper_walls(kit).thickness(*kit.line) * 4.0;
        let width = self.section.channel_side() * 2.0 - self.keeper_bore;
        Plate {
            part,
            what: "the keeper's plug in bending",
            section: Bar {
                width: width.min(walls),
                height: self.plug_behind_spring(),
            },
            share: HALF_EACH,
            pocket: self.keeper_plug - self.plug_behind_spring(),
            lever: (self.keeper_pins - self.pressed_at()).abs(),
            called: "its plug",
            key: key::KEEPER_PLUG.name(),
        }
    }

    /// From the axis to the centroid of what half of the carriage's face presses with: a rectangle
    /// beside the bore, as high as the lower of floor and roof.
    fn pressed_at(&self) -> Length {
        let width = self.section.width.as_mm();
        let height = (-self.section.floor).min(self.section.foot()).as_mm();
        // Around a spring's pocket only its ring presses.
        let hole = self
            .spring
            .map_or(self.keeper_bore, |spring| spring.diameter());
        let bore = hole.as_mm() / 2.0;
        let area = width * height - PI / 2.0 * bore * bore;
        let first = width * height * height / 2.0 - 2.0 / 3.0 * bore * bore * bore;
        Length::mm(first / area)
    }

    /// The frame's sides, which the keeper's pins pull at.
    pub(in crate::layout) fn cheeks(&self, kit: &Kit, part: PartId) -> Leg {
        let cheek = Cheek {
            thickness: FRAME_WALL,
            height: self.section.height(),
            inner: self.section.channel_side(),
            walls: kit
                .perimeters_of(&kit.perimeters.frame)
                .thickness(*kit.line),
        };
        let pin = LyingPin { diameter: self.pin };
        let holes = (self.pin * 2.0 / self.section.height()).min(1.0 - LEAST_LEFT);
        Leg {
            part,
            what: "the frame's sides, across their layers",
            section: LegSection::Cheek(cheek),
            at: self.section.channel_side() + (pin.bedding_length() / 2.0).min(FRAME_WALL / 2.0),
            beside: self.beside_cheeks(),
            weakened: 1.0 / (1.0 - holes),
        }
    }

    /// From the middle of the frame's sides to where its working end is loaded.
    fn beside_cheeks(&self) -> Length {
        let middle = (self.section.top() - self.section.below) / 2.0;
        match self.end.kind {
            Kind::Flush => Length::ZERO,
            Kind::Lug | Kind::Jaw => self.end.offset(&self.section) - middle,
        }
    }

    /// The holes in the frame that pins are pressed into; those that are drawn alike once.
    pub(in crate::layout) fn frame_presses(
        &self,
        kit: &Kit,
        part: PartId,
        [one, other, stop]: [JointId; 3],
    ) -> Vec<Press> {
        let press = |joint, cover: Length| Press {
            part,
            joint,
            pin: self.pin,
            bought: kit.pins.buy.is_some(),
            outside: cover * 2.0,
            length: FRAME_WALL,
        };
        let keeper = (self.plug_behind_spring() / 2.0).min(self.section.top() - self.keeper_pins);
        let [stop_y, _] = self.stop_pin();
        let mut presses = vec![press(one, keeper)];
        let [[first, _], [second, _]] = &self.gaps.keeper_pins;
        if first.gap != second.gap {
            presses.push(press(other, keeper));
        }
        presses.push(press(stop, self.section.below + stop_y));
        presses
    }

    /// Those that the index bar's pins are pressed into.
    pub(in crate::layout) fn index_presses(&self, started: &Started, frame: PartId) -> Vec<Press> {
        let index = self.index.iter().zip(&started.index);
        index
            .flat_map(|(index, pieces)| index.presses(pieces, frame))
            .collect()
    }

    /// What guides the carriage: its sides, from the floor to where the roof begins.
    pub(in crate::layout) fn guide_of(&self, part: PartId, joint: JointId) -> Guide {
        let section = &self.section;
        Guide {
            part,
            joint,
            length: self.carriage.length - BED_EDGE * 2.0,
            edges: BED_EDGE * 2.0,
            across: section.width,
            ear_width: section.width,
            // It may shift while it turns, so that of a lower and an upper reach the mean counts.
            ear_reach: (section.roof - section.floor) / 2.0,
            offset: self.end.offset(section),
            key: key::CARRIAGE_LENGTH.name(),
        }
    }

    /// The nut, which turns in its pocket until a flat's corners touch both sides.
    pub(in crate::layout) fn captive(&self, nut: &Nut, joint: JointId) -> Captive {
        let across_flats = self.nut.across_flats;
        Captive {
            joint,
            across_flats,
            narrowest: match nut {
                Nut::Printed => across_flats,
                Nut::Bought(bought) => bought.least_across_flats,
            },
        }
    }
}

/// Keys of a house's sizes that may bring pieces together which it would keep apart; a layout
/// puts those of its own screws in the middle.
pub(in crate::layout) fn meeting(own: &[KeyPath]) -> Vec<KeyPath> {
    let screw = [key::TAPPED_WALL.name(), key::DRIVE_THREAD.name()];
    let house = [
        key::NUT_HEIGHT.name(),
        key::CARRIAGE_LENGTH.name(),
        key::CARRIAGE_WIDTH.name(),
        key::KEEPER_PLUG.name(),
        key::THREAD_ROOM.name(),
    ];
    [&screw, own, &house].concat()
}
