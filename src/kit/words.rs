//! Words of which a key of a kit takes one.

use super::{End, Grip, Mount};
use crate::assembly::{Slender, Turning};
use crate::declared::Words;
use crate::strength::Material;

/// The layouts that a kit may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayoutKind {
    /// Drive screw and carriage on a swivel.
    Single,
    /// Inner screw in the drive screw.
    Nested,
    /// One drive screw with a thick thread in the frame and a thin one in the carriage's nut.
    Tandem,
    /// Two shafts of opposite hands, two carriages.
    Opposed,
}

impl Words for LayoutKind {
    const NOUN: &'static str = "layout";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("nested", Self::Nested),
        ("single", Self::Single),
        ("tandem", Self::Tandem),
        ("opposed", Self::Opposed),
    ];
}

impl Words for Turning {
    const NOUN: &'static str = "way to turn";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("clockwise", Self::Clockwise),
        ("counter-clockwise", Self::CounterClockwise),
    ];
}

impl Words for Grip {
    const NOUN: &'static str = "way to hold a pin";
    const KNOWN: &'static [(&'static str, Self)] = &[("ribs", Self::Ribs), ("wall", Self::Wall)];
}

impl Words for Slender {
    const NOUN: &'static str = "way to lay slender parts";
    const KNOWN: &'static [(&'static str, Self)] =
        &[("together", Self::Together), ("apart", Self::Apart)];
}

impl Words for Material {
    const NOUN: &'static str = "material";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("PLA", Self::Pla),
        ("PETG", Self::Petg),
        ("ABS", Self::Abs),
        ("ASA", Self::Asa),
    ];
}

impl Words for End {
    const NOUN: &'static str = "working end";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("flush", Self::Flush),
        ("ears", Self::Ears),
        ("jaw", Self::Jaw),
        ("rod", Self::Rod),
        ("press", Self::Press),
    ];
}

impl Words for Mount {
    const NOUN: &'static str = "mount";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("none", Self::None),
        ("foot", Self::Foot),
        ("1/4-20", Self::QuarterInch),
        ("M6", Self::M6),
    ];
}

/// Kind of a drive screw's head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum HeadKind {
    /// For a spanner.
    Hexagon,
    /// For fingers.
    Knob,
    /// For a bar through it.
    Tommy,
    /// With an arm.
    Crank,
}

impl Words for HeadKind {
    const NOUN: &'static str = "kind of head";
    const KNOWN: &'static [(&'static str, Self)] = &[
        ("hexagon", Self::Hexagon),
        ("knob", Self::Knob),
        ("tommy", Self::Tommy),
        ("crank", Self::Crank),
    ];
}

/// The word for a value.
pub(crate) fn word<T: Words + PartialEq>(value: T) -> &'static str {
    let known = T::KNOWN.iter().find(|(_, known)| *known == value);
    known.map_or("", |(word, _)| word)
}
