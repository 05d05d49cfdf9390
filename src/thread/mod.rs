//! Screw threads: from a designation to every size that follows from it.
//!
//! Turns text such as `M20x2.5` or `3/4-10 UNC` into a [`Thread`], which knows the basic
//! profile (ISO 68-1, ASME B1.1), the standard series and the tolerance limits. It knows
//! nothing of printers, clearances or parts.

use crate::units::{Angle, Length};

/// Which way a thread winds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Turned clockwise it moves away from the one who turns.
    Right,
    /// Turned clockwise it moves towards the one who turns.
    Left,
}

impl Hand {
    /// +1 for right, -1 for left: the sign of a lead.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }
}

/// A screw thread of the 60 degree form.
#[derive(Clone, Debug, PartialEq)]
pub struct Thread {
    major: Length,
    pitch: Length,
    starts: u8,
    hand: Hand,
}

/// Half the included angle of the ISO and Unified profiles (ISO 68-1; ASME B1.1): 30 degrees.
pub const FLANK_ANGLE: Angle = Angle::degrees(30.0);

impl Thread {
    /// A thread of free sizes (single start).
    pub fn free(major: Length, pitch: Length, hand: Hand) -> Self {
        Self {
            major,
            pitch,
            starts: 1,
            hand,
        }
    }

    /// Basic major diameter d = D.
    pub fn major(&self) -> Length {
        self.major
    }

    /// Distance along the axis between neighbouring ridges.
    pub fn pitch(&self) -> Length {
        self.pitch
    }

    /// Travel in one turn, without sign: starts x pitch.
    pub fn lead(&self) -> Length {
        self.pitch * f64::from(self.starts)
    }

    /// The lead, negative for a left-hand thread.
    pub fn signed_lead(&self) -> Length {
        self.lead() * self.hand.sign()
    }

    /// Number of ridges that wind side by side.
    pub fn starts(&self) -> u8 {
        self.starts
    }

    /// Which way it winds.
    pub fn hand(&self) -> Hand {
        self.hand
    }

    /// H = (sqrt 3 / 2) P, height of the sharp triangle.
    pub fn sharp_height(&self) -> Length {
        self.pitch * (3f64.sqrt() / 2.0)
    }

    /// d2 = D2 = d - 3/4 H.
    pub fn pitch_diameter(&self) -> Length {
        self.major - self.sharp_height() * 0.75
    }

    /// D1 = D - 5/4 H, the minor diameter of the basic profile.
    pub fn minor_internal(&self) -> Length {
        self.major - self.sharp_height() * 1.25
    }

    /// 5/8 H, from crest to root of the basic profile (0.5413 P).
    pub fn depth(&self) -> Length {
        self.sharp_height() * 0.625
    }
}
