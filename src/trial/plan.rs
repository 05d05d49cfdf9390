//! Which turns are worth reading on a screw of which nothing was measured yet.
//!
//! All that [`super::next`] may ask for, once: the whole stroke forward for the lead, each quarter of a
//! turn in its middle for an error within a turn, and the way back, from where the play is surely taken
//! up, for the lost motion.

use super::measured::Direction;

/// Most steps on the way along the stroke: a maker reads some fifteen rows in a quarter of an hour. Guess.
const STEPS: f64 = 6.0;
/// Parts of a turn in which an error within it is looked for.
const QUARTERS: u32 = 4;
/// The least whole turns in which quarters say something of their own.
const WHOLE_ENOUGH: f64 = 3.0;

/// A row to read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Planned {
    /// Turns of the drive from turn 0, forward counted up; whole ones and quarters.
    pub turns: f64,
    /// The way in which the drive is turned last.
    pub direction: Direction,
}

/// The rows, in the order in which they are read, for a stroke of so many turns that loses at most so
/// many at a reversal. There are 4 to 20 of them.
pub fn plan(turns: f64, lost: f64) -> Vec<Planned> {
    let whole = turns.floor();
    let (unit, far) = match whole >= WHOLE_ENOUGH {
        true => (1.0, whole),
        // So short a stroke is read at every quarter of a turn.
        false => (
            0.25,
            (turns * f64::from(QUARTERS)).floor().max(1.0) / f64::from(QUARTERS),
        ),
    };
    let step = ((far / unit / STEPS).ceil() * unit).max(unit);
    let mut forward = stations(far, step);
    if unit == 1.0 {
        let middle = forward[forward.len() / 2 - usize::from(forward.len() > 2)];
        forward.extend((1..QUARTERS).map(|part| middle + f64::from(part) / f64::from(QUARTERS)));
        forward.sort_by(f64::total_cmp);
    }
    let settled = far - past(lost);
    let mut back: Vec<f64> = stations(far, step);
    back.retain(|station| *station <= settled);
    back.reverse();
    if back.is_empty() {
        back.push(0.0);
    }
    let row = |direction| move |turns| Planned { turns, direction };
    let forward = forward.into_iter().map(row(Direction::Forward));
    forward
        .chain(back.into_iter().map(row(Direction::Back)))
        .collect()
}

/// From turn 0 to the far end in steps; the far end is the last.
fn stations(far: f64, step: f64) -> Vec<f64> {
    let count = (far / step).floor() as u32;
    let mut all: Vec<f64> = (0..=count).map(|number| f64::from(number) * step).collect();
    if all.last().is_none_or(|last| *last < far) {
        all.push(far);
    }
    all
}

/// Turns behind a reversal after which the play is surely taken up, of which at most so many are lost.
pub(super) fn past(most: f64) -> f64 {
    (most + 0.5).ceil()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_desk_stage_is_read_forward_within_a_turn_and_back() {
        let rows = plan(13.33, 0.97);
        let on = |direction| {
            let of = rows.iter().filter(move |row| row.direction == direction);
            of.map(|row| row.turns).collect::<Vec<_>>()
        };
        let forward = on(Direction::Forward);
        assert_eq!((forward[0], *forward.last().unwrap()), (0.0, 13.0));
        assert_eq!(
            forward.iter().filter(|turns| turns.fract() != 0.0).count(),
            3
        );
        // 0.97 turns are lost: from 13 back to 11.5 they may not be taken up yet.
        assert!(on(Direction::Back)[0] <= 11.0 && on(Direction::Back).len() >= 4);
    }

    #[test]
    fn every_plan_goes_on_along_the_stroke_and_back() {
        for turns in [0.3, 0.9, 1.0, 2.5, 3.0, 4.9, 7.0, 28.0, 400.0, 1e6] {
            for lost in [0.0, 0.3, 1.4, 6.0] {
                let rows = plan(turns, lost);
                assert!((3..=20).contains(&rows.len()), "{turns} {lost}: {rows:?}");
                let mut ways = rows.windows(2);
                assert!(ways.all(|pair| match pair[1].direction {
                    Direction::Forward => pair[1].turns > pair[0].turns,
                    Direction::Back => pair[1].turns < pair[0].turns,
                }));
                assert!(
                    rows.iter()
                        .all(|row| row.turns >= 0.0 && row.turns <= turns.max(0.25))
                );
            }
        }
    }
}
