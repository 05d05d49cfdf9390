//! Keys that only some layouts have a use for. The second threads, `inner` and `thin`, are in
//! `second.rs`.

use super::key;
use super::words::LayoutKind;
use crate::declared::Words;

/// What only some layouts have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Owned {
    /// A second screw in the bore of the drive screw.
    InnerScrew,
    /// The tip of the drive screw, that turns in the carriage.
    Swivel,
    /// A square frame around a round carriage with two ears.
    RoundHouse,
    /// A frame that is open on top, around a carriage as wide as it.
    SquareHouse,
    /// A thin thread on the end of the drive screw.
    ThinEnd,
    /// A nut in a pocket of the carriage.
    HeldNut,
    /// The same, where it may be bought: none is sold for a left-hand thread.
    BoughtNut,
    /// A tapped wall of the frame, and the drive screw's thread in it.
    TappedWall,
}

/// The keys that say something of what only some layouts have.
const KEYS: [(&str, Owned); 15] = [
    (key::INNER_THREAD.path, Owned::InnerScrew),
    (key::BORE.path, Owned::InnerScrew),
    (key::COLLAR.path, Owned::InnerScrew),
    (key::PERIMETERS_INNER.path, Owned::InnerScrew),
    (key::GAP_SWIVEL.path, Owned::Swivel),
    (key::CARRIAGE_DIAMETER.path, Owned::RoundHouse),
    (key::EAR_WIDTH.path, Owned::RoundHouse),
    (key::FRAME_SIDE.path, Owned::RoundHouse),
    (key::CARRIAGE_WIDTH.path, Owned::SquareHouse),
    (key::THIN_THREAD.path, Owned::ThinEnd),
    (key::NUT.path, Owned::BoughtNut),
    (key::TAPPED_WALL.path, Owned::TappedWall),
    (key::DRIVE_THREAD.path, Owned::TappedWall),
    (key::NUT_HEIGHT.path, Owned::HeldNut),
    (key::PERIMETERS_NUT.path, Owned::HeldNut),
];

/// What a layout has of these.
const fn of(layout: LayoutKind) -> &'static [Owned] {
    match layout {
        LayoutKind::Single => &[Owned::Swivel, Owned::RoundHouse, Owned::TappedWall],
        LayoutKind::Nested => &[Owned::InnerScrew, Owned::RoundHouse, Owned::TappedWall],
        LayoutKind::Tandem => &[
            Owned::SquareHouse,
            Owned::ThinEnd,
            Owned::HeldNut,
            Owned::BoughtNut,
            Owned::TappedWall,
        ],
        LayoutKind::Opposed => &[Owned::SquareHouse, Owned::HeldNut, Owned::Swivel],
    }
}

/// The keys that change nothing in a layout, each with a layout in which it does, if there is one.
pub(super) fn idle_in(
    layout: LayoutKind,
) -> impl Iterator<Item = (&'static str, Option<LayoutKind>)> {
    let idle = KEYS.into_iter();
    let idle = idle.filter(move |(_, owned)| !of(layout).contains(owned));
    idle.map(|(path, owned)| (path, user_of(owned)))
}

fn user_of(owned: Owned) -> Option<LayoutKind> {
    let mut layouts = LayoutKind::KNOWN.iter().map(|(_, layout)| *layout);
    layouts.find(|layout| of(*layout).contains(&owned))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_has_a_meaning_in_some_layout_and_none_in_another() {
        for (path, owned) in KEYS {
            let user = user_of(owned).unwrap_or_else(|| panic!("no layout uses {path}"));
            assert!(idle_in(user).all(|(idle, _)| idle != path));
            let mut layouts = LayoutKind::KNOWN.iter();
            assert!(
                layouts.any(|(_, layout)| !of(*layout).contains(&owned)),
                "{path}"
            );
        }
    }
}
