//! Printable differential screws: from one kit description to parts that fit, with the proof.
//!
//! The rooms, each of which reads those before it and none behind: `declared` reads TOML files by
//! their keys; [`assembly`] holds parts and joints, [`motion`] says how they move, [`strength`]
//! what they bear, [`solid`] gives them facets, [`picture`] draws them, [`clearance`] finds what they meet, [`sequence`]
//! the order in which they go together; [`kit`] reads a description, [`printer`] says how gaps
//! print, [`printing_time`] what printing takes, [`tuning`] fits a profile to test pieces;
//! [`layout`] sizes the parts, [`coupon`] draws test pieces, [`load`] says what presses where,
//! [`check`] judges, [`pairs`] finds threads for a wish, [`trial`] sets measured rows against the motion,
//! [`output`] writes bytes, [`making`] goes from the text of a kit through all of these, and only [`cli`] touches
//! files and streams.

pub mod aid;
pub mod assembly;
pub mod check;
pub mod clearance;
pub mod cli;
pub mod coupon;
mod declared;
pub mod diagnostic;
pub mod kit;
pub mod layout;
pub mod load;
pub mod making;
pub mod motion;
pub mod output;
pub mod pairs;
pub mod picture;
pub mod printer;
pub mod printing_time;
pub mod sequence;
pub mod solid;
pub mod strength;
pub mod thread;
pub mod trial;
pub mod tuning;
pub mod units;
pub mod units_told;
