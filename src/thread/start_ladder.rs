//! The ladder of start positions: the distances at which a differential can be put together.
//!
//! Where the second screw may sit at a given angle of the first repeats: in a nested kit the
//! cross pin's through hole repeats every half turn and the inner thread every 1/starts of a
//! turn, together every 1/lcm(2, starts2) of a turn. Each such step, a rung, moves the carriage
//! by L2 times that share at the same angle and place of the drive. Hold the carriage between
//! its stops instead and the drive makes up for it: step / net lead more turns of L1 each.
//! (Derived.)

use crate::units::Length;

/// Steps from one start position to the next, both without sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StartLadder {
    /// What a rung moves the carriage, with the drive at the same angle.
    pub carriage_step: Length,
    /// What a rung moves the drive along the axis, with the carriage at the same place.
    pub drive_step: Length,
}

/// Half turns: a through hole for a cross pin looks the same after each.
const PIN_HOLE_REPEATS: u8 = 2;

impl StartLadder {
    /// Of a nested kit: carriage step L2 / lcm(2, starts2), drive step that times L1 / |net|.
    ///
    /// Leads signed by hand; `None` when they are equal, for then nothing travels. M20x2.5
    /// over M12x1.75: 0.875 mm at the carriage, 2.9167 mm at the drive.
    pub fn nested(drive_lead: Length, inner_lead: Length, inner_starts: u8) -> Option<Self> {
        let repeats = lcm(PIN_HOLE_REPEATS, inner_starts);
        let net_lead = (drive_lead - inner_lead).abs();
        let carriage_step = inner_lead.abs() / f64::from(repeats);
        (net_lead > Length::ZERO).then(|| Self {
            carriage_step,
            drive_step: carriage_step * (drive_lead.abs() / net_lead),
        })
    }
}

/// Least common multiple; zero starts count as one.
fn lcm(a: u8, b: u8) -> u16 {
    let (a, b) = (u16::from(a.max(1)), u16::from(b.max(1)));
    let (mut divisor, mut rest) = (a, b);
    while rest != 0 {
        (divisor, rest) = (rest, divisor % rest);
    }
    a / divisor * b
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

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
        for starts in 1..=6 {
            let places = places_in_one_lead(6.0, starts);
            let ladder = StartLadder::nested(Length::mm(8.0), Length::mm(6.0), starts).unwrap();
            let count = (6.0 / ladder.carriage_step.as_mm()).round() as usize;
            assert_eq!(count, places.len(), "{starts} starts");
        }
    }

    #[test]
    fn a_rung_at_the_drive_leaves_the_carriage_where_it_was() {
        // Turned on by k turns, the drive goes k L1 and the carriage k (L1 - L2): the rung's
        // own step must be undone by just that.
        let (l1, l2) = (2.5, 1.75);
        let ladder = StartLadder::nested(Length::mm(l1), Length::mm(l2), 1).unwrap();
        let turns = ladder.drive_step.as_mm() / l1;
        assert_abs_diff_eq!(
            turns * (l1 - l2),
            ladder.carriage_step.as_mm(),
            epsilon = 1e-12
        );
    }

    #[test]
    fn opposite_hands_add_and_equal_threads_have_no_ladder() {
        let ladder = StartLadder::nested(Length::mm(2.0), Length::mm(-2.0), 1).unwrap();
        assert_abs_diff_eq!(ladder.drive_step.as_mm(), 0.5, epsilon = 1e-12);
        assert_eq!(
            StartLadder::nested(Length::mm(2.0), Length::mm(2.0), 1),
            None
        );
    }
}
