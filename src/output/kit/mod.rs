//! What `make` writes: a kit's folder, file by file.
//!
//! What they all read is one [`Product`]: the design of a kit with everything that was worked
//! out about it. What was not worked out is `None` there, and stays empty in every format.

pub mod aid_prints;
pub mod aids;
pub mod apart;
pub mod bill;
pub mod care;
pub mod changes;
pub(in crate::output) mod dial;
pub mod fits;
pub(in crate::output) mod preload_words;
pub mod product;
pub mod report;
mod report_aids;
mod report_force;
mod report_numbers;
mod report_odds;
pub(in crate::output) mod report_order;
mod report_preload;
pub mod sentences;
pub mod troubles;

pub use crate::assembly::Tool;
pub use product::{
    BenchAid, BenchAids, Change, Interval, JointFigures, KitFacts, MotionFigures, OddsFigures,
    PreloadMotion, Product,
};

#[cfg(test)]
pub(crate) mod fixture;
