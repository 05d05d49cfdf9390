//! What becomes of a fit, by the gap that was printed: it goes together as printed, it goes after
//! filing or running in, or a part must be printed again.

use super::profile::{Profile, Term};
use crate::assembly::{Fit, Joint};
use crate::units::Length;

/// The printed gaps at which a fit's outcome changes, radial or a side, ascending.
///
/// ```text
/// again | tight | fitted | free | as printed | loose | fitted | lost | again
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcomes {
    /// Less cannot be saved: a part must be printed again.
    pub tight: Length,
    /// From here it goes together by hand and does its work; less wants filing or running in.
    pub free: Length,
    /// Up to here it does its work; more wants glue, tape or a shim where that helps.
    pub loose: Length,
    /// More cannot be saved.
    pub lost: Length,
}

/// Of an outer line, what a file may take from a face before the line is no wall any more: a
/// third. Guess.
const FILED_OFF: f64 = 1.0 / 3.0;
/// Of a layer, by how much a thread may be too tight and still be run in. Layers of both flanks bed
/// in by half a layer square to the flank, which is one layer of radial gap, until their contours
/// touch (derived); seven tenths of that leave a thread. Guess.
const RUN_IN: f64 = 0.7;
/// Of a thread's depth, the least overlap with which it is good: half, below which tapped holes
/// are known to strip before their screws break (from memory; common practice asks for 50 to 75 %).
const OVERLAP: f64 = 0.5;
/// Least gap with which a thread runs by fingers: its flanks stand apart by the flank extra then, in
/// which their layers pass each other.
const RUNS: Length = Length::ZERO;
/// Most printed gap of a thread however coarse: 0.35 mm of play along the axis. Guess.
const LOOSEST_THREAD: Length = Length::mm(0.30);
/// Least gap with which a carriage slides without a file: high spots of two walls. Guess.
const SLIDES: Length = Length::mm(0.02);
/// Most with which it is guided: 2 degrees on 20 mm. Guess.
const LOOSEST_SLIDE: Length = Length::mm(0.35);
/// By how much a push of the hand beds a located part in. Guess.
const PUSHED_IN: Length = Length::mm(-0.02);
/// Most with which it is located: its play is lost motion, and no failure. Guess.
const LOOSEST_LOCATED: Length = Length::mm(0.25);
/// Least gap of a swivel that runs freely: its faces across the axis land on whole layers, off by
/// up to half of one. Guess.
const SWIVELS: Length = Length::mm(0.10);
/// Most of it. Guess.
const LOOSEST_SWIVEL: Length = Length::mm(0.40);
/// Of a pin on ribs, at their tips: what crushes them flat and presses the wall behind by 0.05, and
/// what hardly dents them (derived; see `docs/printing.md`).
const ON_RIBS: [Length; 2] = [Length::mm(-0.20), Length::mm(-0.02)];
/// Of a pin in a whole wall: guides name 0.05 mm for printed pins, but Lame's formula gives the 20 MPa
/// that layers bear at about 0.04 mm on 6 mm of diameter (`press-stress`).
const IN_WALL: [Length; 2] = [Length::mm(-0.04), Length::ZERO];
/// Least gap at the tips of ribs with which a thumb pushes a pin past them. Dents of 0.01 mm in three
/// ribs, each 2 sqrt(2 r 0.01) wide on a pin of radius r, ask for more than a thumb's 50 N (a guess) at
/// the friction and strength of PLA (derived): so it goes in where it meets no rib.
const PAST_RIBS: Length = Length::ZERO;
/// What may be filed off a pin that is too thick, radial. Guess.
const PIN_FILED: Length = Length::mm(0.08);
/// Up to this gap, glue or a wrap of tape holds a pin, which carries shear. Common practice.
const GLUED: Length = Length::mm(0.08);

/// What a hand feels of a fit that grows looser step by step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Felt {
    /// A screw runs through by fingers.
    Runs,
    /// A tongue slides by its weight.
    Slides,
    /// A push of the hand puts a part between two walls.
    PushedIn,
    /// A thumb pushes a pin past ribs.
    PastRibs,
    /// A pin is pressed into a whole wall, which does not crack.
    IntoWall,
}

impl Felt {
    /// The printed gap from which on it is felt, radial or a side: that from which the odds count on
    /// the fit ([`Outcomes::free`]), but of ribs, which are there to be crushed, that with which they
    /// hardly touch. What a kit wishes has no say in it.
    pub fn from(self) -> Length {
        match self {
            Self::Runs => RUNS,
            Self::Slides => SLIDES,
            Self::PushedIn => PUSHED_IN,
            Self::PastRibs => PAST_RIBS,
            Self::IntoWall => IN_WALL[0],
        }
    }
}

impl Outcomes {
    /// Of a joint on a printer; none for faces that only meet.
    pub fn of(joint: &Joint, profile: &Profile) -> Option<Self> {
        let gap = joint.gap.as_ref()?;
        let depth = joint.thread.as_ref().map(|joint| joint.thread.depth());
        Self::of_fit(joint.fit, gap.ribs.is_some(), depth, profile)
    }

    /// Of a kind of fit; none for faces that only meet, and for a thread without a depth.
    pub fn of_fit(fit: Fit, ribs: bool, depth: Option<Length>, profile: &Profile) -> Option<Self> {
        let filed = profile.line * -FILED_OFF;
        let between = |tight: Length, free: Length, loose: Length, lost: Length| {
            Some(Self {
                tight,
                free,
                loose,
                lost,
            })
        };
        match fit {
            Fit::Thread => {
                let flanks = Length::mm(profile.value(Term::FlankExtra));
                let loose = LOOSEST_THREAD.min(depth? * OVERLAP - flanks);
                let tight = (profile.layer * -RUN_IN).min(loose);
                between(tight, RUNS.min(loose), loose, loose)
            }
            Fit::Slide => between(filed, SLIDES, LOOSEST_SLIDE, LOOSEST_SLIDE),
            Fit::Locate => between(filed, PUSHED_IN, LOOSEST_LOCATED, LOOSEST_LOCATED),
            Fit::Swivel => between(filed, SWIVELS, LOOSEST_SWIVEL, LOOSEST_SWIVEL),
            Fit::Press => {
                let [least, most] = if ribs { ON_RIBS } else { IN_WALL };
                between(least - PIN_FILED, least, most, GLUED)
            }
            Fit::Seat | Fit::Stop => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::Material;

    fn untuned() -> Profile {
        let mm = Length::mm;
        Profile::untuned(mm(0.15), mm(0.45), [mm(220.0); 3], 4, Material::Pla)
    }

    fn of(fit: Fit, ribs: bool, depth: f64) -> [f64; 4] {
        let outcomes = Outcomes::of_fit(fit, ribs, Some(Length::mm(depth)), &untuned());
        let Outcomes {
            tight,
            free,
            loose,
            lost,
        } = outcomes.expect("a fit with a gap");
        [tight, free, loose, lost].map(Length::as_mm)
    }

    #[test]
    fn boundaries_ascend_for_every_fit_however_fine_its_thread() {
        for fit in [
            Fit::Thread,
            Fit::Slide,
            Fit::Locate,
            Fit::Swivel,
            Fit::Press,
        ] {
            for ribs in [false, true] {
                for depth in [0.1, 0.3, 0.54, 1.35, 3.2] {
                    let [tight, free, loose, lost] = of(fit, ribs, depth);
                    assert!(tight <= free && free <= loose && loose <= lost, "{fit:?}");
                }
            }
        }
    }

    #[test]
    fn a_hand_feels_what_the_odds_count_on_and_ribs_where_a_pin_hardly_dents_them() {
        for (felt, fit) in [
            (Felt::Runs, Fit::Thread),
            (Felt::Slides, Fit::Slide),
            (Felt::PushedIn, Fit::Locate),
            (Felt::IntoWall, Fit::Press),
        ] {
            assert_eq!(felt.from().as_mm(), of(fit, false, 1.0)[1], "{fit:?}");
        }
        let [.., loose, lost] = of(Fit::Press, true, 1.0);
        let ribs = Felt::PastRibs.from().as_mm();
        assert!(loose < ribs && ribs < lost, "{ribs}");
    }

    #[test]
    fn half_of_a_threads_depth_overlaps_when_it_is_as_loose_as_it_may_be() {
        // M6x1, 0.541 deep; flanks stand apart by the printed gap and the flank extra of 0.15.
        let [.., loose, lost] = of(Fit::Thread, false, 0.541);
        assert_eq!(loose, lost);
        approx::assert_abs_diff_eq!(0.541 - loose - 0.15, 0.541 / 2.0, epsilon = 1e-12);
        // A coarse one is not let to rattle by that much.
        assert_eq!(of(Fit::Thread, false, 1.353)[2], 0.30);
    }

    #[test]
    fn a_pin_that_only_touches_its_ribs_is_glued_and_one_that_crushes_them_flat_is_held() {
        let judged = |ribs: bool, gap: f64| {
            let [tight, free, loose, lost] = of(Fit::Press, ribs, 1.0);
            match gap {
                gap if gap < tight || gap > lost => "again",
                gap if gap < free || gap > loose => "fitted",
                _ => "as printed",
            }
        };
        for (gap, on_ribs, in_wall) in [
            (-0.01, "fitted", "as printed"),
            (-0.03, "as printed", "as printed"),
            (-0.05, "as printed", "fitted"),
            (-0.11, "as printed", "fitted"),
            (-0.15, "as printed", "again"),
            (-0.21, "fitted", "again"),
            (-0.29, "again", "again"),
            (0.09, "again", "again"),
        ] {
            assert_eq!(judged(true, gap), on_ribs, "{gap} on ribs");
            assert_eq!(judged(false, gap), in_wall, "{gap} in a whole wall");
        }
    }
}
