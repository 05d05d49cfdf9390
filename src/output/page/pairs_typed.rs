//! A wish as the command that asks for it.

use crate::kit::{LayoutKind, word};
use crate::output::words::plain;
use crate::pairs::{Hands, Series, Wish};
use crate::units::Length;
use crate::units_told::number;

/// Digits behind the point of a length, in mm or inches, that keep a thread's lead apart from another's.
const DECIMALS: usize = 6;
/// A length that may be rounded to this and stay what it is, in mm or inches.
const ROUNDING: f64 = 5e-7;

/// The command that asks for a wish, to be typed in a shell; `unsaid` is the wish of what holds where
/// nothing is said.
pub(crate) fn command(wish: &Wish, unsaid: &Wish) -> String {
    let mut words = vec!["netlead pairs".to_owned()];
    words.extend(travel(wish));
    let mut said = |name: &str, value: String| words.push(format!("--{name} {}", quoted(&value)));
    said("stroke", length(wish, wish.stroke));
    if (wish.tolerance - unsaid.tolerance).abs() > f64::EPSILON {
        said("tolerance", number(wish.tolerance * 100.0, 4));
    }
    if let Some(load) = wish.load {
        said(
            "load",
            match wish.inches {
                false => format!("{} N", number(load.as_newtons(), 3)),
                true => format!("{} lbf", number(load.as_pounds(), 3)),
            },
        );
    }
    if let Some(sides) = wish.within {
        let sides = sides.map(|side| number(side.up_to(THOUSANDTH).as_mm(), 3));
        said("within", format!("{}mm", sides.join("x")));
    }
    if wish.layouts != unsaid.layouts {
        let layouts: Vec<&str> = wish
            .layouts
            .iter()
            .map(|layout: &LayoutKind| word(*layout))
            .collect();
        said("layout", layouts.join(","));
    }
    if wish.series != unsaid.series {
        let series: Vec<&str> = wish.series.iter().map(|series| series.word()).collect();
        said(
            "series",
            match wish.series.len() == Series::ALL.len() {
                true => "all".into(),
                false => series.join(","),
            },
        );
    }
    if let Some(step) = wish.pitch_step {
        said(
            "pitch-step",
            format!("{} mm", number(step.as_mm(), DECIMALS)),
        );
    }
    match wish.hands {
        Hands::Same => {}
        Hands::Opposite => said("hands", "opposite".into()),
        Hands::Either => said("hands", "either".into()),
    }
    if wish.starts != unsaid.starts {
        said("starts", wish.starts.to_string());
    }
    for (key, value) in &wish.settings {
        if !unsaid.settings.contains(&(key.clone(), value.clone())) {
            said("with", format!("{key}={value}"));
        }
    }
    for (flag, set) in [("--mixed", wish.mixed), ("--inch", wish.inches)] {
        if set {
            words.push(flag.into());
        }
    }
    plain(&words.join(" "))
}

/// Lengths of a room are rounded up to this.
const THOUSANDTH: Length = Length::mm(0.001);

/// The words for the travel in a turn, or in a tick.
fn travel(wish: &Wish) -> Vec<String> {
    let said = |name: &str, value: &str| format!("--{name} {}", quoted(value));
    let Some(ticks) = wish.ticks else {
        let per_inch = 1.0 / wish.net_lead.as_inches();
        return vec![match wish.inches
            && (per_inch * SHORT - (per_inch * SHORT).round()).abs() < ROUNDING * SHORT
        {
            true => said("per-inch", &number(per_inch, DECIMALS)),
            false => said("net-lead", &length(wish, wish.net_lead)),
        }];
    };
    let tick = wish.net_lead / f64::from(ticks);
    let count = said("ticks", &ticks.to_string());
    match is_short(wish, tick) {
        true => vec![said("tick", &length(wish, tick)), count],
        false => vec![said("net-lead", &length(wish, wish.net_lead)), count],
    }
}

/// What has no more than four digits behind its point is short, and said as it is.
const SHORT: f64 = 10_000.0;

/// Whether a length is what its digits say.
fn is_short(wish: &Wish, length: Length) -> bool {
    let value = match wish.inches {
        false => length.as_mm(),
        true => length.as_inches(),
    };
    (value * SHORT - (value * SHORT).round()).abs() < ROUNDING * SHORT
}

/// A length in the units of the wish.
fn length(wish: &Wish, length: Length) -> String {
    match wish.inches {
        false => number(length.as_mm(), DECIMALS),
        true => number(length.as_inches(), DECIMALS),
    }
}

/// A word as a shell takes it for one.
fn quoted(word: &str) -> String {
    let bare = word
        .chars()
        .all(|letter| letter.is_ascii_alphanumeric() || "./=,-_".contains(letter));
    match bare && !word.is_empty() {
        true => word.to_owned(),
        false => format!("'{}'", word.replace('\'', "'\\''")),
    }
}
