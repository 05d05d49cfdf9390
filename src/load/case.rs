//! A kit with its design and its motion: what loads and checks look at.

use crate::kit::{KeyPath, Kit};
use crate::layout::{Design, Preload};
use crate::motion::StrokeRates;
use crate::printer::Profile;
use crate::strength::Plastic;
use crate::units::{Force, Length};
use crate::units_told;
use std::ops::Range;

/// What rules and forces look at.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// What is known of its printer.
    pub profile: &'a Profile,
    /// Its mechanism.
    pub design: &'a Design,
    /// How that moves, per turn in the direction of the stroke.
    pub rates: &'a StrokeRates,
}

impl Case<'_> {
    /// What its plastic bears: of the maker's own print where the profile has it.
    pub fn plastic(&self) -> Plastic {
        self.profile.plastic(*self.kit.material)
    }

    /// What the preload spring presses the carriage towards the drive head with, at its most; nothing
    /// without one.
    pub fn spring_force(&self) -> Force {
        let preload = self.design.members.preload.as_ref();
        preload.map_or(Force::ZERO, Preload::most)
    }

    /// Where the kit says the first thread that it says, from which all else follows.
    pub(crate) fn first_thread(&self) -> Option<Range<usize>> {
        let keys: Vec<KeyPath> = self.design.threads.iter().map(|pair| pair.key).collect();
        self.kit.place_of(&keys)
    }

    /// A length in the units of the kit's maker, to a hundredth of a millimetre.
    pub(crate) fn length(&self, length: Length) -> String {
        self.kit.told().length(length, 2)
    }

    /// A turn of the drive for people, who are told no signs: `turn 13.3`, `0.8 turns before
    /// turn 0`.
    pub(crate) fn turn(&self, turn: f64) -> String {
        units_told::turn(turn, 1)
    }
}
