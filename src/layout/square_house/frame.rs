//! The frame: a square prism with a tapped end wall, a channel for the carriage with a slot on top,
//! and lying holes for the keeper's pins and the stop pin.
//!
//! Print frame: the outer end face of the tapped wall lies on the bed; it is the assembly's frame.
//! The channel goes straight up and widens at its end, so nothing needs support.

use super::House;
use super::section::Section;
use crate::assembly::{Outline, Placed, Pose, Shape, Solid};
use crate::layout::elements::{
    Along, Bore, Line, LyingHole, groove, here, prism, under_bed, v_marks,
};
use crate::layout::feature::foot::{self, Foot};
use crate::layout::gaps::JointGapDrawn;
use crate::layout::index::IndexBar;
use crate::layout::letters::Panel;
use crate::layout::proportions::*;
use crate::layout::recipe::{self, Recipe};
use crate::layout::stroke::DriveThread;
use crate::units::Length;

/// The bore and the channel make one way through it, each of three pins two through its walls, but
/// for the slot: the two ways along a pin meet in it.
const WAYS_THROUGH: usize = 7;

/// The sides of the axis on which the keeper's pins stand.
pub(in crate::layout) const PIN_SIDES: [f64; 2] = [-1.0, 1.0];

/// The frame's shape; pins go in at the +x side, which carries a V of its own.
pub(super) fn shape(house: &House, drive: &DriveThread) -> Shape {
    let (section, length) = (&house.section, house.frame_length());
    let mut cut = vec![here(bore(house, drive)), here(channel(house))];
    let pins = PIN_SIDES.into_iter().zip(&house.gaps.keeper_pins);
    let keeper = pins.map(|(side, [press, _])| {
        let place = [house.keeper_pins * side, house.keeper_pin_height()];
        pin_hole(house, place, press)
    });
    cut.extend(keeper.flatten());
    cut.extend(pin_hole(house, house.stop_pin(), &house.gaps.stop_pin));
    cut.extend(house.index.iter().flat_map(IndexBar::holes));
    let hand = drive.thread.hand();
    cut.extend(v_marks(hand, section.top(), Length::ZERO, house.wall));
    cut.push(side_mark(section.outside_width() / 2.0, length));
    let foot = house.foot();
    if let Some(foot) = foot {
        cut.extend(foot.holes());
        cut.push(under_bed(foot.half + foot::out() + foot.under));
    }
    let [below, _] = foot::UNDER_BED;
    let below = foot.map_or(Length::ZERO, |_| below);
    Shape {
        base: here(body(house, length, below)),
        within: Vec::new(),
        joined: foot.iter().flat_map(Foot::standing).collect(),
        cut,
        genus: WAYS_THROUGH + foot.map_or(0, |_| foot::WAYS_THROUGH),
    }
}

/// The underside between two heights, as it stands in the assembly.
pub(in crate::layout) fn panel(section: &Section, [from, to]: [Length; 2]) -> Panel {
    let width = section.outside_width() - UPRIGHT_EDGE * 2.0;
    let place = [Length::ZERO, -section.below, (from + to) / 2.0];
    let size = [to - from - BED_EDGE * 2.0, width];
    Panel::flat([0.0, -1.0, 0.0], [0.0, 0.0, 1.0], place, size)
}

/// What shapes it.
pub(super) fn recipe(house: &House, drive: &DriveThread) -> Recipe {
    let mut recipe = recipe::drive_thread(&drive.thread);
    let [[press, _], [other, _]] = &house.gaps.keeper_pins;
    let stop = &house.gaps.stop_pin;
    let section = &house.section;
    recipe.extend([
        ("thread gap", house.gaps.thread.drawn()),
        ("slide gap", section.slide),
    ]);
    recipe.extend(recipe::press(&press.gap));
    if other.gap != press.gap {
        recipe.push(("press gap of the second pin", other.drawn()));
        recipe.push(("crush ribs of the second pin", other.ribs()));
    }
    if stop.gap != press.gap {
        recipe.push(("press gap of the stop pin", stop.drawn()));
        recipe.push(("crush ribs of the stop pin", stop.ribs()));
    }
    let [stop_y, stop_z] = house.stop_pin();
    recipe.extend([
        ("pin's locating gap", house.gaps.way_in.drawn()),
        ("tapped wall", house.wall),
        ("carriage's width", section.width),
        ("channel's floor", section.floor),
        ("channel's roof", section.roof),
        ("underside", section.below),
        ("length", house.frame_length()),
        ("pin diameter", house.pin),
        ("pin offset", house.keeper_pins),
        ("pins' height", house.keeper_pin_height()),
        ("stop pin's depth", stop_y),
        ("stop pin's height", stop_z),
    ]);
    if house.footed {
        recipe.extend(Foot::recipe());
    }
    recipe.extend(house.index.iter().flat_map(IndexBar::frame_recipe));
    recipe
}

/// The prism, which stands on a broken edge; drawn on below the bed where it is cut off there.
fn body(house: &House, length: Length, below: Length) -> Solid {
    let section = &house.section;
    let under = (below > Length::ZERO).then(|| (-below, section.outside(BED_EDGE)));
    let levels = [
        (Length::ZERO, section.outside(BED_EDGE)),
        (BED_EDGE, section.outside(Length::ZERO)),
        (length, section.outside(Length::ZERO)),
    ];
    Solid::Prism(under.into_iter().chain(levels).collect())
}

/// The tapped hole, countersunk at both ends.
fn bore(house: &House, drive: &DriveThread) -> Solid {
    let tapped = house.tapped(drive);
    let (mouth, behind, wall) = (tapped.mouth(), tapped.behind(), house.wall);
    // Both cones go on beyond the faces, so that these cut them cleanly.
    Line::from(-OVERCUT, mouth + OVERCUT)
        .to(mouth - behind, behind)
        .to(wall - (mouth - behind), behind)
        .to(wall + OVERCUT, mouth + OVERCUT)
        .thread([-OVERCUT, wall + OVERCUT], tapped.form())
        .turned()
}

/// The channel, its mouth broken.
pub(in crate::layout) fn channel(house: &House) -> Solid {
    let section = &house.section;
    let (slide, top) = (section.slide, section.top() + OVERCUT);
    let (end, wide) = (house.frame_length(), slide + EDGE);
    Solid::Prism(vec![
        (house.wall, section.filled(slide, top)),
        (end - EDGE, section.filled(slide, top)),
        (end, section.filled(wide, top)),
        (end + OVERCUT, section.filled(wide + OVERCUT, top)),
    ])
}

/// A lying hole along x through both walls, at y and z.
fn pin_hole(house: &House, [y, z]: [Length; 2], press: &JointGapDrawn) -> Vec<Placed> {
    let hole = LyingHole {
        along: Along::X,
        beside: y,
        height: z,
        reach: house.section.outside_width() / 2.0,
        // Pressed on the side where x is negative, opposite to that where pins go in.
        sides: [press, &house.gaps.way_in].map(|gap| Bore::around(house.pin, &gap.gap)),
        mouth: EDGE,
    };
    hole.tools()
}

/// A V along the side where pins go in.
pub(in crate::layout) fn side_mark(face: Length, length: Length) -> Placed {
    let v: Outline = groove(1.0);
    // Local y to +x, which is where it opens.
    let pose = Pose::axes([0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]);
    Placed {
        pose: pose.shifted(face, Length::ZERO, Length::ZERO),
        solid: prism(-OVERCUT, length + OVERCUT, v),
    }
}
