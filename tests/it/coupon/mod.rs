//! Test pieces: sound as parts are, printable, and telling the printer's terms apart.

mod breaking;
mod matrix;
mod pieces;
mod wires;

use netlead::coupon::{Coupon, Extent, coupon};
use netlead::kit::Kit;
use netlead::layout::{Design, design};
use netlead::printer::Profile;

/// The kits that are shipped, and one with bought pins.
const KITS: [&str; 6] = [
    include_str!("../../../presets/desk-stage.toml"),
    include_str!("../../../presets/board-stop.toml"),
    include_str!("../../../presets/plain-stage.toml"),
    include_str!("../../kits/valid_hand_clamp.toml"),
    include_str!("../../../presets/fine-stop.toml"),
    include_str!("../../../presets/slide-copier.toml"),
];

fn kits() -> Vec<(Kit, Design, Profile)> {
    let made = |text: &&str| {
        let kit: Kit = text.parse().expect("a valid kit");
        let profile = Profile::untuned_for(&kit);
        let design = design(&kit, &profile).expect("it can be drawn");
        (kit, design, profile)
    };
    KITS.iter().map(made).collect()
}

fn of((kit, design, profile): &(Kit, Design, Profile), extent: Extent) -> Coupon {
    coupon(kit, design, profile, &extent).expect("a coupon")
}
