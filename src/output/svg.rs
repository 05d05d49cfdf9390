//! What plots share: axes with their ticks, and lines and words as SVG.

use crate::units_told::number;

/// Ticks that an axis has at about.
const TICKS: f64 = 6.0;
/// Share of the range that is left free at each end.
const MARGIN: f64 = 0.06;

/// A number axis on the paper.
pub(super) struct Axis {
    /// What its first edge stands for.
    pub(super) from: f64,
    /// What its last edge stands for.
    pub(super) to: f64,
    paper: [f64; 2],
}

impl Axis {
    /// Over some values, with a little room beyond them, between two edges of the paper.
    pub(super) fn over(values: impl Iterator<Item = f64>, paper: [f64; 2]) -> Self {
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
            (low.min(v), high.max(v))
        });
        let room = (high - low).max(f64::MIN_POSITIVE) * MARGIN;
        Self {
            from: low - room,
            to: high + room,
            paper,
        }
    }

    /// From one value to another, between two edges of the paper.
    pub(super) fn between([from, to]: [f64; 2], paper: [f64; 2]) -> Self {
        Self { from, to, paper }
    }

    /// Where a value stands on the paper.
    pub(super) fn at(&self, value: f64) -> f64 {
        let share = (value - self.from) / (self.to - self.from);
        self.paper[0] + share * (self.paper[1] - self.paper[0])
    }

    /// Step of the ticks: 1, 2 or 5 times a power of ten; and the decimals it needs.
    fn step(&self) -> (f64, usize) {
        const LEAST: i32 = -6;
        let rough = (self.to - self.from) / TICKS;
        for power in LEAST..=LEAST.abs() {
            let ten = crate::units::real::power_of_ten(power);
            if let Some(step) = [1.0, 2.0, 5.0]
                .map(|m| m * ten)
                .into_iter()
                .find(|s| *s >= rough)
            {
                return (step, usize::try_from(-power).unwrap_or(0));
            }
        }
        (rough, 0)
    }

    /// Values worth a line of the grid, with their words.
    pub(super) fn ticks(&self) -> Vec<(f64, String)> {
        let (step, decimals) = self.step();
        let first = (self.from / step).ceil();
        let count = ((self.to / step).floor() - first).max(0.0) as usize;
        (0..=count)
            .map(|index| (first + index as f64) * step)
            .map(|value| (value, number(value, decimals)))
            .collect()
    }
}

/// A line of a class.
pub(super) fn line(out: &mut String, class: &str, from: [f64; 2], to: [f64; 2]) {
    out.push_str(
        &(format!(
            "<line class=\"{class}\" x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\"/>",
            from[0], from[1], to[0], to[1]
        ) + "\n"),
    );
}

/// Words of a class, which begin, end or have their middle at a place.
pub(super) fn text(out: &mut String, class: &str, anchor: &str, at: [f64; 2], words: &str) {
    out.push_str(&(format!(
"<text class=\"{class}\" text-anchor=\"{anchor}\" x=\"{:.2}\" y=\"{:.2}\">{words}</text>",
        at[0], at[1]
    ) + "\n"));
}
