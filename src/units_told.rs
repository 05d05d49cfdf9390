//! How people are told quantities: metric kits in metric units, inch kits in inches (pounds)
//! first with the metric value in brackets behind.
//!
//! Turns a quantity and a number of decimals into words, for every room that words a message.
//! It knows the units alone; a kit says which way its maker reads ([`crate::kit::Kit::told`]).

use crate::units::{Force, Length, SpringRate, Stress, Torque};

/// The units in which a maker reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Millimetres, newtons, newton metres.
    Metric,
    /// Inches, pounds-force, pound-force inches; the metric value in brackets.
    Inch,
}

/// Finest fraction on a rule in inches (common practice).
const FINEST_FRACTION: u32 = 64;
/// Decimals of a force or torque that is typed: those of the least that a kit may give.
const TYPED: usize = 3;
/// Lengths nearer than this are one length: binary rounding, far below any printer. Guess.
const SAME: f64 = 1e-9;

impl Told {
    /// Of a kit whose bare numbers are inches, or millimetres.
    pub const fn of(inches: bool) -> Self {
        if inches { Self::Inch } else { Self::Metric }
    }

    /// A length, the metric value with up to `decimals` decimals. An inch has two decimals more, but
    /// none beyond what a caliper reads, or is a fraction where it is a whole number of 64ths.
    ///
    /// `33.34 mm`; `1 5/16 in (33.34 mm)`.
    pub fn length(self, length: Length, decimals: usize) -> String {
        let metric = format!("{} mm", number(length.as_mm(), decimals));
        match self {
            Self::Metric => metric,
            Self::Inch => format!("{} in ({metric})", inches(length, decimals)),
        }
    }

    /// From one length to another: `1.567 to 1.618 in (39.8 to 41.1 mm)`.
    pub fn between(self, low: Length, high: Length, decimals: usize) -> String {
        let told = |low: f64, high: f64, decimals| {
            format!("{} to {}", number(low, decimals), number(high, decimals))
        };
        let metric = format!("{} mm", told(low.as_mm(), high.as_mm(), decimals));
        match self {
            Self::Metric => metric,
            Self::Inch => {
                let inches = told(low.as_inches(), high.as_inches(), of_inches(decimals));
                format!("{inches} in ({metric})")
            }
        }
    }

    /// A force: `20 N`; `4.5 lbf (20 N)`.
    pub fn force(self, force: Force) -> String {
        let metric = format!("{} N", number(force.as_newtons(), 0));
        match self {
            Self::Metric => metric,
            Self::Inch => format!("{} lbf ({metric})", number(force.as_pounds(), 1)),
        }
    }

    /// A force as a kit's line has it: `20 N`; in an inch kit `4.5 lbf`.
    pub fn typed_force(self, force: Force) -> String {
        match self {
            Self::Metric => format!("{} N", number(force.as_newtons(), TYPED)),
            Self::Inch => format!("{} lbf", number(force.as_pounds(), TYPED)),
        }
    }

    /// A torque as a kit's line has it: `0.11 N m`; in an inch kit `1 lbf in`.
    pub fn typed_torque(self, torque: Torque) -> String {
        match self {
            Self::Metric => format!("{} N m", number(torque.as_newton_metres(), TYPED)),
            Self::Inch => format!("{} lbf in", number(torque.as_pound_inches(), TYPED)),
        }
    }

    /// A force of a spring, to a tenth: `12.8 N`; `2.9 lbf (12.8 N)`.
    pub fn fine_force(self, force: Force) -> String {
        let metric = format!("{} N", number(force.as_newtons(), 1));
        match self {
            Self::Metric => metric,
            Self::Inch => format!("{} lbf ({metric})", number(force.as_pounds(), 2)),
        }
    }

    /// The rate of a spring: `0.587 N/mm`; `3.35 lbf/in (0.587 N/mm)`.
    pub fn spring_rate(self, rate: SpringRate) -> String {
        let metric = format!("{} N/mm", number(rate.as_newtons_per_mm(), 3));
        match self {
            Self::Metric => metric,
            Self::Inch => {
                format!("{} lbf/in ({metric})", number(rate.as_pounds_per_inch(), 2))
            }
        }
    }

    /// A stress: `10.6 MPa`; `1540 psi (10.6 MPa)`.
    pub fn stress(self, stress: Stress) -> String {
        let metric = format!("{} MPa", number(stress.as_megapascals(), 1));
        match self {
            Self::Metric => metric,
            Self::Inch => format!("{} psi ({metric})", number(stress.as_psi(), 0)),
        }
    }

    /// Forces from one to another: `300 to 930 N`; `67 to 209 lbf (300 to 930 N)`.
    pub fn forces(self, [low, high]: [Force; 2]) -> String {
        let told = |low, high| match (rounded(low), rounded(high)) {
            (low, high) if low == high => low,
            (low, high) => format!("{low} to {high}"),
        };
        let metric = format!("{} N", told(low.as_newtons(), high.as_newtons()));
        match self {
            Self::Metric => metric,
            Self::Inch => {
                let pounds = told(low.as_pounds(), high.as_pounds());
                format!("{pounds} lbf ({metric})")
            }
        }
    }

    /// A torque: `0.11 N m`; `1 lbf in (0.11 N m)`.
    pub fn torque(self, torque: Torque) -> String {
        let metric = format!("{} N m", number(torque.as_newton_metres(), 2));
        match self {
            Self::Metric => metric,
            Self::Inch => format!("{} lbf in ({metric})", number(torque.as_pound_inches(), 1)),
        }
    }
}

/// Inches without their unit: a fraction where there is one, else decimals.
fn inches(length: Length, decimals: usize) -> String {
    fraction(length).unwrap_or_else(|| number(length.as_inches(), of_inches(decimals)))
}

/// Decimals of an inch that a caliper reads at the most: a tenth of a thousandth (common practice).
pub const CALIPER_OF_INCHES: usize = 4;

/// Decimals of an inch beside so many of a millimetre: a tenth of a millimetre is four thousandths.
const fn of_inches(decimals: usize) -> usize {
    match decimals + 2 {
        more if more > CALIPER_OF_INCHES => CALIPER_OF_INCHES,
        more => more,
    }
}

/// A length that is a whole number of 64ths of an inch, as a rule has it: `1 5/16`, `3/8`, `2`.
pub fn fraction(length: Length) -> Option<String> {
    let scaled = length.as_inches() * f64::from(FINEST_FRACTION);
    let count = scaled.round();
    // Longer than any kit: no rule is that long, and a count must stay exact.
    if !(1.0..=1e6).contains(&count) || (scaled - count).abs() > SAME * count {
        return None;
    }
    let mut top = count as u32;
    let mut bottom = FINEST_FRACTION;
    while bottom > 1 && top.is_multiple_of(2) {
        top /= 2;
        bottom /= 2;
    }
    let (whole, rest) = (top / bottom, top % bottom);
    Some(match (whole, rest) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{rest}/{bottom}"),
        _ => format!("{whole} {rest}/{bottom}"),
    })
}

/// A number to two digits, as an estimate is told: `460`, `1500`, `46`, `4.6`.
pub fn rounded(value: f64) -> String {
    let mut step = 0.1;
    while value.is_finite() && value.abs() / step >= 99.5 {
        step *= 10.0;
    }
    number((value / step).round() * step, 1)
}

/// A turn of the drive, counted in the direction of the stroke, for people, who are told no signs: `turn
/// 13.3`, `11 turns before turn 0`.
pub fn turn(turn: f64, decimals: usize) -> String {
    let told = number(turn.abs(), decimals);
    match (turn < 0.0, told.as_str()) {
        (true, "0") | (false, _) => format!("turn {told}"),
        (true, "1") => "1 turn before turn 0".into(),
        (true, _) => format!("{told} turns before turn 0"),
    }
}

/// A number with up to `decimals` decimals and no idle zeros: `0.75`, `13.3`, `10`.
pub fn number(value: f64, decimals: usize) -> String {
    // 3/8 in is 9.525 mm, and a hair less in binary: it is rounded as it is read.
    let value = value + value * SAME;
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    // A value that rounds to nothing keeps no sign.
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// From here nearly all copies are meant, or hardly any: what is told to a twentieth ends there.
const A_FEW: f64 = 0.025;

/// A share of copies as a count of 100: `about 45`. Odds of one printer are good to a tenth or so, so
/// to a twentieth is enough.
pub fn of_copies(share: f64) -> String {
    match share {
        share if share >= 1.0 - A_FEW => "nearly all".into(),
        share if share < A_FEW => "hardly any".into(),
        share => format!("about {:.0}", (share * 20.0).round() * 5.0),
    }
}

/// A share in whole hundredths: `85 %`.
pub fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lose_idle_zeros_but_not_their_own() {
        assert_eq!(number(0.75, 4), "0.75");
        assert_eq!(number(10.0, 2), "10");
        assert_eq!(number(100.0, 0), "100");
        assert_eq!(number(13.333_333, 2), "13.33");
        assert_eq!(number(-0.001, 2), "0");
    }

    #[test]
    fn inches_come_first_and_millimetres_in_brackets() {
        let told = |length| Told::Inch.length(length, 2);
        assert_eq!(told(Length::inches(1.3125)), "1 5/16 in (33.34 mm)");
        assert_eq!(told(Length::inches(0.375)), "3/8 in (9.53 mm)");
        assert_eq!(told(Length::inches(2.0)), "2 in (50.8 mm)");
        assert_eq!(told(Length::mm(10.0)), "0.3937 in (10 mm)");
        assert_eq!(told(Length::ZERO), "0 in (0 mm)");
        assert_eq!(Told::Metric.length(Length::inches(0.375), 2), "9.53 mm");
    }

    #[test]
    fn a_range_names_its_unit_once() {
        let told = |told: Told| told.between(Length::mm(39.8), Length::mm(41.1), 1);
        assert_eq!(told(Told::Metric), "39.8 to 41.1 mm");
        assert_eq!(told(Told::Inch), "1.567 to 1.618 in (39.8 to 41.1 mm)");
    }

    #[test]
    fn estimates_are_told_to_two_digits() {
        for (value, text) in [
            (459.4, "460"),
            (996.0, "1000"),
            (45.94, "46"),
            (4.594, "4.6"),
            (0.04, "0"),
            (1_234.0, "1200"),
        ] {
            assert_eq!(rounded(value), text);
        }
        let forces = |low, high| Told::Metric.forces([Force::newtons(low), Force::newtons(high)]);
        assert_eq!(forces(301.0, 933.0), "300 to 930 N");
        assert_eq!(forces(301.0, 299.0), "300 N");
    }

    #[test]
    fn pounds_match_the_published_factors() {
        // NIST SP 811 (2008), appendix B.8: 1 lbf = 4.448 222 N, 1 lbf in = 0.112 984 8 N m.
        assert_eq!(Told::Inch.force(Force::newtons(22.241_11)), "5 lbf (22 N)");
        // NIST SP 811 (2008), appendix B.8: 1 psi = 6.894 757 kPa.
        assert_eq!(
            Told::Inch.stress(Stress::megapascals(6.894_757)),
            "1000 psi (6.9 MPa)"
        );
        assert_eq!(
            Told::Inch.torque(Torque::newton_metres(2.033_726)),
            "18 lbf in (2.03 N m)"
        );
    }
}
