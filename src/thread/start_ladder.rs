//! The ladder of start positions: the distances at which a differential can be put together.
//!
//! Where the second screw may sit at a given angle of the first repeats: in a nested kit the
//! cross pin's through hole repeats every half turn and the inner thread every 1/starts of a
//! turn, together every 1/lcm(2, starts2) of a turn. Each such step, a rung, moves the carriage
//! by L2 times that share at the same angle and place of the drive. Hold the carriage between
//! its stops instead and the drive makes up for it: step / net lead more turns of L1 each.
//!
//! A drive of several starts goes into its wall in as many ways, each of them L1 / starts1 further
//! on. With the carriage at the same place the drive then stands L1 / starts1 x L2 / net lead off:
//! just as far as an inner screw started 1/starts1 of a turn wrong puts it. So both errors are
//! rungs of one ladder, of L1 L2 / net lead / lcm(2, starts1, starts2). (Derived.)

use crate::thread::Thread;
use crate::units::Length;

/// Steps from one start position to the next, both without sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StartLadder {
    /// What a rung of the inner screw moves the carriage, with the drive at the same angle.
    pub carriage_step: Length,
    /// What a rung of either screw moves the drive along the axis, with the carriage at the same
    /// place.
    pub drive_step: Length,
    /// Into how many rungs a whole turn of a wrong start is divided.
    pub rungs_a_turn: u16,
    /// What the inner screw's next mark, half a turn on, moves the carriage, with the drive at the
    /// same angle; and the drive, with the carriage at the same place.
    pub next_mark: [Length; 2],
}

/// Half turns: a through hole for a cross pin looks the same after each.
const PIN_HOLE_REPEATS: u16 = 2;

impl StartLadder {
    /// Of a nested kit: carriage step L2 / lcm(2, starts2), drive step L1 L2 / |net| over
    /// lcm(2, starts1, starts2).
    ///
    /// `None` when the leads are equal, for then nothing travels. M20x2.5 over M12x1.75: 0.875 mm
    /// at the carriage, 2.9167 mm at the drive. M24xPh6P3 over M14x2: 1 and 1.5 mm.
    pub fn nested(drive: &Thread, inner: &Thread) -> Option<Self> {
        let net_lead = (drive.signed_lead() - inner.signed_lead()).abs();
        let of_inner = inner_repeats(inner);
        let rungs_a_turn = lcm(of_inner, u16::from(drive.starts()));
        let at_drive = |share: Length| share * (drive.lead() / net_lead);
        let half = inner.lead() / f64::from(PIN_HOLE_REPEATS);
        (net_lead > Length::ZERO).then(|| Self {
            carriage_step: inner.lead() / f64::from(of_inner),
            drive_step: at_drive(inner.lead() / f64::from(rungs_a_turn)),
            rungs_a_turn,
            next_mark: [half, at_drive(half)],
        })
    }

    /// Shares of a turn, falling from one half to nothing, at which an inner screw that was started
    /// in a wrong way is seen where the right one is seen at `right`; the half turns at which its
    /// slot looks alike count as one place, so that `right` is at most a half. Empty where every
    /// way is the right one.
    pub fn wrong_places(inner: &Thread, right: f64) -> Vec<f64> {
        let repeats = inner_repeats(inner) / PIN_HOLE_REPEATS;
        let half = 1.0 / f64::from(PIN_HOLE_REPEATS);
        let step = half / f64::from(repeats);
        let places = (1..repeats).map(|way| (right + step * f64::from(way)) % half);
        // At nothing it touches still, and is first seen half a turn on.
        let mut places: Vec<f64> = places
            .map(|at| if at < TOUCHING { at + half } else { at })
            .collect();
        places.sort_by(f64::total_cmp);
        places
    }
}

/// A share of a turn that is none. Far below what a hand tells, far above rounding.
const TOUCHING: f64 = 1e-6;

/// How often in a turn of the inner screw its thread and the cross pin's hole agree again.
fn inner_repeats(inner: &Thread) -> u16 {
    lcm(PIN_HOLE_REPEATS, u16::from(inner.starts()))
}

/// Least common multiple; zero counts as one.
fn lcm(a: u16, b: u16) -> u16 {
    let (a, b) = (a.max(1), b.max(1));
    let (mut divisor, mut rest) = (a, b);
    while rest != 0 {
        (divisor, rest) = (rest, divisor % rest);
    }
    a / divisor * b
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread::{Hand, MAX_STARTS};
    use approx::assert_abs_diff_eq;

    fn thread(pitch: f64, starts: u8, hand: Hand) -> Thread {
        Thread::free(Length::mm(20.0), Length::mm(pitch), hand).with_starts(starts)
    }

    /// Counts the places at which the carriage can stand, by trying every angle of the pin
    /// hole and every start, instead of dividing by a common multiple.
    fn places_in_one_lead(lead: f64, starts: u8) -> Vec<i64> {
        let mut places: Vec<i64> = (0..2)
            .flat_map(|half| (0..starts).map(move |start| (half, start)))
            .map(|(half, start)| f64::from(half) / 2.0 + f64::from(start) / f64::from(starts))
            .map(|turn| ((turn % 1.0) * lead * 1e6).round() as i64)
            .collect();
        places.sort_unstable();
        places.dedup();
        places
    }

    #[test]
    fn nested_steps_are_the_places_that_trying_every_start_finds() {
        for starts in 1..=MAX_STARTS {
            let lead = 1.5 * f64::from(starts);
            let places = places_in_one_lead(lead, starts);
            let [drive, inner] = [
                thread(8.0, 1, Hand::Right),
                thread(1.5, starts, Hand::Right),
            ];
            let ladder = StartLadder::nested(&drive, &inner).unwrap();
            let count = (lead / ladder.carriage_step.as_mm()).round() as usize;
            assert_eq!(count, places.len(), "{starts} starts");
        }
    }

    /// Distances of the drive from where it belongs, carriage at the same place, in one turn of a
    /// wrong start: every way in of both screws and every half turn of the pin tried, by the motion
    /// alone. Carriage = drive's angle x net lead + both errors.
    fn drive_errors([drive, inner]: [&Thread; 2]) -> Vec<i64> {
        let (l1, l2) = (drive.signed_lead().as_mm(), inner.signed_lead().as_mm());
        let turn = (l1 * l2 / (l1 - l2)).abs();
        let mut all = Vec::new();
        for way in 0..drive.starts() {
            for start in 0..inner.starts() {
                for half in 0..2 {
                    let first = l1 * f64::from(way) / f64::from(drive.starts());
                    let second =
                        l2 * (f64::from(start) / f64::from(inner.starts()) + f64::from(half) / 2.0);
                    let angle = -(first + second) / (l1 - l2);
                    let off = first + angle * l1;
                    all.push(((off.rem_euclid(turn) / turn * 1e6).round() as i64) % 1_000_000);
                }
            }
        }
        all.sort_unstable();
        all.dedup();
        all
    }

    #[test]
    fn wrong_ways_of_either_screw_put_the_drive_on_rungs_of_one_ladder() {
        for (one, other) in [
            (1, 1),
            (2, 1),
            (1, 2),
            (2, 2),
            (3, 1),
            (1, 3),
            (3, 2),
            (4, 3),
            (1, 4),
        ] {
            for hand in [Hand::Right, Hand::Left] {
                let [drive, inner] = [thread(3.1, one, Hand::Right), thread(1.7, other, hand)];
                let ladder = StartLadder::nested(&drive, &inner).unwrap();
                let found = drive_errors([&drive, &inner]);
                assert_eq!(
                    usize::from(ladder.rungs_a_turn),
                    found.len(),
                    "{one} {other}"
                );
                let net = (drive.signed_lead() - inner.signed_lead()).abs();
                let turn = drive.lead() * (inner.lead() / net);
                let rungs = turn / ladder.drive_step;
                assert_abs_diff_eq!(rungs, found.len() as f64, epsilon = 1e-9);
            }
        }
    }

    #[test]
    fn a_rung_at_the_drive_leaves_the_carriage_where_it_was() {
        // Turned on by k turns, the drive goes k L1 and the carriage k (L1 - L2): the rung's
        // own step must be undone by just that.
        let (l1, l2) = (2.5, 1.75);
        let [drive, inner] = [l1, l2].map(|pitch| thread(pitch, 1, Hand::Right));
        let ladder = StartLadder::nested(&drive, &inner).unwrap();
        let turns = ladder.drive_step.as_mm() / l1;
        assert_abs_diff_eq!(
            turns * (l1 - l2),
            ladder.carriage_step.as_mm(),
            epsilon = 1e-12
        );
    }

    #[test]
    fn opposite_hands_add_and_equal_threads_have_no_ladder() {
        let [right, left] = [Hand::Right, Hand::Left].map(|hand| thread(2.0, 1, hand));
        let ladder = StartLadder::nested(&right, &left).unwrap();
        assert_abs_diff_eq!(ladder.drive_step.as_mm(), 0.5, epsilon = 1e-12);
        assert_eq!(StartLadder::nested(&right, &right), None);
    }

    #[test]
    fn a_slot_that_looks_alike_every_half_turn_hides_two_starts_and_shows_three() {
        let at = |starts| StartLadder::wrong_places(&thread(2.0, starts, Hand::Right), 0.25);
        assert!(at(1).is_empty() && at(2).is_empty());
        // 1/4 + 1/3 and 1/4 + 2/3 of a turn, less half turns.
        for (found, hand) in at(3).into_iter().zip([1.0 / 12.0, 5.0 / 12.0]) {
            assert_abs_diff_eq!(found, hand, epsilon = 1e-12);
        }
        // 1/4 + 1/4: a half, of which the touch hides the one before.
        assert_eq!(at(4), [0.5]);
    }
}
