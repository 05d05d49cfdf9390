//! The order of assembly, found and proved.
//!
//! [`plan`] takes an assembly apart until only its base is left, and says in which order a
//! person would do it; read backwards, that is the order of assembly. It sees who stands in
//! whose way ([`Obstacles`]) and nothing else, so names and the order of the list cannot
//! matter. How it works and what it leaves out: docs/order.md.

mod blame;
mod greedy;
mod motion;
mod obstacles;
mod order;
mod pieces;
mod plan;
mod table;

pub use blame::{Meeting, Stuck};
pub use motion::{Direction, Move, same_lead};
pub use obstacles::{Obstacles, Passage};
pub use pieces::{MOST_PIECES, Pieces};
pub use plan::{Answer, Deed, Plan, Removal, Wait, plan};

#[cfg(test)]
mod tests;
