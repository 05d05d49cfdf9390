//! What a hand does in a step, as its picture shows it: read from the motion that was found.

use super::stage::towards;
use super::whole::HEAD_SIDE;
use crate::assembly::{Axis, MotionKind};
use crate::sequence::Removed;

/// One motion of a hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gesture {
    /// Straight along an axis of the assembly.
    Push {
        /// Along which.
        axis: Axis,
        /// Whether towards its positive end.
        positive: bool,
    },
    /// About the screws' axis.
    Turn {
        /// Whether clockwise, as the eye sees it.
        clockwise: bool,
        /// On which side the eye is that tells so.
        seen_from: Side,
    },
}

/// On which side of what is turned an eye is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// On that of the drive head, looking along the screws at the frame.
    Head,
    /// On the other, looking back towards the drive head.
    Far,
}

impl Gesture {
    /// How something goes in. The eye is behind what a hand screws in, on the side of that hand; the
    /// mechanism is turned by its head.
    pub(super) fn of(removed: &Removed) -> Self {
        let way = removed.way_in();
        let forwards = towards(way)[2] > 0.0;
        let side = match way.kind {
            MotionKind::Straight => {
                return Self::Push {
                    axis: way.axis,
                    positive: towards(way).iter().sum::<f64>() > 0.0,
                };
            }
            MotionKind::Helical if !forwards => Side::Far,
            MotionKind::Helical | MotionKind::Driven => Side::Head,
        };
        // A positive turn is clockwise for an eye that looks along +z, from the head.
        let from_head = way.turns > 0.0;
        Self::Turn {
            clockwise: from_head == (side == Side::Head),
            seen_from: side,
        }
    }
}

/// A direction, in the assembly's frame, from which a step is seen: the side from which the hand comes.
pub fn eye_of(gestures: &[Gesture]) -> [f64; 3] {
    let [mut x, y, mut z] = HEAD_SIDE;
    for gesture in gestures {
        // A hand stands where a piece comes from.
        let back = |positive: bool| if positive { -1.0 } else { 1.0 };
        match gesture {
            Gesture::Push {
                axis: Axis::X,
                positive,
            } => x = x.abs() * back(*positive),
            Gesture::Push {
                axis: Axis::Z,
                positive,
            } => z = z.abs() * back(*positive),
            // What comes from above or below is seen from either side.
            Gesture::Push { axis: Axis::Y, .. } => {}
            Gesture::Turn { seen_from, .. } => z = z.abs() * back(*seen_from == Side::Head),
        }
    }
    [x, y, z]
}
