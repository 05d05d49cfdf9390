//! How many steps a ladder has, and how far apart: from what is known of the printer.

use super::ladder::Size;
use crate::printer::Profile;
use crate::tuning::LadderKind;
use crate::units::Length;

/// Steps of a full ladder.
const FULL_STEPS: usize = 9;
/// Standard deviations of a printed gap within which the best step of a full ladder lies inside: of
/// 100 printers that are as the profile says, two lie beyond (normal table).
const SPANNED: f64 = 2.326;
/// From step to step at the least. Guess: about the spread of two walls.
pub(super) const GAP_STEP: Length = Length::mm(0.05);
/// The same of a pin's radial gap in a whole wall, which holds it in a window 0.04 mm wide; on ribs,
/// where it is 0.18 mm wide, steps are as far apart as those of other fits.
pub(super) const PIN_STEP: Length = Length::mm(0.025);
/// Variance of what lies evenly within a width of one (the uniform distribution's).
const UNIFORM: f64 = 1.0 / 12.0;
/// Steps are whole multiples of this.
const ROUND_STEP: f64 = 0.005;

/// How many steps a ladder has, and how far apart they are.
#[derive(Clone, Copy)]
pub(super) struct Spacing<'a> {
    profile: &'a Profile,
    count: usize,
    extent: Size,
}

impl<'a> Spacing<'a> {
    /// Of full ladders.
    pub(super) fn full(profile: &'a Profile) -> Self {
        Self {
            profile,
            count: FULL_STEPS,
            extent: Size::Full,
        }
    }

    /// Of quick ladders of so many steps.
    pub(super) fn quick(profile: &'a Profile, count: usize) -> Self {
        Self {
            profile,
            count,
            extent: Size::Quick,
        }
    }

    /// What is known of the printer.
    pub(super) fn profile(&self) -> &'a Profile {
        self.profile
    }

    /// A ladder whose steps lie no nearer than `least`: its gaps, radial or a side, the narrowest
    /// first, and how far apart they are. What goes in may be narrower than drawn, by up to `narrower`
    /// a side, any of it as likely. Of the answers to it, the middle one is expected: half of
    /// what is believed of the printer lies to either side.
    ///
    /// Full: such that both ends lie [`SPANNED`] deviations off, half a step within. Quick: such that
    /// the steps tell most, 1.224, 0.996 and 0.843 deviations for three, four and five (J. Max,
    /// Quantizing for Minimum Distortion, 1960, table of equal steps; from memory).
    pub(super) fn steps(
        &self,
        kind: LadderKind,
        radius: Length,
        [least, narrower]: [Length; 2],
    ) -> (Vec<Length>, Length) {
        let (fit, mates) = kind.fit();
        // Where what a hand feels is expected to begin.
        let gap = self.profile.gap(fit, kind.felt().from(), mates, radius);
        let printed = self.profile.printed(fit, &gap);
        let deviation = printed.map_or(0.0, |printed| printed.deviation.as_mm());
        let of_male = narrower.as_mm() * UNIFORM.sqrt();
        let deviation = (deviation * deviation + of_male * of_male).sqrt();
        let share = match (self.extent, self.count) {
            (Size::Full, count) => SPANNED / (count as f64 / 2.0 - 1.0),
            (Size::Quick, 3) => 1.224,
            (Size::Quick, 4) => 0.996,
            (Size::Quick, _) => 0.843,
        };
        let steps = deviation * share / ROUND_STEP;
        let whole = match self.extent {
            Size::Full => steps.ceil(),
            Size::Quick => steps.round(),
        };
        let step = Length::mm(whole * ROUND_STEP).max(least);
        // Answers change at every step but the widest.
        let middle = (self.count as f64 - 2.0) / 2.0;
        let begins = gap.drawn - narrower / 2.0;
        let at = |index: usize| begins + step * (index as f64 - middle);
        ((0..self.count).map(at).collect(), step)
    }
}
