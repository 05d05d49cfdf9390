//! What a maker wishes.

use super::series::Series;
use crate::kit::LayoutKind;
use crate::units::{Force, Length};
use crate::units_told::Told;

/// What a maker wishes of a mechanism, before there are threads.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// Name of the kit.
    pub name: String,
    /// Travel of the carriage in one turn, above zero.
    pub net_lead: Length,
    /// By which share of it the travel may differ, from 0 on.
    pub tolerance: f64,
    /// Ticks around the head, where a tick was wished.
    pub ticks: Option<u32>,
    /// Layouts that serve, at least one.
    pub layouts: Vec<LayoutKind>,
    /// Travel of the carriage from end to end.
    pub stroke: Length,
    /// What it pushes or carries, along the axis.
    pub load: Option<Force>,
    /// Room for the whole through its stroke, in any order of the sides; the head's too.
    pub within: Option<[Length; 3]>,
    /// Series from which threads are taken.
    pub series: Vec<Series>,
    /// Steps of the pitches of free threads; none where no free threads are wished.
    pub pitch_step: Option<Length>,
    /// Whether a metric thread may go with one in inches.
    pub mixed: bool,
    /// How the second thread may wind.
    pub hands: Hands,
    /// Starts that a thread may have, at the most.
    pub starts: u8,
    /// Whether the kit is to be in inches.
    pub inches: bool,
    /// Further keys of the kit with their values, as they are typed.
    pub settings: Vec<(String, String)>,
}

/// How the second thread winds beside the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hands {
    /// As the first: the difference of two leads.
    Same,
    /// The other way: their sum.
    Opposite,
    /// Either.
    Either,
}

/// Threads up to this diameter are tried where no room is said: what goes into a hand. Guess.
pub const LARGEST_MAJOR: Length = Length::mm(40.0);

impl Wish {
    /// The largest thread that is worth a try: the frame goes around it, so it is no thicker than the
    /// middle one of the three sides that there is room for.
    pub fn largest_major(&self) -> Length {
        let Some(mut sides) = self.within else {
            return LARGEST_MAJOR;
        };
        sides.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
        let [_, middle, _] = sides;
        middle
    }

    /// The units in which it is told.
    pub fn told(&self) -> Told {
        Told::of(self.inches)
    }

    /// Whether a travel in a turn is near enough.
    pub fn is_met_by(&self, net_lead: Length) -> bool {
        self.off_by(net_lead) <= self.tolerance + ROUNDING
    }

    /// By which share of the wish a travel in a turn differs.
    pub fn off_by(&self, net_lead: Length) -> f64 {
        (net_lead - self.net_lead).abs() / self.net_lead
    }

    /// Whether something goes into the room that there is, turned as it likes.
    pub fn has_room_for(&self, size: [Length; 3]) -> bool {
        let sorted = |mut sides: [Length; 3]| {
            sides.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
            sides
        };
        self.within.is_none_or(|within| {
            let room = sorted(within);
            let mut sides = sorted(size).into_iter().zip(room);
            sides.all(|(side, room)| side <= room)
        })
    }
}

/// Rounding of differences of leads in doubles, as a share. Guess, far below any printer.
const ROUNDING: f64 = 1e-9;
