//! The form of a part, exact: what it is before it is cut into facets.
//!
//! A [`Shape`] is a base solid, kept only inside some solids, joined with others, then cut by
//! tools. Solids are of two kinds: [`Turned`] about their z axis, threads included, and
//! [`Solid::Prism`], outlines stacked along z. No tolerance enters here.

use super::Pose;
use crate::thread::Thread;
use crate::units::Length;

/// (base, inside every `within`, joined with every `joined`) without every `cut`.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// What it starts from.
    pub base: Placed,
    /// Only what lies inside each of these stays.
    pub within: Vec<Placed>,
    /// Then these are added; each is embedded in what it joins by at least 1 mm.
    pub joined: Vec<Placed>,
    /// Then these are taken away; each reaches out of what it cuts by at least 1 mm.
    pub cut: Vec<Placed>,
    /// Number of ways through it (the genus of its surface).
    pub genus: usize,
}

/// A solid and where it stands in the part's print frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// From the solid's own frame to the part's print frame.
    pub pose: Pose,
    /// The solid.
    pub solid: Solid,
}

/// A solid in its own frame.
#[derive(Clone, Debug, PartialEq)]
pub enum Solid {
    /// Coaxial with z.
    Turned(Turned),
    /// Outlines of one kind at ascending heights, with straight lines between them.
    Prism(Vec<(Length, Outline)>),
}

/// A solid coaxial with z: inside its outer contour, outside its blind bore.
#[derive(Clone, Debug, PartialEq)]
pub struct Turned {
    /// The outside, from the lowest z to the highest.
    pub outer: Contour,
    /// A bore, open at the highest z of the outside, from its floor upwards.
    pub bore: Option<Contour>,
}

/// A radius over z: straight lines between corners, and threads on stretches of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contour {
    /// Corners (z, radius); z never falls, and two corners at one z make a step.
    pub corners: Vec<(Length, Length)>,
    /// Stretches that carry a thread, ascending, apart from each other.
    pub threads: Vec<ThreadZone>,
}

/// A stretch of a contour where a thread stands on it or is sunk in it.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadZone {
    /// z from which to which; corners of the contour stand at both, and there the contour
    /// alone gives the radius.
    pub z: [Length; 2],
    /// The thread's form.
    pub form: ThreadForm,
}

/// The surface r(angle, z) of a thread, and how it meets the contour.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadForm {
    /// Sizes of the basic profile.
    pub thread: Thread,
    /// How far the whole profile is shifted outwards: the radial gap of a tapped hole.
    pub shift: Length,
    /// z of a crest centre at angle 0 (of a root centre, seen from a tapped hole).
    pub crest: Length,
    /// True for a screw: the radius is the lesser of profile and contour. False for a tapped
    /// hole: the greater.
    pub external: bool,
}

/// Directions in which crush ribs stand, from +x, in degrees; +y is up on the bed.
///
/// All three lie between 45 and 135 degrees or between 225 and 315, so that a pin whose flat
/// (0.707 diameters wide: 45 degrees to either side) is turned to +x or -x meets them with
/// its round; they hold it from every side, since no two neighbours stand half a turn apart;
/// and none is the crown, which sags (derived). A face square to 60 or 120 degrees leans 30
/// degrees from level, as the round wall does there and the flanks of upright threads do.
pub const RIB_DIRECTIONS: [f64; 3] = [60.0, 120.0, 270.0];

/// A closed outline around the z axis, star-shaped about it.
#[derive(Clone, Debug, PartialEq)]
pub enum Outline {
    /// A circle.
    Circle {
        /// Across.
        diameter: Length,
    },
    /// A square with its corners cut off at 45 degrees.
    Square {
        /// From side to side.
        side: Length,
        /// What each cut takes off a side.
        corner: Length,
    },
    /// A regular hexagon with two sides square to y.
    Hexagon {
        /// From side to side.
        across_flats: Length,
    },
    /// A rectangle.
    Rectangle {
        /// Along x.
        x: Length,
        /// Along y.
        y: Length,
    },
    /// A circle with two keys along x.
    Keyed {
        /// Of the circle.
        diameter: Length,
        /// Of the keys, along y.
        width: Length,
        /// From the end of one key to the end of the other, along x.
        span: Length,
    },
    /// A circle whose top (towards +y) is closed by two tangents at 45 degrees and a short
    /// ceiling: a hole that is printed lying down.
    Teardrop {
        /// Of the circle.
        diameter: Length,
        /// Length of the ceiling.
        ceiling: Length,
    },
    /// A circle with three flat faces that stand in it, square to [`RIB_DIRECTIONS`]: a hole
    /// that is printed lying down and holds a pin on crush ribs.
    Ribbed {
        /// Of the circle.
        diameter: Length,
        /// Of the circle that touches the middles of all three faces. Where it is as wide as
        /// the outline itself, there are no ribs.
        tips: Length,
    },
    /// Half a circle towards +y, and straight sides from its ends to a level end: a slot with a
    /// round floor.
    Slotted {
        /// Of the circle.
        diameter: Length,
        /// From the circle's centre to the level end, towards -y.
        reach: Length,
    },
    /// Corners in counter-clockwise order.
    Polygon(Vec<[Length; 2]>),
}
