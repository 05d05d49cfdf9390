//! The pins of a house: one part, printed in three grades, or bought.
//!
//! All pins of a house are alike, so what does not suit one place may suit another. Printed pins
//! come as drawn, a step thinner and a step thicker, and of each grade as many as the mechanism
//! takes: whatever the printer makes of walls and holes, one of three goes in and holds.

use super::build::{Builder, Name, Note};
use super::dowels::shop_words;
use super::pin::{self, Notches};
use super::proportions::*;
use super::recipe::Recipe;
use super::words::notched;
use crate::assembly::{Grade, Made, PartId, Perimeters};
use crate::kit::Kit;
use crate::units::Length;

/// A grade beside the one that is drawn.
pub(super) struct Sort {
    name: Name,
    /// Steps of [`GRADE_STEP`] by which its radius is greater.
    steps: f64,
    /// Notches across its back.
    pub(super) notches: usize,
}

/// The grade that is a step thinner.
pub(super) const THINNER: Sort = Sort {
    name: Name("pin-thinner", "thinner pin"),
    steps: -1.0,
    notches: 1,
};

/// The grade that is a step thicker.
pub(super) const THICKER: Sort = Sort {
    name: Name("pin-thicker", "thicker pin"),
    steps: 1.0,
    notches: 2,
};

/// Whether pins come in grades.
pub(super) fn graded(kit: &Kit) -> bool {
    kit.pins.buy.is_none() && *kit.pins.grades
}

/// The pins of a house.
#[derive(Clone, Copy)]
pub(super) struct Pins {
    /// dp.
    pub(super) diameter: Length,
    /// From face to face of what they go through.
    pub(super) span: Length,
    /// How much of any pin lies in the wall by which it went in, at the least.
    pub(super) in_first_wall: Length,
}

impl Pins {
    /// Length of each.
    pub(super) fn length(&self) -> Length {
        self.span - BELOW_FACE * 2.0
    }

    /// The part of every pin, with its grades where it has some.
    pub(super) fn part(&self, kit: &Kit, build: &mut Builder) -> PartId {
        let bought = kit.pins.buy.is_some();
        let mark = match (bought, graded(kit)) {
            (true, _) => "all pins are alike".into(),
            (false, false) => "one flat; all pins are alike".into(),
            (false, true) => format!("one flat, {}", notched(0)),
        };
        let part = self.as_drawn(Name::plain("pin"), bought, mark, build);
        if !graded(kit) {
            build.spares(part, SPARE_PINS);
            return part;
        }
        for sort in [THINNER, THICKER] {
            self.grade(kit, part, sort, build);
        }
        part
    }

    /// The part of a pin of its own, which is too short for the notches of grades: to buy, where the
    /// kit has pins bought and it is as thick as those.
    pub(super) fn own_part(&self, name: Name, bought: bool, build: &mut Builder) -> PartId {
        let mark = match bought {
            true => "the shorter one",
            false => "the shorter one; one flat",
        };
        let part = self.as_drawn(name, bought, mark.into(), build);
        build.spares(part, SPARE_PINS);
        part
    }

    fn as_drawn(&self, name: Name, bought: bool, mark: String, build: &mut Builder) -> PartId {
        let length = self.length();
        let (made, shape) = match bought {
            true => (
                Made::Bought(shop_words(self.diameter, length)),
                pin::round(self.diameter, length),
            ),
            false => (Made::Printed, pin::shape(self.diameter, length)),
        };
        let recipe = vec![
            ("diameter", self.diameter),
            ("side of the frame", self.span),
        ];
        build.part(name, made, shape, note(mark, recipe))
    }

    fn grade(&self, kit: &Kit, of: PartId, sort: Sort, build: &mut Builder) {
        let shift = GRADE_STEP * sort.steps;
        let diameter = self.diameter + shift * 2.0;
        let notches = self.notches(kit, sort.notches);
        let mark = format!("one flat, {}", notched(sort.notches));
        let note = note(mark, self.grade_recipe(diameter, &notches));
        let shape = pin::notched(diameter, self.length(), &notches);
        let grade = Grade {
            of,
            shift,
            notches: sort.notches,
        };
        build.grade(sort.name, shape, note, grade);
    }

    fn grade_recipe(&self, diameter: Length, notches: &Notches) -> Recipe {
        const PLACES: [&str; 2] = ["first notch from the end", "second notch from the end"];
        let mut recipe = vec![
            ("diameter", diameter),
            ("side of the frame", self.span),
            ("depth of its notches", notches.depth),
        ];
        recipe.extend(PLACES.into_iter().zip(notches.places_from_end(diameter)));
        recipe
    }

    /// Notches near the end that goes in last. Both grades' are alike, and two of them end before
    /// the pin leaves the wall that it went in by: what it carries is on the other side of there.
    fn notches(&self, kit: &Kit, count: usize) -> Notches {
        let land = *kit.line * NOTCH_LAND_LINES;
        let room = self.in_first_wall - pin::lead_in(self.diameter + GRADE_STEP * 2.0) - land * 2.0;
        let wanted = (*kit.line * NOTCH_LINES).min(self.diameter * NOTCH_PER_PIN);
        Notches {
            count,
            land,
            // Two of them, each twice as wide as it is deep.
            depth: wanted.min(room / 4.0),
        }
    }
}

fn note(mark: String, recipe: Recipe) -> Note {
    Note {
        perimeters: Perimeters::Solid,
        stands: "lying on its flat".into(),
        more: "",
        mark,
        recipe,
        // Too slender for letters.
        panels: Vec::new(),
    }
}
