//! The mechanisms that a kit may ask for, each with the threads that it is made of.

use super::words::{LayoutKind, word};
use crate::declared::Said;
use crate::thread::Thread;
use crate::units::Length;

/// A mechanism with the threads that it is made of: what a layout needs is in its type.
#[derive(Clone, Debug)]
pub enum Mechanism {
    /// One screw; the carriage hangs on it by a swivel.
    Single(Single),
    /// A screw in the frame and another in its bore.
    Nested(Nested),
    /// One stepped drive screw: its thick thread in the frame, its thin one in the carriage's nut.
    Tandem(Tandem),
    /// Two shafts of opposite hands, which move two carriages against each other.
    Opposed(Opposed),
}

/// The threads of a single layout.
#[derive(Clone, Debug)]
pub struct Single {
    /// Of the drive screw in the frame.
    pub drive: Thread,
}

/// The threads of a nested layout.
#[derive(Clone, Debug)]
pub struct Nested {
    /// Of the drive screw in the frame.
    pub drive: Thread,
    /// Of the inner screw in the drive screw.
    pub inner: Thread,
}

/// The threads of a tandem layout, and its nut.
#[derive(Clone, Debug)]
pub struct Tandem {
    /// The thick one, in the frame.
    pub drive: Thread,
    /// The thin one behind it, in the nut.
    pub thin: Thread,
    /// What the carriage holds.
    pub nut: Nut,
}

/// The threads of an opposed layout; both nuts are printed.
#[derive(Clone, Debug)]
pub struct Opposed {
    /// Of the drive screw in the near carriage's nut.
    pub drive: Thread,
    /// Of the far shaft in the far carriage's nut.
    pub far: Thread,
}

/// The nut that a carriage holds.
#[derive(Clone, Debug)]
pub enum Nut {
    /// Printed with the other parts.
    Printed,
    /// Bought.
    Bought(BoughtNut),
}

/// A hexagon nut of a standard, of the same thread as the screw in it.
#[derive(Clone, Debug)]
pub struct BoughtNut {
    /// As it was written.
    pub written: Said<String>,
    /// What lays its sizes down: `ISO 4032` or `ASME B18.2.2`.
    pub standard: &'static str,
    /// Width across its flats, the greatest that the standard allows.
    pub across_flats: Length,
    /// The least that the standard allows.
    pub least_across_flats: Length,
    /// Height, the greatest that the standard allows.
    pub height: Length,
    /// Height, the least that the standard allows.
    pub least_height: Length,
}

impl Mechanism {
    /// The word by which a kit asks for it.
    pub fn word(&self) -> &'static str {
        word(self.kind())
    }

    /// Which layout it has.
    pub(super) fn kind(&self) -> LayoutKind {
        match self {
            Self::Single(_) => LayoutKind::Single,
            Self::Nested(_) => LayoutKind::Nested,
            Self::Tandem(_) => LayoutKind::Tandem,
            Self::Opposed(_) => LayoutKind::Opposed,
        }
    }
}
