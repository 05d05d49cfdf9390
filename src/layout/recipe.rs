//! What a part is made from, by name: so that a later kit can say why a part changed.
//!
//! Each list is written beside the sizes that it tells, and takes them apart field by field: a
//! size that is added there and not told here does not compile.

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
    ]
}

/// Of a hole that a pin is pressed into.
pub(super) fn press(gap: &Gap) -> Recipe {
    vec![
        ("press gap", gap.drawn),
        ("crush ribs", gap.ribs.unwrap_or(Length::ZERO)),
    ]
}
