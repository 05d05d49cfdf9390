//! Made-up printers, what they make of test pieces, and the faults of those that fill in forms.

use super::forms::HEAD;
use crate::support::normal::Normal;
use netlead::assembly::Fit;
use netlead::coupon::{GapLadder, plate_rows};
use netlead::printer::{Outcomes, Profile, TERMS, Term};
use netlead::strength::Material;
use netlead::tuning::{BestStep, LadderKind};
use netlead::units::Length;
use std::fmt::Write as _;

/// A printer: its terms, and how it scatters.
#[derive(Clone)]
pub(crate) struct Printer {
    pub(crate) terms: Vec<f64>,
    pub(crate) within: f64,
    pub(crate) between: f64,
}

/// What is believed of a printer before; the layer is that of [`HEAD`].
pub(crate) fn shipped() -> Profile {
    let mm = Length::mm;
    Profile::untuned(mm(0.2), mm(0.45), [mm(220.0); 3], 4, Material::Pla)
}

impl Printer {
    /// One as what is shipped believes them to be.
    pub(crate) fn ordinary(normal: &mut Normal) -> Self {
        let shipped = shipped();
        let mut one = |term: &Term| shipped.value(*term) + normal.of(shipped.error(*term));
        Self {
            terms: TERMS.iter().map(&mut one).collect(),
            within: 0.04,
            between: 0.02,
        }
    }

    pub(crate) fn term(&self, term: Term) -> f64 {
        self.terms[term as usize]
    }

    pub(crate) fn sum(&self, weights: &[(Term, f64)]) -> f64 {
        let each = weights.iter();
        each.map(|(term, weight)| weight * self.term(*term)).sum()
    }
}

/// A ladder, as it was drawn.
#[derive(Clone)]
pub(crate) struct Ladder {
    pub(crate) name: String,
    pub(crate) kind: LadderKind,
    pub(crate) gaps: Vec<f64>,
    pub(crate) radius: f64,
    /// What the form says that the kit wants of it; of threads.
    pub(crate) wanted: f64,
    /// Across the flats of a bought nut, as drawn and as it is.
    pub(crate) nut: Option<[f64; 2]>,
}

/// From which printed gap on a step goes as its form asks: where the odds begin to count on the fit.
/// Ribs, which they want crushed, are passed where they are not met.
pub(crate) fn goes_from(kind: LadderKind) -> f64 {
    let (fit, _) = kind.fit();
    let ribs = matches!(kind, LadderKind::PinOnRibs | LadderKind::BoughtPinOnRibs);
    let depth = Some(Length::mm(1.0));
    let outcomes = Outcomes::of_fit(fit, false, depth, &shipped()).expect("a fit with a gap");
    if ribs { 0.0 } else { outcomes.free.as_mm() }
}

/// By how much the hand's judgement of a step scatters.
pub(crate) const HAND: f64 = 0.01;

impl Ladder {
    /// So many steps of which the middle answer is that of a shipped profile.
    pub(crate) fn around(name: &str, kind: LadderKind, count: usize, step: f64) -> Self {
        let radius = if kind == LadderKind::Slide { 0.0 } else { 3.0 };
        let (fit, mates) = kind.fit();
        let begins = shipped().gap(fit, Length::mm(goes_from(kind)), mates, Length::mm(radius));
        let middle = (count as f64 - 2.0) / 2.0;
        let gaps = (0..count).map(|at| begins.drawn.as_mm() + step * (at as f64 - middle));
        Self {
            name: name.into(),
            kind,
            gaps: gaps.collect(),
            radius,
            wanted: 0.1,
            nut: None,
        }
    }

    /// One of a coupon.
    pub(crate) fn of(ladder: &GapLadder) -> Self {
        Self {
            name: ladder.name.clone(),
            kind: ladder.kind,
            gaps: ladder.gaps.iter().map(|gap| gap.as_mm()).collect(),
            radius: ladder.radius.as_mm(),
            wanted: ladder.wanted.map_or(0.0, Length::as_mm),
            nut: match ladder.kind {
                LadderKind::BoughtPocket => ladder.flats.map(|flats| [flats.as_mm(); 2]),
                _ => None,
            },
        }
    }

    /// The ladders of a full set, so many steps each.
    pub(crate) fn set(count: usize, step: f64) -> Vec<Self> {
        let of = |name, kind| Self::around(name, kind, count, step);
        vec![
            of("drive/frame", LadderKind::Thread),
            of("pin", LadderKind::PinOnRibs),
            of("upright pin", LadderKind::PinUpright),
            of("slide", LadderKind::Slide),
        ]
    }

    pub(crate) fn step(&self) -> BestStep {
        BestStep {
            kind: self.kind,
            drawn: Length::mm(self.gaps[0]),
            step: Length::mm(self.gaps[1] - self.gaps[0]),
            radius: Length::mm(self.radius),
            end: None,
        }
    }

    /// Index of the last step that goes, from the widest down, in a print of this effect. The plug, pin
    /// or tongue has one face and place on the bed for all steps; what it goes into a face for each, and
    /// of rings a place.
    fn best(&self, printer: &Printer, effect: f64, normal: &mut Normal) -> usize {
        let step = self.step();
        let mut face = || normal.of(0.6 * printer.within);
        let plug = if step.print_effect() > 1.0 {
            face()
        } else {
            0.0
        };
        let faces: Vec<f64> = self.gaps.iter().map(|_| face()).collect();
        let mut place = || normal.of(0.3 * printer.between);
        let places = [place(), place()];
        let common = printer.sum(&step.weights()) + effect * step.print_effect() + plug + places[0];
        let mut goes = |at: &usize| {
            let place = match step.kind.fit().0 {
                Fit::Thread => normal.of(0.3 * printer.between),
                _ => places[1],
            };
            let narrower = self.nut.map_or(0.0, |[drawn, is]| (drawn - is) / 2.0);
            let printed = self.gaps[*at] + narrower - common - faces[*at] - place;
            printed + normal.of(HAND) >= goes_from(self.kind)
        };
        let down = (0..self.gaps.len()).rev();
        let going = down.take_while(|at| goes(at)).last();
        going.unwrap_or(self.gaps.len() - 1)
    }
}

/// A filled form, before it is text.
#[derive(Clone)]
pub(crate) struct Filled {
    /// Name, drawn size, readings.
    pub(crate) rows: Vec<(String, f64, Vec<f64>)>,
    pub(crate) ladders: Vec<(Ladder, Vec<usize>)>,
}

/// What a maker reads of so many prints with a caliper of this resolution, without fault.
pub(crate) fn filled(
    printer: &Printer,
    ladders: &[Ladder],
    prints: usize,
    resolution: f64,
    normal: &mut Normal,
) -> Filled {
    let effects: Vec<f64> = (0..prints).map(|_| normal.of(printer.between)).collect();
    let mut rows = Vec::new();
    for row in plate_rows(Length::mm(0.2)) {
        let drawn = row.feature.drawn.as_mm();
        let mut read = |effect: &f64| {
            let walls = normal.of(printer.within) + normal.of(printer.within);
            let size = drawn
                + printer.sum(&row.feature.weights())
                + effect * row.feature.print_effect()
                + walls;
            (size / resolution).round() * resolution
        };
        rows.push((row.name, drawn, effects.iter().map(&mut read).collect()));
    }
    let mut tried = |ladder: &Ladder| {
        let mut best = |effect: &f64| ladder.best(printer, *effect, normal);
        (ladder.clone(), effects.iter().map(&mut best).collect())
    };
    Filled {
        rows,
        ladders: ladders.iter().map(&mut tried).collect(),
    }
}

impl Filled {
    /// The same with ladders alone.
    pub(crate) fn without_rows(mut self) -> Self {
        self.rows.clear();
        self
    }

    /// Swaps readings along x and y in rows of which the name begins so, in some prints.
    pub(crate) fn swap_axes(&mut self, kind: &str, swapped: impl Fn(usize) -> bool) {
        let rows = self.rows.clone();
        for (name, _, readings) in &mut self.rows {
            let twin = match (name.contains("-x-"), name.starts_with(kind)) {
                (true, true) => name.replace("-x-", "-y-"),
                (false, true) => name.replace("-y-", "-x-"),
                _ => continue,
            };
            let Some((_, _, other)) = rows.iter().find(|(name, _, _)| *name == twin) else {
                continue;
            };
            for print in (0..readings.len()).filter(|print| swapped(*print)) {
                readings[print] = other[print];
            }
        }
    }

    pub(crate) fn text(&self) -> String {
        let list = |numbers: Vec<String>| format!("[{}]", numbers.join(", "));
        let mut text = String::from(HEAD);
        for (name, drawn, readings) in &self.rows {
            let readings = list(readings.iter().map(|read| format!("{read:.6}")).collect());
            let row =
                format!("[[row]]\nname = \"{name}\"\ndrawn = {drawn}\nmeasured = {readings}\n");
            text += &row;
        }
        for (ladder, best) in &self.ladders {
            let gaps = list(ladder.gaps.iter().map(|gap| format!("{gap:.6}")).collect());
            let best = list(best.iter().map(|at| (at + 1).to_string()).collect());
            let wanted = match ladder.kind {
                LadderKind::Thread => format!("wanted = {}\n", ladder.wanted),
                _ => String::new(),
            };
            let nut = ladder.nut.map_or_else(String::new, |[drawn, is]| {
                format!("drawn = {drawn}\nmeasured = [{is}]\n")
            });
            write!(
                text,
                "[[ladder]]\nname = \"{}\"\nkind = \"{}\"\n{wanted}{nut}gaps = {gaps}\n\
                 radius = {}\nbest = {best}\n",
                ladder.name,
                ladder.kind.word(),
                ladder.radius
            )
            .expect("writing to a string never fails");
        }
        text
    }
}
