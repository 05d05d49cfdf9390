//! What of an opposed mechanism carries load, and what must keep apart.

use super::Opposed;
use super::pieces::Pieces;
use crate::assembly::{JointId, Perimeters};
use crate::kit::{Nut, key};
use crate::layout::member::{
    Bent, Distance, HALF_EACH, Leg, Members, Pin, Plate, Press, Rod, Strut, Twist, Way,
};
use crate::layout::proportions::*;
use crate::layout::square_house::section::FRAME_WALL;
use crate::strength::{Bar, Rings, Round};
use crate::units::Length;
use std::f64::consts::PI;

impl Opposed<'_> {
    /// What carries load.
    pub(super) fn members(&self, pieces: &Pieces) -> Members {
        let (kit, house) = (self.kit, &self.sizes.house);
        let parts = &pieces.parts;
        let mut members = Members {
            rods: self.rods(pieces),
            columns: vec![self.column(pieces)],
            pins: vec![self.coupling(pieces), house.keeper_pins(kit, parts.pin)],
            walls: Vec::new(),
            presses: self.presses(pieces),
            plates: vec![house.plug(kit, parts.keeper), self.retainer(pieces)],
            legs: vec![Leg {
                what: "the frame's sides",
                ..house.cheeks(kit, parts.frame)
            }],
            // What presses on both carriages alike goes round through both shafts, and nothing of it
            // through the collar. One carriage alone presses the collar on the wall, which then rubs
            // about as hard as the other thread would: it is the one or the other.
            collars: Vec::new(),
            guides: vec![
                house.guide_of(parts.carriage, pieces.near_slide),
                house.guide_of(parts.carriage, pieces.started.slide),
            ],
            captives: vec![
                house.captive(&Nut::Printed, pieces.near_pocket),
                house.captive(&Nut::Printed, pieces.started.pocket),
            ],
            arms: house.arms(kit, parts.carriage, parts.keeper),
            cranks: Vec::new(),
            pinned: Vec::new(),
            preload: None,
        };
        self.head.members(parts.near, self.walls(), &mut members);
        members
    }

    /// Of both shafts: what the kit says, else solid.
    pub(super) fn shaft_perimeters(&self) -> Perimeters {
        let said = self.kit.perimeters.drive.as_ref();
        said.map_or(Perimeters::Solid, |said| said.value)
    }

    fn walls(&self) -> Length {
        self.shaft_perimeters().thickness(*self.kit.line)
    }

    fn core(&self, far: bool) -> Rings {
        let half = match far {
            true => &self.sizes.far,
            false => &self.sizes.near,
        };
        let thread = &half.thread;
        Rings::under(thread.minor_internal(), thread.depth(), self.walls())
    }

    /// What the coupling pin's hole leaves of the spigot, as a solid bar of that area: what stands
    /// around the hole is all outline, so its walls count.
    fn spigot(&self) -> Rings {
        let coupling = &self.sizes.coupling;
        let hole = (coupling.pin + self.sizes.gaps.through.drawn() * 2.0).as_mm();
        let across = coupling.spigot.as_mm();
        let left = (PI / 4.0 * across * across - hole * across).max(0.0);
        let alike = Length::mm((left * 4.0 / PI).sqrt());
        match self.shaft_perimeters() {
            Perimeters::Solid => Rings::whole(Round::solid(alike)),
            Perimeters::Lines(_) => Rings::under(alike, Length::ZERO, self.walls()),
        }
    }

    /// Nothing pulls at the neck under the collar, which is no thinner than the core that bears as
    /// much torque.
    fn rods(&self, pieces: &Pieces) -> Vec<Rod> {
        let (near, far) = (pieces.parts.near, pieces.parts.far);
        let rod = |part, what, section, twist| Rod {
            part,
            what,
            section,
            way: Way::Either,
            twist,
        };
        vec![
            rod(
                near,
                "the drive screw's core, at the notch at its root across the layers",
                self.core(false),
                Twist::AtHead,
            ),
            rod(
                near,
                "the drive screw's spigot beside the coupling pin, across the layers",
                self.spigot(),
                Twist::PassedOn,
            ),
            rod(
                far,
                "the far shaft's core, at the notch at its root across the layers",
                self.core(true),
                Twist::PassedOn,
            ),
        ]
    }

    /// Both shafts between the nuts, while the carriages are pressed apart at the open end. The spigot
    /// is in its sleeve, which is thicker than either core.
    fn column(&self, pieces: &Pieces) -> Strut {
        let (near, far) = (&self.sizes.near, &self.sizes.far);
        Strut {
            part: pieces.parts.near,
            what: "the shafts towards bowing out",
            sections: vec![self.core(false), self.core(true)],
            length: far.nut.face - (near.nut.face + near.nut.height),
            threads: vec![key::DRIVE.name(), key::FAR.name()],
        }
    }

    /// The coupling pin: sheared on both sides of the spigot, by what pulls at it and by what turns
    /// it.
    fn coupling(&self, pieces: &Pieces) -> Pin {
        let coupling = &self.sizes.coupling;
        Pin {
            part: pieces.parts.coupling,
            called: "the coupling pin",
            diameter: coupling.pin,
            bought: self.coupling_is_bought(),
            sections: 2,
            uneven: 1.0,
            way: Way::Either,
            bent: Bent::Coupling {
                gap: self.sizes.gaps.sleeve.drawn(),
                radius: coupling.spigot / 2.0,
            },
        }
    }

    /// The slotted keeper as a plate between the cheeks, on which the collar presses beside the neck.
    fn retainer(&self, pieces: &Pieces) -> Plate {
        let bearing = &self.sizes.bearing;
        let [recess, groove] = bearing.recess;
        let [top, _] = bearing.retainer;
        let collar = (bearing.neck + bearing.collar) / 2.0;
        let walls = self
            .kit
            .perimeters_of(&self.kit.perimeters.keeper)
            .thickness(*self.kit.line)
            * 4.0;
        Plate {
            part: pieces.parts.retainer,
            what: "the slotted keeper in bending",
            section: Bar {
                width: (top + bearing.collar - bearing.neck).min(walls),
                height: bearing.collar - bearing.neck + super::sizes::COLLAR,
            },
            share: HALF_EACH,
            pocket: Length::ZERO,
            lever: (recess + groove) / 2.0 - collar,
            called: "the slotted keeper",
            key: key::DRIVE.name(),
        }
    }

    /// The holes that pins are pressed into; those in the frame that are drawn alike once.
    fn presses(&self, pieces: &Pieces) -> Vec<Press> {
        let (kit, house) = (self.kit, &self.sizes.house);
        let bought = kit.pins.buy.is_some();
        let press = |joint: JointId, cover: Length, length: Length| Press {
            part: pieces.parts.frame,
            joint,
            pin: house.pin,
            bought,
            outside: cover * 2.0,
            length,
        };
        let keeper = (house.keeper_plug / 2.0).min(house.section.top() - house.keeper_pins);
        let [one, other] = pieces.kept;
        let mut presses = vec![press(one, keeper, FRAME_WALL)];
        let [[first, _], [second, _]] = &house.gaps.keeper_pins;
        if first.gap != second.gap {
            presses.push(press(other, keeper, FRAME_WALL));
        }
        let bearing = &self.sizes.bearing;
        let [_, groove] = bearing.recess;
        let [retaining, _] = bearing.pin;
        let cheek = house.section.outside_width() / 2.0 - groove;
        presses.push(press(
            pieces.retaining_press,
            house.section.top() - retaining,
            cheek,
        ));
        let coupling = &self.sizes.coupling;
        let [start, _] = coupling.span;
        presses.push(Press {
            part: pieces.parts.far,
            joint: pieces.coupling_press,
            pin: coupling.pin,
            bought: self.coupling_is_bought(),
            outside: (coupling.pin_at - start) * 2.0,
            length: coupling.sleeve / 2.0 - coupling.socket,
        });
        presses
    }

    /// What must not meet before the carriages stop.
    pub(super) fn distances(&self, pieces: &Pieces) -> Vec<Distance> {
        let (sizes, parts) = (&self.sizes, &pieces.parts);
        let [start, end] = sizes.coupling.span;
        let bore = sizes.house.carriage.rear_bore;
        let length = sizes.house.carriage.length;
        let distance = |between, at_zero, lead: Length, thread| Distance {
            part: parts.carriage,
            between,
            at_zero,
            per_turn: Length::ZERO - lead,
            lead,
            blame: vec![key::CARRIAGE_LENGTH.name(), key::NUT_HEIGHT.name(), thread],
        };
        vec![
            distance(
                "the sleeve and the bottom of the near carriage's wide bore",
                start - (sizes.near.from + length - bore),
                sizes.near.thread.lead(),
                key::DRIVE.name(),
            ),
            distance(
                "the sleeve and the bottom of the far carriage's wide bore",
                sizes.far.from + bore - end,
                sizes.far.thread.lead(),
                key::FAR.name(),
            ),
        ]
    }

    /// Whether the coupling pin is a piece of what the kit has bought.
    pub(super) fn coupling_is_bought(&self) -> bool {
        let same = (self.sizes.coupling.pin - self.sizes.house.pin).abs() < EDGE / 1e6;
        self.kit.pins.buy.is_some() && same
    }
}
