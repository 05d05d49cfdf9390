//! Screws that push bow out when they are long and thin.

use super::rule::{Judge, Rule, Strength};
use crate::layout::Strut;
use crate::load::{Bearer, Borne, Case, Loading, Remedy, Stressed};
use crate::strength::{Column, PINNED_ENDS, Plastic};

/// Rule: the pushed screws as a column.
pub(super) const RULE: Rule = Rule {
    id: "buckling",
    about: "the pushed screws bow out between frame and carriage",
    why: "A long thin screw that pushes bows out sideways, long before it would be crushed, and \
          grinds in its threads.",
    formula: "Euler's C pi^2 E / (l/k)^2 for a slender column, Johnson's Sy - (Sy l / (2 pi k))^2 / \
              (C E) for a stout one, times the area. l from the frame's tapped wall to the carriage, \
              or to the nut in it, at the far stop, C = 1, the weakest of its pieces for the whole \
              length: the inner screw's core and the drive screw's tube, or the two cores of a \
              stepped screw; what their walls leave of each; E a third of a data sheet's, Sy the strength across \
              layers. Fails above that load, warns above half of it.",
    source: "columns (Shigley, 9th ed., eqs. 4-44 and 4-48, table 4-2); stiffness of upright \
             prints: measured bolts of PLA",
    mend: "take a thicker screw, or a shorter stroke",
    judge: Judge::Strength(Strength::of(places)),
};

/// From this share of the critical load a push is worth a warning: prints are neither straight
/// nor loaded in their middle (textbooks ask for 2 to 4; guess).
const NEAR: f64 = 0.5;

/// Columns under a loading, each as strong as the weakest of its sections.
fn places(case: &Case<'_>, plastic: &Plastic, loading: &Loading) -> Vec<Stressed> {
    let place = |strut: &Strut| {
        let critical = strut.sections.iter().map(|section| {
            let column = Column {
                length: strut.length,
                area: section.area(),
                gyration: section.gyration(),
                ends: PINNED_ENDS,
            };
            column.critical_load(plastic.upright, plastic.column_stiffness())
        });
        let most = critical.reduce(|one, other| one.min(other))?;
        Some(Stressed {
            bearer: Bearer::Part(strut.part),
            what: strut.what.into(),
            force: loading.push,
            borne: Borne::Push {
                found: loading.push,
                most,
            },
            near: NEAR,
            remedy: Remedy::Column,
        })
    };
    case.design
        .members
        .columns
        .iter()
        .filter_map(place)
        .collect()
}
