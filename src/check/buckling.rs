//! Screws that push bow out when they are long and thin.

use super::loads::{self, Borne, Loading, Place};
use super::{Case, Judge, Rule};
use crate::layout::End;
use crate::strength::{Column, PINNED_ENDS, Plastic, Round};
use crate::units::Length;

/// Rule: the pushed screws as a column.
pub(super) const RULE: Rule = Rule {
    id: "buckling",
    about: "the pushed screws bow out between frame and carriage",
    why: "A long thin screw that pushes bows out sideways, long before it would be crushed, and \
          grinds in its threads.",
    formula: "Euler's C pi^2 E / (l/k)^2 for a slender column, Johnson's Sy - (Sy l / (2 pi k))^2 / \
              (C E) for a stout one, times the area. l from the frame's tapped wall to the carriage \
              at the far stop, C = 1, the weaker of the inner screw's core and the drive screw's \
              tube for the whole length; E a third of a data sheet's, Sy the strength across \
              layers. Fails above that load, warns above half of it.",
    source: "columns (Shigley, 9th ed., eqs. 4-44 and 4-48, table 4-2); stiffness of upright \
             prints: measured bolts of PLA",
    mend: "take a thicker inner screw, or a shorter stroke",
    judge: Judge::Design(|case| loads::judge(case, places)),
};

/// From this share of the critical load a push is worth a warning: prints are neither straight
/// nor loaded in their middle (textbooks ask for 2 to 4; guess).
const NEAR: f64 = 0.5;

/// The screws as one column under a loading.
pub(super) fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Place> {
    let sizes = &case.design.sizes;
    let length = free_length(case);
    let (subject, what, sections) = match &sizes.end {
        End::Nested(nested) => {
            let tube = Round {
                outer: sizes.drive.minor_internal(),
                inner: nested.thread.major() + sizes.gaps.thread.drawn * 2.0,
            };
            let core = Round::solid(nested.thread.minor_internal());
            ("inner", "the screws towards bowing out", vec![core, tube])
        }
        End::Single(_) => {
            let core = Round::solid(sizes.drive.minor_internal());
            ("drive", "the drive screw towards bowing out", vec![core])
        }
    };
    let critical = sections.into_iter().map(|section| {
        let column = Column {
            length,
            area: section.area(),
            gyration: section.gyration(),
            ends: PINNED_ENDS,
        };
        column.critical_load(plastic.upright, plastic.column_stiffness())
    });
    let weakest = critical.reduce(|one, other| one.min(other));
    let place = |most| Place {
        subject: subject.into(),
        what,
        force: loading.push,
        borne: Borne::Push {
            found: loading.push,
            most,
        },
        near: NEAR,
        mend: "take a thicker screw (`inner`, `drive`) or a shorter `stroke`",
    };
    weakest.map(place).into_iter().collect()
}

/// From the tapped wall to the carriage at the far stop.
fn free_length(case: &Case<'_>) -> Length {
    let sizes = &case.design.sizes;
    sizes.keeper_face - sizes.carriage_length - sizes.tapped_wall
}
