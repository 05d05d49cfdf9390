//! Screws and rods whose own lead is the wish: then nothing needs to be printed but what holds them.

use super::EXACT;
use super::series::Series;
use crate::thread::Thread;
use crate::thread::series::Choice;
use crate::units::Length;

/// A screw to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct ToBuy {
    /// How it is asked for: `M6`, `1/4-20 UNC`, `Tr8x1.5`.
    pub designation: String,
    /// Its lead.
    pub lead: Length,
    /// What lays it down.
    pub standard: &'static str,
}

/// Thicker rods are heavy beside what is printed around them. Guess.
const THICKEST: Length = Length::mm(12.0);

/// Trapezoidal screws of one start that shops stock as rods, nominal diameter and pitch in mm: ISO 2904
/// (sizes from memory).
const TRAPEZOIDAL: [(f64, f64); 4] = [(8.0, 1.5), (10.0, 2.0), (12.0, 3.0), (16.0, 4.0)];

/// Screws with coarse threads of first choice, and trapezoidal rods, whose lead is the wished travel in a turn; those
/// of the maker's own units first, the thinner first.
pub fn to_buy(net_lead: Length, inches: bool) -> Vec<ToBuy> {
    let is_it = |lead: Length| (lead - net_lead).abs() <= net_lead * EXACT;
    let of_series = |series: Series, standard: &'static str| {
        let threads = series.threads().into_iter();
        let common = |thread: &Thread| thread.choice() == Some(Choice::First);
        let thin = threads.filter(move |thread| thread.major() <= THICKEST && common(thread));
        let met = thin.filter(move |thread| is_it(thread.lead()));
        met.map(move |thread: Thread| ToBuy {
            designation: thread.designation(),
            lead: thread.lead(),
            standard,
        })
    };
    let trapezoidal = TRAPEZOIDAL
        .iter()
        .filter(|(_, pitch)| is_it(Length::mm(*pitch)));
    let trapezoidal = trapezoidal.map(|(major, pitch)| ToBuy {
        designation: format!("Tr{major}x{pitch}"),
        lead: Length::mm(*pitch),
        standard: "ISO 2904",
    });
    let metric = of_series(Series::IsoCoarse, "ISO 261").chain(trapezoidal);
    let unified = of_series(Series::Unc, "ASME B1.1");
    match inches {
        false => metric.chain(unified).collect(),
        true => unified.chain(metric).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_screw_to_buy_has_the_wished_lead() {
        let first = |mm: f64| {
            to_buy(Length::mm(mm), false)
                .into_iter()
                .map(|one| one.designation)
                .next()
        };
        // ISO 261, coarse pitches.
        assert_eq!(first(0.5).as_deref(), Some("M3x0.5"));
        assert_eq!(first(0.7).as_deref(), Some("M4x0.7"));
        assert_eq!(first(1.0).as_deref(), Some("M6x1"));
        assert_eq!(first(1.5).as_deref(), Some("M10x1.5"));
        assert_eq!(first(2.0).as_deref(), Some("Tr10x2"));
        assert_eq!(first(0.33), None);
        // ASME B1.1: 1/4-20 has 20 threads an inch.
        let inch = to_buy(Length::inches(0.05), true);
        assert_eq!(
            inch.first().map(|one| one.designation.as_str()),
            Some("1/4-20 UNC")
        );
    }
}
