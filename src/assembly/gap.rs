//! The gap of a joint: what is asked for, what is drawn, and on which of its two faces.

use crate::units::Length;
use std::ops::Range;

/// A gap as it is asked for and as it is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// What should be there after printing.
    pub wanted: Length,
    /// What the mesh has.
    pub drawn: Length,
    /// How its two faces are made.
    pub mates: Mates,
    /// Radius of the curved faces between which it lies; zero between flat ones.
    pub radius: Length,
    /// How far the female's crush ribs stand out of its wall. The gap is then that at the tips
    /// of the ribs, and the wall is drawn by so much wider. `None` where the wall itself
    /// meets the male.
    pub ribs: Option<Length>,
}

impl Gap {
    /// How much of it is drawn on the female: all, unless that is bought.
    pub fn on_female(&self) -> Length {
        match self.mates.female {
            Source::Printed => self.drawn,
            Source::Bought => Length::ZERO,
        }
    }

    /// How much of it is drawn on the male: all where only that is printed.
    pub fn on_male(&self) -> Length {
        match (self.mates.male, self.mates.female) {
            (Source::Printed, Source::Bought) => self.drawn,
            (Source::Printed | Source::Bought, Source::Printed)
            | (Source::Bought, Source::Bought) => Length::ZERO,
        }
    }

    /// A gap between end faces, which lie on whole layers: drawn as wanted.
    pub fn flat(wanted: Length) -> Self {
        Self {
            wanted,
            drawn: wanted,
            mates: Mates::PRINTED,
            radius: Length::ZERO,
            ribs: None,
        }
    }
}

/// Where a part comes from, as far as its gap is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Off the printer, which moves its faces.
    Printed,
    /// From a shop, to size.
    Bought,
}

/// How a part stood on the bed where its gap is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lay {
    /// The axis of the joint upright.
    Upright,
    /// It lay down, and its crown may sag.
    Lying,
    /// Between flat walls that stood upright, one on either side of what goes in.
    Walls,
}

/// Where two mating parts come from, and how the female stood on the bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mates {
    /// What goes in.
    pub male: Source,
    /// What it goes into.
    pub female: Source,
    /// How the female stood.
    pub lay: Lay,
}

impl Mates {
    /// Both printed, the female upright.
    pub const PRINTED: Self = Self {
        male: Source::Printed,
        female: Source::Printed,
        lay: Lay::Upright,
    };
    /// The male bought, the female upright.
    pub const BOUGHT: Self = Self {
        male: Source::Bought,
        ..Self::PRINTED
    };
    /// Both printed, the female a hole that lay down.
    pub const LYING: Self = Self {
        lay: Lay::Lying,
        ..Self::PRINTED
    };
    /// The male bought, the female a hole that lay down.
    pub const BOUGHT_IN_LYING: Self = Self {
        male: Source::Bought,
        ..Self::LYING
    };
    /// Both printed, the female a slot between upright walls.
    pub const BETWEEN_WALLS: Self = Self {
        lay: Lay::Walls,
        ..Self::PRINTED
    };
    /// The male bought, the female a slot between upright walls.
    pub const BOUGHT_BETWEEN_WALLS: Self = Self {
        male: Source::Bought,
        ..Self::BETWEEN_WALLS
    };
    /// The male printed, the female bought, as a screw in a nut of steel.
    pub const IN_BOUGHT: Self = Self {
        female: Source::Bought,
        ..Self::PRINTED
    };

    /// How many of the two faces come off the printer.
    pub fn printed_faces(self) -> f64 {
        let printed = |source| f64::from(u8::from(source == Source::Printed));
        printed(self.male) + printed(self.female)
    }
}

/// Decimals of a gap in mm that a maker types: a micrometre.
const DECIMALS: usize = 3;
/// The same in inches: a quarter of a micrometre, so that what is typed is what was tried.
const INCH_DECIMALS: usize = 5;

/// What asks for a joint's gap, for messages about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The kind of fit (`thread`), or the joint (`drive/frame`) if it is asked for by itself.
    pub name: &'static str,
    /// Whether it is asked for this joint by itself.
    pub by_itself: bool,
    /// Where the kit's file says it; `None` where it does not.
    pub at: Option<Range<usize>>,
}

impl Asked {
    /// The key as a kit's file has it: `gaps.thread`.
    pub fn path(&self) -> String {
        match self.by_itself {
            true => Self::own_path(self.name),
            false => format!("gaps.{}", self.name),
        }
    }

    /// The key by which a joint of this name is asked for by itself: `gaps.joint."drive/frame"`.
    pub fn own_path(joint: &str) -> String {
        format!("gaps.joint.\"{joint}\"")
    }

    /// What to type for another gap: `gaps = { thread = "0.060 mm" }`, of an inch kit
    /// `gaps = { thread = "0.00236 in" }`.
    pub fn to_type(&self, wanted: Length, inches: bool) -> String {
        // Adding zero turns a negative one into a plain one.
        let value = match inches {
            false => format!("{:.DECIMALS$} mm", wanted.as_mm() + 0.0),
            true => format!("{:.INCH_DECIMALS$} in", wanted.as_inches() + 0.0),
        };
        match self.by_itself {
            true => format!("gaps = {{ joint = {{ \"{}\" = \"{value}\" }} }}", self.name),
            false => format!("gaps = {{ {} = \"{value}\" }}", self.name),
        }
    }
}
