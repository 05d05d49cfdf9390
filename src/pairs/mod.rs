//! From a wish, so much travel a turn, to the pairs of threads that give it and can be built.
//!
//! A [`Wish`] says how far the carriage moves in a turn, how near that must be met, how far it goes and
//! what it carries. [`search`] tries every pair of threads of the wished series: those whose leads give
//! the travel are sized like any kit and judged by every rule, as far as that is known without a mesh.
//! What is wished of the printer stands in a kit of the wish ([`kit_text`]), into which each pair is put.

mod base;
mod bought;
mod bound;
mod candidate;
mod chart;
mod figures;
mod judge;
mod kit_text;
mod rank;
mod relax;
mod search;
mod series;
mod universe;
mod wish;

pub use base::Base;
pub use bought::{ToBuy, to_buy};
pub use bound::Bound;
pub use candidate::{designations, layout_of};
pub use chart::{Cell, Chart, chart};
pub use figures::Figures;
pub use judge::{Against, Reason, Verdict};
pub use kit_text::kit_text;
pub use relax::{GivenUp, Maker, smaller_with, what_to_give_up};
pub use search::{Found, NearMiss, Point, Row, any_mechanism, giving, search};
pub use series::Series;
pub use wish::{Hands, LARGEST_MAJOR, Wish};

/// A net lead counts as met exactly when it is off by no more than this share: a dial is read to about
/// 1 tick in 1000 at the best. Guess.
pub const EXACT: f64 = 0.001;
