//! Motions of assembly that every square house has, worded for the bench.

use super::House;
use super::pieces::{Closed, Started};
use crate::assembly::{
    Axis, Carriages, Fastener, Going, InstanceId, MotionKind, Step, Tool, Wording,
};
use crate::kit::Kit;
use crate::layout::feature::Head;
use crate::layout::pressing::Pressing;
use crate::layout::words::going;
use crate::units_told::Told;

/// A square house on the bench.
pub(in crate::layout) struct Bench<'a> {
    pub(in crate::layout) kit: &'a Kit,
    pub(in crate::layout) house: &'a House,
    pub(in crate::layout) head: &'a dyn Head,
    pub(in crate::layout) started: &'a Started,
    pub(in crate::layout) closed: &'a Closed,
}

impl Bench<'_> {
    pub(in crate::layout) fn told(&self) -> Told {
        self.kit.told()
    }

    pub(in crate::layout) fn pressing(&self) -> Pressing<'_> {
        Pressing {
            kit: self.kit,
            pin: self.house.pin,
        }
    }

    /// The nut into its pocket, at any turn.
    pub(in crate::layout) fn nut_in(&self, turn: f64) -> Wording {
        let Started { nut, carriage, .. } = *self.started;
        let text = "Let the nut into the carriage's pocket from above, a flat to either side: any \
                    of its six flats will do. It must stand upright and be free to move a little \
                    along the bore; if it does not go in by hand, file the pocket's sides.";
        Wording {
            covers: vec![going(&[nut], MotionKind::Straight, Axis::Y, false, turn)],
            step: Step {
                action: "put the nut into the carriage".into(),
                pieces: vec![nut, carriage],
                motion: None,
                eye: None,
                shows: None,
                text: text.into(),
                reason: "the frame covers the pocket once the carriage is in".into(),
            },
            state: None,
        }
    }

    /// The stop pin, at turn 0.
    pub(in crate::layout) fn stop_pin(&self) -> Wording {
        let Closed { stop, .. } = *self.closed;
        let pressing = self.pressing();
        let step = Step {
            action: "press the stop pin".into(),
            pieces: vec![stop, self.started.frame],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Press the stop pin in from the V side{}, through the hole under the drive screw, \
                 behind the carriage. {} If the carriage is in its way, turn the drive screw a \
                 little on until it is not.",
                pressing.flats(", its flat away from the slot"),
                pressing.depth("its ends lie")
            ),
            reason: "it stops the carriage at the rear; before, it would have kept the carriage \
                     from where the drive screw's second thread catches"
                .into(),
        };
        Wording {
            covers: vec![going(&[stop], MotionKind::Straight, Axis::X, false, 0.0)],
            step,
            state: None,
        }
    }

    /// The spring, if there is one; keeper and its pins, in either order of the two.
    pub(in crate::layout) fn close(&self, after: &str) -> Vec<Wording> {
        let [one, other] = self.closed.pins;
        let keeper = [[one, other], [other, one]].map(|pins| {
            let keeper = going(
                &[self.closed.keeper],
                MotionKind::Straight,
                Axis::Z,
                false,
                0.0,
            );
            let pin = |pin: &InstanceId| going(&[*pin], MotionKind::Straight, Axis::X, false, 0.0);
            let covers: Vec<Going> = [keeper].into_iter().chain(pins.iter().map(pin)).collect();
            Wording {
                covers,
                step: self.keeper(after),
                state: None,
            }
        });
        self.spring_in().into_iter().chain(keeper).collect()
    }

    /// The bar at which a dial is read, at each of some turns.
    pub(in crate::layout) fn index(&self, turns: &[f64]) -> Vec<Wording> {
        let index = self.house.index.iter().zip(&self.started.index);
        index
            .flat_map(|(index, pieces)| index.wordings(self.kit, pieces, self.started.frame, turns))
            .collect()
    }

    fn keeper(&self, after: &str) -> Step {
        let [one, other] = self.closed.pins;
        let pressing = self.pressing();
        Step {
            action: "fit the keeper".into(),
            pieces: vec![self.closed.keeper, self.started.frame, one, other],
            motion: None,
            eye: None,
            shows: None,
            text: format!(
                "Push the keeper in, its tongue in the slot and its V to the frame's V side, until \
                 its flange lies on the frame.{} Press both keeper pins in from the V side{}. {}{after}",
                self.against_spring(),
                pressing.flats(", flats away from the slot"),
                pressing.depth("their ends lie")
            ),
            reason: "the keeper stops the carriage at the far end and keeps the frame's open end \
                     from spreading"
                .into(),
        }
    }

    /// Bolts, with what belongs to them.
    pub(in crate::layout) fn fasteners(&self, carriages: &Carriages) -> Vec<Fastener> {
        let told = self.told();
        [
            self.house.fasteners(told, carriages),
            self.head.fasteners(told),
        ]
        .concat()
    }

    /// What the bench needs.
    pub(in crate::layout) fn tools(&self) -> Vec<Tool> {
        let mut tools = self.head.tools(self.told());
        let measured = "with a depth rod, to place the carriage and to measure in the last step";
        tools.extend(self.pressing().tools(measured));
        tools
    }
}
