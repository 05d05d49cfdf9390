//! The tandem layout: its sizes against a table worked by hand, every place in which its drive screw
//! may come to stand, on the meshes, and what the bench is told.

mod places;
mod refused;
mod sizes;
mod words;

use crate::support::kits::{self, said};
use crate::support::{left, mm, right};
use netlead::kit::Kit;
use netlead::thread::Thread;

/// M20x2.5 over M14x2, 8 mm of stroke.
pub(crate) fn metric() -> Kit {
    kits::tandem(right(20.0, 2.5), right(14.0, 2.0), 8.0)
}

/// The same, both left-hand.
pub(crate) fn left_hand() -> Kit {
    kits::tandem(left(20.0, 2.5), left(14.0, 2.0), 8.0)
}

/// A thread of so many turns an inch.
fn inch(major: f64, per_inch: f64) -> Thread {
    right(major * 25.4, 25.4 / per_inch)
}

/// 1-8 over 5/8-11, half an inch of stroke.
pub(crate) fn inches() -> Kit {
    let mut kit = kits::tandem(inch(1.0, 8.0), inch(0.625, 11.0), 12.7);
    kit.inches = true;
    kit
}

/// No standard has these: 26x3.2 over 18x2.4.
pub(crate) fn free_pitch() -> Kit {
    let mut kit = kits::tandem(right(26.0, 3.2), right(18.0, 2.4), 15.0);
    kit.layer = said(mm(0.2));
    kit.sizes.thread_gap = Some(said(mm(0.3)));
    kit
}
