//! The preload spring of a round house, between its carriage and its keeper.

use super::House;
use super::pieces::Closed;
use super::steps::Bench;
use crate::assembly::Wording;
use crate::layout::limits::Bound;
use crate::layout::member::Preload;
use crate::layout::spring::{Sprung, goes_in, weight_of};
use crate::units::Length;

impl House {
    /// The spring in its pocket.
    pub(super) fn sprung(&self) -> Option<Sprung> {
        let pocket = self.pocket?;
        Some(Sprung {
            pocket,
            floor: self.keeper_face + pocket.depth,
            carriage: self.near_face + self.carriage_length,
        })
    }

    /// Bounds of the spring; its bore is as narrow as it asks.
    pub(super) fn of_spring(&self) -> Vec<Bound> {
        let plug = self.guide() - self.gaps.keeper.drawn() * 2.0;
        let sprung = self.sprung().into_iter();
        sprung
            .flat_map(|sprung| sprung.bounds(plug, Length::ZERO))
            .collect()
    }

    /// What the spring does, with what stands on the frame's thread beside the carriage: cylinders
    /// around its parts, each across and long.
    pub(in crate::layout) fn preload(
        &self,
        closed: &Closed,
        stroke: Length,
        screws: &[[Length; 2]],
    ) -> Option<Preload> {
        let (sprung, (_, part)) = (self.sprung()?, closed.spring?);
        let ears = self.frame_side - self.carriage_diameter;
        // A bar across is no heavier than a cylinder as wide as the mean of its sides.
        let ears = (ears + self.ear_width) / 2.0 * 2f64.sqrt();
        let carriage = [
            [self.carriage_diameter, self.carriage_length],
            [ears, self.carriage_length],
        ];
        let weight = weight_of(&carriage) + weight_of(screws);
        Some(sprung.preload(part, stroke, weight))
    }
}

impl Bench<'_> {
    /// The spring, before the keeper.
    pub(super) fn spring_in(&self) -> Option<Wording> {
        let (spring, _) = self.closed.spring?;
        Some(goes_in(
            [spring, self.started.carriage, self.started.frame],
            "At turn 0, and no further on, stand the spring on the middle of the carriage, either end \
             first, the frame's open end up. A dab of grease keeps it there.",
        ))
    }

    /// What is said of the spring where the keeper goes in; nothing where there is none.
    pub(super) fn against_spring(&self) -> String {
        let sprung = self.house.sprung();
        sprung.map_or(String::new(), |sprung| sprung.held_down(self.told()))
    }
}
