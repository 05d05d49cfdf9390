//! Bolts that hold something to a part or a part to something: their holes, and nuts for them.

use crate::assembly::{Outline, Shape};
use crate::layout::elements::{here, prism};
use crate::units::Length;

/// A bolt, and the hole that it goes through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct Bolt {
    /// As shops call its thread.
    pub(in crate::layout) thread: &'static str,
    /// Diameter of its hole.
    pub(in crate::layout) hole: Length,
}

/// For ears of a carriage (ISO 273, medium series).
pub(in crate::layout) const M4: Bolt = Bolt {
    thread: "M4",
    hole: Length::mm(4.5),
};

/// For a foot (ISO 273, medium series).
pub(in crate::layout) const M5: Bolt = Bolt {
    thread: "M5",
    hole: Length::mm(5.5),
};

/// A hexagon nut to buy, at its largest, and the bolt that goes into it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::layout) struct HexNut {
    pub(in crate::layout) bolt: Bolt,
    /// Across its flats.
    pub(in crate::layout) across_flats: Length,
    pub(in crate::layout) height: Length,
    /// Major diameter of its thread.
    pub(in crate::layout) major: Length,
    /// What to ask for in a shop.
    pub(in crate::layout) stock: &'static str,
}

/// ASME B18.2.2, hex nuts; the hole is the close fit of ASME B18.2.8, from memory.
pub(in crate::layout) const QUARTER_INCH: HexNut = HexNut {
    bolt: Bolt {
        thread: "1/4-20 UNC",
        hole: Length::inches(0.266),
    },
    across_flats: Length::inches(0.438),
    height: Length::inches(0.226),
    major: Length::inches(0.25),
    stock: "hex nut 1/4-20 UNC, ASME B18.2.2, steel",
};

/// ISO 4032; the hole is of the medium series of ISO 273.
pub(in crate::layout) const M6: HexNut = HexNut {
    bolt: Bolt {
        thread: "M6",
        hole: Length::mm(6.6),
    },
    across_flats: Length::mm(10.0),
    height: Length::mm(5.2),
    major: Length::mm(6.0),
    stock: "hexagon nut ISO 4032 - M6 - 8",
};

impl HexNut {
    /// e, across its corners.
    pub(in crate::layout) fn corners(&self) -> Length {
        self.across_flats * (2.0 / 3f64.sqrt())
    }

    /// Along z from 0, two flats square to y; its thread is a plain hole.
    pub(in crate::layout) fn shape(&self) -> Shape {
        let hexagon = Outline::Hexagon {
            across_flats: self.across_flats,
        };
        let thread = Outline::Circle {
            diameter: self.major,
        };
        Shape {
            base: here(prism(Length::ZERO, self.height, hexagon)),
            within: Vec::new(),
            joined: Vec::new(),
            cut: vec![here(prism(
                -crate::layout::proportions::OVERCUT,
                self.height + crate::layout::proportions::OVERCUT,
                thread,
            ))],
            genus: 1,
        }
    }
}
