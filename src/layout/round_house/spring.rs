//! The preload spring of a round house, between its carriage and its keeper.

use super::House;
use super::pieces::{Closed, Started};
use super::steps::Bench;
use crate::assembly::{Axis, Fit, InstanceId, MotionKind, PartId, Step, Wording};
use crate::kit::Kit;
use crate::layout::build::Builder;
use crate::layout::limits::Bound;
use crate::layout::member::Preload;
use crate::layout::spring::{held_down, weight_of};
use crate::layout::words::going;
use crate::units::{Force, Length};

impl House {
    /// Bounds of the spring.
    pub(super) fn of_spring(&self) -> Vec<Bound> {
        let plug = self.guide() - self.gaps.keeper.drawn() * 2.0;
        let pocket = self.pocket.iter();
        pocket
            .flat_map(|pocket| {
                // The bore is as narrow as the spring asks.
                let width = pocket.of_width(plug, Length::ZERO);
                [width, pocket.of_length(&self.spring_between(pocket))]
            })
            .collect()
    }

    /// The spring of keeper and carriage.
    pub(super) fn spring(
        &self,
        kit: &Kit,
        [keeper, carriage]: [InstanceId; 2],
        build: &mut Builder,
    ) -> Option<(InstanceId, PartId)> {
        let pocket = self.pocket.as_ref()?;
        let floor = self.spring_between(pocket).floor;
        let spring = pocket.piece(kit, keeper, floor, build);
        build.faces([carriage, spring], Fit::Stop, None);
        Some((spring, build.part_of(spring)))
    }

    /// What the spring does, with what stands on the frame's thread beside the carriage: cylinders
    /// around its parts, each across and long.
    pub(in crate::layout) fn preload(
        &self,
        closed: &Closed,
        stroke: Length,
        screws: &[[Length; 2]],
    ) -> Option<Preload> {
        let (pocket, (_, part)) = (self.pocket.as_ref()?, closed.spring?);
        let ears = self.frame_side - self.carriage_diameter;
        // A bar across is no heavier than a cylinder as wide as the mean of its sides.
        let ears = (ears + self.ear_width) / 2.0 * 2f64.sqrt();
        let carriage = [
            [self.carriage_diameter, self.carriage_length],
            [ears, self.carriage_length],
        ];
        let weight = weight_of(&carriage) + weight_of(screws);
        Some(pocket.preload(part, &self.spring_between(pocket), stroke, weight))
    }

    /// What the spring presses with at turn 0, where the keeper goes in.
    pub(super) fn presses_at_zero(&self) -> Option<Force> {
        let pocket = self.pocket.as_ref()?;
        let between = self.spring_between(pocket);
        Some(pocket.coil.force_at(between.floor - between.carriage))
    }
}

impl Bench<'_> {
    /// The spring, before the keeper.
    pub(super) fn spring_in(&self) -> Option<Wording> {
        let (spring, _) = self.closed.spring?;
        let Started {
            carriage, frame, ..
        } = *self.started;
        Some(Wording {
            covers: vec![going(&[spring], MotionKind::Straight, Axis::Z, false, 0.0)],
            step: Step {
                action: "put the spring in".into(),
                pieces: vec![spring, carriage, frame],
                motion: None,
                text:
                    "At turn 0, and no further on, stand the spring on the middle of the carriage, \
                       either end first, the frame's open end up. A dab of grease keeps it there."
                        .into(),
                reason: "it stands in the keeper's pocket, which closes over it".into(),
            },
            state: None,
        })
    }

    /// What is said of the spring where the keeper goes in; nothing where there is none.
    pub(super) fn against_spring(&self) -> String {
        let presses = self.house.presses_at_zero();
        presses.map_or(String::new(), |force| held_down(self.told(), force))
    }
}
