//! Every joint's gap as wanted, as drawn and as it will be printed, with the odds that it does
//! its work and what one more hundredth of a millimetre would do.

use super::product::{OddsFigures, Product};
use crate::assembly::Fit;
use crate::output::words::plain;
use crate::units::Length;
use crate::units_told::{CALIPER_OF_INCHES, Told, number, of_copies, percent};

/// One kind of joint; joints that are alike share a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The joints: `cross pin/carriage`, or `2 keeper pins/frame`.
    pub joint: String,
    /// The kind of fit.
    pub fit: &'static str,
    /// Radial or a side, in the kit's unit.
    pub wanted: String,
    /// The same.
    pub drawn: String,
    /// The same, as an interval.
    pub printed: String,
    /// Percent of copies that go together as printed.
    pub as_printed: String,
    /// The same after filing or running in.
    pub usable: String,
}

/// Titles of the columns.
pub fn titles(told: Told) -> Row {
    let unit = match told {
        Told::Metric => "mm",
        Told::Inch => "in",
    };
    Row {
        joint: format!("gap a side, {unit}"),
        fit: "fit",
        wanted: "wanted".into(),
        drawn: "drawn".into(),
        printed: "printed".into(),
        as_printed: "goes".into(),
        usable: "fitted".into(),
    }
}

/// What the list rests on.
pub const BASIS: &str = "Printed: 19 of 20 copies, if the printer's profile is right. Goes: the share of \
                         copies that go together by hand as they come off the bed; fitted: the same, or \
                         after a file, running in or glue. Both are estimates and good to a tenth or \
                         so. Where crush ribs hold a pin, its gaps are those at their tips.";

/// What becomes of the whole kit, in sentences; empty where that was not worked out.
pub fn whole_kit(product: &Product) -> Vec<String> {
    let Some(OddsFigures { now, .. }) = &product.odds else {
        return Vec::new();
    };
    vec![format!(
        "The whole kit, {} fits from one bed: of 100 copies {} go together as printed and {} after \
         filing or running in; {} want some part again{}.",
        now.fits,
        of_copies(now.as_printed),
        of_copies(now.usable),
        of_copies(1.0 - now.usable),
        now.causes(),
    )]
}

/// What test pieces cost and bring on a printer that was never measured; `None` on a measured one.
pub fn not_tuned(product: &Product) -> Option<String> {
    let odds = product.odds.as_ref().filter(|odds| !odds.tuned)?;
    let cost = odds.quick_pieces.map_or(String::new(), |minutes| {
        format!(" (the quick ones print in about {})", minutes.told())
    });
    let bring = match odds.known.as_printed - odds.now.as_printed < SAME_ODDS {
        true => "would change the odds of this kit little".into(),
        false => format!(
            "would bring {} of 100 copies to go together as printed, at the most",
            of_copies(odds.known.as_printed)
        ),
    };
    Some(format!(
        "Not tuned yet: what is said of fits rests on a printer like most. Test pieces{cost} {bring}: \
         netlead coupon KIT.toml --quick"
    ))
}

/// Odds that are told alike: a twentieth is not told apart by two hundredths. Guess.
const SAME_ODDS: f64 = 0.02;

/// What each joint adds to the motion that is lost at a reversal, in sentences; the sum stands
/// with the motion.
pub fn plays(product: &Product) -> Vec<String> {
    let told = product.kit.told();
    let assembly = &product.design.assembly;
    let mut lines: Vec<String> = assembly
        .joints
        .iter()
        .zip(&product.joints)
        .filter_map(|(joint, figures)| {
            let [low, _, high] = figures.play?;
            let names = joint
                .between
                .map(|piece| plain(&assembly.instance(piece).called));
            let turns = [low, high].map(|play| number(play / product.motion.net_lead, 2));
            let told = if low == high {
                format!("{}, {} turns", told.length(low, 2), turns[0])
            } else {
                format!(
                    "{}, {} turns",
                    told.between(low, high, 2),
                    turns.join(" to ")
                )
            };
            Some(format!(
                "{} ({}): {told}",
                names.join(" in "),
                joint.fit.word()
            ))
        })
        .collect();
    let fits = assembly.joints.iter().zip(&product.joints);
    let with_play = fits.filter(|(_, figures)| figures.play.is_some());
    lines.extend(play_source(with_play.map(|(joint, _)| joint.fit)));
    lines
}

/// Where the plays of joints of these fits come from; nothing where there are none.
fn play_source(fits: impl Iterator<Item = Fit>) -> Option<String> {
    const SOURCES: [&str; 3] = [
        "of a thread: 2 tan 30 degrees times its radial gap (flanks of ISO 68-1)",
        "of a swivel or pin: its gap once",
        "of a seat: the gaps at both of its ends together",
    ];
    let mut named = [false; SOURCES.len()];
    for fit in fits {
        match fit {
            Fit::Thread => named[0] = true,
            Fit::Swivel | Fit::Locate | Fit::Press | Fit::Slide | Fit::Stop => named[1] = true,
            Fit::Seat => named[2] = true,
        }
    }
    let told = SOURCES.into_iter().zip(named).filter(|(_, named)| *named);
    let told: Vec<&str> = told.map(|(source, _)| source).collect();
    (!told.is_empty()).then(|| format!("play {}", told.join("; ")))
}

/// The rows, in the order of the joints.
pub fn rows(product: &Product) -> Vec<Row> {
    let told = product.kit.told();
    let assembly = &product.design.assembly;
    let mut rows: Vec<(String, usize, Row)> = Vec::new();
    for (joint, figures) in assembly.joints.iter().zip(&product.joints) {
        let (Some(gap), Some(printed)) = (&joint.gap, &figures.printed) else {
            continue;
        };
        let [low, high] = printed.gap.interval();
        let row = Row {
            joint: String::new(),
            fit: joint.fit.word(),
            wanted: length(told, gap.wanted),
            drawn: length(told, gap.drawn),
            printed: format!("{} to {}", length(told, low), length(told, high)),
            as_printed: percent(printed.odds.as_printed),
            usable: percent(printed.odds.usable),
        };
        // `keeper pin 1/frame` and `keeper pin 2/frame` are one row.
        let names = joint
            .between
            .map(|piece| plain(base(&assembly.instance(piece).called)));
        let name = names.join(" in ");
        match rows
            .iter_mut()
            .find(|(known, _, other)| *known == name && *other == row)
        {
            Some((_, count, _)) => *count += 1,
            None => rows.push((name, 1, row)),
        }
    }
    let named = |(name, count, row): (String, usize, Row)| Row {
        joint: if count > 1 {
            format!("{count} x {name}")
        } else {
            name
        },
        ..row
    };
    rows.into_iter().map(named).collect()
}

/// A piece's name without its number.
fn base(name: &str) -> &str {
    name.trim_end_matches(|c: char| c.is_ascii_digit())
        .trim_end()
}

/// A gap without its unit: hundredths of a millimetre, or tenths of a thousandth of an inch.
pub fn length(told: Told, gap: Length) -> String {
    let text = match told {
        Told::Metric => format!("{:.2}", gap.as_mm()),
        Told::Inch => format!("{:.CALIPER_OF_INCHES$}", gap.as_inches()),
    };
    // A gap that rounds to nothing keeps no sign.
    if text.trim_start_matches(['-', '0', '.']).is_empty() {
        text.trim_start_matches('-').to_string()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::{InstanceId, Joint};
    use crate::output::kit::{JointFigures, fixture};
    use crate::printer::{Profile, judged};
    use crate::strength::Material;

    #[test]
    fn the_source_of_plays_names_the_kinds_of_joints_that_have_one_and_no_others() {
        let told = |fits: &[Fit]| play_source(fits.iter().copied());
        assert_eq!(told(&[]), None);
        let tandem = told(&[Fit::Thread, Fit::Seat, Fit::Thread]).unwrap();
        assert!(
            tandem.contains("of a thread") && tandem.contains("of a seat"),
            "{tandem}"
        );
        assert!(!tandem.contains("swivel"), "{tandem}");
        let single = told(&[Fit::Thread, Fit::Swivel]).unwrap();
        assert!(
            single.contains("of a swivel") && !single.contains("seat"),
            "{single}"
        );
    }

    #[test]
    fn pins_that_are_alike_share_a_row_and_joints_without_a_gap_have_none() {
        let mut product = fixture::nested();
        let joints = &mut product.design.assembly.joints;
        // A second keeper pin like the first, a seat, and a stop, which has no gap.
        let keeper_pin = |joint: &&Joint| joint.name == "keeper pin 1/frame";
        let first = joints.iter().find(keeper_pin).unwrap().clone();
        let like = |fit, gap, piece| Joint {
            fit,
            gap,
            between: [InstanceId(piece), first.between[1]],
            ..first.clone()
        };
        let more = [
            like(Fit::Press, first.gap, 7),
            like(Fit::Seat, first.gap, 4),
            like(Fit::Stop, None, 3),
        ];
        joints.extend(more);
        let (layer, line, bed) = (Length::mm(0.15), Length::mm(0.45), [Length::mm(220.0); 3]);
        let profile = Profile::untuned(layer, line, bed, 4, Material::Pla);
        let printed = judged(&product.design.assembly, &profile).into_iter();
        product.joints = printed
            .map(|printed| JointFigures {
                printed,
                ..JointFigures::default()
            })
            .collect();
        let rows = rows(&product);
        let joint = |name: &str| rows.iter().find(|row| row.joint == name).unwrap();
        assert_eq!(joint("drive screw in frame").wanted, "0.04");
        assert_eq!(joint("drive screw in frame").drawn, "0.25");
        assert_eq!(joint("2 x keeper pin in frame").fit, "press");
        // Seven joints of the fixture; the second pin shares a row, seat and stop have none.
        assert_eq!(rows.len(), 7);
    }

    #[test]
    fn a_gap_of_nothing_has_no_sign() {
        assert_eq!(length(Told::Metric, Length::mm(-0.001)), "0.00");
        assert_eq!(length(Told::Metric, Length::mm(-0.02)), "-0.02");
        assert_eq!(length(Told::Inch, Length::inches(0.0016)), "0.0016");
    }
}
