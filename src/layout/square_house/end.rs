//! What the carriage of a square house works with: a lug or a jaw on its rib, above the frame, and a
//! fixed jaw on the keeper's flange where one carriage works alone.
//!
//! Drawn with the carriage, along z from its rear face, +y up; the carriage is printed lying, so that a
//! jaw wider than the rib leaves it at 45 degrees. The keeper stands on its flange.

use super::section::Section;
use super::{House, SLENDERNESS};
use crate::assembly::{Fastener, Outline, Perimeters, Placed, Pose, Solid};
use crate::kit::{self, Kit, Said};
use crate::layout::elements::{prism, under_bed};
use crate::layout::feature::bolt::{self, M4};
use crate::layout::proportions::*;
use crate::layout::recipe::Recipe;
use crate::units::Length;
use crate::units_told::Told;

/// Height of a lug or a jaw above the rib. Guess: a fingertip.
const HIGH: Length = Length::mm(14.0);
/// Its length along the screw. Guess: what bears a hand's push across its layers.
const LONG: Length = Length::mm(14.0);
/// Width of a jaw. Guess.
const JAW_WIDTH: Length = Length::mm(24.0);
/// A lug's bolt stands above the rib by this. Guess: half of the lug.
const BOLT_HIGH: Length = Length::mm(7.0);
/// How deep a lug or a jaw stands in the rib.
const EMBEDDED: Length = Length::mm(4.0);
/// Solids that are joined are drawn this much narrower than what they stand in.
pub(super) const WITHIN: Length = Length::mm(0.2);
/// Jaws of two carriages stand out of their inner faces by this: the carriages stop a millimetre apart at the
/// end of the stroke, and the jaws meet a tenth before.
const JAWS_FIRST: Length = Length::mm(0.45);
/// A jaw or a lug at the far end stands out of the carriage's face by this, so that no two faces lie
/// in one plane.
const OUT: Length = Length::mm(0.1);
/// The fixed jaw comes this much nearer to the carriage's than the keeper's plug does.
const JAW_FIRST: Length = Length::mm(0.4);
/// Flange of a keeper that carries a jaw. Guess.
const JAW_FLANGE: Length = Length::mm(8.0);
/// Behind a lug or a jaw the rib stands before the nut's pocket begins. Guess: two walls.
const BEFORE_POCKET: Length = Length::mm(2.0);
/// Below the bed, where a keeper that is joined of several solids is cut off.
const UNDER_BED: [Length; 3] = [Length::mm(2.0), Length::mm(1.5), Length::mm(1.0)];
/// What keeps a length that is rounded from falling short by rounding.
const HAIR: Length = Length::mm(0.01);

/// Which end of the carriage works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::layout) enum At {
    /// The rear one, as drawn: of two carriages both, which meet there.
    Rear,
    /// The one towards the keeper.
    Far,
}

/// What a carriage works with, sized.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct End {
    pub(in crate::layout) kind: Kind,
    pub(in crate::layout) at: At,
}

/// See [`End`]. A rod or a press has no place in a square house, and is refused where a kit is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::layout) enum Kind {
    /// Its bare face.
    Flush,
    /// A lug on the rib, with a bolt hole across.
    Lug,
    /// A jaw on the rib.
    Jaw,
}

impl End {
    pub(in crate::layout) fn new(kit: &Kit, at: At) -> Self {
        let kind = match *kit.end {
            kit::End::Flush | kit::End::Rod | kit::End::Press => Kind::Flush,
            kit::End::Ears => Kind::Lug,
            kit::End::Jaw => Kind::Jaw,
        };
        Self { kind, at }
    }

    /// How far beside the axis it is loaded, towards the slot.
    pub(in crate::layout) fn offset(&self, section: &Section) -> Length {
        match self.kind {
            Kind::Flush => Length::ZERO,
            Kind::Lug => section.rib_top() + BOLT_HIGH,
            Kind::Jaw => section.rib_top() + HIGH / 2.0,
        }
    }

    /// The carriage's length at the least: what its slenderness asks for, and that it is not tilted
    /// further than half of what would jam it: L / (2 mu) = 2 e.
    pub(in crate::layout) fn least_carriage(&self, section: &Section, friction: f64) -> Length {
        let slender = section.width * SLENDERNESS;
        match self.kind {
            Kind::Flush => slender,
            Kind::Lug | Kind::Jaw => {
                let upright = self.offset(section) * (4.0 * friction) + BED_EDGE * 2.0 + HAIR;
                slender.max(upright)
            }
        }
    }

    /// What of the carriage it takes beyond the wall before or behind the nut.
    pub(in crate::layout) fn beyond_wall(&self, wall: Length) -> Length {
        match self.kind {
            Kind::Flush => Length::ZERO,
            Kind::Lug | Kind::Jaw => (LONG + BEFORE_POCKET - wall).max(Length::ZERO),
        }
    }

    /// Thickness of the keeper's flange.
    pub(super) fn flange(&self) -> Length {
        match (self.kind, self.at) {
            (Kind::Jaw, At::Far) => JAW_FLANGE,
            (Kind::Flush | Kind::Lug | Kind::Jaw, _) => super::FLANGE,
        }
    }

    /// How much of the carriage is filled where the kit does not say: all with a lug or a jaw.
    pub(in crate::layout) fn carriage_walls(&self, kit: &Kit) -> Perimeters {
        match self.kind {
            Kind::Flush => kit.perimeters_of(&kit.perimeters.carriage),
            Kind::Lug | Kind::Jaw => solid_or(&kit.perimeters.carriage),
        }
    }

    /// The same of the keeper, with a fixed jaw.
    pub(in crate::layout) fn keeper_walls(&self, kit: &Kit) -> Perimeters {
        match (self.kind, self.at) {
            (Kind::Jaw, At::Far) => solid_or(&kit.perimeters.keeper),
            (Kind::Flush | Kind::Lug | Kind::Jaw, _) => kit.perimeters_of(&kit.perimeters.keeper),
        }
    }

    /// Whether a fixed jaw tips the keeper.
    pub(super) fn tips_keeper(&self) -> bool {
        matches!((self.kind, self.at), (Kind::Jaw, At::Far))
    }

    /// Its section at the rib's top, across the carriage's layers: width and length along the screw.
    pub(super) fn root(&self, section: &Section) -> Option<[Length; 2]> {
        match self.kind {
            Kind::Flush => None,
            Kind::Lug | Kind::Jaw => Some([section.rib() - WITHIN, LONG]),
        }
    }

    /// The fixed jaw's width, and how far its arm stands out of the flange.
    pub(super) fn fixed_root(&self, section: &Section) -> Option<[Length; 2]> {
        self.tips_keeper().then(|| {
            [
                JAW_WIDTH - WITHIN * 2.0,
                self.offset(section) - section.top(),
            ]
        })
    }

    /// How it shows on the carriage, for its mark; empty, or begun with a semicolon.
    pub(in crate::layout) fn mark(&self) -> &'static str {
        match self.kind {
            Kind::Flush => "",
            Kind::Lug => "; a lug with a bolt hole on its rib",
            Kind::Jaw => "; a jaw on its rib",
        }
    }

    /// Bolts of so many carriages' lugs, with their nuts and washers.
    pub(in crate::layout) fn fasteners(
        &self,
        told: Told,
        section: &Section,
        carriages: usize,
    ) -> Vec<Fastener> {
        match self.kind {
            Kind::Flush | Kind::Jaw => Vec::new(),
            Kind::Lug => bolt::of_ears(told, carriages, section.rib()),
        }
    }

    /// What it adds to the carriage, and the ways through that makes, drawn as that is.
    pub(super) fn of_carriage(&self, house: &House) -> (Vec<Placed>, Vec<Placed>, usize) {
        let length = house.carriage.length;
        let z = match self.at {
            At::Rear => [-JAWS_FIRST, LONG],
            At::Far => [length - LONG, length + OUT],
        };
        let section = &house.section;
        match self.kind {
            Kind::Flush => (Vec::new(), Vec::new(), 0),
            Kind::Lug => {
                let lug = on_rib(section, section.rib(), z);
                let [from, to] = z;
                let hole = Outline::Circle { diameter: M4.hole };
                // Local z along x.
                let pose = Pose::axes([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]).shifted(
                    Length::ZERO,
                    section.rib_top() + BOLT_HIGH,
                    (from + to) / 2.0,
                );
                let half = section.rib() / 2.0 + OVERCUT;
                let hole = Placed {
                    pose,
                    solid: prism(-half, half, hole),
                };
                (vec![lug], vec![hole], 1)
            }
            Kind::Jaw => (vec![on_rib(section, JAW_WIDTH, z)], Vec::new(), 0),
        }
    }

    /// The fixed jaw on the keeper, whose flange lies on the bed, turned over about x: what is joined,
    /// what cuts it off at the bed, and how far it is drawn below that.
    pub(super) fn of_keeper(&self, house: &House) -> (Vec<Placed>, Vec<Placed>, Length) {
        if !self.tips_keeper() {
            return (Vec::new(), Vec::new(), Length::ZERO);
        }
        let [body, under_arm, under_jaw] = UNDER_BED;
        let section = &house.section;
        let (near, far) = (section.rib_top(), section.rib_top() + HIGH);
        let arm = standing(
            [section.top() - EMBEDDED, far - WITHIN * 2.0],
            JAW_WIDTH - WITHIN * 2.0,
            -under_arm,
            JAW_FLANGE - WITHIN / 2.0,
        );
        let top = JAW_FLANGE + house.keeper_plug + self.rise();
        let jaw = standing([near, far], JAW_WIDTH, -under_jaw, top);
        let off = under_bed(far + section.outside_width());
        (vec![arm, jaw], vec![off], body)
    }

    /// How far the fixed jaw stands out beyond the plug.
    fn rise(&self) -> Length {
        JAW_FIRST
    }

    /// What of it shapes the carriage.
    pub(super) fn carriage_recipe(&self) -> Recipe {
        match self.kind {
            Kind::Flush => Vec::new(),
            Kind::Lug => vec![("lug", HIGH)],
            Kind::Jaw => vec![("jaw", HIGH)],
        }
    }

    /// And the keeper.
    pub(super) fn keeper_recipe(&self, section: &Section) -> Recipe {
        match self.tips_keeper() {
            false => Vec::new(),
            true => vec![("fixed jaw", section.rib_top())],
        }
    }
}

fn solid_or(said: &Option<Said<Perimeters>>) -> Perimeters {
    said.as_ref().map_or(Perimeters::Solid, |said| said.value)
}

/// A block on the rib, from its foot in it up; wider than the rib it leaves that at 45 degrees.
fn on_rib(section: &Section, width: Length, [from, to]: [Length; 2]) -> Placed {
    let rib = section.rib_top();
    let (neck, half) = ((section.rib() - WITHIN) / 2.0, (width - WITHIN) / 2.0);
    let flare = half - neck;
    // About a point from which all of the outline is seen.
    let centre = rib + flare / 2.0 + OVERCUT;
    let mut right = vec![[neck, rib - EMBEDDED]];
    if flare > WITHIN {
        right.extend([[neck, rib], [half, rib + flare]]);
    }
    right.extend([[half, rib + HIGH - BED_EDGE], [half - BED_EDGE, rib + HIGH]]);
    let left: Vec<_> = right.iter().rev().map(|[x, y]| [-*x, *y]).collect();
    let all = right.into_iter().chain(left);
    let outline = Outline::Polygon(all.map(|[x, y]| [x, y - centre]).collect());
    Placed {
        pose: Pose::shift(Length::ZERO, centre, Length::ZERO),
        solid: prism(from, to, outline),
    }
}

/// A block on the keeper's flange, from y to y as it stands in the assembly, which is turned over.
fn standing([from, to]: [Length; 2], width: Length, below: Length, top: Length) -> Placed {
    let outline = |set_in: Length| Outline::Rectangle {
        x: width - set_in * 2.0,
        y: to - from - set_in * 2.0,
    };
    Placed {
        pose: Pose::shift(Length::ZERO, (from + to) / -2.0, Length::ZERO),
        solid: Solid::Prism(vec![
            (below, outline(BED_EDGE)),
            (Length::ZERO, outline(BED_EDGE)),
            (BED_EDGE, outline(Length::ZERO)),
            (top, outline(Length::ZERO)),
        ]),
    }
}
