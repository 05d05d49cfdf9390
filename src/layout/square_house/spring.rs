//! The preload spring of a square house, around the screw's tip between its carriage and its keeper.

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
        let pocket = self.spring?;
        Some(Sprung {
            pocket,
            floor: self.keeper_face + pocket.depth,
            carriage: self.rear_face + self.carriage.length,
        })
    }

    /// Bounds of the spring: its pocket lies in the plug between the channel's sides, its floor and
    /// its roof.
    pub(super) fn of_spring(&self) -> Vec<Bound> {
        let gap = self.gaps.keeper.drawn();
        let across = self.section.channel_side();
        let down = Length::ZERO - self.section.floor + self.section.slide;
        let up = self.section.foot() + self.section.slide;
        let plug = (across.min(down).min(up) - gap) * 2.0;
        let sprung = self.sprung().into_iter();
        sprung
            .flat_map(|sprung| sprung.bounds(plug, self.keeper_bore))
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
        // A box is no heavier than a cylinder around it; the rib reaches to the frame's top.
        let across = (self.section.width + self.section.height()) / 2.0 * 2f64.sqrt();
        let weight = weight_of(&[[across, self.carriage.length]]) + weight_of(screws);
        Some(sprung.preload(part, stroke, weight))
    }
}

impl Bench<'_> {
    /// The spring, before the keeper.
    pub(super) fn spring_in(&self) -> Option<Wording> {
        let (spring, _) = self.closed.spring?;
        Some(goes_in(
            [spring, self.started.carriage, self.started.frame],
            "At turn 0, and no further on, stand the spring on the carriage around the drive screw's \
             tip, either end first, the frame's open end up.",
        ))
    }

    /// What is said of the spring where the keeper goes in; nothing where there is none.
    pub(super) fn against_spring(&self) -> String {
        let sprung = self.house.sprung();
        sprung.map_or(String::new(), |sprung| sprung.held_down(self.told()))
    }
}
