//! Made-up printers, what they make of test pieces, and the faults of those that fill in forms.

use super::forms::HEAD;
use crate::support::normal::Normal;
use netlead::coupon::plate_rows;
use netlead::printer::{Profile, TERMS, Term};
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
    pub(crate) name: &'static str,
    pub(crate) kind: LadderKind,
    pub(crate) gaps: Vec<f64>,
    pub(crate) radius: f64,
}

/// Gap wanted of every ladder here.
const WANTED: f64 = 0.1;

impl Ladder {
    /// So many steps around what a shipped profile draws.
    pub(crate) fn around(name: &'static str, kind: LadderKind, count: usize, step: f64) -> Self {
        let radius = if kind == LadderKind::Slide { 0.0 } else { 3.0 };
        let (fit, mates) = kind.fit();
        let drawn = shipped().gap(fit, Length::mm(WANTED), mates, Length::mm(radius));
        let middle = (count as f64 - 1.0) / 2.0;
        let gaps = (0..count).map(|at| drawn.drawn.as_mm() + step * (at as f64 - middle));
        Self {
            name,
            kind,
            gaps: gaps.collect(),
            radius,
        }
    }

    /// The ladders of a full set, so many steps each.
    pub(crate) fn set(count: usize, step: f64) -> Vec<Self> {
        let of = |name, kind| Self::around(name, kind, count, step);
        vec![
            of("drive/frame", LadderKind::Thread),
            of("pin", LadderKind::PinLying),
            of("upright pin", LadderKind::PinUpright),
            of("slide", LadderKind::Slide),
        ]
    }

    pub(crate) fn step(&self) -> BestStep {
        BestStep {
            kind: self.kind,
            wanted: Length::mm(WANTED),
            drawn: Length::mm(self.gaps[0]),
            step: Length::mm(self.gaps[1] - self.gaps[0]),
            radius: Length::mm(self.radius),
            end: None,
        }
    }

    /// Index of the step that fits best where so much is taken from the gap.
    fn best(&self, taken: f64) -> usize {
        let off = |at: &usize| (self.gaps[*at] - WANTED - taken).abs();
        let steps = 0..self.gaps.len();
        steps
            .min_by(|a, b| off(a).total_cmp(&off(b)))
            .expect("a ladder has steps")
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
        let step = ladder.step();
        // A whole face stands off by 0.6 of what its single places do.
        let mut faces = |count: f64| normal.of(0.6 * printer.within * count.sqrt());
        let mut best = |effect: &f64| {
            let faces = faces(step.print_effect());
            let taken = printer.sum(&step.weights()) + effect * step.print_effect() + faces;
            ladder.best(taken)
        };
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
            write!(
                text,
                "[[ladder]]\nname = \"{}\"\nkind = \"{}\"\nwanted = {WANTED}\ngaps = {gaps}\n\
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
