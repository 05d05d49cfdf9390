//! Printable differential screws: from one kit description to parts that fit, with the proof.
//!
//! The rooms, in the order in which data flows through them and never back:
//! `declared` reads TOML files by their keys, [`kit`] a description, [`layout`] sizes the
//! parts, [`assembly`] holds them, [`motion`] says how they move, [`strength`] what they bear,
//! [`solid`] gives them facets, [`clearance`] finds what they meet, [`sequence`] the order in which
//! they go together, [`job`] reckons what printing takes, [`check`] judges, [`tuning`] fits a
//! profile to test pieces, [`trial`] sets measured rows against the motion, [`output`] writes bytes,
//! and only [`cli`] touches files and streams.

pub mod assembly;
pub mod check;
pub mod clearance;
pub mod cli;
pub mod coupon;
mod declared;
pub mod diagnostic;
pub mod job;
pub mod kit;
pub mod layout;
pub mod motion;
pub mod output;
pub mod printer;
pub mod sequence;
pub mod solid;
pub mod strength;
pub mod thread;
pub mod told;
pub mod trial;
pub mod tuning;
pub mod units;
