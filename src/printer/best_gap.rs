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
