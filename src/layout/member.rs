//! What a mechanism is to those that judge it: what carries load, what must keep apart, and which
//! keys of the kit are to blame. Checks read these lists and know no layout.
//!
//! Each list is named in full where a layout is made, so a layout that has no rails says so.

use crate::assembly::{JointId, PartId, Turning};
use crate::kit::KeyPath;
use crate::printer::Swing;
use crate::strength::{Bar, Cheek, CoilSpring, ON_FLANK, Rings, SummedRail, turning_play};
use crate::thread::Thread;
use crate::units::{Angle, Force, Length, Stress, Torque};

/// Everything of a mechanism that carries load, by what it is.
#[derive(Clone, Debug)]
pub struct Members {
    /// Screws and necks: pulled or pushed, and twisted.
    pub rods: Vec<Rod>,
    /// What is pushed and may bow out.
    pub columns: Vec<Strut>,
    /// What is sheared and bent across the axis.
    pub pins: Vec<Pin>,
    /// Walls that a bore leaves of a screw.
    pub walls: Vec<Wall>,
    /// Holes that pins are pressed into.
    pub presses: Vec<Press>,
    /// Plates that are pressed on between what holds them.
    pub plates: Vec<Plate>,
    /// Legs of a frame that are pulled beside their middle.
    pub legs: Vec<Leg>,
    /// What rubs beside the threads while the carriage is driven.
    pub collars: Vec<Rub>,
    /// What guides a carriage, and may jam.
    pub guides: Vec<Guide>,
    /// Nuts that are held in a pocket.
    pub captives: Vec<Captive>,
    /// What stands out and is pressed at its end: ears, jaws.
    pub arms: Vec<Arm>,
    /// Arms that the drive screw is turned by.
    pub cranks: Vec<Crank>,
    /// Shafts that a pin through a hole keeps from turning in a carriage.
    pub pinned: Vec<Pinned>,
    /// The spring that takes up the play of the screws.
    pub preload: Option<Preload>,
}

/// Which push of a carriage falls on a member.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Towards the drive head.
    Pull,
    /// Away from it.
    Push,
    /// Either.
    Either,
}

/// Which torque a rod takes beside its axial force.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Twist {
    /// All that is turned with at the head.
    AtHead,
    /// What the drive's thread passes on.
    PassedOn,
}

/// A round section across the layers of an upright part.
#[derive(Clone, Debug)]
pub struct Rod {
    /// Of which part.
    pub part: PartId,
    /// In a sentence: `the inner screw's core, across its layers`.
    pub what: &'static str,
    /// What its walls leave of its section, with a notch at its root.
    pub section: Rings,
    /// Which push falls on it.
    pub way: Way,
    /// Which torque does.
    pub twist: Twist,
}

/// Pushed pieces as one column with pinned ends.
#[derive(Clone, Debug)]
pub struct Strut {
    /// The part that is named.
    pub part: PartId,
    /// In a sentence: `the screws towards bowing out`.
    pub what: &'static str,
    /// Its sections; the weakest is taken for the whole length.
    pub sections: Vec<Rings>,
    /// Between what holds it sideways, at its longest.
    pub length: Length,
    /// Keys whose threads would make it thicker.
    pub threads: Vec<KeyPath>,
}

/// Pins that share a load.
#[derive(Clone, Debug)]
pub struct Pin {
    /// Of which part.
    pub part: PartId,
    /// In a sentence: `the swivel pins`.
    pub called: &'static str,
    /// Diameter.
    pub diameter: Length,
    /// Whether they are bought, of steel.
    pub bought: bool,
    /// Sections in which all of them together are sheared.
    pub sections: u8,
    /// How many times its even share the section bears that bears most: more than 1 where what
    /// they hold is pressed beside its middle.
    pub uneven: f64,
    /// Which push falls on them.
    pub way: Way,
    /// How one section's load bends one, and on what it bears.
    pub bent: Bent,
}

/// How a pin is bent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bent {
    /// From one hole into another, free over a gap between them, broken edges included.
    BetweenHoles(Length),
    /// Pressed by a flank at 45 degrees in the middle of what two holes hold, each so far away.
    OnFlank(Length),
    /// As between holes, of a pin that goes through a shaft of a radius and a sleeve around it: it
    /// passes on what turns the shaft, too.
    Coupling {
        /// Free between the holes.
        gap: Length,
        /// Of the shaft.
        radius: Length,
    },
}

impl Pin {
    /// What shears each section while a force falls on all of them: on a flank at 45 degrees
    /// sqrt 2 of its share, since what pushes the pin aside comes to as much as what pulls it; in a
    /// coupling its share and that of a torque, which are square to each other.
    pub fn shear(&self, force: Force, passed_on: Torque) -> Force {
        let sections = f64::from(self.sections);
        let share = force * self.uneven / sections;
        match self.bent {
            Bent::BetweenHoles(_) => share,
            Bent::OnFlank(_) => share * ON_FLANK,
            Bent::Coupling { radius, .. } => {
                let around = passed_on / radius / sections;
                let (along, around) = (share.as_newtons(), around.as_newtons());
                Force::newtons((along * along + around * around).sqrt())
            }
        }
    }
}

/// A wall around a tapped bore.
#[derive(Clone, Debug)]
pub struct Wall {
    /// Of which part.
    pub part: PartId,
    /// What is left, as drawn.
    pub thickness: Length,
    /// The thread at whose root it ends, and the key that says it.
    pub outside: (Thread, KeyPath),
    /// The thread that it surrounds, and the key that says it.
    pub inside: (Thread, KeyPath),
}

/// A lying hole that a pin is pressed into.
#[derive(Clone, Debug)]
pub struct Press {
    /// Of which part.
    pub part: PartId,
    /// The joint, whose gap it has.
    pub joint: JointId,
    /// Diameter of the pin.
    pub pin: Length,
    /// Whether the pin is bought, of steel.
    pub bought: bool,
    /// Twice the least distance from its axis to a face.
    pub outside: Length,
    /// Length over which the pin is tight.
    pub length: Length,
}

/// What of a push bends either side of a plate that is pressed in its middle.
pub(super) const HALF_EACH: f64 = 0.5;

/// A plate that a push bends.
#[derive(Clone, Debug)]
pub struct Plate {
    /// Of which part.
    pub part: PartId,
    /// In a sentence: `the keeper's plug in bending`.
    pub what: &'static str,
    /// Its section.
    pub section: Bar,
    /// How much longer the whole plug is than its section is high: a pocket in it.
    pub pocket: Length,
    /// What of the push bends it: half, where the other half bends its other side.
    pub share: f64,
    /// From where that presses to what holds it.
    pub lever: Length,
    /// How it is called in a mend: `its plug`.
    pub called: &'static str,
    /// The key that makes it longer.
    pub key: KeyPath,
}

/// One of two legs that a push pulls apart.
#[derive(Clone, Debug)]
pub struct Leg {
    /// Of which part.
    pub part: PartId,
    /// In a sentence: `the frame's rails, across their layers`.
    pub what: &'static str,
    /// Its section.
    pub section: LegSection,
    /// Where the pull acts, from the axis.
    pub at: Length,
    /// How far beside the axis what pulls both legs acts, along a leg; zero in the middle.
    pub beside: Length,
    /// Whole area over what holes leave of it.
    pub weakened: f64,
}

/// What stands out of a part and is bent by what presses at its end.
#[derive(Clone, Debug)]
pub struct Arm {
    /// Of which part.
    pub part: PartId,
    /// In a sentence: `the carriage's jaw at its root`.
    pub what: &'static str,
    /// Its section at the root.
    pub section: Bar,
    /// Whether it is pulled across its layers there, not along them.
    pub across: bool,
    /// From where it is pressed to its root.
    pub lever: Length,
    /// What of the push falls on it.
    pub share: f64,
    /// Which push does.
    pub way: Way,
    /// The key that fills its part; none where it is full anyway.
    pub walls: Option<KeyPath>,
}

/// An arm that a screw is turned by, bent where it leaves the hub.
#[derive(Clone, Debug)]
pub struct Crank {
    /// Of which part.
    pub part: PartId,
    /// In a sentence: `the crank's arm at the hub`.
    pub what: &'static str,
    /// Its section there, its height in the direction of the push at the handle.
    pub section: Bar,
    /// What of the torque bends it there: none at the handle, all of it at the axis.
    pub share: f64,
    /// The key that fills its part.
    pub walls: KeyPath,
}

/// The section of a leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LegSection {
    /// What a round bore and two slots leave of a square.
    Rail(SummedRail),
    /// A side of a channel.
    Cheek(Cheek),
}

impl LegSection {
    /// Greatest stress under a pull at a distance from the axis.
    pub fn pulled(&self, force: Force, at: Length) -> Stress {
        match self {
            Self::Rail(rail) => rail.pulled(force, at),
            Self::Cheek(cheek) => cheek.pulled(force, at),
        }
    }

    /// Greatest stress under a moment that bends it along itself: about the axis across the slots
    /// of a rail, along the height of a cheek.
    pub fn bent_along(&self, moment: Torque) -> Stress {
        match self {
            Self::Rail(rail) => rail.bent_along(moment),
            Self::Cheek(cheek) => cheek.bent_along(moment),
        }
    }
}

/// A face that rubs on a radius while the carriage is driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rub {
    /// Mean radius.
    pub radius: Length,
    /// While the carriage is pulled, or pushed.
    pub way: Way,
}

/// What guides a carriage.
#[derive(Clone, Debug)]
pub struct Guide {
    /// The carriage's part.
    pub part: PartId,
    /// The joint, whose gap it has.
    pub joint: JointId,
    /// Length that is guided, without broken edges.
    pub length: Length,
    /// What the broken edges take of the part's length.
    pub edges: Length,
    /// Across the part.
    pub across: Length,
    /// Width of its ears, which keep it from turning.
    pub ear_width: Length,
    /// How far they reach from the axis.
    pub ear_reach: Length,
    /// How far beside the axis its working end is loaded; zero in the middle.
    pub offset: Length,
    /// The key that makes the part longer.
    pub key: KeyPath,
}

impl Guide {
    /// How far the part turns about the axis in its slots, from wall to wall, with a gap on each
    /// side of its ears; `None` where nothing keeps it from turning right round.
    pub fn turning_play(&self, gap: Length) -> Option<Angle> {
        turning_play(gap, self.ear_width, self.ear_reach)
    }

    /// What turning in its slots adds to what a reversal loses, by its gap; nothing where it turns
    /// right round, which no gap does that guides.
    pub(super) fn swing(&self, gap: Length, carried_on: Length) -> Swing {
        swing(self.joint, self.turning_play(gap), gap, carried_on)
    }
}

/// A nut in a pocket with two flat sides, which keep it from turning but for their gap.
#[derive(Clone, Debug)]
pub struct Captive {
    /// The joint, whose gap it has.
    pub joint: JointId,
    /// Across its flats, for which its pocket is drawn.
    pub across_flats: Length,
    /// The least that it may be across its flats; less than that where it is bought.
    pub narrowest: Length,
}

impl Captive {
    /// What turning in its pocket adds to what a reversal loses: a nut that is carried along is
    /// behind by as much, until a corner of either flat touches. A flat is 1 / sqrt 3 of the width
    /// long.
    pub(super) fn swing(&self, gap: Length, carried_on: Length) -> Swing {
        let reach = self.across_flats / (2.0 * 3f64.sqrt());
        swing(
            self.joint,
            turning_play(gap, self.across_flats, reach),
            gap,
            carried_on,
        )
    }
}

/// A shaft that a pin keeps from turning in a carriage, but for the pin's gap in its hole.
#[derive(Clone, Debug)]
pub struct Pinned {
    /// The joint of pin and shaft, whose gap it has.
    pub joint: JointId,
    /// The carriage's guide: the shaft's screw goes on as the carriage's own turning lets it.
    pub guide: JointId,
    /// Radius of the shaft.
    pub radius: Length,
}

impl Pinned {
    /// What turning about its pin adds to what a reversal loses: from side to side of the hole, at the
    /// shaft's outside, where the pin leaves it.
    pub(super) fn swing(&self, gap: Length, carried_on: Length) -> Swing {
        let turned = Angle::from_tan(gap / self.radius * 2.0);
        swing(self.joint, Some(turned), gap, carried_on)
    }
}

/// A spring between a carriage and the keeper, that presses the carriage towards the drive head.
#[derive(Clone, Debug)]
pub struct Preload {
    /// The spring's part.
    pub part: PartId,
    /// The spring.
    pub coil: CoilSpring,
    /// Its length at turn 0.
    pub at_zero: Length,
    /// At the end of the stroke.
    pub at_end: Length,
    /// Where the carriage has stopped: the shortest.
    pub at_stop: Length,
    /// No less than what all weighs that stands on the frame's thread.
    pub weight: Force,
}

impl Preload {
    /// What it presses with at the stop, the most.
    pub fn most(&self) -> Force {
        self.coil.force_at(self.at_stop)
    }

    /// What it presses with at turn 0 and at the end of the stroke.
    pub fn through_the_stroke(&self) -> [Force; 2] {
        [self.at_zero, self.at_end].map(|length| self.coil.force_at(length))
    }
}

/// What turning adds: how far each turn carries on, by the gap that lets it turn; nothing where it
/// turns right round, which no gap does that guides.
fn swing(joint: JointId, turned: Option<Angle>, gap: Length, carried_on: Length) -> Swing {
    let turned = turned.unwrap_or(Angle::ZERO);
    let ahead = match gap > Length::ZERO {
        true => carried_on * turned.as_turns() / gap,
        false => 0.0,
    };
    Swing { joint, ahead }
}

/// What is said of a pair of threads beside its joint.
#[derive(Clone, Debug)]
pub struct ThreadPair {
    /// The joint.
    pub joint: JointId,
    /// Key that says the thread.
    pub key: KeyPath,
    /// Keys that say how much of the screw and of its hole is filled, in the joint's order.
    pub perimeters: [KeyPath; 2],
    /// Engagement of full profile that the lengths were made for.
    pub wanted: Length,
    /// Radial gap that the lengths leave room for.
    pub allowed: Length,
    /// Keys that set its lengths, the first to be blamed first.
    pub lengths: Vec<KeyPath>,
}

/// Two faces that must not meet before the carriage stops.
#[derive(Clone, Debug)]
pub struct Distance {
    /// The part that is named.
    pub part: PartId,
    /// In a sentence: `the drive head and the frame`.
    pub between: &'static str,
    /// At turn 0.
    pub at_zero: Length,
    /// What a turn in the direction of the stroke adds.
    pub per_turn: Length,
    /// Lead of the screw whose face it is.
    pub lead: Length,
    /// Keys to blame, the first that the kit says.
    pub blame: Vec<KeyPath>,
}

impl Distance {
    /// At a turn of the drive in the direction of the stroke.
    pub fn at(&self, turn: f64) -> Length {
        self.at_zero + self.per_turn * turn
    }
}

/// A screw that is put where it belongs by touch and turn back.
#[derive(Clone, Debug)]
pub struct TouchStart {
    /// The screw's part.
    pub part: PartId,
    /// Its way from touching to where it belongs.
    pub way: Length,
    /// Layers of its end faces that may hide as much.
    pub hidden_by: f64,
    /// Of a screw that goes in in more ways than one: by how much its way then differs at the least.
    pub wrong_way: Option<Length>,
    /// The key of its thread.
    pub key: KeyPath,
}

/// Ticks around the drive's head, by which parts of a turn are counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ticks {
    /// How many in a turn.
    pub count: u32,
    /// Travel of the carriage from one to the next.
    pub each: Length,
    /// The way to turn by which the count rises.
    pub rises: Turning,
    /// Where they are read: `at the bevelled edge of the index bar`.
    pub read: &'static str,
}

/// A hole through which the rod of a caliper reaches the carriage.
#[derive(Clone, Debug)]
pub struct Peephole {
    /// Of which part.
    pub part: PartId,
    /// In a sentence: `the hole through the keeper`.
    pub called: &'static str,
    /// Diameter.
    pub diameter: Length,
    /// Diameter of the pins on both sides of it, which would give it what they become thinner.
    pub pins: Length,
    /// Diameter of the carriage, which would make room for a wider one if it were thicker.
    pub carriage: Length,
    /// Keys to blame, the first that the kit says.
    pub blame: Vec<KeyPath>,
}
