//! A bound of a wish, and the wish with the bound given up.

use super::series::Series;
use super::wish::{Hands, Wish};
use crate::kit::{KeyPath, LayoutKind, key};
use crate::units::{Force, Length, Torque};
use crate::units_told::number;

/// A bound of a wish, with what it must become.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    /// The travel in a turn: this one instead.
    NetLead(Length),
    /// The travel from end to end: this much instead.
    Stroke(Length),
    /// The load: so much instead.
    Load(Force),
    /// The room: the sides that it takes.
    Room([Length; 3]),
    /// The layer height.
    Layer(Length),
    /// The torque of a hand at the stops.
    HandTorque(Torque),
    /// Walls of every part.
    Walls(u32),
    /// The layout: another.
    Layout(LayoutKind),
    /// The second thread's hand: either.
    Hands,
    /// Starts: so many at the most.
    Starts(u8),
    /// Series: all, and mixed.
    Series,
    /// Threads of the maker's own pitches, in these steps.
    FreePitches(Length),
    /// Ticks around the head.
    Ticks(u32),
    /// Several at once: this travel in a turn, and these shares of stroke and load.
    Several(Length, f64),
}

impl Bound {
    /// A wish with the bound given up, so that what is typed for it finds the same.
    pub fn given_up(self, wish: &Wish) -> Wish {
        let mut wish = wish.clone();
        let mut set = |key: KeyPath, value: String| {
            wish.settings.retain(|(known, _)| known != key.as_str());
            wish.settings.push((key.as_str().to_owned(), value));
        };
        match self {
            Self::NetLead(lead) => wish.net_lead = lead,
            Self::Stroke(stroke) => wish.stroke = stroke,
            Self::Load(load) => wish.load = Some(load),
            Self::Room(sides) => wish.within = Some(sides.map(|side| side.up_to(ROOM_STEP))),
            Self::Layer(layer) => {
                set(
                    key::LAYER.name(),
                    format!("{} mm", number(layer.as_mm(), 3)),
                );
            }
            Self::HandTorque(torque) => {
                let torque = number(torque.as_newton_metres(), 3);
                set(key::HAND_TORQUE.name(), format!("{torque} N m"));
            }
            Self::Walls(walls) => set(key::WALLS.name(), walls.to_string()),
            Self::Layout(layout) => wish.layouts = vec![layout],
            Self::Hands => wish.hands = Hands::Either,
            Self::Starts(starts) => wish.starts = starts,
            Self::Series => {
                wish.series = Series::ALL.to_vec();
                wish.mixed = true;
            }
            Self::FreePitches(step) => wish.pitch_step = Some(step),
            Self::Ticks(ticks) => wish.ticks = Some(ticks),
            Self::Several(lead, share) => {
                wish.net_lead = lead;
                wish.stroke = wish.stroke * share;
                wish.load = wish.load.map(|load| load * share);
            }
        }
        wish
    }
}

/// Room is given in whole steps. Guess.
const ROOM_STEP: Length = Length::mm(1.0);
