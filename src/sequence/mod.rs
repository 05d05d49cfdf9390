//! The order of assembly, found and proved.
//!
//! [`plan`] takes an assembly apart until only its base is left, and says in which order a
//! person would do it; read backwards, that is the order of assembly. It sees who stands in
//! whose way ([`Obstacles`]) and nothing else, so names and the order of the list cannot
//! matter. How it works and what it leaves out: docs/order.md.

mod blame;
mod cheapest;
mod found;
mod greedy;
mod motion;
mod obstacles;

mod pieces;
mod plan;
mod scene;
mod speaker;
mod steps;
mod table;

pub use blame::{Meeting, Stuck};
pub use found::{Clash, Jam, Order, Removed, Touch, Waited, find, order};
pub use motion::{Direction, Move, same_lead};
pub use obstacles::{Obstacles, Passage};
pub use pieces::{MOST_PIECES, Pieces};
pub use plan::{Answer, Deed, Plan, Removal, Wait, plan};
pub use scene::Scene;
pub use speaker::Speaker;
pub(crate) use speaker::listed;
pub use steps::{put_in, steps};

#[cfg(test)]
mod tests;
