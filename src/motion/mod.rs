//! From joints to motion: rates per turn of the drive, or what is locked or loose.
//!
//! [`solve`] turns the joints of any [`Assembly`](crate::assembly::Assembly) into [`Rates`];
//! everything else reads them: [`power_train`] finds the threads on the load's way and gives
//! torque, efficiency and self-locking; [`LostMotion`] says what the gaps
//! cost; `phase` and `engagement` add to
//! [`ThreadJoint`](crate::assembly::ThreadJoint) whether ridges meet grooves, and over which
//! length.
//!
//! Frame as everywhere: +z from the drive head into the frame; a positive turn is clockwise
//! seen from the drive head. n counts turns of the drive in the direction that carries out
//! the stroke. This room knows nothing of kits' text, printers, meshes or pictures.

mod carriage;
mod engagement;
mod forces;
mod linear;
mod path;
mod phase;
mod play;
mod solve;

pub use carriage::{advance_in_own_turn, carried_on};
pub use engagement::Engagement;
pub use forces::{Collar, Contact, ForceError, PowerTrain, friction_angle, velocity_ratio};
pub use path::{PathJoint, ThreadsOnWay, beside, load_path, power_train};
pub use phase::AxialSection;
pub use play::{LostMotion, LostMotionRange};
pub use solve::{
    Freedom, JointGraph, Link, Loose, MotionError, Rate, Rates, StrokeRates, solve, solve_stroke,
};

use crate::assembly::{Course, Turning};
use crate::units::{Force, Length, Torque};

/// What a report says about motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MotionSummary {
    /// Travel of the carriage in one turn of the drive, without sign.
    pub net_lead: Length,
    /// The way to turn that carries out the stroke.
    pub direction: Turning,
    /// Turns of the drive for each mm of the carriage; `None` where it does not travel.
    pub turns_per_mm: Option<f64>,
    /// Travel of the carriage.
    pub stroke: Length,
    /// Turns for the stroke.
    pub turns: f64,
    /// Travel of the drive screw over the stroke, without sign.
    pub drive_travel: Length,
    /// Lost motion; `None` while the printed gaps are not known.
    pub lost_motion: Option<LostMotionRange>,
    /// Whether an axial load cannot turn the drive.
    pub self_locking: bool,
    /// Torque at the kit's load; `None` without a load.
    pub torque: Option<Torque>,
    /// Share of the drive's work that reaches the load; `None` where it needs no torque.
    pub efficiency: Option<f64>,
}

impl MotionSummary {
    /// Puts together what was found out. `plays` are the low, nominal and high play of the
    /// whole chain as printed, ascending.
    pub fn new(
        rates: &StrokeRates,
        course: &Course,
        plays: Option<[Length; 3]>,
        train: &PowerTrain,
        load: Option<Force>,
    ) -> Self {
        let net_lead = rates.net_lead().abs();
        let range = |[low, nominal, high]: [Length; 3]| {
            Some(LostMotionRange {
                low: LostMotion::of(&[low], net_lead)?,
                nominal: LostMotion::of(&[nominal], net_lead)?,
                high: LostMotion::of(&[high], net_lead)?,
            })
        };
        Self {
            net_lead,
            direction: rates.direction(),
            turns_per_mm: (net_lead > Length::ZERO).then(|| Length::mm(1.0) / net_lead),
            stroke: course.stroke,
            turns: course.turns,
            drive_travel: course.drive_travel,
            lost_motion: plays.and_then(range),
            self_locking: train.self_locking(),
            torque: load.map(|load| train.torque(load)),
            efficiency: train.efficiency(),
        }
    }
}
