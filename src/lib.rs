//! Printable differential screws: from one kit description to parts that fit, with the proof.
//!
//! As a library it goes from the text of a kit, or from a [`kit::Draft`] built in code, by way of
//! [`making::read`] to a [`making::Product`] with everything that is known of it: parts as meshes and as files,
//! findings, steps. Nothing touches a file.
//!
//! ```
//! use netlead::{kit::Draft, making::{self, InMemory}, units::{Length, Torque}};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let draft = Draft::nested("stage", &"M20x2.5".parse()?, &"M12x1.75".parse()?, Length::mm(12.0))
//!     .with("hand_torque", Torque::newton_metres(1.0))?;
//! let read = making::read("the draft", &draft.to_string(), &InMemory::none())?;
//! let product = read.judge(&|_| {})?;
//! assert!(!product.fails());
//! assert!((product.motion.net_lead - Length::mm(0.75)).abs() < Length::mm(1e-9));
//! for step in &product.design.steps {
//!     assert!(!step.text.is_empty());
//! }
//! # Ok(())
//! # }
//! ```
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
