//! Whether readings can be what they are said to be: a swapped unit, a travel that is a
//! depth, a slip of the pen.
//!
//! Each complaint names the row's line and what to type. Judged before anything is fitted.

use super::measured::{Measured, Row, Unit};
use super::predict::Prediction;
use crate::diagnostic::Diagnostic;
use crate::units::{Length, MM_PER_INCH};

/// How far from the predicted lead a slope may be to be that of a swapped unit, as a share.
/// Guess: far from the 25.4 that it must explain.
const UNIT_SLACK: f64 = 0.3;
/// Travel that a row may stand off the others beyond the stroke: plays and over-travel. Guess.
const OFF_STROKE: Length = Length::mm(10.0);
/// Turns beyond this many strokes cannot be. Guess.
const MOST_STROKES: f64 = 3.0;
/// Standard uncertainties by which a slope must fall to say that readings fall. Guess.
const SURE: f64 = 4.0;

/// Everything that cannot be believed.
pub(super) fn complaints(measured: &Measured, prediction: &Prediction) -> Vec<Diagnostic> {
    let mut list = turns(measured, prediction);
    let Some(slope) = median_slope(measured) else {
        let at = measured.rows.last().map_or(0..0, |row| row.at.clone());
        list.push(
            Diagnostic::error(
                "all rows are at one turn, so there is no travel to judge",
                at,
            )
            .mend("measure at turn 0 and at another turn"),
        );
        return list;
    };
    let whole = slope / prediction.net_lead.as_mm();
    if let Some(problem) = swapped_unit(measured, prediction, whole) {
        list.push(problem);
    } else if let Some(problem) = wrong_way(measured, slope) {
        list.push(problem);
    } else {
        list.extend(off_the_rest(measured, prediction, slope));
    }
    list
}

fn turns(measured: &Measured, prediction: &Prediction) -> Vec<Diagnostic> {
    let most = MOST_STROKES * prediction.turns;
    let beyond = measured.rows.iter().filter(|row| row.turns.abs() > most);
    beyond
        .map(|row| {
            let message = format!(
                "{} turns; the whole stroke takes {:.2}",
                row.turns, prediction.turns
            );
            Diagnostic::error(message, row.at.clone())
                .label("more than three strokes")
                .mend("give turns of the drive head from turn 0, not degrees or marks of a dial")
        })
        .collect()
}

/// The median of the slopes of all pairs of rows, which a few slips do not move (Theil 1950,
/// Sen 1968; from memory), in mm of travel for a turn.
fn median_slope(measured: &Measured) -> Option<f64> {
    let travels = measured.travels();
    let mut slopes = Vec::new();
    for (i, a) in measured.rows.iter().enumerate() {
        for (j, b) in measured.rows.iter().enumerate().skip(i + 1) {
            let turns = b.turns - a.turns;
            if turns != 0.0 {
                slopes.push((travels[j] - travels[i]) / turns);
            }
        }
    }
    median(slopes)
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    match values.len() {
        0 => None,
        count if count % 2 == 1 => Some(values[middle]),
        _ => Some(f64::midpoint(values[middle - 1], values[middle])),
    }
}

/// A lead that is off by 25.4 either way.
fn swapped_unit(measured: &Measured, prediction: &Prediction, whole: f64) -> Option<Diagnostic> {
    let near = |factor: f64| (whole.abs() * factor - 1.0).abs() < UNIT_SLACK;
    let (said, meant) = match measured.unit {
        Unit::Mm if near(MM_PER_INCH) => (Unit::Mm, Unit::Inch),
        Unit::Inch if near(1.0 / MM_PER_INCH) => (Unit::Inch, Unit::Mm),
        _ => return None,
    };
    let message = format!(
        "the carriage would travel {:.4} mm a turn and the kit says {:.4}: these readings look \
         like {}, read as {}",
        whole.abs() * prediction.net_lead.as_mm(),
        prediction.net_lead.as_mm(),
        meant.word(),
        said.word()
    );
    let at = measured.rows[0].at.clone();
    Some(
        Diagnostic::error(message, at)
            .label("the first row")
            .mend(format!(
                "say `unit = \"{0}\"` (or `--unit {0}`), or write the unit behind each reading",
                meant.word()
            )),
    )
}

/// Readings that rise where they should fall, or fall where they should rise.
fn wrong_way(measured: &Measured, slope: f64) -> Option<Diagnostic> {
    let turns = || measured.rows.iter().map(|row| row.turns);
    let span = turns().fold(f64::NEG_INFINITY, f64::max) - turns().fold(f64::INFINITY, f64::min);
    let least = SURE * measured.instrument.uncertainty().as_mm() / span;
    (slope < -least).then(|| {
        let said = measured.reading;
        let (does, should) = match said {
            super::Reading::Travel => ("fall", "rises"),
            super::Reading::Depth => ("rise", "falls"),
        };
        let message = format!(
            "the readings {does} as the turns go forward, but a {} {should}",
            said.word()
        );
        Diagnostic::error(message, measured.reading_at.clone()).mend(format!(
            "if the instrument reads a {0}, say `reading = \"{0}\"` (`--reading {0}`); if the \
             drive was turned against its stroke, give those turns as negative; if neither, a \
             screw has the other hand than the kit says",
            said.other().word()
        ))
    })
}

/// Rows that no lead and no play puts where they are.
fn off_the_rest(measured: &Measured, prediction: &Prediction, slope: f64) -> Vec<Diagnostic> {
    let travels = measured.travels();
    let rest = |row: &Row, travel: &f64| travel - slope * row.turns;
    let offs: Vec<f64> = measured
        .rows
        .iter()
        .zip(&travels)
        .map(|(r, t)| rest(r, t))
        .collect();
    let middle = median(offs.clone()).unwrap_or_default();
    let most = (prediction.stroke + OFF_STROKE).as_mm();
    let mut list = Vec::new();
    for (row, off) in measured.rows.iter().zip(offs) {
        if (off - middle).abs() <= most {
            continue;
        }
        let (value, unit) = match measured.unit {
            Unit::Mm => (row.reading.as_mm(), "mm"),
            Unit::Inch => (row.reading.as_inches(), "in"),
        };
        let message = format!(
            "a reading of {value:.3} {unit} is beyond belief: it stands {:.1} mm off the other \
             rows, and the whole stroke is {:.1} mm",
            (off - middle).abs(),
            prediction.stroke.as_mm()
        );
        list.push(
            Diagnostic::error(message, row.at.clone())
                .label("off the other rows")
                .mend("look for a slipped digit or point, or another unit, or leave the row out"),
        );
    }
    list
}
