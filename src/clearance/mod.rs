//! From meshes of pieces in their poses, with joints and rates, to the least gaps and overlaps
//! through the stroke, and to whether one piece stands in another's way.
//!
//! No motion is sampled. Each kind has a comparison in which time does not appear:
//!
//! - **Straight**: seen along the way, facets of b must not stand before facets of a. Exact on
//!   the meshes; [`Trajectory::Straight`].
//! - **Turning**, with any lead: pieces are replaced by their rings, the heights that they have
//!   at each radius at any angle. What they call free is free; what they call blocked may be
//!   free at some angle; [`Trajectory::Turning`].
//! - **Two threads of one lead** along their lead: by their axial section
//!   ([`AxialSection`](crate::motion::AxialSection)), which does not change.
//! - **Driven**: the mechanism's own motion, one of the above for each pair, by its rates;
//!   [`Pair::driven`], and for all pairs through the whole stroke [`Clearance::through`].
//!
//! Frame as everywhere: the assembly's at turn 0, lengths in mm. Touching is free: what meets
//! by less than 0.0001 mm does not meet ([`SLACK`]). Ties are broken by index, so that one kit
//! always gives the same answers. This room knows nothing of kits, printers and files.

mod body;
mod box_tree;
mod distance;
mod facet;
mod meeting;
mod overlap;
mod pair;
mod rings;
mod straight;
mod stroke;
mod threads;
mod turning;

pub use body::{Body, Feature, Fineness, LONGEST_SIDE, bodies, make_rings};
pub use facet::SLACK;
pub use meeting::{Met, Standing};
pub use pair::{Obstacle, Pair, Trajectory};
pub use stroke::{Clearance, FAR, FoundBy, Kind, LeastGap, Overlap, PRECISION, PairClearance};
pub use threads::ThreadFeature;

#[cfg(test)]
mod tests;
