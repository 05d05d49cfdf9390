//! Fits: from a wanted gap to the drawn one, and to the interval that will be printed.

use super::profile::{Known, Profile, Term};
use super::scatter::{FACE_SHARE, PART_SHARE};
use crate::assembly::{Fit, Gap, Joint, Lay, Mates, Source};
use crate::units::Length;

/// The gap that the printer will leave, radial or a side.
///
/// The gap of one copy is taken as Gaussian about `expected`: the terms' standard errors, and what
/// scatters with its print, its parts and its faces (see `scatter.rs`), both parts from one bed.
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

/// Standard deviations to either side of the expected gap that an interval shows: 19 of 20.
pub(super) const SHOWN_DEVIATIONS: f64 = 1.96;

/// Flanks that mate, of which the profile's extra is the sum.
const FLANKS: f64 = 2.0;

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
            (Fit::Slide, _) | (_, Lay::Walls) => Term::SlotGrowth,
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

    /// Whether what a joint takes from its gap rests on a guess.
    pub fn guesses(&self, joint: &Joint) -> bool {
        let gap = joint.gap.as_ref();
        let gap = gap.filter(|_| !matches!(joint.fit, Fit::Seat | Fit::Stop));
        gap.is_some_and(|gap| {
            let taken = Self::taken(joint.fit, gap.mates, gap.radius);
            taken
                .iter()
                .any(|(term, _)| self.known(*term) == Known::Guess)
        })
    }

    /// The most likely gap where one is drawn.
    pub(crate) fn expected(&self, fit: Fit, gap: &Gap) -> Length {
        match fit {
            Fit::Seat | Fit::Stop => gap.drawn,
            Fit::Thread | Fit::Slide | Fit::Swivel | Fit::Locate | Fit::Press => {
                gap.drawn - Length::mm(self.sum_of(&Self::taken(fit, gap.mates, gap.radius)))
            }
        }
    }

    /// The gap that will be printed where one is drawn; none for end faces.
    pub fn printed(&self, fit: Fit, gap: &Gap) -> Option<PrintedGap> {
        if matches!(fit, Fit::Seat | Fit::Stop) {
            return None;
        }
        let taken = Self::taken(fit, gap.mates, gap.radius);
        let faces = gap.mates.printed_faces();
        let square = |share: f64, spread: Length| share * share * spread.as_mm() * spread.as_mm();
        let variance = self.variance_of(&taken)
            + faces * square(FACE_SHARE, self.within)
            + (faces * square(PART_SHARE, self.between) + square(faces, self.between));
        let behind = gap.ribs.map_or(0.0, Length::as_mm);
        let sag = match (gap.mates.female, gap.mates.lay) {
            (Source::Printed, Lay::Lying) => (self.value(Term::LyingSag) - behind).max(0.0),
            (Source::Printed, Lay::Upright | Lay::Walls) | (Source::Bought, _) => 0.0,
        };
        Some(PrintedGap {
            expected: self.expected(fit, gap),
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
        // One face of one part of one print: no error of any term is left.
        let (within, between) = (profile.within.as_mm(), profile.between.as_mm());
        let print = between * between * (1.0 + PART_SHARE * PART_SHARE);
        let one = (print + (FACE_SHARE * within) * (FACE_SHARE * within)).sqrt();
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
