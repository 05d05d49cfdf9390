//! The frame: a prism with a bearing wall; on one side of it the channel of a square house, on the
//! other a recess for collar and slotted keeper.
//!
//! Drawn along z as it stands in the assembly; printed lying on its back, so that slot, recess and
//! grooves are open upwards, the channel's roof closes at 45 degrees and the bearing is a teardrop.

use super::Opposed;
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{Along, Bore, LyingHole, prism, v_marks};
use crate::layout::feature::foot::{self, Foot};
use crate::layout::gaps::JointGapDrawn;
use crate::layout::letters::Panel;
use crate::layout::proportions::*;
use crate::layout::recipe::{self, Recipe};
use crate::layout::square_house::frame::{PIN_SIDES, channel, panel, side_mark};
use crate::layout::square_house::section::Section;
use crate::units::Length;

/// The bearing, and of each of three pins a hole in either side.
const WAYS_THROUGH: usize = 7;

impl Opposed<'_> {
    /// Its shape; pins go in at the +x side, which carries a V of its own.
    pub(super) fn frame_shape(&self) -> Shape {
        let (sizes, house) = (&self.sizes, &self.sizes.house);
        let (section, length) = (&house.section, sizes.frame_length());
        let lying = self.lying();
        let placed = |solid| Placed { pose: lying, solid };
        let mut cut: Vec<Placed> = [self.groove(), self.bearing(), channel(house)]
            .into_iter()
            .map(placed)
            .collect();
        cut.push(Placed {
            pose: half_turn().then(&lying),
            solid: self.recess(),
        });
        let pins = PIN_SIDES.into_iter().zip(&house.gaps.keeper_pins);
        for (side, [press, _]) in pins {
            let place = [house.keeper_pins * side, house.keeper_pin_height()];
            cut.extend(self.pin_hole(place, press));
        }
        cut.extend(self.pin_hole(sizes.bearing.pin, &house.gaps.stop_pin));
        let hand = sizes.near.thread.hand();
        let mut marks = v_marks(hand, section.top(), sizes.bearing.face, house.wall);
        marks.push(side_mark(section.outside_width() / 2.0, length));
        cut.extend(marks.into_iter().map(|mark| Placed {
            pose: mark.pose.then(&lying),
            solid: mark.solid,
        }));
        let foot = house.foot();
        let laid = |placed: Placed| Placed {
            pose: placed.pose.then(&lying),
            solid: placed.solid,
        };
        if let Some(foot) = foot {
            cut.extend(foot.holes().into_iter().map(laid));
            cut.push(laid(foot.under_bed()));
        }
        Shape {
            base: placed(self.body(length)),
            within: Vec::new(),
            joined: foot.iter().flat_map(Foot::lying).map(laid).collect(),
            cut,
            genus: WAYS_THROUGH + foot.map_or(0, |_| foot::WAYS_THROUGH),
        }
    }

    /// What shapes it.
    pub(super) fn frame_recipe(&self) -> Recipe {
        let (sizes, house) = (&self.sizes, &self.sizes.house);
        let (section, bearing) = (&house.section, &sizes.bearing);
        let [[press, _], [other, _]] = &house.gaps.keeper_pins;
        let retaining = &house.gaps.stop_pin;
        let mut recipe = recipe::drive_thread(&sizes.near.thread);
        recipe.extend([
            ("slide gap", section.slide),
            ("swivel gap", sizes.gaps.collar.drawn()),
        ]);
        recipe.extend(recipe::press(&press.gap));
        if other.gap != press.gap {
            recipe.push(("press gap of the second pin", other.drawn()));
            recipe.push(("crush ribs of the second pin", other.ribs()));
        }
        if retaining.gap != press.gap {
            recipe.push(("press gap of the retaining pin", retaining.drawn()));
            recipe.push(("crush ribs of the retaining pin", retaining.ribs()));
        }
        let [[recess, groove], [from, to]] = [bearing.recess, bearing.groove];
        let [_, floor] = bearing.retainer;
        let [pin_y, pin_z] = bearing.pin;
        recipe.extend([
            ("pin's locating gap", house.gaps.way_in.drawn()),
            ("collar's face", bearing.face),
            ("bearing wall's end", house.wall),
            ("journal", bearing.journal),
            ("recess", recess),
            ("groove", groove),
            ("groove's floor", floor),
            ("groove's begin", from),
            ("groove's end", to),
            ("carriage's width", section.width),
            ("channel's floor", section.floor),
            ("channel's roof", section.roof),
            ("underside", section.below),
            ("length", sizes.frame_length()),
            ("pin diameter", house.pin),
            ("pin offset", house.keeper_pins),
            ("pins' height", house.keeper_pin_height()),
            ("retaining pin's height", pin_y),
            ("retaining pin's place", pin_z),
        ]);
        if house.footed {
            recipe.extend(Foot::recipe());
        }
        recipe
    }

    /// Its underside, on which it is printed, beyond the bearing wall.
    pub(super) fn frame_panel(&self) -> Panel {
        let house = &self.sizes.house;
        let z = [house.wall, self.sizes.frame_length()];
        panel(&house.section, z).then(&self.lying())
    }

    /// From where it is drawn along z to its underside on the bed, its length along -y.
    fn lying(&self) -> Pose {
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]).shifted(
            Length::ZERO,
            self.sizes.frame_length() / 2.0,
            self.sizes.house.section.below,
        )
    }

    /// From the print frame to the assembly.
    pub(super) fn frame_pose(&self) -> Pose {
        Pose::axes([1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]).shifted(
            Length::ZERO,
            -self.sizes.house.section.below,
            self.sizes.frame_length() / 2.0,
        )
    }

    fn body(&self, length: Length) -> Solid {
        let house = &self.sizes.house;
        let [below, _] = foot::UNDER_BED;
        // With a foot it goes on below the bed, where both are cut off.
        let section = Section {
            below: house.section.below + house.foot().map_or(Length::ZERO, |_| below),
            ..house.section
        };
        Solid::Prism(vec![
            (Length::ZERO, section.outside(BED_EDGE)),
            (BED_EDGE, section.outside(Length::ZERO)),
            (length - BED_EDGE, section.outside(Length::ZERO)),
            (length, section.outside(BED_EDGE)),
        ])
    }

    /// By which collar and neck go in; drawn upside down, its round floor above.
    fn recess(&self) -> Solid {
        let bearing = &self.sizes.bearing;
        let [radius, _] = bearing.recess;
        let top = self.sizes.house.section.top() + OVERCUT;
        let slot = Outline::Slotted {
            diameter: radius * 2.0,
            reach: top,
        };
        prism(-OVERCUT, bearing.face, slot)
    }

    /// In which the slotted keeper stands.
    fn groove(&self) -> Solid {
        let bearing = &self.sizes.bearing;
        let [_, side] = bearing.recess;
        let [_, floor] = bearing.retainer;
        let top = self.sizes.house.section.top() + OVERCUT;
        let [from, to] = bearing.groove;
        let corners = vec![[side, floor], [side, top], [-side, top], [-side, floor]];
        prism(from, to, Outline::Polygon(corners))
    }

    /// The journal's bore.
    fn bearing(&self) -> Solid {
        let bearing = &self.sizes.bearing;
        let diameter = (bearing.journal + self.sizes.gaps.collar.drawn()) * 2.0;
        let teardrop = Outline::Teardrop {
            diameter,
            ceiling: (diameter * (TEARDROP_CEILING / 2.0)).min(LONGEST_CEILING),
        };
        prism(
            bearing.face - OVERCUT,
            self.sizes.house.wall + OVERCUT,
            teardrop,
        )
    }

    /// A lying hole along x through both sides, at y and z of the assembly.
    fn pin_hole(&self, [y, z]: [Length; 2], press: &JointGapDrawn) -> Vec<Placed> {
        let house = &self.sizes.house;
        let hole = LyingHole {
            along: Along::X,
            beside: self.sizes.frame_length() / 2.0 - z,
            height: y + house.section.below,
            reach: house.section.outside_width() / 2.0,
            // Pressed on the side where x is negative, opposite to that where pins go in.
            sides: [press, &house.gaps.way_in].map(|gap| Bore::around(house.pin, &gap.gap)),
            mouth: EDGE,
        };
        hole.tools()
    }
}

/// About z: what was drawn upside down.
fn half_turn() -> Pose {
    Pose::axes([-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0])
}
