//! One file per format; each returns bytes or text and touches no file.
//!
//! What they all read is one [`Product`]: the design of a kit with everything that was worked
//! out about it. What was not worked out is `None` there, and stays empty in every format.

pub mod bill;
pub mod changes;
pub mod coupon_sheet;
pub mod files;
pub mod fits;
pub mod guide;
pub mod product;
pub mod report;
mod report_force;
mod report_numbers;
pub mod rules_page;
pub mod stl;
pub mod take_apart;
pub mod terminal;
pub mod thread_sheet;
pub mod trial_page;
mod trial_plot;
pub mod tune_page;
pub mod vary_table;
pub mod words;

pub use product::{Interval, JointFigures, KitFacts, MotionFigures, Product, Tool};

#[cfg(test)]
pub(crate) mod fixture;
