//! The gap to want where a kit does not say: that of the least expected cost.
//!
//! A gap too tight costs a part, one a little tight a file, and every hundredth of play costs the
//! maker who works with the mechanism. All three in hours, so that they add up.

use super::normal;
use super::outcome::Outcomes;
use super::profile::Profile;
use crate::assembly::{Fit, Mates};
use crate::kit::Prices;
use crate::units::Length;

/// Gaps that are looked at, in hundredths of a millimetre. Every window's middle is among them.
const HUNDREDTHS: std::ops::RangeInclusive<i32> = -30..=60;
const HUNDREDTH: Length = Length::mm(0.01);

/// The play along the axis of a printed gap of 1 mm, as far as it costs.
///
/// A thread's is 2 tan 30 deg (flanks of ISO 68-1), a swivel's its gap once. A carriage that is loose
/// in its slide tilts, which costs half as much (guess). Of five located pieces one stands in the
/// chain of the axis; of the others a fifth is counted (guess). A pressed pin has none.
fn play_share(fit: Fit) -> f64 {
    match fit {
        Fit::Thread => 1.155,
        Fit::Swivel => 1.0,
        Fit::Slide => 0.5,
        Fit::Locate => 0.36,
        Fit::Press | Fit::Seat | Fit::Stop => 0.0,
    }
}

/// The gap of a kind of fit with the least expected cost on an untuned printer, to a hundredth of a
/// millimetre; radial or a side. `depth` is that of a thread. None for faces that only meet.
///
/// It does not follow the profile: over tuned, sloppy and good printers the best moves by 0.02 mm,
/// and a gap that stays keeps drawings comparable.
pub fn best_gap(
    fit: Fit,
    ribs: bool,
    depth: Option<Length>,
    untuned: &Profile,
    prices: &Prices,
) -> Option<Length> {
    let outcomes = Outcomes::of_fit(fit, ribs, depth, untuned)?;
    let taken = untuned.gap(fit, Length::ZERO, Mates::PRINTED, Length::ZERO);
    let deviation = untuned.printed(fit, &taken)?.deviation;
    let cost = |gap: &Length| {
        let inside = |least: Length, most: Length| {
            let variance = deviation.as_mm() * deviation.as_mm();
            normal::inside([least.as_mm(), most.as_mm()], gap.as_mm(), variance)
        };
        let usable = inside(outcomes.tight, outcomes.lost);
        let fitted = usable - inside(outcomes.free, outcomes.loose);
        let play = gap.max(Length::ZERO).as_mm() * play_share(fit);
        *prices.reprint * (1.0 - usable) + *prices.fitting * fitted + *prices.play * play
    };
    let gaps = HUNDREDTHS.map(|step| HUNDREDTH * f64::from(step));
    gaps.min_by(|a, b| cost(a).total_cmp(&cost(b)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit::key;
    use crate::strength::Material;

    fn untuned() -> Profile {
        let mm = Length::mm;
        Profile::untuned(mm(0.15), mm(0.45), [mm(220.0); 3], 4, Material::Pla)
    }

    fn prices(reprint: f64, fitting: f64, play: f64) -> Prices {
        let said = crate::declared::Said::default_value;
        Prices {
            reprint: said(reprint),
            fitting: said(fitting),
            play: said(play),
        }
    }

    fn best(fit: Fit, ribs: bool, depth: f64, prices: &Prices) -> f64 {
        let gap = best_gap(fit, ribs, Some(Length::mm(depth)), &untuned(), prices);
        gap.expect("a fit with a gap").as_mm()
    }

    #[test]
    fn the_gaps_of_the_least_cost_are_those_that_the_manual_names() {
        let shipped = prices(1.5, 0.5, 1.0);
        for (fit, ribs, gap, key) in [
            (Fit::Thread, false, "0.1 mm", &key::GAP_THREAD),
            (Fit::Slide, false, "0.14 mm", &key::GAP_SLIDE),
            (Fit::Locate, false, "0.09 mm", &key::GAP_LOCATE),
            (Fit::Swivel, false, "0.2 mm", &key::GAP_SWIVEL),
            (Fit::Press, true, "-0.11 mm on ribs", &key::GAP_PRESS),
            (
                Fit::Press,
                false,
                "-0.02 mm in the whole wall",
                &key::GAP_PRESS,
            ),
        ] {
            // M20x2.5.
            let found = best(fit, ribs, 1.353, &shipped);
            let told = crate::units_told::number(found, 2);
            assert!(gap.starts_with(&format!("{told} mm")), "{fit:?}: {told}");
            let manual = key::keys().into_iter();
            let mut row = manual.filter(|row| row.path == key.name().as_str());
            let absent = row.next().expect("a key of the manual").absent;
            assert!(absent.contains(gap), "{absent}");
        }
    }

    #[test]
    fn fine_threads_want_less_so_that_they_overlap() {
        // M20x2.5, M8x1.25, M6x1.
        let gaps = [1.353, 0.677, 0.541]
            .map(|depth| best(Fit::Thread, false, depth, &prices(1.5, 0.5, 1.0)));
        assert!(gaps[0] > gaps[1] && gaps[1] > gaps[2], "{gaps:?}");
    }

    #[test]
    fn who_pays_more_for_play_gets_less_of_it_and_who_hates_a_file_more() {
        let of = |prices: Prices| best(Fit::Thread, false, 1.353, &prices);
        let shipped = of(prices(1.5, 0.5, 1.0));
        assert!(of(prices(1.5, 0.5, 3.0)) < shipped);
        assert!(of(prices(1.5, 2.0, 1.0)) > shipped);
        assert!(of(prices(1.5, 0.5, 0.0)) > shipped);
    }
}
