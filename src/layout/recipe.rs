//! What a part is made from, by name: so that a later kit can say why a part changed.
//!
//! Each list is written beside the shape that it tells. Where a part has sizes of its own, the list
//! takes them apart field by field, so that one that is added there and not told does not compile;
//! of the rest a test asks that no mesh changes while its list stays.

use crate::assembly::Gap;
use crate::thread::Thread;
use crate::units::Length;

/// Names and values of everything that shapes a part.
pub(super) type Recipe = Vec<(&'static str, Length)>;

/// What every part tells of the drive screw's thread.
pub(super) fn drive_thread(thread: &Thread) -> Recipe {
    vec![
        ("drive thread's diameter", thread.major()),
        ("drive thread's lead", thread.signed_lead()),
        ("drive thread's pitch", thread.pitch()),
    ]
}

/// Of a hole that a pin is pressed into.
pub(super) fn press(gap: &Gap) -> Recipe {
    vec![
        ("press gap", gap.drawn),
        ("crush ribs", gap.ribs.unwrap_or(Length::ZERO)),
    ]
}
