//! What is told of the ticks around the head: their value, how they are counted, what a reversal loses of
//! them, and turns and ticks against travel.

use super::preload_words;
use super::product::Product;
use crate::layout::Ticks;
use crate::output::words::turning_words;
use crate::units::Length;
use crate::units_told::{Told, number};

/// Decimals of a millimetre in which a tick is told.
const TICK: usize = 4;
/// Decimals of a millimetre of a travel in the table.
const TRAVEL: usize = 3;
/// Decimals of a tick: the eye tells tenths between two.
const TENTHS: usize = 1;
/// The same as parts.
const TENTHS_OF_A_TICK: f64 = 10.0;
/// Most rows of the table, so that it is taken in at a glance.
const ROWS: f64 = 10.0;

/// In one line, for a page that has many.
pub(super) fn line(product: &Product, ticks: &Ticks) -> String {
    let told = product.kit.told();
    let lost = match (preload_words::lost(product), lost(product, ticks)) {
        (Some(left), _) => format!(
            ", of which a reversal loses up to {} with the spring",
            number(parts_up(left * f64::from(ticks.count)), TENTHS)
        ),
        (None, Some([low, high])) => format!(", of which a reversal loses {low} to {high}"),
        (None, None) => String::new(),
    };
    format!(
        "{} ticks of {}{lost}; the count rises {}",
        ticks.count,
        told.length(ticks.each, TICK),
        turning_words(ticks.rises)
    )
}

/// In sentences.
pub(in crate::output) fn sentences(product: &Product) -> Vec<String> {
    let Some(ticks) = &product.design.dial else {
        return Vec::new();
    };
    let told = product.kit.told();
    let way = turning_words(ticks.rises);
    let whose = match product.design.assembly.carriages.others.is_empty() {
        true => "the carriage",
        false => "the near carriage",
    };
    let mut all = vec![
        format!(
            "One tick of the dial is {} of {whose}: {} of them make a turn.",
            told.length(ticks.each, TICK),
            ticks.count
        ),
        format!(
            "It is read {}, where its wide tick, zero, stands at turn 0. From zero on every tenth tick is \
             long and every fifth of medium length.",
            ticks.read
        ),
        format!("Turned {way}, it counts up while the stroke is carried out."),
    ];
    let sprung = preload_words::lost(product).map(|lost| lost * f64::from(ticks.count));
    if let Some(left) = sprung {
        let high = number(parts_up(left), TENTHS);
        all.push(format!(
            "The spring takes up the play: a reversal loses up to {high} ticks, by what the carriage turns, \
             and what bends beside. Read it coming from one side all the same where that matters."
        ));
    } else if let Some([low, high]) = lost(product, ticks) {
        all.push(format!(
            "Nothing takes up the play: a reversal loses {low} to {high} ticks, after which the dial tells \
             nothing until as many have passed. So come from one side: go back beyond the place by more \
             than that, then on, {way}, to it."
        ));
    }
    all.extend(table(told, ticks, product.design.course.stroke));
    all
}

/// Ticks that a reversal loses, least and most, each rounded to the side on which it is safe.
fn lost(product: &Product, ticks: &Ticks) -> Option<[String; 2]> {
    let lost = product.motion.lost_motion_turns?;
    let count = f64::from(ticks.count);
    Some([
        number((lost.low * count).floor(), 0),
        number((lost.high * count).ceil(), 0),
    ])
}

/// Ticks, up to the next tenth.
fn parts_up(ticks: f64) -> f64 {
    (ticks * TENTHS_OF_A_TICK).ceil() / TENTHS_OF_A_TICK
}

/// Turns and ticks against travel, in round steps of the units in which the kit is written.
fn table(told: Told, ticks: &Ticks, stroke: Length) -> Vec<String> {
    let one = match told {
        Told::Metric => Length::mm(1.0),
        Told::Inch => Length::inches(1.0),
    };
    let Some(step) = round_step(stroke / one / ROWS) else {
        return Vec::new();
    };
    let rows = (stroke / one / step + SAME).floor() as usize;
    (1..=rows)
        .map(|row| {
            let travel = one * (step * row as f64);
            let [turns, over] = turns_and_ticks(travel, ticks);
            let plural = if turns == 1.0 { "" } else { "s" };
            format!(
                "{}: {turns:.0} turn{plural} and {} ticks",
                told.length(travel, TRAVEL),
                number(over, TENTHS)
            )
        })
        .collect()
}

/// Rounding of a quotient.
const SAME: f64 = 1e-9;

/// Whole turns and the ticks beyond them, to tenths.
fn turns_and_ticks(travel: Length, ticks: &Ticks) -> [f64; 2] {
    const PARTS: f64 = 10.0;
    let count = f64::from(ticks.count);
    let all = (travel / ticks.each * PARTS).round() / PARTS;
    let turns = (all / count + SAME).floor();
    [turns, (all - turns * count).max(0.0)]
}

/// The least of 1, 2 and 5 times a power of ten that is not less.
fn round_step(least: f64) -> Option<f64> {
    const DECADES: [f64; 10] = [1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.1, 1.0, 10.0, 100.0, 1000.0];
    let steps = DECADES
        .iter()
        .flat_map(|decade| [1.0, 2.0, 5.0].map(|part| part * decade));
    let mut steps = steps.filter(|step| *step >= least * (1.0 - SAME));
    steps.next()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assembly::Turning;

    fn ticks(count: u32, lead: f64) -> Ticks {
        Ticks {
            count,
            each: Length::mm(lead) / f64::from(count),
            rises: Turning::Clockwise,
            read: "",
        }
    }

    #[test]
    fn a_hundredth_a_tick_takes_two_turns_for_a_millimetre() {
        let rows = table(Told::Metric, &ticks(50, 0.5), Length::mm(15.0));
        assert_eq!(rows[0], "2 mm: 4 turns and 0 ticks");
        assert_eq!(rows.len(), 7);
    }

    #[test]
    fn what_is_left_of_a_turn_is_told_in_ticks() {
        // 4 mm at three quarters a turn: 5 1/3 turns, a third of 50 ticks.
        let rows = table(Told::Metric, &ticks(50, 0.75), Length::mm(10.0));
        assert_eq!(rows[3], "4 mm: 5 turns and 16.7 ticks");
    }

    #[test]
    fn no_row_says_as_many_ticks_as_make_a_turn() {
        for lead in [0.1, 0.3, 0.7499999, 0.8684, 2.309, 4.25] {
            for count in [5, 36, 50, 200] {
                let ticks = ticks(count, lead);
                for tenth in 1..400 {
                    let travel = Length::mm(f64::from(tenth) / 10.0);
                    let [turns, over] = turns_and_ticks(travel, &ticks);
                    assert!(
                        over < f64::from(count) - 0.05,
                        "{lead} {count} {tenth}: {over}"
                    );
                    let back = ticks.each * (turns * f64::from(count) + over);
                    assert!((back - travel).abs() <= ticks.each * 0.051);
                }
            }
        }
    }
}
