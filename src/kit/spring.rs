//! The preload spring of a kit: from the keys of its table to a spring that can be wound.

use super::key;
use super::words::{LayoutKind, word};
use crate::declared::{Key, Quantity as _, Said, Tree, Units, Value};
use crate::diagnostic::Diagnostic;
use crate::strength::{CoilSpring, Winding};
use crate::units::{Force, Length, SpringRate};
use std::ops::Range;

/// A spring to buy, that takes up the play of the screws.
#[derive(Clone, Debug, PartialEq)]
pub struct Spring {
    /// The spring.
    pub coil: CoilSpring,
    /// What pulls the carriage away from the drive head while it is to have no play; the kit's load
    /// where it is not said.
    pub pull: Option<Said<Force>>,
}

impl Spring {
    /// Whether its coils can be wound of its wire.
    pub(crate) fn is_wound(&self) -> bool {
        let [least, most] = COILS;
        self.coil.outside >= self.coil.wire * LEAST_OUTSIDE
            && (least..=most).contains(&self.coil.coils())
    }
}

/// Its values as they stand in the file.
pub(super) struct Asked {
    pub(super) wire: Option<Said<Length>>,
    pub(super) outside: Option<Said<Length>>,
    pub(super) free: Option<Said<Length>>,
    pub(super) coils: Option<Said<f64>>,
    pub(super) rate: Option<Said<SpringRate>>,
    pub(super) pull: Option<Said<Force>>,
}

/// A line that gives a spring.
const EXAMPLE: &str = "spring = { wire = 1, outside = 16, free = 40, coils = 5 }";
/// Coils are at least so many wires wide outside: index 3, the least that is wound (common practice:
/// 4 to 12 are best; Shigley, 9th ed., sect. 10-1).
const LEAST_OUTSIDE: f64 = 4.0;
/// Least and most active coils, of one that is given by its rate too. Guess: of fewer the ends tell, more
/// tangle.
const COILS: [f64; 2] = [
    key::SPRING_COILS.limits.least,
    key::SPRING_COILS.limits.most,
];

/// Whether the file says anything of a spring.
pub(super) fn is_there(tree: &Tree<'_>) -> bool {
    KEYS.iter().any(|path| tree.fields.contains_key(*path))
}

/// Whether the file says a key, if misspelt or on a line that cannot be read.
fn is_said(tree: &Tree<'_>, path: &str) -> bool {
    tree.fields.contains_key(path) || !tree.is_absent(path)
}

/// The keys of its table.
const KEYS: [&str; 6] = [
    key::SPRING_WIRE.path,
    key::SPRING_OUTSIDE.path,
    key::SPRING_FREE.path,
    key::SPRING_COILS.path,
    key::SPRING_RATE.path,
    key::SPRING_PULL.path,
];

/// Why a layout has no place for a spring; none where it has.
pub(super) const fn no_place(layout: LayoutKind) -> Option<&'static str> {
    match layout {
        LayoutKind::Single | LayoutKind::Nested | LayoutKind::Tandem => None,
        LayoutKind::Opposed => Some(
            "its two carriages move against each other, so that no keeper stands still beside both, and \
             one between them would take up the play of the near one alone",
        ),
    }
}

/// The spring of a file that says something of one; `None` with the problems where it cannot be had.
pub(super) fn wound(
    asked: Asked,
    layout: Option<LayoutKind>,
    tree: &Tree<'_>,
    units: Units,
    problems: &mut Vec<Diagnostic>,
) -> Option<Spring> {
    let place = KEYS.iter().find_map(|path| tree.fields.get(*path));
    let place = place.map_or(0..0, |value| value.span());
    if let Some((layout, why)) = layout.and_then(|layout| Some((layout, no_place(layout)?))) {
        let message = format!(
            "an {} layout has no place for a spring: {why}",
            word(layout)
        );
        problems.push(
            Diagnostic::error(message, place)
                .label("no spring here")
                .mend("remove `spring`"),
        );
        return None;
    }
    let before = problems.len();
    missing(&key::SPRING_WIRE, tree, &place, problems);
    missing(&key::SPRING_OUTSIDE, tree, &place, problems);
    missing(&key::SPRING_FREE, tree, &place, problems);
    let winding = winding(&asked, tree, &place, problems);
    if problems.len() > before {
        return None;
    }
    let (wire, outside) = (asked.wire?, asked.outside?);
    let coil = CoilSpring {
        wire: *wire,
        outside: *outside,
        free: *asked.free?,
        winding: winding?,
    };
    let least = *wire * LEAST_OUTSIDE;
    if *outside < least {
        let message = format!(
            "a spring of {} outside is wound too tight for a wire of {}: at least {}, four wires",
            outside.show(units),
            wire.show(units),
            least.show(units)
        );
        problems.push(
            Diagnostic::error(message, outside.place())
                .label("too narrow for its wire")
                .mend(format!("write `outside` of at least {}", least.show(units))),
        );
        return None;
    }
    coils_fit(&coil, &asked.rate, problems)?;
    Some(Spring {
        coil,
        pull: asked.pull,
    })
}

/// Says that a key is missing that every spring has.
fn missing<T: Value>(
    key: &Key<T>,
    tree: &Tree<'_>,
    place: &Range<usize>,
    problems: &mut Vec<Diagnostic>,
) {
    if !is_said(tree, key.path) {
        let (path, meaning) = (key.path, key.meaning);
        problems.push(
            Diagnostic::error(format!("`{path}` is missing: {meaning}"), place.clone())
                .label("of this spring")
                .mend(format!("give the spring in whole, such as `{EXAMPLE}`")),
        );
    }
}

/// What says how stiff it is: one of two keys, never both.
fn winding(
    asked: &Asked,
    tree: &Tree<'_>,
    place: &Range<usize>,
    problems: &mut Vec<Diagnostic>,
) -> Option<Winding> {
    let there = |path: &str| is_said(tree, path);
    match (there(key::SPRING_COILS.path), there(key::SPRING_RATE.path)) {
        (true, true) => {
            let at = asked.rate.as_ref().map_or(place.clone(), Said::place);
            problems.push(
                Diagnostic::error(
                    "`spring` has both `coils` and `rate`, of which each gives the other",
                    at,
                )
                .label("said twice")
                .mend("remove `coils`, or remove `rate`"),
            );
            None
        }
        (false, false) => {
            problems.push(
                Diagnostic::error("`spring` says neither `coils` nor `rate`", place.clone())
                    .label("how stiff it is")
                    .mend("add `coils = 5`, its active coils, or `rate = \"0.6 N/mm\"` to the table `spring`"),
            );
            None
        }
        (true, false) => asked.coils.as_ref().map(|coils| Winding::Coils(**coils)),
        (false, true) => asked.rate.as_ref().map(|rate| Winding::Rate(**rate)),
    }
}

/// Whether a spring that is given by its rate has coils that can be wound.
fn coils_fit(
    coil: &CoilSpring,
    rate: &Option<Said<SpringRate>>,
    problems: &mut Vec<Diagnostic>,
) -> Option<()> {
    let Some(rate) = rate else { return Some(()) };
    let [least, most] = COILS;
    let coils = coil.coils();
    if (least..=most).contains(&coils) {
        return Some(());
    }
    let one = **rate * coils;
    // Rounded inwards, so that what is typed is within.
    let [low, high] = [
        (one.as_newtons_per_mm() / most * RATE_STEPS).ceil() / RATE_STEPS,
        (one.as_newtons_per_mm() / least * RATE_STEPS).floor() / RATE_STEPS,
    ];
    let told = |rate: f64| SpringRate::newtons_per_mm(rate).show(Units::Mm);
    let message = format!(
        "a steel spring of this wire and width has a rate of {} with {} active coils; from {least} to \
         {most} can be wound",
        rate.show(Units::Mm),
        crate::units_told::number(coils, 2)
    );
    let mend = match low <= high {
        true => format!(
            "write `rate` from {} to {}, or another `wire`",
            told(low),
            told(high)
        ),
        false => "give `coils` in place of `rate`, or a thicker `wire`".to_owned(),
    };
    problems.push(
        Diagnostic::error(message, rate.place())
            .label("not of this wire and width")
            .mend(mend),
    );
    None
}

/// Steps in which a rate is proposed, in 1 N/mm.
const RATE_STEPS: f64 = 1e4;
