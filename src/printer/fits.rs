//! Fits: from a wanted gap to the drawn one, and to the interval that will be printed.

use super::profile::{Profile, Term};
use crate::assembly::{Fit, Gap, Lay, Mates, Source};
use crate::units::{Length, real};

/// The gap that the printer will leave, radial or a side.
///
/// The gap of one copy is taken as Gaussian about `expected`: the terms' standard errors, and for
/// each printed wall its spread within its print and that of its print. The two parts are taken to
/// come from two prints; from one, both walls move together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintedGap {
    /// Most likely.
    pub expected: Length,
    /// Standard deviation.
    pub deviation: Length,
    /// What the crown of a lying hole may take from it, at the top only. Behind ribs the crown
    /// stands clear, and takes what it sags beyond them.
    pub sag: Length,
}

/// The printed gaps with which a fit does its work, radial or a side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Less binds, or cracks.
    pub least: Length,
    /// More rattles, slips or falls out.
    pub most: Length,
}

/// Standard deviations to either side of the expected gap that an interval shows: 19 of 20.
pub(super) const SHOWN_DEVIATIONS: f64 = 1.96;

/// Flanks that mate, of which the profile's extra is the sum.
const FLANKS: f64 = 2.0;

/// The window of a fit; none for faces that only meet. All guesses, around the wanted gaps
/// that a kit starts with, but for the press: in a whole wall interference of 0 to 0.06 mm a
/// side (guides name 0.05 mm for printed pins; Lame's formula gives 24 MPa of hoop stress at
/// 0.1 mm of diameter on 6 mm). On ribs 0.02 to 0.20 mm a side at their tips: less hardly
/// dents them, and at 0.20 ribs of 0.15 mm are crushed flat and the wall behind them is
/// pressed by 0.05 mm, which a whole wall bears.
pub fn window(fit: Fit, ribs: bool) -> Option<Window> {
    let between = |least: f64, most: f64| {
        Some(Window {
            least: Length::mm(least),
            most: Length::mm(most),
        })
    };
    match fit {
        Fit::Thread => between(0.0, 0.2),
        Fit::Slide => between(0.05, 0.25),
        Fit::Swivel => between(0.1, 0.4),
        Fit::Locate => between(0.0, 0.15),
        Fit::Press if ribs => between(-0.20, -0.02),
        Fit::Press => between(-0.06, 0.0),
        Fit::Seat | Fit::Stop => None,
    }
}

impl Profile {
    /// What the printer takes from a drawn gap, as a weighted sum of terms: what it moves each
    /// printed face by, and what the flanks of printed threads need besides.
    ///
    /// A boss and a hole of one radius both lose k/R, so the curvature term only stays where one
    /// of them is bought: it closes a printed hole, and opens the gap around a printed boss. The
    /// layers of either flank stand out by as much, so a thread with one printed flank needs half
    /// of what two need (derived).
    pub(crate) fn taken(fit: Fit, mates: Mates, radius: Length) -> Vec<(Term, f64)> {
        let wall = match (fit, mates.lay) {
            (Fit::Slide, _) => Term::SlotGrowth,
            (_, Lay::Upright) => Term::HoleGrowth,
            (_, Lay::Lying) => Term::LyingGrowth,
        };
        let (hole, boss) = (mates.female, mates.male);
        let mut taken = Vec::new();
        if hole == Source::Printed {
            taken.push((wall, 1.0));
        }
        if boss == Source::Printed {
            taken.push((Term::OuterGrowth, 1.0));
        }
        if radius > Length::ZERO {
            match (hole, boss) {
                (Source::Printed, Source::Bought) => {
                    taken.push((Term::Curvature, 1.0 / radius.as_mm()));
                }
                (Source::Bought, Source::Printed) => {
                    taken.push((Term::Curvature, -1.0 / radius.as_mm()));
                }
                (Source::Printed, Source::Printed) | (Source::Bought, Source::Bought) => {}
            }
        }
        if fit == Fit::Thread {
            taken.push((Term::FlankExtra, mates.printed_faces() / FLANKS));
        }
        taken
    }

    /// The gap to draw so that the wanted one is expected after printing.
    ///
    /// End faces (seat, stop) lie on whole layers and are drawn as wanted. With the untuned
    /// profile at 0.15 mm layers a thread that wants 0.04 is drawn 0.25.
    pub fn gap(&self, fit: Fit, wanted: Length, mates: Mates, radius: Length) -> Gap {
        if matches!(fit, Fit::Seat | Fit::Stop) {
            return Gap::flat(wanted);
        }
        let taken = Self::taken(fit, mates, radius);
        let sum = self.sum_of(&taken);
        Gap {
            wanted,
            drawn: wanted + Length::mm(sum),
            mates,
            radius,
            ribs: None,
        }
    }

    /// The gap that will be printed where one is drawn; none for end faces.
    pub fn printed(&self, fit: Fit, gap: &Gap) -> Option<PrintedGap> {
        window(fit, gap.ribs.is_some())?;
        let taken = Self::taken(fit, gap.mates, gap.radius);
        let sum = self.sum_of(&taken);
        let faces = gap.mates.printed_faces();
        let spread = |deviation: Length| faces * deviation.as_mm() * deviation.as_mm();
        let variance = self.variance_of(&taken) + spread(self.within) + spread(self.between);
        let behind = gap.ribs.map_or(0.0, Length::as_mm);
        let sag = match (gap.mates.female, gap.mates.lay) {
            (Source::Printed, Lay::Lying) => (self.value(Term::LyingSag) - behind).max(0.0),
            (Source::Printed, Lay::Upright) | (Source::Bought, _) => 0.0,
        };
        Some(PrintedGap {
            expected: gap.drawn - Length::mm(sum),
            deviation: Length::mm(variance.sqrt()),
            sag: Length::mm(sag),
        })
    }

    fn sum_of(&self, taken: &[(Term, f64)]) -> f64 {
        taken
            .iter()
            .map(|(term, weight)| weight * self.value(*term))
            .sum()
    }
}

impl PrintedGap {
    /// The interval that holds 19 of 20 copies, as far as the profile is right.
    pub fn interval(&self) -> [Length; 2] {
        let half = self.deviation * SHOWN_DEVIATIONS;
        [self.expected - half, self.expected + half]
    }

    /// The chance that a copy's gap lies in a window, from 0 to 1.
    pub fn odds(&self, window: Window) -> f64 {
        if self.deviation <= Length::ZERO {
            let inside = (window.least..=window.most).contains(&self.expected);
            return f64::from(u8::from(inside));
        }
        let below = |limit: Length| normal_below((limit - self.expected) / self.deviation);
        (below(window.most) - below(window.least)).clamp(0.0, 1.0)
    }
}

/// The chance that a standard normal variable is below `deviations`.
fn normal_below(deviations: f64) -> f64 {
    0.5 * real::erfc(-deviations / 2f64.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::printer::{Known, TERMS};
    use crate::strength::Material;

    fn untuned() -> Profile {
        let mm = Length::mm;
        Profile::untuned(
            mm(0.15),
            mm(0.45),
            [mm(220.0), mm(220.0), mm(250.0)],
            4,
            Material::Pla,
        )
    }

    #[test]
    fn shipped_gaps_are_drawn_as_the_table_of_fits_has_them() {
        let drawn = |fit, wanted, mates| {
            untuned()
                .gap(fit, Length::mm(wanted), mates, Length::mm(3.0))
                .drawn
                .as_mm()
        };
        for (fit, wanted, mates, expected) in [
            (Fit::Thread, 0.04, Mates::PRINTED, 0.25),
            (Fit::Slide, 0.14, Mates::PRINTED, 0.20),
            (Fit::Locate, 0.06, Mates::PRINTED, 0.12),
            (Fit::Swivel, 0.24, Mates::PRINTED, 0.30),
            (Fit::Press, -0.02, Mates::LYING, 0.04),
            (Fit::Press, -0.02, Mates::BOUGHT_IN_LYING, 0.01),
            (Fit::Seat, 0.10, Mates::PRINTED, 0.10),
        ] {
            approx::assert_abs_diff_eq!(drawn(fit, wanted, mates), expected, epsilon = 1e-12);
        }
    }

    #[test]
    fn odds_follow_the_normal_table() {
        // Standard normal: 68.27 % within one deviation, 95.00 % within 1.96.
        let gap = PrintedGap {
            expected: Length::mm(0.1),
            deviation: Length::mm(0.05),
            sag: Length::ZERO,
        };
        let within = |half: f64| {
            let half = Length::mm(half);
            gap.odds(Window {
                least: gap.expected - half,
                most: gap.expected + half,
            })
        };
        approx::assert_abs_diff_eq!(within(0.05), 0.6827, epsilon = 5e-5);
        approx::assert_abs_diff_eq!(within(0.098), 0.95, epsilon = 5e-5);
    }

    #[test]
    fn ribs_carry_a_pressed_pin_from_less_than_a_third_of_the_copies_to_more_than_two() {
        // Untuned, lying: two growths of 0.03, two walls of 0.04, two prints of 0.03, so a deviation
        // of sqrt(2 (0.03^2 + 0.04^2 + 0.03^2)) = 0.0825. Whole wall: -0.06 to 0 about -0.02 is
        // -0.485 to 0.243 deviations, 28.2 % of the normal table; ribs: 0.09 to either side of
        // -0.11 is 1.091 deviations, 72.5 %.
        let odds = |wanted: f64, ribs: Option<Length>| {
            let profile = untuned();
            let drawn = profile.gap(Fit::Press, Length::mm(wanted), Mates::LYING, Length::ZERO);
            let gap = Gap { ribs, ..drawn };
            let printed = profile
                .printed(Fit::Press, &gap)
                .expect("a press has a window");
            printed.odds(window(Fit::Press, ribs.is_some()).expect("a press has a window"))
        };
        approx::assert_abs_diff_eq!(odds(-0.02, None), 0.282, epsilon = 1e-3);
        let ribs = Some(Length::mm(0.15));
        approx::assert_abs_diff_eq!(odds(-0.11, ribs), 0.725, epsilon = 1e-3);
        // Ribs drawn as far in as a whole wall would be are hardly dented.
        assert!(odds(-0.02, ribs) < 0.5);
    }

    #[test]
    fn a_pin_that_only_touches_its_ribs_is_lost_and_one_that_crushes_them_flat_is_held() {
        let exact = |gap: f64| PrintedGap {
            expected: Length::mm(gap),
            deviation: Length::ZERO,
            sag: Length::ZERO,
        };
        let [ribs, wall] = [true, false].map(|ribs| window(Fit::Press, ribs).expect("a window"));
        for (gap, on_ribs, in_wall) in [
            (-0.01, 0.0, 1.0),
            (-0.05, 1.0, 1.0),
            (-0.15, 1.0, 0.0),
            (-0.21, 0.0, 0.0),
        ] {
            assert_eq!(exact(gap).odds(ribs), on_ribs, "{gap} on ribs");
            assert_eq!(exact(gap).odds(wall), in_wall, "{gap} in a whole wall");
        }
    }

    #[test]
    fn the_crown_sags_into_a_plain_hole_and_down_to_the_tips_of_ribs_at_the_most() {
        let sag = |ribs: Option<f64>| {
            let wanted = Length::mm(-0.11);
            let drawn = untuned().gap(Fit::Press, wanted, Mates::LYING, Length::ZERO);
            let gap = Gap {
                ribs: ribs.map(Length::mm),
                ..drawn
            };
            let printed = untuned().printed(Fit::Press, &gap);
            printed.expect("a press has a window").sag.as_mm()
        };
        approx::assert_abs_diff_eq!(sag(None), 0.15, epsilon = 1e-12);
        approx::assert_abs_diff_eq!(sag(Some(0.15)), 0.0, epsilon = 1e-12);
        approx::assert_abs_diff_eq!(sag(Some(0.05)), 0.10, epsilon = 1e-12);
    }

    #[test]
    fn a_printer_without_any_spread_leaves_no_doubt() {
        let gap = |expected: f64| PrintedGap {
            expected: Length::mm(expected),
            deviation: Length::ZERO,
            sag: Length::ZERO,
        };
        let window = window(Fit::Thread, false).expect("threads have a window");
        assert_eq!(gap(window.most.as_mm()).odds(window), 1.0);
        assert_eq!(gap(window.most.as_mm() + 0.01).odds(window), 0.0);
    }

    #[test]
    fn what_is_drawn_as_wanted_is_expected_as_wanted() {
        let profile = untuned();
        let gap = profile.gap(
            Fit::Thread,
            Length::mm(0.04),
            Mates::PRINTED,
            Length::mm(10.0),
        );
        let printed = profile.printed(Fit::Thread, &gap);
        let printed = printed.expect("threads have a window");
        approx::assert_abs_diff_eq!(printed.expected.as_mm(), 0.04, epsilon = 1e-12);
    }

    #[test]
    fn a_screw_in_a_bought_nut_gives_up_what_one_printed_flank_takes() {
        // Untuned at 0.15 mm layers: the outer wall grows by 0.03, both flanks together need 0.15,
        // one needs 0.075. A boss of 4 mm loses k/R = 0.08 / 4 to its curvature, so needs less.
        let mut profile = untuned();
        let wanted = Length::mm(0.04);
        let nut =
            |profile: &Profile| profile.gap(Fit::Thread, wanted, Mates::IN_BOUGHT, Length::mm(4.0));
        approx::assert_abs_diff_eq!(nut(&profile).drawn.as_mm(), 0.145, epsilon = 1e-12);
        let terms = TERMS.map(|term| match term {
            Term::Curvature => (term, 0.08),
            _ => (term, profile.value(term)),
        });
        let nothing = vec![vec![0.0; TERMS.len()]; TERMS.len()];
        let known = profile.set(&terms, &nothing, Known::Measured);
        known.expect("a profile without errors");
        let gap = nut(&profile);
        approx::assert_abs_diff_eq!(gap.drawn.as_mm(), 0.125, epsilon = 1e-12);
        assert_eq!((gap.on_male(), gap.on_female()), (gap.drawn, Length::ZERO));
        let printed = profile.printed(Fit::Thread, &gap);
        let printed = printed.expect("threads have a window");
        approx::assert_abs_diff_eq!(printed.expected.as_mm(), 0.04, epsilon = 1e-12);
        // One face, with its own scatter and its print's: no error of any term is left.
        let one = real::hypot(profile.within.as_mm(), profile.between.as_mm());
        approx::assert_abs_diff_eq!(printed.deviation.as_mm(), one, epsilon = 1e-12);
    }

    #[test]
    fn a_bolt_in_a_printed_hole_is_the_mirror_of_a_boss_in_a_bought_one() {
        let of = |mates| Profile::taken(Fit::Thread, mates, Length::mm(4.0));
        let weight = |mates, term| {
            let found = of(mates).into_iter().find(|(known, _)| *known == term);
            found.map(|(_, weight)| weight)
        };
        let bolt = Mates {
            male: Source::Bought,
            ..Mates::PRINTED
        };
        assert_eq!(weight(bolt, Term::Curvature), Some(0.25));
        assert_eq!(weight(Mates::IN_BOUGHT, Term::Curvature), Some(-0.25));
        assert_eq!(weight(Mates::PRINTED, Term::Curvature), None);
        assert_eq!(weight(bolt, Term::OuterGrowth), None);
        assert_eq!(weight(Mates::IN_BOUGHT, Term::HoleGrowth), None);
        for (mates, flanks) in [(bolt, 0.5), (Mates::IN_BOUGHT, 0.5), (Mates::PRINTED, 1.0)] {
            assert_eq!(weight(mates, Term::FlankExtra), Some(flanks));
        }
        let gap = untuned().gap(Fit::Thread, Length::ZERO, bolt, Length::mm(4.0));
        assert_eq!((gap.on_male(), gap.on_female()), (Length::ZERO, gap.drawn));
    }
}
