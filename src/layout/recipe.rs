//! What each part is made from, by name: so that a later kit can say why a part changed.

use super::sizes::{End, Sizes};
use crate::units::Length;

/// Names and values of everything that shapes a part.
pub(super) type Recipe = Vec<(&'static str, Length)>;

/// What every threaded part shares.
fn thread(sizes: &Sizes) -> Recipe {
    vec![
        ("drive thread's diameter", sizes.drive.major()),
        ("drive thread's lead", sizes.drive.signed_lead()),
    ]
}

/// The frame's.
pub(super) fn frame(sizes: &Sizes) -> Recipe {
    let mut recipe = thread(sizes);
    recipe.extend([
        ("thread gap", sizes.gaps.thread.drawn),
        ("slide gap", sizes.gaps.slide.drawn),
        ("press gap", sizes.gaps.press.drawn),
        ("crush ribs", sizes.gaps.press.ribs.unwrap_or(Length::ZERO)),
        ("pin's locating gap", sizes.gaps.locate_pin.drawn),
        ("tapped wall", sizes.tapped_wall),
        ("side", sizes.frame_side),
        ("length", sizes.frame_length),
        ("shoulder", sizes.shoulder),
        ("carriage's diameter", sizes.carriage_diameter),
        ("ear width", sizes.ear_width),
        ("pin diameter", sizes.pin_diameter),
        ("pin offset", sizes.keeper_pin_offset),
    ]);
    recipe
}

/// The drive screw's.
pub(super) fn drive(sizes: &Sizes) -> Recipe {
    let mut recipe = thread(sizes);
    recipe.extend([
        ("thread length", sizes.drive_thread),
        ("thread end", sizes.thread_end),
        ("hexagon", sizes.across_flats),
        ("head height", sizes.head_height),
    ]);
    match &sizes.end {
        End::Nested(nested) => recipe.extend([
            ("inner thread's diameter", nested.thread.major()),
            ("inner thread's lead", nested.thread.signed_lead()),
            ("thread gap", sizes.gaps.thread.drawn),
            ("bore", nested.bore),
        ]),
        End::Single(tip) => recipe.extend([
            ("tip diameter", tip.diameter),
            ("groove radius", tip.groove_radius),
            ("tip length", tip.length),
        ]),
    }
    recipe
}

/// The carriage's.
pub(super) fn carriage(sizes: &Sizes) -> Recipe {
    let mut recipe = vec![
        ("diameter", sizes.carriage_diameter),
        ("length", sizes.carriage_length),
        ("ear width", sizes.ear_width),
        ("side of the frame", sizes.frame_side),
        ("socket diameter", sizes.socket_diameter),
        ("socket depth", sizes.socket_depth),
        ("pin diameter", sizes.pin_diameter),
        ("press gap", sizes.gaps.press.drawn),
        ("crush ribs", sizes.gaps.press.ribs.unwrap_or(Length::ZERO)),
        ("pin's locating gap", sizes.gaps.locate_pin.drawn),
    ];
    match &sizes.end {
        End::Nested(nested) => recipe.push(("cross hole", nested.head_height - nested.cross_hole)),
        End::Single(tip) => recipe.extend([
            ("pin offset", tip.pin_offset),
            ("pin depth", tip.groove_centre),
        ]),
    }
    recipe
}

/// The inner screw's; empty without one.
pub(super) fn inner(sizes: &Sizes) -> Recipe {
    match &sizes.end {
        End::Single(_) => Recipe::new(),
        End::Nested(nested) => vec![
            ("inner thread's diameter", nested.thread.major()),
            ("inner thread's lead", nested.thread.signed_lead()),
            ("thread length", nested.thread_length),
            ("place of its thread", nested.collar_face),
            ("collar", nested.collar),
            ("head height", nested.head_height),
            ("cross hole", nested.cross_hole),
            ("pin diameter", sizes.pin_diameter),
            ("pin's locating gap", sizes.gaps.locate_pin.drawn),
        ],
    }
}

/// The keeper's.
pub(super) fn keeper(sizes: &Sizes) -> Recipe {
    vec![
        ("side of the frame", sizes.frame_side),
        ("plug", sizes.keeper_plug),
        ("locating gap", sizes.gaps.locate.drawn),
        ("slide gap", sizes.gaps.slide.drawn),
        ("carriage's diameter", sizes.carriage_diameter),
        ("ear width", sizes.ear_width),
        ("hole", sizes.keeper_bore),
        ("pin diameter", sizes.pin_diameter),
        ("pin offset", sizes.keeper_pin_offset),
        ("pin's locating gap", sizes.gaps.locate_pin.drawn),
    ]
}

/// The pins'.
pub(super) fn pin(sizes: &Sizes) -> Recipe {
    vec![
        ("diameter", sizes.pin_diameter),
        ("side of the frame", sizes.frame_side),
    ]
}
